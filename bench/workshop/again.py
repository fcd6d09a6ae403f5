"""Make it again: what was weighed of a batch, in grams, carried over to the jars and the ware of today."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.workshop.assays import JarAssay, jar_assay
from bench.workshop.things.batches import Batch, BatchLine
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import Crucible, crucible
from bench.workshop.things.jars import Jar, jar

PURE_PCT = 100.0
CRYSTAL_WATER = re.compile(r"\s*[*·•.]\s*\d*(\.\d+)?\s*H2O\s*$")
"""The water that a formula names apart, at its end."""
SAME_FRACTION = 5e-4
"""Grams that differ by less than half a part in a thousand are the same for any balance here (project default)."""

REPEATS = "repeats"
"""Under this name the plan of a batch that is made again names the batch that it repeats."""

How = Literal["same-jar", "other-jar", "no-jar", "none-left"]


@dataclass(frozen=True)
class Content:
    """What a reagent is known to hold: so many per cent of a formula; `sure` false while its water is not known."""

    formula: str
    assay_pct: float
    sure: bool = True


@dataclass(frozen=True)
class Dose:
    """One reagent: what was weighed, and what brings as much of it today. Grams.

    `jar_then` is what it was taken from, `jar_now` what it is taken from today; `how` says how the two stand.
    """

    plan: Line
    weighed: bool
    then_g: float
    now_g: float
    jar_then: Jar | None
    jar_now: Jar | None
    then: Content
    now: Content
    how: How

    @property
    def same(self) -> bool:
        """Whether as many grams are taken as then."""
        return abs(self.now_g - self.then_g) <= SAME_FRACTION * self.then_g

    @property
    def sure(self) -> bool:
        """Whether the grams are known: the same jar needs no assay, another one does."""
        return self.how in ("same-jar", "no-jar") or (self.then.sure and self.now.sure)

    @property
    def too_little_g(self) -> float | None:
        """Grams that the jar of today lacks, or None."""
        left = self.jar_now.left_g if self.jar_now is not None else None
        return self.now_g - left if left is not None and left < self.now_g else None


def doses(state: State, view: Batch, library: Library, wanted: str | None = None) -> list[Dose]:
    """Every reagent of a batch that was weighed, or planned where nothing was, for today; `wanted` is a jar to use."""
    return [_dose(state, line, library, wanted) for line in view.lines if _grams(line) > 0]


def _grams(line: BatchLine) -> float:
    return line.weighed_g if line.weighed_g is not None else line.target_g


def _dose(state: State, line: BatchLine, library: Library, wanted: str | None) -> Dose:
    g = _grams(line)
    taken = (line.weighed.body.jar if line.weighed is not None else None) or line.plan.jar
    before = jar(state, taken) if taken else None
    then = _content(state, before, library) or Content(line.plan.formula, line.plan.assay_pct)
    now_jar, now, now_g = _from(state, wanted, then, g, library) or _today(state, before, then, g, library)
    how: How = "no-jar" if before is None else "none-left"
    if now_jar is not None:
        how = "same-jar" if before is not None and now_jar.id == before.id else "other-jar"
    return Dose(line.plan, line.weighed is not None, g, now_g, before, now_jar, then, now, how)


def _content(state: State, view: Jar | None, library: Library) -> Content | None:
    found = jar_assay(state, view.id, library) if view is not None else None
    return None if found is None else _as_content(found)


def _as_content(found: JarAssay) -> Content:
    pct = found.assay_pct if found.by == "wide" else min(found.assay_pct, PURE_PCT)
    return Content(found.formula, pct, found.hydrate_known)


def _from(
    state: State, wanted: str | None, then: Content, g: float, library: Library
) -> tuple[Jar, Content, float] | None:
    """As much from a jar that is asked for, where it holds the same; else None."""
    view = jar(state, wanted) if wanted else None
    now = _content(state, view, library)
    part = times(then.formula, now.formula) if now is not None else None
    if view is None or view.closed or now is None or part is None:
        return None
    return view, now, g * part * then.assay_pct / now.assay_pct


def _today(
    state: State, before: Jar | None, then: Content, g: float, library: Library
) -> tuple[Jar | None, Content, float]:
    """The jar to take it from today, what it holds, and its grams; the same jar while it holds enough."""
    if before is not None and not before.closed and (before.left_g is None or before.left_g >= g):
        return before, then, g
    found = jar_today(state, then, g, library, besides=before.id if before is not None else "")
    if found is not None:
        return found
    still = before if before is not None and not before.closed else None
    return still, then, g


def jar_today(
    state: State, then: Content, g: float, library: Library, besides: str = ""
) -> tuple[Jar, Content, float] | None:
    """The jar of today that brings what so many grams brought, what it holds, and its grams; None where none does."""
    found = []
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        now = _content(state, view, library)
        part = times(then.formula, now.formula) if now is not None else None
        if view is None or view.closed or now is None or part is None or thing == besides:
            continue
        grams = g * part * then.assay_pct / now.assay_pct
        enough = view.left_g is None or view.left_g >= grams
        found.append(((not enough, view.opened.formula != then.formula, not now.sure), view, now, grams))
    return min(found, key=lambda one: one[0])[1:] if found else None


def times(then: str, now: str) -> float | None:
    """Grams of a formula that bring what one gram of another brought, where both differ by their crystals' water alone.

    Quicklime is no slaked lime with other water: only water that a formula names apart, as in CuSO4·5H2O, is left out.
    """
    try:
        first, second = parse(then), parse(now)
        alike = parse(CRYSTAL_WATER.sub("", then)).counts == parse(CRYSTAL_WATER.sub("", now)).counts
    except Refusal:
        return None
    return second.molar_mass_g_mol / first.molar_mass_g_mol if alike else None


@dataclass(frozen=True)
class Ware:
    """The crucible that a charge stood in, and one like it that is free today: the same where it is free."""

    then: Crucible
    now: Crucible | None
    charge: Charge


def ware(state: State, charges: Sequence[str]) -> Ware | None:
    """The ware of the fullest of some charges; None where none of them stood in a known crucible."""
    views = [v for v in (charge(state, one) for one in charges) if v is not None]
    if not views:
        return None
    view = max(views, key=lambda one: one.dry_g)
    then = crucible(state, view.crucible)
    return None if then is None else Ware(then, _alike(state, then), view)


def _alike(state: State, then: Crucible) -> Crucible | None:
    others = [crucible(state, thing) for thing in state.open_things("crucible") if thing != then.id]
    alike = [
        one
        for one in (then, *others)
        if one is not None
        and one.standing == "free"
        and (one.added.ware, one.added.volume_ml) == (then.added.ware, then.added.volume_ml)
    ]
    return alike[0] if alike else None


def ground(state: State, batch: str) -> tuple[str, float | None] | None:
    """The medium and the minutes that a batch was ground; None where nobody recorded it."""
    rows = [r.body for r in state.by_time(batch, "mixed")]
    minutes = [row.minutes for row in rows if row.minutes is not None]
    return (rows[-1].medium, sum(minutes) if minutes else None) if rows else None
