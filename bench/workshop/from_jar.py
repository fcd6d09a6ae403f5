"""All that came out of a jar, and what its batches are by what the jar is known to be now, beside what was planned."""

from dataclasses import dataclass

from bench.reckoning import reckon
from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.workshop.assays import jar_assay
from bench.workshop.jar_water import line_ask
from bench.workshop.lineage import offspring
from bench.workshop.things.batches import Batch, batch

SAME_ASSAY_PCT = 0.05
"""A fire-assay is read to a tenth of a per cent: what is nearer is the same (project default)."""


@dataclass(frozen=True)
class Touched:
    """A batch with some of a jar in it: its grams of it, and what the target's ratio is off by, then and now.

    `then_pct` is by the assay in the plan, `now_pct` by what is known of the jar today: how far the element that the
    jar brings is off the target, in per cent; None where no target was meant or it cannot be worked out.
    """

    view: Batch
    g: float
    assay_then_pct: float
    assay_now_pct: float
    then_pct: float | None
    now_pct: float | None
    things: tuple[str, ...]

    @property
    def changed(self) -> bool:
        return abs(self.assay_then_pct - self.assay_now_pct) > SAME_ASSAY_PCT


def out_of(state: State, jar: str, library: Library) -> list[Touched]:
    """Every batch that was weighed from a jar, the newest first, with all that came of it."""
    return state.memoize(("out-of", jar, library.mark), lambda: _out_of(state, jar, library))


def _out_of(state: State, jar: str, library: Library) -> list[Touched]:
    named = dict.fromkeys(
        record.subject for record in state.effective_records(jar, "weighed") if record.body.jar == jar
    )
    views = [batch(state, thing) for thing in named]
    found = [_touched(state, jar, view, library) for view in views if view is not None]
    return [one for one in reversed(found) if one is not None]


def _touched(state: State, jar: str, view: Batch, library: Library) -> Touched | None:
    now = jar_assay(state, jar, library)
    line = next((one for one in view.lines if one.weighed is not None and one.weighed.body.jar == jar), None)
    if line is None or now is None:
        return None
    grams = {one.plan.line: one.weighed_g or 0.0 for one in view.lines}
    used = {one.plan.line: one.weighed.body.jar if one.weighed is not None else None for one in view.lines}
    new = {one.plan.line: _as_known(state, one.plan, used[one.plan.line]) for one in view.lines}
    then_asks = [_as_planned(one.plan, grams[one.plan.line]) for one in view.lines]
    now_asks = [line_ask(state, one, grams[n], library) for n, one in new.items()]
    return Touched(
        view,
        grams[line.plan.line],
        line.plan.assay_pct,
        min(now.assay_pct, 100.0) if now.hydrate_known else now.assay_pct,
        _off_pct(then_asks, view.plan.target_formula, library),
        _off_pct(now_asks, view.plan.target_formula, library),
        tuple(_all_of(state, view.id)),
    )


def _as_planned(line: Line, g: float) -> dict[str, object]:
    return {"formula": line.formula, "assay_pct": line.assay_pct, "fate": line.fate, "g": g}


def _as_known(state: State, line: Line, jar: str | None) -> Line:
    """The line as its jar stands now: by its label as it was corrected since; a fire-assay is found by `line_ask`."""
    opened = state.slot(jar, "jar.opened").body if jar else None
    if opened is None:
        return line
    pct = opened.assay_pct if not opened.hydrate_known else min(opened.assay_pct, 100.0)
    return Line(line.line, opened.formula, line.target_g, jar, opened.reagent, line.fate, pct)  # type: ignore[arg-type]


def _off_pct(asks: list[dict[str, object]], target: str | None, library: Library) -> float | None:
    """How far the largest excess is off the target's ratio, in per cent."""
    if not target:
        return None
    try:
        told = reckon("balance", {"weighed": [one for one in asks if one["g"]], "target": target}, library)
    except Refusal:
        return None
    actual, wanted, limit = told["ratio_actual"], told["ratio_target"], told["limiting"]
    if limit is None or not actual.get(limit):
        return None
    scale = actual[limit] / wanted[limit]
    return float(max(100 * (actual[symbol] / (wanted[symbol] * scale) - 1) for symbol in wanted))


def _all_of(state: State, thing: str) -> list[str]:
    """What came of a batch: charges, powders, swatches, waste of its rinses."""
    found: dict[str, None] = {}
    ahead = [thing]
    while ahead:
        for one in offspring(state, ahead.pop(0)):
            if one not in found:
                found[one] = None
                ahead.append(one)
    for one in list(found):
        found |= {r.body.waste: None for r in state.own(one, "washed") if r.body.waste}
    return list(found)
