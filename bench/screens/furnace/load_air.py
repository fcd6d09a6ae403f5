"""The gas of a whole load and what it does to the air where its furnace stands, for the firing's own page.

`load_air(state, fire, library)` gives it, `ui.load_gas(…)` shows it. A screen, never a proof.
"""

from dataclasses import dataclass

from flask import Blueprint, Response, abort

from bench.reckoning import reckon
from bench.reckoning.exposure_verdict import DO_NOT
from bench.reckoning.gas_most import CO_SAY, HARMLESS
from bench.reckoning.kinds.exposure import OUTDOORS_SAY, SCREEN_SAY, UNKNOWN_SAY
from bench.reckoning.rules import DEFER
from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.reference import Library
from bench.reference.surroundings import Gas, Limit
from bench.science.refusal import Refusal
from bench.screens.kit.gas_words import amount, gas_name, when
from bench.web.current import current_bench
from bench.web.page import page
from bench.web.words import _
from bench.workshop.load_gas import Fume, LoadGas, load_gas, load_lines
from bench.workshop.things.firings import Firing, firing

blueprint = Blueprint("load_air", __name__)

OPEN_AIR = ("outdoors", "roofed")


@dataclass(frozen=True)
class GasLine:
    """One gas of the load: its name, its grams, when it comes, and its strictest limit; `say` the estimate in words.

    `bound` says that the grams are the most that can come, `instead` that it comes in place of another gas here.
    """

    gas: str
    name: str
    g: float
    when: str
    limit: str
    harmful: bool
    bound: bool = False
    instead: bool = False
    say: str = ""
    stop: bool = False
    working: tuple[Step, ...] = ()

    @property
    def amount(self) -> str:
        return amount(self.g, self.bound) + " g"


@dataclass(frozen=True)
class LoadAir:
    """All gas of a load. `say` holds for the whole load, `stop` where it must not be fired; `summed` the working."""

    lines: tuple[GasLine, ...]
    not_reckoned: tuple[str, ...]
    say: str
    stop: bool
    summed: tuple[Step, ...]
    fumes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def instead(self) -> tuple[str, ...]:
        return tuple(f"{one.name} {one.amount}" for one in self.lines if one.instead)

    @property
    def harmful(self) -> tuple[GasLine, ...]:
        return tuple(one for one in self.lines if one.harmful)


@blueprint.get("/firing/<thing>/gas")
def show(thing: str) -> Response:
    """The gas of a firing's load on a page of its own."""
    here = current_bench()
    fire = firing(here.state, thing)
    if fire is None or not here.state.exists(thing):
        abort(404)
    return page(
        "load_air/show.html",
        fire=fire,
        air=load_air(here.state, fire, here.library),
        defer=DEFER,
    )


def load_air(state: State, fire: Firing, library: Library) -> LoadAir:
    """The gas of everything that is placed in a firing, summed over its crucibles, against the limits of its place."""
    found = load_gas(state, fire.charges, library)
    room = _room(fire)
    worse = {gas: g for gas, g in found.counted.items() if gas not in found.grams}
    lines = [_line(gas, g, found, room, library) for gas, g in (found.grams | worse).items()]
    lines.sort(key=lambda one: (not one.harmful, not one.stop, -one.g))
    return LoadAir(
        lines=tuple(lines),
        not_reckoned=found.not_reckoned,
        say=_say(fire, lines, found, room),
        stop=any(one.stop for one in lines) or _unknown_air(fire, found, room),
        summed=summed(state, fire, found),
        fumes=tuple(_fume(one, library) for one in found.fumes),
        cautions=tuple(_(one) for one in found.cautions if one != CO_SAY or fire.fuel != "electric"),
    )


def _fume(one: Fume, library: Library) -> str:
    return f"{gas_name(one.gas, library, one.form)}, {when(one.from_c, None, one.remembered)}"


def _room(fire: Firing) -> tuple[float, float] | None:
    """The room and its air changes an hour where both are known and it stands indoors."""
    furnace = fire.furnace
    if furnace is None or furnace.place in OPEN_AIR:
        return None
    known = furnace.room_m3, furnace.air_changes_per_h
    return (known[0], known[1]) if known[0] is not None and known[1] is not None else None


def _unknown_air(fire: Firing, found: LoadGas, room: tuple[float, float] | None) -> bool:
    outside = fire.furnace is not None and fire.furnace.place in OPEN_AIR
    return not outside and room is None and bool(found.harmful or found.not_reckoned)


def _say(fire: Firing, lines: list[GasLine], found: LoadGas, room: tuple[float, float] | None) -> str:
    if not any(one.harmful for one in lines) and not found.not_reckoned:
        return _("This estimate found no harmful gas. It cannot show that there is none.")
    if fire.furnace is not None and fire.furnace.place in OPEN_AIR:
        return OUTDOORS_SAY
    if room is None:
        return UNKNOWN_SAY
    if any(one.stop for one in lines):
        return _("Do not fire this load here: the estimate reaches a danger mark.") + " " + SCREEN_SAY
    return SCREEN_SAY


def _line(gas: str, g: float, found: LoadGas, room: tuple[float, float] | None, library: Library) -> GasLine:
    row = library.gases.get(gas)
    low, high = found.windows.get(gas, (None, None))
    instead = gas not in found.grams
    line = GasLine(
        gas=gas,
        name=gas_name(gas, library),
        g=g,
        when=when(low, high, gas in found.remembered),
        limit=_limit(row),
        harmful=gas not in HARMLESS and g > 0,
        bound=instead or gas in found.bounds,
        instead=instead,
    )
    if not line.harmful or room is None:
        return line
    try:
        told = reckon("exposure", {"gas": gas, "g": g, "room_m3": room[0], "air_changes_per_h": room[1]}, library)
    except Refusal as refusal:
        return GasLine(**{**line.__dict__, "say": refusal.say, "stop": True})
    stop = told["verdict"] == DO_NOT
    return GasLine(**{**line.__dict__, "say": told["why"], "stop": stop, "working": tuple(told["working"])})


def _limit(row: Gas | None) -> str:
    """The strictest limits of a gas, with body and year."""
    found = [one for one in ((row.strict_8h, row.strict_short) if row is not None else ()) if one is not None]
    return "; ".join(_limit_words(one) for one in found)


def _limit_words(one: Limit) -> str:
    year = f", {one.year}" if one.year else ""
    memory = {"memory": _(", from memory"), "read-part": _(", in part from memory")}.get(one.basis, "")
    return f"{one.name}: {one.value:g} {one.shown_unit} ({one.body}{year}{memory})"


def summed(state: State, fire: Firing, found: LoadGas) -> tuple[Step, ...]:
    """How the sum came about: what lies in the crucibles, and what each gas comes to."""
    grams: dict[str, float] = {}
    for formula, g in load_lines(state, fire.charges):
        grams[formula] = grams.get(formula, 0.0) + g
    inside = [step(_("{formula} in all crucibles together", formula=formula), g, "g") for formula, g in grams.items()]
    gases = [
        step(_("At most: {gas}", gas=gas) if gas in found.bounds else _("Gives off: {gas}", gas=gas), g, "g")
        for gas, g in found.grams.items()
    ]
    return (*inside, *gases, step(_("A powder fired before counts as giving off no more gas.")))
