"""The gas that a plan gives off, when it comes, and what it would do to the air where it is to be fired."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.exposure_verdict import DO_NOT
from bench.reckoning.gas_most import HARMLESS, HF_SAY, words_around
from bench.reckoning.kinds.exposure import OUTDOORS_SAY, UNKNOWN_SAY
from bench.reckoning.working import Step
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.screens.kit.gas_words import amount, gas_name, when
from bench.screens.planning.lines import Row
from bench.web.words import _

SMALLEST_G = 5e-4
OPEN_AIR = ("outdoors", "roofed")
USUAL = HARMLESS | {"CO2"}
"""What nearly every charge gives off: it stands in the table, not in a plan's first lines."""


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
    """All gas of a plan. `rows` are texts: the gas, its grams, litres at 25 °C, when it comes.

    `instead` names gases that may come in place of others, `fumes` vapours and smoke; `cautions` are general; `say`
    holds for all harmful gases. `first` stands in the plan's first lines.
    """

    rows: tuple[tuple[str, str, str, str], ...]
    instead: tuple[str, ...]
    fumes: tuple[str, ...]
    harmful: tuple[str, ...]
    first: tuple[str, ...]
    cautions: tuple[str, ...]
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


def air_of(rows: list[Row], grams: list[float], state: State, library: Library, packing: str | None) -> Air | None:
    """The gas of these lines; None where it cannot be reckoned."""
    charges = [row.gas_ask(g) for row, g in zip(rows, grams, strict=True) if g]
    try:
        told = reckon("gas", {"charges": charges, "around": sorted(words_around(packing))}, library)
    except Refusal:
        return None
    shown = [one for one in told["evolved"] if max(abs(one["g"]), one["up_to_g"]) >= SMALLEST_G]
    harmful = {one["gas"]: one["up_to_g"] for one in shown if one["up_to_g"] > 0 and one["gas"] not in HARMLESS}
    worse = {one["gas"]: one["g"] for one in told["counted_once"] if one["g"] >= SMALLEST_G}
    say, stop, breaths = _breathed(harmful | worse, place_of(state), library)
    return Air(
        rows=tuple(_texts(one, library) for one in shown),
        instead=tuple(f"{gas_name(one['gas'], library, one['form'])} {_up_to(one)}" for one in told["alternatives"]),
        fumes=tuple(f"{gas_name(one['gas'], library, one['form'])}, {_when(one)}" for one in told["fumes"]),
        harmful=tuple(gas_name(gas, library) for gas in harmful),
        first=_first([one for one in shown if one["gas"] in harmful], told["cautions"], library),
        cautions=tuple(_(one) for one in told["cautions"]),
        say=say,
        stop=stop,
        breaths=breaths,
        working=told["working"],
    )


def _texts(one: dict[str, Any], library: Library) -> tuple[str, str, str, str]:
    bound = bool(one["bound"]) or one["up_to_g"] > max(one["g"], 0.0)
    g = one["up_to_g"] if bound else one["g"]
    litres = one["l_25c"] * g / one["g"] if one["g"] else 0.0
    comes = _("taken up") if g < 0 else _when(one)
    if one["only_with"]:
        comes += ", " + _("with {what} beside it", what=one["only_with"])
    return gas_name(one["gas"], library), amount(g, bound), f"{litres:.2f}", comes


def _first(harmful: list[dict[str, Any]], cautions: list[str], library: Library) -> tuple[str, ...]:
    """The gases that do harm in a breath, with their grams, and what must be at hand."""
    texts = [_texts(one, library) for one in harmful if one["gas"] not in USUAL]
    if not texts:
        return ()
    gives = _("Gives off: {what}.", what=", ".join(f"{name} {g} g" for name, g, _litres, _comes in texts))
    return (gives, *(_(say) for say in cautions if say == HF_SAY))


def _up_to(one: dict[str, Any]) -> str:
    return amount(one["up_to_g"], True) + " g"


def _when(one: dict[str, Any]) -> str:
    return when(one["from_c"], one["to_c"], one["window_basis"] == "memory")


def _breathed(harmful: dict[str, float], where: Place, library: Library) -> tuple[str | None, bool, tuple[Breath, ...]]:
    """What the estimate says: one sentence for all, or one a gas where the room and its air are known."""
    if not harmful:
        return None, False, ()
    if where.place in OPEN_AIR:
        return OUTDOORS_SAY, False, ()
    if where.room_m3 is None or where.air_changes_per_h is None:
        return UNKNOWN_SAY, True, ()
    found = []
    for gas, g in harmful.items():
        name = gas_name(gas, library)
        ask = {"gas": gas, "g": g, "room_m3": where.room_m3}
        try:
            told = reckon("exposure", ask | {"air_changes_per_h": where.air_changes_per_h}, library)
        except Refusal as refusal:
            found.append(Breath(name, refusal.say, True, []))
            continue
        found.append(Breath(name, told["why"], told["verdict"] == DO_NOT, told["working"]))
    return None, any(one.stop for one in found), tuple(sorted(found, key=lambda one: not one.stop))
