"""Lots that were never tried: a jar from which nothing was weighed, of a reagent that was used from another one."""

from collections.abc import Iterable

from bench.records.kinds import Line
from bench.records.state import State
from bench.workshop.things.jars import Jar, jar, used_g

TRIAL_G = 1.0
LARGE_G = 20.0
"""From this on a plan with a lot that was never tried asks first (project defaults)."""


def is_untested(state: State, view: Jar) -> bool:
    """Whether nothing was weighed from a jar yet, while another of the same reagent was used."""
    return not view.closed and used_g(state, view.id) <= 0 and earlier_jar(state, view) is not None


def earlier_jar(state: State, view: Jar) -> str | None:
    """The jar of the same reagent that was used last, put away or not; None where there is none."""
    others = [
        thing for thing in state.things("jar") if thing != view.id and _reagent(state, thing) == view.opened.reagent
    ]
    return next((thing for thing in reversed(others) if used_g(state, thing) > 0), None)


def _reagent(state: State, thing: str) -> str | None:
    opened = state.slot(thing, "jar.opened").body
    return opened.reagent if opened is not None else None


def untested(state: State, lines: Iterable[Line]) -> list[Jar]:
    """The jars of some lines that were never tried."""
    views = [jar(state, line.jar) for line in lines if line.jar]
    return [view for view in views if view is not None and is_untested(state, view)]


def trial_batch(state: State, view: Jar) -> str | None:
    """The newest batch that was weighed with the same reagent: what a trial of a new lot makes again."""
    before = earlier_jar(state, view)
    if before is None:
        return None
    made = [record.subject for record in state.effective_records(before, "weighed") if record.body.jar == before]
    return next((thing for thing in reversed(made) if state.exists(thing)), None)
