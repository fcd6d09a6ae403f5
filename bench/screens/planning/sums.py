"""The sums of a plan, one a way: grams for a target, what grams can become, grams from parts."""

from collections.abc import Callable
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.parts_by import Share, grams_for
from bench.science.formulas import parse
from bench.science.usual_oxides import HALOGENS
from bench.screens.planning.heat import peak_of
from bench.screens.planning.lines import Row
from bench.screens.planning.targets import Wanted
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.workshop.digits import readability_g
from bench.workshop.furnace_air import furnace_o2_pct

TOTALS = {"target": "product_g", "parts": "total_g"}
Told = dict[str, Any]


def read_total(way: str, form: Form) -> float | None:
    """The mass that is asked for; read early too, so that its slip shows beside all others."""
    return form.number(TOTALS[way], low=0.001, high=100_000, unit="g") if way in TOTALS else None


def from_target(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], Told]:
    """The grams of each line for so much product. Raises Refusal."""
    product = read_total("target", form)
    if product is None or found is None:
        return [], {}
    reagents = [row.ask() | _amount(row, product) for row in rows]
    ask = {"target": found.formula, "product_g": product, "reagents": reagents, "balance_d_g": _d_g()}
    answer = reckon("weigh-up", ask, current_bench().library)
    return [float(g) for g in answer["weigh_g"]], answer


def _amount(row: Row, product_g: float) -> Told:
    """A fixed amount or a share; per cent are of the product in theory, as fluxes are usually told."""
    told: Told = {"share": row.share} if row.share is not None else {}
    if row.amount is None:
        return told
    return told | ({"g": row.amount * product_g / 100} if row.unit == "pct" else {row.unit: row.amount})


def from_grams(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], Told]:
    """What weighed grams can become. Raises Refusal."""
    grams = [float(row.amount or 0.0) for row in rows]
    return grams, balance(rows, grams, found, peak_of(form))


def from_parts(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], Told]:
    """The grams of a recipe in parts, and what they can become. Raises Refusal."""
    total = read_total("parts", form)
    by = form.choice("by", ("mass", "mol")) or "mass"
    if total is None:
        return [], {}
    shares = [Share(row.formula, float(row.amount or 0.0), row.assay_pct) for row in rows]
    grams, steps = grams_for(shares, by, total, current_bench().library)
    answer = balance(rows, grams, found, peak_of(form))
    return grams, answer | {"working": [*steps, *answer.get("working", [])]}


def balance(rows: list[Row], grams: list[float], found: Wanted | None, peak_c: float | None) -> Told:
    """What the grams can become; without a target, what they leave by the gas that they give off."""
    library = current_bench().library
    if found is None:
        return _gas_only(rows, grams)
    weighed = [row.ask() | {"g": g} for row, g in zip(rows, grams, strict=True)]
    ask: Told = {"weighed": weighed, "target": found.formula, "balance_d_g": _d_g()}
    heat = {"c": peak_c, "o2_pct": furnace_o2_pct(current_bench().state)} if peak_c is not None else {}
    return reckon("balance", ask | heat, library)


def _gas_only(rows: list[Row], grams: list[float]) -> Told:
    charges = [row.gas_ask(g) for row, g in zip(rows, grams, strict=True)]
    told = reckon("gas", {"charges": charges}, current_bench().library)
    gone = sum(one["g"] for one in told["evolved"] if not one["bound"])
    salty = any(row.fate == "washed-out" and set(HALOGENS) & set(parse(row.formula).counts) for row in rows)
    return told | {"fired_unwashed_g": None if salty else sum(grams) - gone}


def _d_g() -> float:
    return readability_g(current_bench().state)


Sum = Callable[[Form, list[Row], Wanted | None], tuple[list[float], Told]]
SUMS: dict[str, Sum] = {"target": from_target, "grams": from_grams, "parts": from_parts}
