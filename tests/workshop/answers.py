"""Everything that a state answers about some things, for comparing states and for asking whether anything raises."""

from collections.abc import Callable, Iterable
from typing import Any

from bench.records.state import State
from bench.reference import load_library
from bench.workshop import expectation, lineage, next_steps, today, water_told
from bench.workshop.asked import listed
from bench.workshop.things import batches, charges, crucibles, firings, jars, pigments, swatches, waste
from tests.workshop.builder import moment

CODES = ("ABCDEF", "GHJKMN", "none")
PHASES = ("before-lighting", "after-shutdown", "before-opening")
LIBRARY = load_library()
VIEWS: dict[str, Callable[[State, str], Any]] = {
    "jar": jars.jar,
    "used": jars.used_g,
    "lost": jars.lost_g,
    "crucible": crucibles.crucible,
    "holds": crucibles.held_charge,
    "held": crucibles.held_elements,
    "elements": crucibles.charge_elements,
    "formulas": crucibles.charge_formulas,
    "earlier": crucibles.earlier_charges,
    "batch": batches.batch,
    "damp": batches.is_damp,
    "charge": charges.charge,
    "batches": charges.batches_of,
    "firing": firings.firing,
    "curve": firings.curve,
    "readings": firings.readings_of,
    "in it": firings.charges_in,
    "occupied": firings.occupied,
    "pigment": pigments.pigment,
    "raw": pigments.raw_g,
    "generation": pigments.generation,
    "swatch": swatches.swatch,
    "photos": swatches.photos_of,
    "waste": waste.waste,
    "origin": lineage.origin,
    "offspring": lineage.offspring,
    "expected": lambda state, thing: expectation.expected_g(state, thing, LIBRARY),
    "gap": lambda state, thing: expectation.gap(state, thing, LIBRARY),
    "water told": lambda state, thing: water_told.by_batch(state, thing, LIBRARY),
    "jar told": lambda state, thing: water_told.by_jar(state, thing, LIBRARY),
    "batch step": next_steps.batch_step,
    "charge step": next_steps.charge_step,
    "pigment step": next_steps.pigment_step,
    "firing step": next_steps.firing_step,
    "kind": lambda state, thing: state.kind_of.get(thing),
    "exists": lambda state, thing: state.exists(thing),
    "everything": lambda state, thing: state.everything_about(thing),
    "code": lambda state, thing: state.code_of(thing),
    "disagreements": lambda state, thing: state.disagreements(thing),
    "stands": lambda state, thing: state.is_effective(thing),
}
# What a view works out only when it is asked.
PROPERTIES = (
    "left_g",
    "name",
    "next_line",
    "rated_c",
    "volume_ml",
    "stay",
    "was_hot",
    "too_hot_to_touch",
    "peak_c",
    "soak",
    "burning",
    "mass_g",
    "gap_g",
    "meaning",
    "inside",
)


def of_thing(state: State, thing: str) -> dict[str, Any]:
    """Every view's answer about one thing, with all that hangs on it."""
    found: dict[str, Any] = {}
    for name, view in VIEWS.items():
        answer = view(state, thing)
        found[name] = answer
        for prop in PROPERTIES:
            if hasattr(type(answer), prop):
                found[f"{name}.{prop}"] = getattr(answer, prop)
    tree = found["origin"]
    if tree is not None:
        found["lines"] = lineage.weighed_lines(tree)
        found["firings"] = lineage.firings_of(tree)
        found["total lost"] = lineage.total_lost_g(tree)
    for phase in PHASES:
        found[phase] = firings.answers(state, thing, phase), listed(state, LIBRARY, phase, thing)
    return found


def of_state(state: State, things: Iterable[str]) -> dict[str, Any]:
    """Every answer about some things, and every answer about the whole."""
    found: dict[str, Any] = {thing: of_thing(state, thing) for thing in things}
    whats = sorted({*state.of_kind, *state.open})
    return found | {
        "today": today.today(state, moment(30)),
        "settings": state.settings(),
        "cards": state.cards(),
        "codes": {code: state.things_with(code) for code in CODES},
        "issued": sorted(state.issued),
        "things": {what: state.things(what) for what in whats if state.things(what)},
        "open": {what: state.open_things(what) for what in whats if state.open_things(what)},
        "unknown": state.unknown,
        "last": state.last,
    }
