"""Where what stands against lighting is put right: a hold carries its way on, and none leads in a circle."""

from collections.abc import Iterable
from dataclasses import dataclass

from bench.reckoning.rules import Finding
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.gates import stops
from bench.workshop.light_gate import OF_PLACE
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing

OF_CHECKS = frozenset({"checks-before-lighting", "check-says-stop", "did-not-light", "gas-no-co-alarm", "purge"})
"""Rules that an answer in the list before the fire settles."""
DAMP = frozenset({"damp-charge", "solvent-paste"})
NUMBER, NUMBER_FIELD = "no-emergency-number", "emergency_number"


@dataclass(frozen=True)
class Way:
    """The key to where a hold is put right."""

    words: str
    path: str
    glyph: str = "correct"


def ways_on(fire: Firing, found: Iterable[Finding]) -> list[Way]:
    """The ways on where something stops the lighting, each once; the list before the fire last: it settles no other.

    The emergency number has its field on the firing's page, so its key comes after all.
    """
    rules = [one.rule for one in stops(found)]
    ways = [way for rule in rules if rule not in OF_CHECKS | {NUMBER} for way in _ways(fire, rule)]
    ways += [_to_checks(fire)] if set(rules) & OF_CHECKS else []
    ways += [Way(_("Emergency number"), f"#{NUMBER_FIELD}")] if NUMBER in rules else []
    return list(dict.fromkeys(ways))


def _ways(fire: Firing, rule: str) -> list[Way]:
    load = Way(_("Change the load"), f"/firing/{fire.id}/map", "inplace")
    if rule == "co-alarm-old":
        return [Way(_("CO alarm’s date"), "/settings")]
    if rule in OF_PLACE:
        return [*_to_furnace(fire), load]
    damp = _damp(fire) if rule in DAMP else None
    return [Way(_("Dry"), f"/charge/{damp}/dry")] if damp else [load]


def _to_checks(fire: Firing) -> Way:
    words = _("Check, then switch on") if fire.fuel == "electric" else _("Check, then light")
    return Way(words, f"/firing/{fire.id}/checks/before-lighting?one=1", "flame")


def _to_furnace(fire: Firing) -> list[Way]:
    """The furnace's description, which leads back here."""
    record = current_bench().state.slot(fire.plan.furnace, "furnace.described").record
    if record is None:
        return []
    path = f"/thing/{fire.plan.furnace}/correct/{record.id}?back=/firing/{fire.id}"
    return [Way(_("Furnace’s place and air"), path)]


def _damp(fire: Firing) -> str | None:
    views = (charge(current_bench().state, one) for one in fire.charges)
    return next((view.id for view in views if view is not None and view.damp), None)
