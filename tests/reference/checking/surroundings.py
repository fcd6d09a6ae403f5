"""Checks of gases, limits, ware, and the oxides in air."""

from collections.abc import Iterator
from itertools import groupby

from bench.reference.library import Library
from bench.reference.surroundings import Gas, Limit
from bench.science.formulas import parsed
from bench.science.gas_bounds import GROUPS, KINDS, NONE, ORGANIC_C
from tests.reference.checking.common import in_order, mass_agrees, one_of

PERIODS = ("8h", "short", "ceiling", "danger")
MASS_BY_OTHER_FORMULA = {"SO3": "H2SO4"}
"""The limits of sulfur trioxide are those of the acid mist that it becomes at once in moist air."""


def check_surroundings(library: Library) -> Iterator[str]:
    """What is wrong with the gases, the ware and the oxides."""
    for slug, gas in library.gases.items():
        yield from gas_sound(f"gas {slug}", gas, library)
    for slug, ware in library.ware.items():
        who = f"ware {slug}"
        yield from in_order(who, "rating", ware.continuous_max_c, ware.short_max_c)
        if not 300 <= (ware.continuous_max_c or 0) <= 2500:
            yield f"{who}: the rating is not between 300 and 2,500 °C."
        if not (0 < (ware.max_ramp_c_per_min or 0) <= 100 and 0 < (ware.max_ramp_cool_c_per_min or 0) <= 100):
            yield f"{who}: a ramp is not between 0 and 100 °C a minute."
    yield from oxides_sound(library)
    yield from bounds_sound(library)


def gas_sound(who: str, gas: Gas, library: Library) -> Iterator[str]:
    """Molar mass, density against air, explosion limits, and the limits of exposure."""
    formula = parsed(MASS_BY_OTHER_FORMULA.get(gas.slug, gas.slug))
    if formula is None:
        yield f"{who}: its slug is no formula."
    else:
        yield from mass_agrees(who, formula, gas.molar_mass_g_mol)
    yield from in_order(who, "lower explosion limit", gas.lel_low_pct, gas.lel_high_pct)
    yield from in_order(who, "upper explosion limit", gas.uel_low_pct, gas.uel_high_pct)
    if gas.lel_high_pct is not None and gas.uel_low_pct is not None and gas.lel_high_pct >= gas.uel_low_pct:
        yield f"{who}: the explosion limits cross."
    if not gas.first_response:
        yield f"{who}: no first response is given."
    for each in gas.limits:
        yield from limit_sound(who, each)
        if each.source not in ("", *library.sources):
            yield f"{who}: the source {each.source!r} of a limit is not listed."


def bounds_sound(library: Library) -> Iterator[str]:
    """Each rule for a gas has a gas and parts that can be read, a kind, and a window in order."""
    for rule in library.gas_rules:
        who = f"gas bound {rule.gas} from {rule.salt or rule.holds}"
        yield from one_of(who, "kind", rule.kind, KINDS)
        yield from one_of(who, "form", rule.form, ("gas", "vapour", "fume"))
        if rule.from_c is not None and rule.to_c is not None and rule.from_c >= rule.to_c:
            yield f"{who}: its window ends before it starts."
        if parsed(rule.gas) is None or (rule.salt and parsed(rule.salt.removeprefix("=")) is None):
            yield f"{who}: its gas or its salt is no formula."
        if rule.holds not in (*GROUPS, ORGANIC_C) and parsed(rule.holds) is None:
            yield f"{who}: {rule.holds!r} is neither an element nor a group."
        if (rule.mol > 0) != (rule.kind != NONE) or (rule.kind != NONE and not rule.counts_once_in):
            yield f"{who}: its amount does not fit its kind, or it does not say where it is counted."


def limit_sound(who: str, limit: Limit) -> Iterator[str]:
    """A limit has a positive number, a unit, a body and a period that is known."""
    yield from one_of(who, "unit of a limit", limit.unit, ("ppm", "mg/m3", "f/ml"))
    yield from one_of(who, "period of a limit", limit.period, PERIODS)
    if limit.value <= 0 or not limit.body or not limit.name:
        yield f"{who}: a limit lacks its number, its body or its name."
    if limit.year is not None and not 1970 <= limit.year <= 2100:
        yield f"{who}: a limit of the year {limit.year}."


def oxides_sound(library: Library) -> Iterator[str]:
    """Formulas hold the element, and for each element the ranges follow one another from 0 °C without a gap."""
    for element, group in groupby(library.oxides_in_air, key=lambda each: each.element):
        reached = 0.0
        for each in group:
            formula = parsed(each.oxide)
            if formula is None or element not in formula.counts:
                yield f"oxide {each.slug}: {each.oxide!r} is no compound of {element}."
            if each.from_c != reached or each.to_c <= each.from_c:
                yield f"oxide {each.slug}: it starts at {each.from_c:g} °C, where {reached:g} was reached."
            reached = each.to_c
