"""Writes stretches.json: fires with readings and notes, the stretch that each is in, and the air that it asks for.

python -m tests.vectors.write_stretches; the rules are tested elsewhere. Moments in ms since 1970.
"""

from typing import Any

from bench.records.moments import to_ms
from bench.reference import load_library
from bench.workshop.aiming import aim_of
from bench.workshop.snapshot import of_firing
from bench.workshop.stretches import air_to_change, stretch_now, stretches
from bench.workshop.things.firings import Firing, firing
from tests.vectors.files import write
from tests.workshop.builder import Builder

LIT_MIN = 600.0
LIBRARY = load_library()
KEYS = ("lit_ms", "off_ms", "stretches", "noted", "readings")
PLANS: dict[str, list[dict[str, Any]]] = {
    "one": [{"to_c": 950.0, "rate_c_per_h": 300.0, "hold_min": 30}],
    "held, then hotter and reducing": [
        {"to_c": 400.0, "rate_c_per_h": 150.0, "hold_min": 20, "atmosphere": "oxidising"},
        {"to_c": 950.0, "rate_c_per_h": 300.0, "hold_min": 60, "atmosphere": "reducing"},
    ],
    "up, and down to a hold": [
        {"to_c": 950.0, "rate_c_per_h": 300.0, "hold_min": 30, "atmosphere": "reducing"},
        {"to_c": 700.0, "rate_c_per_h": 100.0, "hold_min": 45, "atmosphere": "oxidising"},
        {"to_c": 600.0, "rate_c_per_h": 100.0},
    ],
}
CURVES: dict[str, list[tuple[float, float]]] = {
    "none": [],
    "climbing": [(0, 20), (30, 200), (60, 380)],
    "into the first hold": [(0, 20), (40, 391), (50, 402), (55, 399)],
    "past the first hold": [(0, 20), (40, 391), (65, 402), (90, 700), (110, 944)],
    "climbed past unheld": [(0, 20), (40, 395), (70, 800), (90, 941)],
    "held, and on the way down": [(0, 20), (60, 700), (80, 945), (95, 950), (115, 952), (130, 820)],
    "held below": [(0, 20), (80, 945), (115, 952), (150, 708), (170, 699), (190, 704), (210, 695), (230, 605)],
    "over a hold and back": [(0, 20), (80, 945), (115, 952), (150, 708), (170, 730), (185, 705)],
}
NOTES: list[list[tuple[float, str]]] = [[], [(100.0, "reducing")], [(100.0, "reducing"), (116.0, "oxidising")]]


def case(name: str, plan: str, curve: str, notes: list[tuple[float, str]], off: float | None = None) -> dict[str, Any]:
    """One fire, as the phone is told of it, with what Python says."""
    maker = Builder()
    fire = maker.firing(segments=PLANS[plan])
    maker.lit(fire, happened=LIT_MIN)
    for minute, c in CURVES[curve]:
        maker.reading(fire, c, happened=LIT_MIN + minute)
    for minute, air in notes:
        maker.add("noted", {"what": "air", "value": air}, fire, happened=LIT_MIN + minute)
    if off is not None:
        maker.off(fire, happened=LIT_MIN + off)
    state = maker.state
    view, told = firing(state, fire), of_firing(state, fire, LIBRARY, 120.0)
    assert view is not None and told is not None
    told["readings"] = [[to_ms(r.when), r.body.c] for r in view.readings]
    now = stretch_now(view)
    return {
        "name": f"{name}: {plan}, {curve}",
        "fire": {key: told[key] for key in KEYS},
        "stretches": [_told(view, one) for one in stretches(view)],
        "now": now.number if now is not None else None,
        "aim": _aimed(view),
        "change": air_to_change(state, view, now) if now is not None else None,
    }


def _aimed(fire: Firing) -> dict[str, Any] | None:
    aim = aim_of(fire)
    return None if aim is None else {"toC": aim.to_c, "sinceMs": _ms(fire, aim.since_min)}


def _told(fire: Firing, one: Any) -> dict[str, Any]:
    moments = {"sinceMs": one.since_min, "thereMs": one.there_min, "doneMs": one.done_min}
    return {
        "number": one.number,
        "falls": one.falls,
        "heldMin": one.held_min,
        **{name: _ms(fire, minute) for name, minute in moments.items()},
    }


def _ms(fire: Firing, minute: float | None) -> float | None:
    assert fire.lit_at is not None
    return None if minute is None else to_ms(fire.lit_at) + minute * 60_000


def cases() -> list[dict[str, Any]]:
    """Every plan with every curve, with no air noted, one, and two; and a fire that is out."""
    found = [case(f"{len(notes)} noted", plan, curve, notes) for plan in PLANS for curve in CURVES for notes in NOTES]
    return [*found, case("off", "up, and down to a hold", "held below", [], off=240.0)]


if __name__ == "__main__":
    write("stretches", cases())
