"""A series: its batches side by side, what differed between them, and what came of each."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response

from bench.records.kinds import SeriesPlanned
from bench.records.state import State
from bench.science.effects import Effect
from bench.screens.planning.batch import STATES
from bench.screens.planning.copying_factors import level_text
from bench.web import drawing
from bench.web.current import current_bench
from bench.web.existing import existing
from bench.web.page import grams_off, page
from bench.web.words import _
from bench.workshop.comparing import SHARE_PCT, facts
from bench.workshop.expectation import gap
from bench.workshop.lineage import offspring
from bench.workshop.series_results import InSeries, Result, drawn_order, results, series_batches, waiting_batches
from bench.workshop.share_changes import changed_shares, is_share
from bench.workshop.things.batches import Batch
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible

blueprint = Blueprint("series", __name__)

VERDICTS = {
    "keep": _("kept"),
    "refire": _("to be fired again"),
    "make-up": _("to be made up"),
    "tint": _("tint stock"),
    "discard": _("thrown away"),
}
FIGURE_NAMES = {"L*": "L*", "a*": "a*", "b*": "b*", "yield": _("Yield, %")}
MOST_FACTS = 12
NOT_SAID = "–"


@dataclass(frozen=True)
class Member:
    """One batch of a series: its level in words, whether it is the control, where it stands, and what came of it."""

    view: Batch
    level: str
    control: bool
    state: str
    came: tuple[str, ...]
    pigments: tuple[str, ...]


@blueprint.get("/series/<thing>")
def show(thing: str) -> Response:
    """The batches of a series side by side."""
    state = current_bench().state
    plan = series_or_404(thing)
    found = series_batches(state, thing)
    members = [_member(one, plan.unit, plan.control) for one in found]
    planned = {one.level for one in found}
    came = results(state, thing)
    return page(
        "series/show.html",
        thing=thing,
        plan=plan,
        members=members,
        places=places(thing),
        codes=[one.view.code for one in found if one.view.code],
        missing=[level_text(one, plan.unit) for one in plan.levels if one not in planned],
        differed=_differed(members),
        figures=[_figure(one, plan) for one in came.figures],
        counted=len(came.counted),
        apart=len(came.apart),
    )


def series_or_404(thing: str) -> SeriesPlanned:
    """What the series of this address is."""
    plan: SeriesPlanned | None = current_bench().state.slot(thing, "series.planned").body
    return existing(plan, thing)


@dataclass(frozen=True)
class Place:
    """One batch of a series that is not fired yet: its place in the load, drawn by lot, and a crucible for it."""

    n: int
    view: Batch
    level: str
    crucible: str | None


def places(thing: str) -> list[Place]:
    """The batches that wait for the fire in the order of their places, each with its crucible, or one that is free."""
    state = current_bench().state
    plan = series_or_404(thing)
    waiting = {one.view.id: one for one in waiting_batches(state, thing)}
    free = alike_crucibles(state, len(waiting))
    return [
        Place(
            n, waiting[one].view, level_text(waiting[one].level, plan.unit), _filled(waiting[one].view) or _nth(free, n)
        )
        for one, n in drawn_order(thing, waiting).items()
    ]


def _filled(view: Batch) -> str | None:
    """The crucible that a batch lies in already."""
    found = [one.crucible_code for t in view.charges if (one := charge(current_bench().state, t)) is not None]
    return found[-1] if found else None


def _nth(free: list[str], n: int) -> str | None:
    return free[n - 1] if n <= len(free) else None


def alike_crucibles(state: State, most: int) -> list[str]:
    """The codes of free crucibles of one ware and size: of the kind of which most are free."""
    kinds: dict[tuple[str, float], list[str]] = {}
    for thing in state.open_things("crucible"):
        view = crucible(state, thing)
        if view is not None and view.standing == "free" and view.code:
            kinds.setdefault((view.added.ware, view.added.volume_ml), []).append(view.code)
    return max(kinds.values(), key=len, default=[])[:most]


@dataclass(frozen=True)
class LevelRow:
    """A level of one figure, as `ui.then_now` asks for it: each batch's value, how far off, and whether it is told."""

    name: str
    then: str
    now: str
    why: str
    changed: bool


def _figure(one: Result, plan: SeriesPlanned) -> dict[str, Any]:
    """A figure of all levels: what each batch came to, and what can be told against the reference."""
    told = {each.level: each for each in one.found.effects}
    return {
        "name": FIGURE_NAMES[one.name],
        "rows": [
            _level_row(level_text(level, plan.unit), values, told.get(level)) for level, values in one.values.items()
        ],
        "against": level_text(one.found.reference, plan.unit) if one.found.reference is not None else "",
        "plot": drawing.level_plot(one.values),
        "s": one.found.pooled_s,
        "free": one.found.free,
    }


def _level_row(name: str, values: tuple[float, ...], each: Effect | None) -> LevelRow:
    said = ", ".join(f"{value:.1f}" for value in values)
    if each is None:
        return LevelRow(name, said, NOT_SAID, "", False)
    if not each.half_width:
        return LevelRow(name, said, f"{each.difference:+.1f}", _("Cannot tell: the repeats show no spread."), False)
    why = _("Differs.") if each.told else _("Cannot tell.")
    return LevelRow(name, said, f"{each.difference:+.1f} ± {each.half_width:.1f}", why, each.told)


def _member(one: InSeries, unit: str | None, control: object) -> Member:
    view = one.view
    pigments = _pigments(view.id)
    return Member(
        view,
        level_text(one.level, unit),
        one.level is not None and one.level == control,
        STATES[view.state],
        tuple(_came(view, pigments)),
        tuple(pigments),
    )


def _pigments(thing: str) -> list[str]:
    """Every powder that came of a batch, through later fires too, the first first."""
    state = current_bench().state
    found: dict[str, None] = {}
    ahead = [thing]
    seen = {thing}
    while ahead:
        for one in offspring(state, ahead.pop(0)):
            if one in seen:
                continue
            seen.add(one)
            if state.sort_of(one) == "pigment":
                found[one] = None
            if state.sort_of(one) in ("charge", "pigment"):
                ahead.append(one)
    return list(found)


def _came(view: Batch, pigments: list[str]) -> list[str]:
    """What came of a batch in words: the gaps of its charges, and the verdict on each powder with its words."""
    state = current_bench().state
    said = []
    for filled in view.charges:
        found = gap(state, filled, current_bench().library)
        if found is not None and found.meaning is not None and found.gap_g is not None:
            said.append(_("{g} g against theory", g=grams_off(found.gap_g)))
    for one in pigments:
        for record in state.by_time(one, "judged")[-1:]:
            words = f": {record.body.words}" if record.body.words else ""
            said.append(VERDICTS[record.body.verdict] + words)
    return list(dict.fromkeys(said))


def _differed(members: list[Member]) -> list[tuple[str, list[str]]]:
    """Each fact in which the powders of the batches differ beyond its scatter: its name, and what it was of each."""
    state = current_bench().state
    told = [facts(state, one.pigments[-1]) if one.pigments else {} for one in members]
    known = [one for one in told if one]
    shares = changed_shares(known, SHARE_PCT)
    found = []
    for name in dict.fromkeys(name for one in known for name in one):
        values = [one.get(name) for one in known]
        first = values[0]
        if is_share(name) and name not in shares:
            continue
        if any(value is None or first is None or not value.like(first) for value in values):
            found.append((name, [one[name].words if name in one else NOT_SAID for one in told]))
    return found[:MOST_FACTS]
