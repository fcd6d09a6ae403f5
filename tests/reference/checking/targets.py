"""Checks of the targets: formula, mass, cations, windows, and that every route brings what the target is made of."""

from collections.abc import Iterator

from bench.reference.library import Library
from bench.reference.things import ATMOSPHERES, COOLINGS, WASHES, Target
from bench.science.formulas import Formula, parsed
from tests.reference.checking.common import in_order, mass_agrees, one_of
from tests.reference.checking.reagents import FATES

STATUSES = ("plannable", "reference-only", "excluded")
SENSITIVE = ("temperature", "time", "grain", "mixing", "contamination", "atmosphere", "flux", "cooling")
NEIGHBOURS = frozenset(
    [
        "acid",
        "alkali",
        "carbon",
        "chloride",
        "chromium",
        "cobalt",
        "copper",
        "fluoride",
        "iron",
        "silica-dust",
        "steam",
        "sulfur",
        "vanadium",
    ]
)
GIVES_OFF = frozenset(
    [
        "ammonia",
        "antimony",
        "arsenic",
        "bismuth",
        "borate",
        "carbon",
        "chloride",
        "chromium",
        "fluoride",
        "nitrogen-oxides",
        "sulfur",
        "vanadium",
    ]
)


def check_targets(library: Library) -> Iterator[str]:
    """What is wrong with the targets."""
    for slug, each in library.targets.items():
        who = f"target {slug}"
        formula = parsed(each.formula)
        if formula is None:
            yield f"{who}: the formula {each.formula!r} cannot be read."
        else:
            yield from mass_agrees(who, formula, each.molar_mass_g_mol)
            yield from cations_agree(who, each, formula)
        yield from words_known(who, each, library)
        yield from windows_sound(who, each)
        yield from routes_bring_all(who, each, library)


def cations_agree(who: str, each: Target, formula: Formula) -> Iterator[str]:
    """The cations stand in the formula with the same counts."""
    for symbol, count in each.cations.items():
        if abs(float(formula.counts.get(symbol, 0)) - count) > 1e-9:
            yield f"{who}: {count:g} {symbol} stated, {float(formula.counts.get(symbol, 0)):g} in the formula."
    if not each.cations:
        yield f"{who}: no cations are stated."


def words_known(who: str, each: Target, library: Library) -> Iterator[str]:
    """Words from fixed lists, formulas of fluxes, and the card."""
    yield from one_of(who, "status", each.status, STATUSES)
    yield from one_of(who, "atmosphere", each.atmosphere, ATMOSPHERES)
    yield from one_of(who, "cooling_mode", each.cooling_mode, COOLINGS)
    yield from one_of(who, "wash", each.wash, WASHES)
    for word in each.sensitive_to:
        yield from one_of(who, "sensitive_to", word, SENSITIVE)
    for word in each.neighbours_to_avoid:
        yield from one_of(who, "neighbours_to_avoid", word, NEIGHBOURS)
    for word in each.gives_off:
        yield from one_of(who, "gives_off", word, GIVES_OFF)
    for flux in each.flux_options:
        yield from one_of(who, "fate of a flux", flux.fate, FATES)
        yield from in_order(who, f"{flux.formula} dose", flux.wt_pct_low, flux.wt_pct_high)
        if parsed(flux.formula) is None or flux.wt_pct_low <= 0:
            yield f"{who}: the flux {flux.formula!r} cannot be used."
        for reagent in flux.not_with:
            yield from one_of(who, "not_with", reagent, library.reagents)
    if each.hazard_id and each.hazard_id not in library.hazards:
        yield f"{who}: there is no hazard card {each.hazard_id!r}."


def windows_sound(who: str, each: Target) -> Iterator[str]:
    """Ranges run upward, and a target that can be planned has its window."""
    yield from in_order(who, "x", each.x_low, each.x_high)
    yield from in_order(who, "soak temperature", each.soak_low_c, each.soak_high_c)
    yield from in_order(who, "soak time", each.soak_min_minutes, each.soak_max_minutes)
    yield from in_order(who, "fires", each.fires_low, each.fires_high)
    if each.status == "plannable" and (each.soak_low_c is None or not each.routes or each.soak_low_c < 100):
        yield f"{who}: it can be planned, yet has no window of heat or no route."
    if each.decomposes_above_c is not None and (each.soak_high_c or 0) > each.decomposes_above_c:
        yield f"{who}: the soak goes above the heat at which it breaks up."
    if each.density_g_cm3 is not None and not 1 < each.density_g_cm3 < 10:
        yield f"{who}: the density is not between 1 and 10 g/cm³."
    if each.lab is not None and not (0 <= each.lab[0] <= 100 and all(abs(part) <= 128 for part in each.lab[1:])):
        yield f"{who}: the CIELAB value is out of range."


def routes_bring_all(who: str, each: Target, library: Library) -> Iterator[str]:
    """Each route names known reagents that together bring every cation."""
    for route in each.routes:
        brought: set[str] = set()
        for slug in route.reagents:
            reagent = library.reagents.get(slug)
            if reagent is None:
                yield f"{who}: a route names {slug!r}, which is no reagent."
                continue
            formula = parsed(reagent.formula)
            brought |= set(formula.counts) if formula else set()
        missing = set(each.cations) - brought
        if missing:
            yield f"{who}: the route {', '.join(route.reagents)} brings no {', '.join(sorted(missing))}."
