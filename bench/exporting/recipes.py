"""A batch as a recipe that another bench can make, and a recipe as the fields of a plan with one's own jars."""

from collections.abc import Mapping
from typing import Any

from bench.reference import Library
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.workshop.again import PURE_PCT, times
from bench.workshop.assays import jar_assay
from bench.workshop.state import State
from bench.workshop.things.batches import Batch
from bench.workshop.things.jars import jar

DIGITS = 4
MOST_NOTE = 400
A_BATCH_G = 20.0
REACTS = ("reacts", "stays")


def recipe_of(view: Batch, state: State, library: Library, note: bool = True) -> dict[str, Any]:
    """What was weighed of a batch, in parts of a hundred, with the assay of each jar and the planned heat."""
    grams = [(line, line.weighed_g if line.weighed_g is not None else line.target_g) for line in view.lines]
    whole = sum(g for _line, g in grams) or 1.0
    rows: dict[str, list[list[Any]]] = {"mix": [], "flux": []}
    for line, g in grams:
        used = (line.weighed.body.jar if line.weighed is not None else None) or line.plan.jar
        assay = jar_assay(state, used, library) if used else None
        pct = min(assay.assay_pct, PURE_PCT) if assay is not None else line.plan.assay_pct
        formula = assay.formula if assay is not None else line.plan.formula
        row = [formula, _short(100 * g / whole), *([_short(pct)] if abs(pct - PURE_PCT) > 0.005 else [])]
        rows["mix" if line.plan.fate in REACTS else "flux"].append(row)
    found: dict[str, Any] = {"v": 1, "name": view.name, "mix": rows["mix"]}
    found |= {"flux": rows["flux"]} if rows["flux"] else {}
    found |= {"target": view.plan.target_formula} if view.plan.target_formula else {}
    fire = [[one.rate_c_per_h or 0, one.to_c, one.hold_min] for one in view.plan.schedule]
    found |= {"fire": fire} if fire else {}
    if view.plan.cooling_mode != "unknown":
        found["cool"] = view.plan.cooling_mode
    return found | ({"note": view.plan.notes[:MOST_NOTE]} if note and view.plan.notes else {})


def _short(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")


def plan_fields(recipe: Mapping[str, Any], state: State, library: Library) -> dict[str, str]:
    """The fields of a plan from parts: each formula from a jar of one's own where one holds it, dosed by that jar."""
    found = {"by": "mass", "total_g": f"{A_BATCH_G:g}", "name": str(recipe["name"])[:80]}
    if recipe.get("target"):
        found["target"] = str(recipe["target"])
    lines = [(row, "") for row in recipe["mix"]] + [(row, "washed-out") for row in recipe.get("flux", [])]
    for n, (row, fate) in enumerate(lines):
        formula, parts, pct = row[0], row[1], row[2] if len(row) > 2 else PURE_PCT
        own = _own(formula, state, library)
        if own is None:
            found |= {f"formula.{n}": formula, f"parts.{n}": f"{parts:g}", f"assay.{n}": f"{pct:g}"}
        else:
            thing, share = own
            found |= {f"jar.{n}": thing, f"parts.{n}": f"{parts * pct / PURE_PCT * share:.5g}"}
        found |= {f"fate.{n}": fate} if fate else {}
    for n, (rate, to_c, hold) in enumerate(recipe.get("fire", [])[:3]):
        found |= {f"to_c.{n}": f"{to_c:g}", f"hold_min.{n}": f"{hold:g}"} | ({f"rate.{n}": f"{rate:g}"} if rate else {})
    found |= {"cooling": str(recipe["cool"])} if recipe.get("cool") else {}
    return found | ({"notes": str(recipe["note"])[:MOST_NOTE]} if recipe.get("note") else {})


def _own(formula: str, state: State, library: Library) -> tuple[str, float] | None:
    """A jar of a formula, or of one that differs by water alone, and its grams for one gram of the pure formula."""
    best: tuple[bool, str, float] | None = None
    for thing in state.open_things("jar"):
        view, assay = jar(state, thing), jar_assay(state, thing, library)
        share = times(formula, assay.formula) if assay is not None else None
        if view is None or view.closed or assay is None or share is None:
            continue
        one = (not _same(formula, assay.formula), thing, share * PURE_PCT / min(assay.assay_pct, PURE_PCT))
        best = one if best is None or one[0] < best[0] else best
    return None if best is None else (best[1], best[2])


def _same(one: str, other: str) -> bool:
    try:
        return parse(one).counts == parse(other).counts
    except Refusal:
        return one == other
