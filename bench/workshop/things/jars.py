"""A jar on the shelf: what it is, its assay, and what is left in it."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from bench.records.state import State


@dataclass(frozen=True)
class Jar:
    """A jar of a reagent. Masses in grams; `left_g` is None when nobody said how much it held."""

    id: str
    code: str | None
    opened: Any
    used_g: float
    residue_pct: tuple[float, ...]  # of each fire-assay: mass left, in % of mass taken
    closed: bool

    @property
    def left_g(self) -> float | None:
        return None if self.opened.net_g is None else self.opened.net_g - self.used_g

    @property
    def name(self) -> str:
        return str(self.opened.reagent)


def jar(state: State, thing: str) -> Jar | None:
    """The jar, or None when there is no such jar."""
    return state.memoize(("jar", thing), lambda: _jar(state, thing))


def _jar(state: State, thing: str) -> Jar | None:
    opened = state.slot(thing, "jar.opened").body
    if opened is None:
        return None
    return Jar(
        id=thing,
        code=state.code_of(thing),
        opened=opened,
        used_g=used_g(state, thing),
        residue_pct=tuple(state.worked_out(thing, "residues", partial(_residues, state, thing))),
        closed=bool(state.own(thing, "closed")),
    )


def used_g(state: State, thing: str) -> float:
    """Grams weighed out of a jar, into mortars and straight into crucibles, and grams lost from it."""
    return float(state.worked_out(thing, "used", partial(_used_g, state, thing)))


def _residues(state: State, thing: str) -> list[float]:
    assays = [r.body for r in state.own(thing, "jar.assayed")]
    return [100 * a.after_g / a.before_g for a in assays if a.before_g > 0]


def _used_g(state: State, thing: str) -> float:
    weighed: float = sum(r.body.net_g for r in state.effective_records(thing, "weighed") if r.body.jar == thing)
    loaded: float = sum(
        s.g for r in state.effective_records(thing, "charged") for s in r.body.sources if s.jar == thing
    )
    return weighed + loaded + lost_g(state, thing)


def lost_g(state: State, thing: str) -> float:
    """Grams of a thing that were spilled, broken away or blown off."""
    return sum(r.body.g or 0.0 for r in state.rows(thing, "lost") if r.body.from_ == thing)
