"""How sure the grams are: the balance's last digit, assays, and jars whose hydrate nobody knows."""

from typing import Any, Final

from bench.reckoning.ask import Ask
from bench.reckoning.plan import Plan
from bench.reckoning.water import hydrates_of
from bench.science.formulas import Formula, parse
from bench.science.usual_oxides import VOLATILE

WANTED_PCT: Final = 1.0
CARRIER_PARTS: Final = 9


def weighing_errors(plan: Plan, balance_d_g: float | None) -> list[float | None]:
    """The balance's last digit as % of each weighing; None without a readability."""
    return [100 * balance_d_g / g if balance_d_g is not None and g > 0 else None for g in plan.weigh_g]


def smallest_product_g(plan: Plan, balance_d_g: float | None) -> float | None:
    """The product at which every reacting reagent is weighed to 1 %; None without a readability."""
    least = min((g for g, each in _reacting(plan) if g > 0), default=None)
    if balance_d_g is None or least is None:
        return None
    return plan.outcome.target_g * (100 / WANTED_PCT) * balance_d_g / least


def premixes(plan: Plan, balance_d_g: float | None) -> list[dict[str, Any]]:
    """For each reagent too small for the balance: a premix of 1 part of it and 9 of the largest reagent.

    `grind_g` and `with_g` make the premix so that both are weighed to 1 %; of it goes `use_g`, and the carrier is then
    weighed as `carrier_left_g`.
    """
    if balance_d_g is None:
        return []
    reacting = [
        (i, g) for i, (g, each) in enumerate(zip(plan.weigh_g, plan.ingredients, strict=True)) if each.fate == "reacts"
    ]
    if len(reacting) < 2:
        return []
    carrier, carrier_g = max(reacting, key=lambda each: each[1])
    found: list[dict[str, Any]] = []
    for i, g in reacting:
        if i == carrier or g <= 0 or 100 * balance_d_g / g <= WANTED_PCT or CARRIER_PARTS * g > carrier_g:
            continue
        carrier_g -= CARRIER_PARTS * g
        dopant_g = max(100 / WANTED_PCT * balance_d_g, g)
        found.append(
            {
                "reagent": i,
                "carrier": carrier,
                "grind_g": dopant_g,
                "with_g": CARRIER_PARTS * dopant_g,
                "use_g": (CARRIER_PARTS + 1) * g,
                "carrier_left_g": carrier_g,
                "error_pct": 100 * balance_d_g / ((CARRIER_PARTS + 1) * g),
            }
        )
    return found


def jar_spread(plan: Plan, ask: Ask) -> list[dict[str, Any] | None]:
    """For each line whose hydrate is not known or whose assay is spread: the range of grams that may be right.

    `supplied_pct` is what the planned grams bring of what was meant, at worst and at best. An assay that is given with
    its spread for a jar of unknown hydrate already stands for the middle of the hydrates.
    """
    return [
        (_hydrates(plan, i, item) or _assay(plan, i, item))
        if item.flag("hydrate_known", True) is False
        else _assay(plan, i, item)
        for i, item in enumerate(ask.asks("reagents"))
    ]


def _hydrates(plan: Plan, i: int, item: Ask) -> dict[str, Any] | None:
    each, g = plan.ingredients[i], plan.weigh_g[i]
    wide = item.number("assay_sd_pct", low=0, high=50, default=None)
    pure_g = g * each.purity if wide else g
    options = hydrates_of(each.substance)
    formulas = [each.formula, *(parse(text) for text in options)]
    found = {text.text: _g_alike(each.formula, text, pure_g) for text in formulas}
    grams = {text: value for text, value in found.items() if value is not None}
    if len(grams) < 2:
        return None
    low, high = min(grams.values()), max(grams.values())
    if each.water is not None:
        low, high = g * each.purity / each.water.driest, g * each.purity / each.water.wettest
    return {
        "why": "hydrate",
        "low_g": low,
        "high_g": high,
        "by_hydrate_g": grams,
        "supplied_pct": [100 * g / high, 100 * g / low],
    }


def _g_alike(planned: Formula, other: Formula, g: float) -> float | None:
    """Grams of another hydrate that bring as much metal as the planned grams do."""
    key = next((symbol for symbol in planned.counts if symbol not in VOLATILE), None)
    if key is None or key not in other.counts:
        return None
    per_planned = planned.molar_mass_g_mol / planned.numbers[key]
    return g * other.molar_mass_g_mol / other.numbers[key] / per_planned


def _assay(plan: Plan, i: int, item: Ask) -> dict[str, Any] | None:
    pct = item.number("assay_pct", above=0, high=110, default=100.0)
    sd = item.number("assay_sd_pct", low=0, high=50, default=None)
    if not sd:
        return None
    g = plan.weigh_g[i]
    best, worst = pct + 2 * sd, max(pct - 2 * sd, 0.1 * pct)
    return {
        "why": "assay",
        "low_g": g * pct / best,
        "high_g": g * pct / worst,
        "by_hydrate_g": None,
        "supplied_pct": [100 * worst / pct, 100 * best / pct],
    }


def _reacting(plan: Plan) -> list[tuple[float, Any]]:
    return [(g, each) for g, each in zip(plan.weigh_g, plan.ingredients, strict=True) if each.fate == "reacts"]
