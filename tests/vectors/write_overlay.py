"""Writes overlay.json: firings with readings known and waiting, and how their soak stands with both.

python -m tests.vectors.write_overlay; the soak's rule is tested elsewhere.
"""

from typing import Any

from bench.records.moments import to_ms
from bench.workshop.soaking import soaking
from bench.workshop.things.firings import firing
from tests.vectors.files import write
from tests.workshop.builder import Builder

Reading = tuple[float, float]
CURVES: dict[str, list[Reading]] = {
    "climbing": [(0, 20), (30, 300), (60, 700)],
    "just in the band": [(0, 20), (60, 700), (90, 941), (100, 943)],
    "a flicker below the band": [(0, 20), (60, 700), (80, 940), (85, 930), (100, 948), (110, 951)],
    "held, then under, then held": [(0, 20), (60, 945), (70, 946), (80, 930), (95, 948), (100, 950)],
    "held long enough": [(0, 20), (60, 945), (120, 950), (150, 951)],
    "one reading": [(10, 945)],
    "none": [],
}
MORE: list[Reading] = [(5, 60), (65, 946), (115, 949), (121, 944)]
LIT_MIN = 600.0


def case(name: str, known: list[Reading], waiting: list[Reading], g: float, hold_min: float, off: float | None) -> Any:
    """One firing, with the soak that Python gives for all its readings."""
    maker = Builder()
    held = maker.charge({"batch": maker.ready_batch(), "g": g})
    fire = maker.firing(segments=[{"to_c": 950.0, "rate_c_per_h": 300.0, "hold_min": hold_min}])
    maker.placed(held, fire)
    maker.lit(fire, happened=LIT_MIN)
    for minute, c in [*known, *waiting]:
        maker.reading(fire, c, happened=LIT_MIN + minute)
    if off is not None:
        maker.off(fire, happened=LIT_MIN + off)
    view = firing(maker.state, fire)
    assert view is not None and view.lit_at is not None
    start = to_ms(view.lit_at)
    soak = soaking(maker.state, view)
    last = view.last_reading
    told = {"to_c": 950, "hold_min": hold_min, "heaviest_g": soak.heaviest_g, "lit_ms": start}
    return {
        "name": name,
        "fire": told | {"off_ms": to_ms(view.off_at) if view.off_at else None},
        "known": [[start + minute * 60_000, c] for minute, c in known],
        "waiting": [[start + minute * 60_000, c] for minute, c in waiting],
        "points": [[to_ms(r.when), r.body.c] for r in view.readings],
        "last": [to_ms(last.when), last.body.c] if last else None,
        "startMs": to_ms(soak.start) if soak.start else None,
        "heldMin": soak.held_min,
        "holds": soak.holds,
        "endsMs": to_ms(soak.ends) if soak.ends else None,
    }


def cases() -> list[Any]:
    """Every curve with nothing waiting, and with what waits before, between and after its readings."""
    found = []
    for name, curve in CURVES.items():
        for count in (0, 1, 3, 4):
            waiting = MORE[:count]
            found.append(case(f"{name}, {count} waiting", curve, waiting, 10.0, 30.0, None))
        found.append(case(f"{name}, a heavy charge", curve, MORE, 18.0, 60.0, None))
        found.append(case(f"{name}, off", curve, MORE[1:], 5.0, 30.0, 110.0))
        found.append(case(f"{name}, no hold planned", curve, MORE, 5.0, 0.0, None))
    return found


if __name__ == "__main__":
    write("overlay", cases())
