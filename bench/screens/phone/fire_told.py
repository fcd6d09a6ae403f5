"""What a phone is told of a firing beside its facts, to draw its pages: what can be noted, and the rules."""

from collections.abc import Iterable
from typing import Any

from bench.screens.furnace.firing import NOTE_WORDS, NOTES, ONLY, planned_advice
from bench.screens.furnace.firing_reading import AS_READ, letter_told
from bench.screens.kit.cautioning import cautions
from bench.screens.phone.drawn import rules_asked
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.light_gate import gate_light
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing
from bench.workshop.unloading import hurry, unloading
from bench.workshop.watching import gate_fire

Told = dict[str, Any]
JUDGED_THERE = frozenset(
    {"already-lit", "check-says-stop", "checks-before-lighting", "damp-charge", "nothing-placed"}
    | {"gas-no-co-alarm", "purge", "did-not-light"}
)
"""What stands against lighting and a phone judges by itself; the last three stand until their checks are answered."""


def drawn_of_firing(view: Firing) -> Told:
    """The notes and rules of a firing, by its id."""
    fuel = view.fuel
    notes = [[what, str(NOTE_WORDS[what]), _values(what)] for what in NOTES if what not in ONLY.get(fuel, ())]
    fire = {"notes": notes, "as_read": AS_READ, "letter": letter_told(view), "hands": _hands(view)}
    return {"feet": {view.id: _feet(fuel)}, "minds": {view.id: _minds(view)}, "fires": {view.id: fire}}


def _hands(view: Firing) -> dict[str, list[Any]]:
    """Of each charge how much it hurries to come out, and why it stays in, where it is in and the rules say so."""
    here = current_bench()
    turns = unloading(here.state, view, here.library)
    stays = {one.charge.id: " ".join(_(said.say) for said in one.against) for one in turns}
    found = ((one, charge(here.state, one)) for one in view.charges)
    return {one: [hurry(known), stays.get(one, "")] for one, known in found if known is not None}


def _values(what: str) -> list[list[str | None]]:
    return [[value, str(words), glyph] for value, words, glyph in NOTES[what]]


def _minds(view: Firing) -> Told:
    """What the rules have against lighting, and what they say of the load while it burns."""
    here = current_bench()
    if view.burning:
        return {"fire": _plain(gate_fire(here.state, view.id, here.library)), "shut-down": []}
    found = [one for one in gate_light(here.state, view.id, here.library) if one.rule not in JUDGED_THERE]
    return {"light": _plain([*found, *planned_advice(view)]), "shut-down": []}


def _plain(found: Iterable[Any]) -> list[Told]:
    return [{"rule": one.rule, "effect": one.effect, "say": one.say, "sure": one.sure} for one in found]


def _feet(fuel: str) -> dict[str, str]:
    return {rule: cautions(rule, [], fuel).first for rule in rules_asked()}
