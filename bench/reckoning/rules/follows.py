"""Conditions that nobody handed in, as they follow from the parts, the step and the other conditions."""

import re
from collections.abc import Callable, Mapping

from bench.reckoning.rules.cards import Known
from bench.reckoning.rules.conditions import NONE
from bench.reckoning.rules.scene import UNDER_COVER, Scene, Seen

HOT_STEPS = ("plan", "dry", "load", "light", "fire")
COLD_BELOW_C = 100.0
"""A furnace above this is opened hot unless another temperature was planned (project default)."""
FUMES_ALONE = frozenset({"V", "Mo", "Sb"})
HYDROCHLORIC = re.compile(r"hydrochloric|muriatic|\bHCl\b", re.IGNORECASE)
OILY = re.compile(r"\boils?\b", re.IGNORECASE)


def _evolves(scene: Scene) -> object:
    """The gases that the parts give off; not known as soon as one part has neither gas steps nor a card that says
    none."""
    gases: list[str] = [] if scene.value("damp") == ("false",) else ["H2O"]
    for each in scene.of_role("line", "binder", "packing", "paper", "luting"):
        told = _gases_of(each, scene.known)
        if told is None:
            return None
        gases.extend(told)
    return gases or NONE


def _gases_of(seen: Seen, known: Known) -> list[str] | None:
    if seen.part.role in ("binder", "paper") or "fuel_material" in seen.facts.marks:
        return ["CO2"]
    reagents, cards = known.reagents(seen.part), known.cards(seen.part)
    gases = [step.gas for reagent in reagents for step in reagent.gas_steps if step.mol_per_formula > 0]
    gases += [gas.gas for card in cards for gas in card.gas_yields if gas.g_per_g > 0]
    if gases:
        return gases
    quiet = bool(cards) and all(card.gas_yield_kind == "none" for card in cards)
    return [] if quiet else None


def _gas_or_fume(scene: Scene) -> object:
    """A flame makes gas in any case; else the gas of the charge, or a metal that leaves as fume."""
    gas, fuel = scene.value("evolves"), scene.value("furnace_fuel")
    if fuel == ("gas",) or (gas is not None and gas != (NONE,)) or FUMES_ALONE & scene.symbols:
        return True
    if "Cu" in scene.symbols and scene.any_mark("chloride"):
        return True
    zinc_stays = "Zn" not in scene.symbols or scene.value("reducing") == ("false",)
    return False if gas is not None and fuel is not None and zinc_stays else None


def _no_estimate(scene: Scene) -> object:
    """Without any gas there is nothing to estimate; else an estimate that is missing is not known."""
    return NONE if scene.value("evolves") == (NONE,) else None


def _rated(scene: Scene) -> object:
    """The lowest rating of the wares, where all of them are known."""
    wares = scene.value("ware")
    if not isinstance(wares, tuple):
        return None
    rows = [scene.known.library.ware.get(slug) for slug in wares]
    limits = [row.continuous_max_c for row in rows if row is not None and row.continuous_max_c is not None]
    return min(limits) if limits and len(limits) == len(rows) else None


def _acid(scene: Scene) -> object:
    return ["HCl" if _is_hydrochloric(each) else "other" for each in scene.of_role("acid")] or NONE


def _is_hydrochloric(seen: Seen) -> bool:
    return seen.facts.symbols == {"H", "Cl"} or bool(HYDROCHLORIC.search(seen.part.name))


def _dry_heat(scene: Scene) -> object:
    open_air = scene.step == "dry" and scene.value("drying") == ("open-air",)
    return scene.step in HOT_STEPS and not open_air


def _dry_handling(scene: Scene) -> object:
    return False if scene.step in ("mix", "grind") and scene.of_role("liquid") else None


def _paste_solvent(scene: Scene) -> object:
    """The liquids of the paste by name, water only where every one is water."""
    liquids = scene.of_role("liquid")
    if not liquids:
        return None
    strange = [each.part.name or "unnamed" for each in liquids if "water" not in each.facts.marks]
    return strange or "water"


def _undried(scene: Scene) -> object:
    damp = scene.value("damp")
    return None if damp is None else damp != ("false",)


def _flammable(scene: Scene) -> object:
    return scene.any_mark("flammable_liquid", "liquid", "binder")


def _drying_oil(scene: Scene) -> object:
    """Whether a drying oil is among the liquids; an oil of no name may be one, and so may a binder that nobody
    named."""
    binders = scene.of_role("liquid", "binder")
    if not binders:
        return None
    if any("drying_oil" in each.facts.marks or OILY.search(each.part.name) for each in binders):
        return True
    return False if all(each.facts.read for each in binders) else None


def _reducing(scene: Scene) -> object:
    """Fuel under cover reduces whatever the flame does; else the planned atmosphere tells."""
    if scene.any_mark("fuel_material", *UNDER_COVER):
        return True
    atmosphere = scene.value("atmosphere")
    if not isinstance(atmosphere, tuple) or atmosphere == ("any",):
        return None
    return bool({"reducing", "two-step"} & set(atmosphere))


def _target_cooling(scene: Scene) -> object:
    return scene.target.cooling_mode if scene.target else None


def _target_pale(scene: Scene) -> object:
    return scene.target.pale if scene.target else None


def _held(scene: Scene) -> object:
    """No crucible is chosen yet at the plan; later one that nobody spoke of may have held anything."""
    return NONE if scene.step == "plan" else None


def _open_hot(scene: Scene) -> object:
    now, below = scene.value("furnace_c"), scene.value("open_below_c")
    if not isinstance(now, float):
        return None
    return now > (below if isinstance(below, float) else COLD_BELOW_C)


FOLLOWS: Mapping[str, Callable[[Scene], object]] = {
    "evolves": _evolves,
    "gas_or_fume": _gas_or_fume,
    "peak": _no_estimate,
    "idlh": _no_estimate,
    "short_limit": _no_estimate,
    "index": _no_estimate,
    "crucible_rated_c": _rated,
    "crucible_held": _held,
    "target_pale": _target_pale,
    "target_cooling": _target_cooling,
    "acid": _acid,
    "dry_heat": _dry_heat,
    "dry_handling": _dry_handling,
    "paste_solvent": _paste_solvent,
    "undried": _undried,
    "flammable_liquid_open": _flammable,
    "drying_oil_used": _drying_oil,
    "reducing": _reducing,
    "open_hot": _open_hot,
}
"""How each condition follows from the rest, where it was not handed in."""
