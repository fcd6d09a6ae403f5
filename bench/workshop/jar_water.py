"""A planned line as a calculation asks for it, with what is known of the water in its jar.

A plan keeps only the assay that it reckoned with; where that came from follows from the records of the jar.
"""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.charges import ingredient
from bench.reckoning.water import Water
from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.evolution import Choices
from bench.science.refusal import Refusal
from bench.workshop.assays import jar_assay

SAME_PCT = 1e-6
PURE_PCT = 100.0


def line_ask(state: State, line: Line, g: float, library: Library) -> dict[str, Any]:
    """The line with these grams of it, as the kinds *balance* and *weigh-up* ask for it.

    The rest of a jar of unknown water is water. A jar that was fire-assayed since is taken by what that told.
    """
    told = {"formula": line.formula, "g": g, "assay_pct": line.assay_pct, "fate": line.fate}
    label = _label(state, line)
    if (label is not None and label.hydrate_known) or (label is None and line.assay_pct >= PURE_PCT):
        return told  # the rest stays, or there is none
    now = jar_assay(state, line.jar, library) if line.jar else None
    if label is None:
        return told | ({"assay_rest": "water"} if now is not None and now.by == "fire" else {})
    if now is None or now.by == "wide":
        return told | {"hydrate_known": False, "assay_sd_pct": label.assay_sd_pct}
    settled = {"formula": now.formula, "assay_pct": min(now.assay_pct, PURE_PCT)}
    return told | settled | ({"assay_rest": "water"} if now.by == "fire" else {})


def gas_ask(state: State, line: Line, g: float, library: Library) -> dict[str, Any]:
    """The same as the kind *gas* asks for it, which knows no fate."""
    told = line_ask(state, line, g, library)
    return {name: value for name, value in told.items() if name != "fate"}


def is_told(ask: dict[str, Any]) -> bool:
    """Whether a line's ask says something of its water that a plan did not always know."""
    return "hydrate_known" in ask or "assay_rest" in ask


def water(state: State, line: Line, library: Library) -> Water | None:
    """The share of the jar that the line's formula is, wettest and driest, while its water is not known; else None."""
    ask = line_ask(state, line, line.target_g, library)
    if "hydrate_known" not in ask:
        return None
    try:
        return ingredient(Ask(ask), library, Choices()).water
    except Refusal:
        return None


def grams_range(state: State, line: Line, g: float, library: Library) -> tuple[float, float] | None:
    """The grams of the jar that may be right where the plan takes `g` of it; None where its water is known."""
    found = water(state, line, library)
    meant = g * line.assay_pct / 100
    return None if found is None else (meant / found.driest, meant / found.wettest)


def _label(state: State, line: Line) -> Any:
    """What stood on the jar when the line was planned; None where the line is of no jar, or of a fire-assay."""
    for record in state.all_rows(line.jar, "jar.opened") if line.jar else ():
        body = record.body
        label_pct = body.assay_pct if not body.hydrate_known else min(body.assay_pct, PURE_PCT)
        alike = min(abs(label_pct - line.assay_pct), abs(min(body.assay_pct, PURE_PCT) - line.assay_pct))
        if record.subject == line.jar and body.formula == line.formula and alike < SAME_PCT:
            return body
    return None
