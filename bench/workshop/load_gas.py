"""The gas of a whole load, summed over its crucibles, and what it would do in a room. A screen, never a proof."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.exposure_verdict import IRRITANTS
from bench.reckoning.gas_most import HARMLESS, formulas_around, words_around
from bench.reckoning.gas_most import cautions as gas_cautions
from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.gas_bounds import SILICA
from bench.science.refusal import Refusal
from bench.workshop.jar_water import gas_ask, is_told
from bench.workshop.parts import charge_parts
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

SHOWN_FROM_G = 1e-4
RAW_ROLES = frozenset({"line", "target"})
"""The parts of a load whose gas is worked out by their formulas."""
WITH_SILICA = frozenset(
    ["fireclay", "glazed-porcelain", "unglazed-porcelain", "fused-silica", "mullite", "cordierite", "silicon-carbide"]
)
"""Wares of clay, silica or silicates, or bound with them: a salt may meet silica in them."""


@dataclass(frozen=True)
class Fume:
    """A vapour or smoke that a load may give: all of it in grams, never a dose, and from when it comes."""

    gas: str
    form: str
    up_to_g: float
    from_c: float | None
    remembered: bool


@dataclass(frozen=True)
class LoadGas:
    """What a load gives off: the most of each gas in grams, the window in which it leaves, and what is not known.

    `bounds` names the gases whose grams are an upper bound, `remembered` those whose window is from memory. `counted`
    holds what to hold against limits: the gases of one element once, as the worse.
    """

    grams: dict[str, float]
    windows: dict[str, tuple[float | None, float | None]]
    not_reckoned: tuple[str, ...]
    bounds: frozenset[str] = frozenset()
    remembered: frozenset[str] = frozenset()
    counted: Mapping[str, float] = field(default_factory=dict)
    fumes: tuple[Fume, ...] = ()

    @property
    def harmful(self) -> dict[str, float]:
        return {gas: g for gas, g in self.grams.items() if gas not in HARMLESS}

    @property
    def cautions(self) -> list[str]:
        """What to know of these gases and vapours before anybody relies on a mask or an estimate."""
        return gas_cautions([*self.harmful, *self.counted, *(one.gas for one in self.fumes if one.form == "vapour")])


def load_lines(state: State, charges: Iterable[str]) -> list[tuple[str, float]]:
    """The raw lines of a load (formula, grams), by each charge’s share of its batches. A fired powder gives no more."""
    return [(line.formula, g) for line, g in _raw_lines(state, charges)]


def _raw_lines(state: State, charges: Iterable[str]) -> list[tuple[Line, float]]:
    found: list[tuple[Line, float]] = []
    for thing in charges:
        view = charge(state, thing)
        for source in view.charged.sources if view else ():
            mixed = batch(state, source.batch) if source.batch else None
            if mixed is not None and mixed.weighed_g > 0:
                share = source.g / mixed.weighed_g
                found += [(one.plan, one.weighed_g * share) for one in mixed.lines if one.weighed_g]
            opened = state.slot(source.jar, "jar.opened").body if source.jar else None
            if opened is not None:
                found.append((Line(0, opened.formula, source.g, source.jar, assay_pct=opened.assay_pct), source.g))
    return found


def _load_asks(state: State, charges: Iterable[str], library: Library) -> list[dict[str, Any]]:
    """The lines as the gas is asked for: as pure, which is the most, save where the rest of a jar is water."""
    found = []
    for line, g in _raw_lines(state, charges):
        ask = gas_ask(state, line, g, library)
        found.append(ask if is_told(ask) else {"formula": line.formula, "g": g})
    return found


def load_gas(state: State, charges: Iterable[str], library: Library) -> LoadGas:
    """The gas of some charges together. A line whose gas cannot be worked out is named, never left out in silence."""
    load = tuple(charges)
    return state.memoize(("load-gas", load, library.revision), lambda: _load_gas(state, load, library))


def _load_gas(state: State, load: tuple[str, ...], library: Library) -> LoadGas:
    asks = _load_asks(state, load, library)
    beside = sorted(_around(state, load) | formulas_around(ask["formula"] for ask in asks))
    told, missing = [], []
    for ask in asks:
        try:
            told.append(reckon("gas", {"charges": [ask], "around": beside}, library))
        except Refusal:
            missing.append(ask["formula"])
    return _summed(told, tuple(dict.fromkeys(missing)))


def _around(state: State, load: Iterable[str]) -> frozenset[str]:
    """What the crucibles and the packings bring: a ware with clay or silica, carbon in a packing."""
    found: frozenset[str] = frozenset()
    for thing in load:
        view = charge(state, thing)
        if view is None:
            continue
        pot = state.slot(view.charged.crucible, "crucible.added").body
        found |= words_around(view.charged.packing)
        found |= frozenset([SILICA]) if pot is not None and pot.ware in WITH_SILICA else frozenset()
        for source in view.charged.sources:
            plan = state.slot(source.batch, "batch.planned").body if source.batch else None
            found |= words_around(plan.packing) if plan is not None else frozenset()
    return found


def _summed(told: Sequence[Mapping[str, Any]], missing: tuple[str, ...]) -> LoadGas:
    """The answers of all lines as one."""
    grams: dict[str, float] = defaultdict(float)
    counted: dict[str, float] = defaultdict(float)
    windows: dict[str, tuple[float | None, float | None]] = {}
    bounds, remembered = set(), set()
    for answer in told:
        for one in answer["evolved"]:
            gas = one["gas"]
            grams[gas] += one["up_to_g"] if one["g"] > 0 else one["g"]
            windows[gas] = _wider(windows.get(gas), one["from_c"], one["to_c"])
            bounds |= {gas} if one["up_to_g"] > one["g"] > 0 or one["bound"] else set()
            remembered |= {gas} if one["window_basis"] == "memory" else set()
        for one in answer["counted_once"]:
            counted[one["gas"]] += one["g"]
    return LoadGas(
        grams={gas: g for gas, g in grams.items() if g > SHOWN_FROM_G},
        windows=windows,
        not_reckoned=missing,
        bounds=frozenset(bounds),
        remembered=frozenset(remembered),
        counted={gas: g for gas, g in counted.items() if g > SHOWN_FROM_G},
        fumes=_fumes(told),
    )


def _fumes(told: Iterable[Mapping[str, Any]]) -> tuple[Fume, ...]:
    found: dict[tuple[str, str], Fume] = {}
    for one in (each for answer in told for each in answer["fumes"]):
        key = (one["gas"], one["form"])
        before = found.get(key)
        starts = [c for c in (one["from_c"], before.from_c if before else None) if c is not None]
        g = one["up_to_g"] + (before.up_to_g if before else 0.0)
        remembered = one["window_basis"] == "memory" or (before is not None and before.remembered)
        found[key] = Fume(*key, g, min(starts, default=None), remembered)
    return tuple(one for one in found.values() if one.up_to_g > SHOWN_FROM_G)


def _wider(
    before: tuple[float | None, float | None] | None, low: float | None, high: float | None
) -> tuple[float | None, float | None]:
    """The window that holds both; an end that one of them lacks is not known."""
    if before is None:
        return low, high
    return (
        None if before[0] is None or low is None else min(before[0], low),
        None if before[1] is None or high is None else max(before[1], high),
    )


def _gives_nothing(state: State, charges: list[str], found: LoadGas) -> bool:
    """Whether the gas of a dry load was worked out and is none: raw lines alone, no binder, packing or fired powder."""
    if found.grams or found.fumes or found.not_reckoned:
        return False
    views = [charge(state, one) for one in charges]
    raw = all(v is not None and not v.damp and all(s.pigment is None for s in v.charged.sources) for v in views)
    parts = [part for one in charges for part in charge_parts(state, one)]
    return raw and all(part.role in RAW_ROLES or (part.role, part.name) == ("liquid", "water") for part in parts)


def most_g(state: State, charges: list[str], library: Library) -> dict[str, float]:
    """The most of the gases whose grams a rule says, of all crucibles together; nothing where a line is not known."""
    found = load_gas(state, charges, library)
    named = {"co_g": "CO", "hf_g": "HF"}
    return {} if found.not_reckoned else {name: found.grams[g] for name, g in named.items() if g in found.grams}


def estimates(state: State, thing: str, charges: list[str], library: Library) -> dict[str, Any]:
    """What the rules ask of a load under a roof: for each gas that counts its peak against its limits, in mg/m³.

    Nothing outdoors, where no figure is given, and nothing where the room or its air change is unknown: then the rules
    take the worse, save of a load that gives off nothing.
    """
    fire = firing(state, thing)
    furnace = fire.furnace if fire else None
    if furnace is None or furnace.place in ("outdoors", "roofed"):
        return {}
    found = load_gas(state, charges, library)
    if _gives_nothing(state, charges, found):
        return {"evolves": "none"}
    if found.not_reckoned or furnace.room_m3 is None or furnace.air_changes_per_h is None:
        return {}
    told, index = [], 0.0
    for gas, g in found.counted.items():
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
