"""The most gas of a charge beside what is certain: bounds, alternatives of which one counts, and fumes.

A bound is shown where what it needs lies in the same load, or where the hazard card lists its gas or only silica is
missing, which a clay crucible may bring: then its row says what it needs.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from bench.reckoning.charges import Ingredient
from bench.reckoning.limits import strictest_mg_m3
from bench.reckoning.rules import Part
from bench.reckoning.rules.cards import known
from bench.reckoning.substances import Substance
from bench.reference import Library
from bench.reference.provenance import is_from_memory
from bench.science.evolution import L_PER_MOL_25C
from bench.science.evolution import Step as GasStep
from bench.science.formulas import parsed
from bench.science.gas_bounds import (
    ALTERNATIVE,
    CHARCOAL,
    EXPECTED,
    FUME,
    NEEDS,
    SILICA,
    UPPER,
    Bound,
    GasRule,
    around,
    bounds,
    gas_g_mol,
    met,
)
from bench.translation import _

UP_TO: Final = "up-to"
HARMLESS: Final = frozenset(["H2O", "O2", "N2"])
ELEMENT_OF: Final[Mapping[str, str]] = {
    "CO2": "C", "CO": "C", "SO2": "S", "SO3": "S", "HCl": "Cl", "Cl2": "Cl", "HF": "F", "HBr": "Br",
    "NO2": "N (nitrate)", "NH3": "N (ammonium)",
}  # fmt: skip
"""In which element a gas of the known steps or of the general rule is counted once."""

CO_SAY: Final = _("Carbon monoxide is from the charge only. A gas burner's own is not included.")
MASK_SAY: Final = _("No particle mask stops a gas.")
HF_SAY: Final = _("Hydrogen fluoride burns without pain. Keep calcium gluconate gel at hand.")
UP_TO_SAY: Final = _("Up to: all of the element leaves as this gas. Less leaves in an ordinary firing.")
ONCE_SAY: Final = _("Gases of one element are counted once, as the worse against its limit.")


@dataclass(frozen=True)
class Window:
    """Between which temperatures a gas comes, and whether that is remembered only."""

    from_c: float | None = None
    to_c: float | None = None
    remembered: bool = True


@dataclass(frozen=True)
class Most:
    """The most of one gas that a charge gives by one rule, and whether what that needs is there."""

    rule: GasRule
    mol: float
    window: Window
    met: bool

    @property
    def g(self) -> float:
        return self.mol * gas_g_mol(self.rule.gas)

    @property
    def main(self) -> bool:
        return self.rule.kind in (EXPECTED, UPPER)


CHARS = re.compile(r"char|coal|coke|graphite|carbon\b|soot|rosin|wood|paper|sugar|starch|flour", re.IGNORECASE)
"""Words for what lies as carbon in the fire."""


def words_around(text: str | None) -> frozenset[str]:
    """What a packing or binder in words brings into the load."""
    return frozenset([CHARCOAL]) if text and CHARS.search(text) else frozenset()


def formulas_around(formulas: Iterable[str]) -> frozenset[str]:
    """What formulas bring into the load; a text that is no formula brings nothing that is known."""
    return around([formula for text in formulas if (formula := parsed(text)) is not None])


def most_of(each: Ingredient, mol: float, library: Library, there: frozenset[str]) -> list[Most]:
    """Every bound shown of so many moles of one charge; two ways to one gas of the same carbon give the larger."""
    found = bounds(each.formula, library.gas_rules)
    windows = windows_of(each.substance, found)
    listed = _on_card(each.substance, library)
    all_of_it = [
        Most(bound.rule, bound.mol * mol, window, met(bound.rule.context, there))
        for bound, window in zip(found, windows, strict=True)
    ]
    surely = {one.rule.gas for one in all_of_it if one.met}
    kept: dict[tuple[str, str, str, bool], Most] = {}
    for one in all_of_it:
        key = (one.rule.holds, one.rule.gas, one.rule.form, one.main)
        maybe = one.rule.gas in listed or (one.main and _needs_silica(one.rule))
        shown = one.met or (maybe and one.rule.gas not in surely)
        if shown and (key not in kept or kept[key].mol < one.mol):
            kept[key] = one
    return list(kept.values())


def _needs_silica(rule: GasRule) -> bool:
    """Whether silica alone is what is missing: a clay crucible may bring it, and nobody said that there is none."""
    return frozenset([SILICA]) in NEEDS.get(rule.context, ())


def windows_of(found: Substance, most: Sequence[Bound]) -> list[Window]:
    """The window of each bound: that of the substance's own steps where they name the gas, else the rule's."""
    steps = _step_windows(found)
    settled: dict[str, Window] = {}
    windows = []
    for each in most:
        window = _window(each.rule, steps, settled)
        settled.setdefault(each.rule.gas, window)
        windows.append(window)
    return windows


def _window(rule: GasRule, steps: Mapping[str, Window], settled: Mapping[str, Window]) -> Window:
    own = Window(rule.from_c, rule.to_c, rule.basis != "read")
    if rule.window_of in ("", "!"):
        return own if rule.window_of else steps.get(rule.gas, own)
    like = settled.get(rule.window_of, Window())
    low = like.from_c if own.from_c is None else own.from_c
    return Window(low, like.to_c if own.to_c is None else own.to_c)


def _step_windows(found: Substance) -> dict[str, Window]:
    row = found.row
    windows: dict[str, Window] = {}
    if row is None:
        return windows
    for step in row.gas_steps:
        if step.mol_per_formula > 0:
            before = windows.get(step.gas)
            low, high = (step.from_c, step.to_c) if before is None else _span(before, step.from_c, step.to_c)
            windows[step.gas] = Window(low, high, is_from_memory(row, "gas_steps"))
    return windows


def _span(before: Window, low: float | None, high: float | None) -> tuple[float | None, float | None]:
    return (
        None if before.from_c is None or low is None else min(before.from_c, low),
        None if before.to_c is None or high is None else max(before.to_c, high),
    )


def _on_card(found: Substance, library: Library) -> frozenset[str]:
    part = Part(found.formula.text, found.typed, found.row.slug if found.row else None)
    cards = known(library).cards(part)
    return frozenset(gas.gas for card in cards for gas in card.gas_yields if gas.g_per_g > 0)


def beyond(steps: Iterable[GasStep], found: Sequence[Most]) -> dict[str, tuple[float, Window, list[Most]]]:
    """For each gas whose bound is more than the steps of the same charge give: the mol beyond, its window, its ways."""
    certain: dict[str, float] = {}
    for part in steps:
        certain[part.gas] = certain.get(part.gas, 0.0) + max(part.mol, 0.0)
    over: dict[str, tuple[float, Window, list[Most]]] = {}
    for gas in dict.fromkeys(one.rule.gas for one in found if one.main):
        ways = [one for one in found if one.main and one.rule.gas == gas]
        more = sum(one.mol for one in ways) - certain.get(gas, 0.0)
        if more > 1e-9 * sum(one.mol for one in ways):
            over[gas] = (more, widest([one.window for one in ways]), ways)
    return over


def widest(windows: Sequence[Window]) -> Window:
    """The window that holds all of these; an end that one of them lacks is not known."""
    whole = windows[0]
    for one in windows[1:]:
        low, high = _span(whole, one.from_c, one.to_c)
        whole = Window(low, high, whole.remembered or one.remembered)
    return whole


def counted_once(steps: Iterable[GasStep], found: Sequence[Most], library: Library) -> dict[str, float]:
    """Grams of one charge to hold against limits: of the gases of one element the worst against its limit alone."""
    certain: dict[str, float] = {}
    for part in steps:
        if part.gas not in HARMLESS and part.mol > 0:
            certain[part.gas] = certain.get(part.gas, 0.0) + part.mol
    most: dict[tuple[str, str], float] = {}
    for one in found:
        if one.rule.kind != FUME:
            key = (one.rule.counts_once_in, one.rule.gas)
            most[key] = most.get(key, 0.0) + one.mol
    for gas, mol in certain.items():
        key = (ELEMENT_OF.get(gas, gas), gas)
        most[key] = max(most.get(key, 0.0), mol)
    worst: dict[str, tuple[float, str, float]] = {}
    for (element, gas), mol in most.items():
        g = mol * gas_g_mol(gas)
        worst[element] = max(worst.get(element, (-1.0, "", 0.0)), (_times_limit(gas, g, library), gas, g))
    return {gas: g for _, gas, g in worst.values() if g > 0}


def _times_limit(gas: str, g: float, library: Library) -> float:
    """How bad so many grams are against the lowest limit for a day or a short time; zero where none is known."""
    row = library.gases.get(gas)
    marks = [strictest_mg_m3(row, period) for period in ("8h", "short")] if row is not None else []
    return max((g / mark[0] for mark in marks if mark), default=0.0)


def cautions(gases: Iterable[str]) -> list[str]:
    """What to know about these gases before anybody relies on a mask or an estimate."""
    shown = set(gases)
    found = [CO_SAY] if "CO" in shown else []
    found += [HF_SAY] if shown & {"HF", "SiF4", "NH4F"} else []
    return [*found, MASK_SAY] if shown - HARMLESS else found


def row_of(one: Most) -> dict[str, Any]:
    """An alternative or a fume as it stands in an answer."""
    return {
        "gas": one.rule.gas,
        "form": one.rule.form,
        "up_to_g": one.g,
        "l_25c": one.mol * L_PER_MOL_25C if one.rule.form == "gas" else None,
        "from_c": one.window.from_c,
        "to_c": one.window.to_c,
        "window_basis": window_basis(one.window),
        "counts_once_in": one.rule.counts_once_in,
        "context": one.rule.context,
        "note": one.rule.note,
    }


def window_basis(window: Window) -> str | None:
    """The ground of a window, None where there is none."""
    if window.from_c is None and window.to_c is None:
        return None
    return "memory" if window.remembered else "read"


def missing(one: Most) -> str | None:
    """What a bound needs that is not known to be there."""
    return None if one.met or not NEEDS.get(one.rule.context) else one.rule.context


def is_fume(one: Most) -> bool:
    return one.rule.kind == FUME


def is_alternative(one: Most) -> bool:
    return one.rule.kind == ALTERNATIVE
