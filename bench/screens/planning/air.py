"""The gas that a plan gives off, when it comes, and what it would do to the air where it is to be fired."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.exposure_verdict import DO_NOT
from bench.reckoning.kinds.exposure import OUTDOORS_SAY, UNKNOWN_SAY
from bench.reckoning.working import Step
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.screens.kit.words import _
from bench.screens.planning.lines import Row
from bench.workshop.load_gas import HARMLESS
from bench.workshop.state import State

SMALLEST_G = 5e-4
OPEN_AIR = ("outdoors", "roofed")


@dataclass(frozen=True)
class Place:
    """Where it is to be fired: outdoors, roofed, indoors or unknown; the room and its air where they are known."""

    place: str
    room_m3: float | None
    air_changes_per_h: float | None


@dataclass(frozen=True)
class Breath:
    """One harmful gas in a room: the verdict of the estimate in words, whether it says no, and how it came about."""

    gas: str
    say: str
    stop: bool
    working: list[Step]


@dataclass(frozen=True)
class Air:
    """All gas of a plan. `rows` are (gas, grams, litres at 25 °C, when it comes); `say` holds for all harmful gases."""

    rows: tuple[tuple[str, float, float, str], ...]
    harmful: tuple[str, ...]
    say: str | None
    stop: bool
    breaths: tuple[Breath, ...]
    working: list[Step]


def place_of(state: State) -> Place:
    """The place as set; where nothing is set, that of the furnace that was described last."""
    told = state.settings()
    if told.get("place") not in (None, "unknown"):
        return Place(told["place"], told.get("room_m3"), told.get("airflow"))
    furnaces = [state.slot(thing, "furnace.described").body for thing in state.open_things("furnace")]
    if furnaces:
        last = furnaces[-1]
        return Place(last.place, last.room_m3, last.air_changes_per_h)
    return Place("unknown", None, None)


def air_of(rows: list[Row], grams: list[float], state: State, library: Library) -> Air | None:
    """The gas of these lines; None where it cannot be reckoned."""
    charges = [row.gas_ask(g) for row, g in zip(rows, grams, strict=True) if g]
    try:
        told = reckon("gas", {"charges": charges}, library)
    except Refusal:
        return None
    shown = [one for one in told["evolved"] if abs(one["g"]) >= SMALLEST_G]
    harmful = [one for one in shown if one["g"] > 0 and one["gas"] not in HARMLESS]
    say, stop, breaths = _breathed(harmful, place_of(state), library)
    table = tuple((_name(one["gas"], library), one["g"], one["l_25c"], _when(one)) for one in shown)
    return Air(table, tuple(_name(one["gas"], library) for one in harmful), say, stop, breaths, told["working"])


def _name(gas: str, library: Library) -> str:
    known = library.gases.get(gas)
    return known.name if known is not None else gas


def _when(one: dict[str, Any]) -> str:
    low, high = one["from_c"], one["to_c"]
    if one["g"] < 0:
        return _("taken up")
    return "–" if low is None or high is None else _("{low:.0f} to {high:.0f} °C", low=low, high=high)


def _breathed(
    harmful: list[dict[str, Any]], where: Place, library: Library
) -> tuple[str | None, bool, tuple[Breath, ...]]:
    """What the estimate says: one sentence for all, or one a gas where the room and its air are known."""
    if not harmful:
        return None, False, ()
    if where.place in OPEN_AIR:
        return OUTDOORS_SAY, False, ()
    if where.room_m3 is None or where.air_changes_per_h is None:
        return UNKNOWN_SAY, True, ()
    found = []
    for one in harmful:
        name = _name(one["gas"], library)
        ask = {"gas": one["gas"], "g": one["g"], "room_m3": where.room_m3}
        try:
            told = reckon("exposure", ask | {"air_changes_per_h": where.air_changes_per_h}, library)
        except Refusal as refusal:
            found.append(Breath(name, refusal.say, True, []))
            continue
        found.append(Breath(name, told["why"], told["verdict"] == DO_NOT, told["working"]))
    return None, any(one.stop for one in found), tuple(sorted(found, key=lambda one: not one.stop))
