"""The gas of a whole load, summed over its crucibles, and what it would do in a room. A screen, never a proof."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.exposure_verdict import IRRITANTS
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.workshop.state import State
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

HARMLESS = frozenset(["H2O", "O2", "N2"])
SHOWN_FROM_G = 1e-4


@dataclass(frozen=True)
class LoadGas:
    """What a load gives off: grams by gas, with the window in which it leaves, and what could not be reckoned."""

    grams: dict[str, float]
    windows: dict[str, tuple[float | None, float | None]]
    not_reckoned: tuple[str, ...]

    @property
    def harmful(self) -> dict[str, float]:
        return {gas: g for gas, g in self.grams.items() if gas not in HARMLESS}


def load_lines(state: State, charges: Iterable[str]) -> list[tuple[str, float]]:
    """The raw lines of a load (formula, grams), by each charge’s share of its batches. A fired powder gives no more."""
    found: list[tuple[str, float]] = []
    for thing in charges:
        view = charge(state, thing)
        for source in view.charged.sources if view else ():
            mixed = batch(state, source.batch) if source.batch else None
            if mixed is not None and mixed.weighed_g > 0:
                share = source.g / mixed.weighed_g
                found += [(one.plan.formula, one.weighed_g * share) for one in mixed.lines if one.weighed_g]
            opened = state.slot(source.jar, "jar.opened").body if source.jar else None
            if opened is not None:
                found.append((opened.formula, source.g))
    return found


def load_gas(state: State, charges: Iterable[str], library: Library) -> LoadGas:
    """The gas of some charges together. A line whose gas cannot be worked out is named, never left out in silence."""
    load = tuple(charges)
    return state.once(("load-gas", load, id(library)), lambda: _load_gas(state, load, library))


def _load_gas(state: State, charges: Iterable[str], library: Library) -> LoadGas:
    grams: dict[str, float] = defaultdict(float)
    windows: dict[str, tuple[float | None, float | None]] = {}
    missing: list[str] = []
    for formula, g in load_lines(state, charges):
        try:
            told = reckon("gas", {"charges": [{"formula": formula, "g": g}]}, library)
        except Refusal:
            missing.append(formula)
            continue
        for one in told["evolved"]:
            grams[one["gas"]] += one["g"]
            windows[one["gas"]] = _wider(windows.get(one["gas"]), one["from_c"], one["to_c"])
    kept = {gas: g for gas, g in grams.items() if g > SHOWN_FROM_G}
    return LoadGas(kept, windows, tuple(dict.fromkeys(missing)))


def _wider(
    before: tuple[float | None, float | None] | None, low: float | None, high: float | None
) -> tuple[float | None, float | None]:
    if before is None or None in (*before, low, high):
        return (low, high) if before is None else (None, None)
    return min(before[0], low), max(before[1], high)  # type: ignore[type-var]


def estimates(state: State, thing: str, charges: list[str], library: Library) -> dict[str, Any]:
    """What the rules ask of a load under a roof: for each harmful gas its peak against its limits, in mg/m³.

    Nothing outdoors, where no figure is given, and nothing where the room or its air change is unknown: then the rules
    take the worse.
    """
    fire = firing(state, thing)
    furnace = fire.furnace if fire else None
    if furnace is None or furnace.place in ("outdoors", "roofed"):
        return {}
    found = load_gas(state, charges, library)
    if found.not_reckoned or furnace.room_m3 is None or furnace.air_changes_per_h is None:
        return {}
    told, index = [], 0.0
    for gas, g in found.harmful.items():
        row = library.gases.get(gas)
        if row is None:
            return {}
        ask = {"gas": gas, "g": g, "room_m3": furnace.room_m3, "air_changes_per_h": furnace.air_changes_per_h}
        peak = reckon("exposure", ask, library)["peak_mg_m3"]
        limits = {"idlh": row.danger, "short_limit": row.strict_short}
        marks = {name: row.in_mg_m3(limit) if limit else None for name, limit in limits.items()}
        told.append({"peak": peak} | {name: "none" if mark is None else mark for name, mark in marks.items()})
        day = row.in_mg_m3(row.strict_8h) if row.strict_8h else None
        index += peak / day if gas in IRRITANTS and day else 0.0
    return {"estimates": told, "index": index} if told else {"peak": "none", "index": "none"}
