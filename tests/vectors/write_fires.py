"""Writes fires.json: burning fires as a phone is told of them, what is wrong with each, and what its probe shows next.

python -m tests.vectors.write_fires; what each alarm says is tested elsewhere.
"""

from collections.abc import Iterator
from datetime import timedelta
from random import Random
from typing import Any

from bench.records.moments import to_ms
from bench.reference import Library, load_library
from bench.screens.furnace.curves import planned_points, read_points
from bench.screens.furnace.firing_reading import expected_c, guessed_c
from bench.workshop import snapshot
from bench.workshop.alarms import alarms, limit_c, next_due, ramp_told
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from tests.vectors.files import write
from tests.workshop.builder import Builder

MINUTE_MS = 60_000
SOAK_C = 900.0
NOTES = {"flame": ("lost", "clear"), "co": ("alarm", "150", "45", "0"), "watch": ("left alone", "back", "with Kim")}
Curve = list[tuple[float, float]]


class Fire:
    """A fire to 900 °C for an hour with two crucibles, of which one may be out."""

    def __init__(self, curve: Curve, ware: str, notes: dict[str, str], out: bool) -> None:
        self.b = Builder()
        furnace = self.b.furnace(ceiling_c=1000.0)
        segments = [{"to_c": 400.0, "rate_c_per_h": 300.0}, {"to_c": SOAK_C, "rate_c_per_h": 300.0, "hold_min": 60.0}]
        self.thing = self.b.firing(furnace, segments=segments)
        self.charges = [self.held(ware, "T5C7HJ", 950.0, 1), self.held("alumina-99", "7K3MQX", 1500.0, 2)]
        start = self.b.minutes
        self.b.lit(self.thing, happened=start)
        for minute, c in curve:
            self.b.reading(self.thing, c, happened=start + minute)
        for what, value in notes.items():
            self.b.add("noted", {"what": what, "value": value}, self.thing)
        if out:
            self.b.came_out(self.thing, self.charges[0])

    def held(self, ware: str, code: str, rated_c: float, column: int) -> str:
        pot = self.b.crucible(ware=ware, rated_c=rated_c)
        self.b.coded(pot, code)
        made = self.b.charge({"batch": self.b.ready_batch(), "g": 5.0}, crucible=pot)
        self.b.placed(made, self.thing, column=column)
        return made

    def case(self, name: str, later_min: float, library: Library) -> dict[str, Any]:
        """What a phone is told, and what the laptop says so many minutes after the last reading."""
        state, view = self.b.state, firing(self.b.state, self.thing)
        assert view is not None and view.lit_at is not None
        last = view.last_reading.when if view.last_reading is not None else view.lit_at
        now, due = last + timedelta(minutes=later_min), next_due(view)
        guess = guessed_c(view, now)
        told = snapshot.of_firing(state, self.thing, library, 180.0) or {}
        plan = [[ms / MINUTE_MS, c] for ms, c in planned_points(view.plan.segments, 0.0)]
        told |= {"peak_c": view.peak_c, "limit_c": limit_c(view), "plan": plan}
        told |= {"readings": [[round(ms), c] for ms, c in read_points(view).tolist()]}
        return {
            "name": name,
            "fire": told,
            "load": [self.told(one, library) for one in self.charges],
            "now_ms": to_ms(now),
            "alarms": [[one.say, one.grave] for one in alarms(state, view, now, library)],
            "due_ms": to_ms(due) if due is not None else None,
            "proved_c": view.proved_c,
            "expected": {"c": expected_c(view, now) if guess is None else guess, "near": guess is None},
        }

    def told(self, thing: str, library: Library) -> dict[str, Any]:
        view = charge(self.b.state, thing)
        assert view is not None
        ramp = ramp_told(self.b.state, view.crucible, library)
        return {**(snapshot.of_charge(self.b.state, thing) or {}), "ramp": ramp and list(ramp)}


def curves(chance: Random) -> Iterator[tuple[str, Curve]]:
    """Fires as they go, and as they go wrong."""
    climb = [(15.0 * n, round(20 + 75.0 * n + chance.uniform(-3, 3), 1)) for n in range(11)]
    soak = [(180.0 + 10 * n, round(895 + chance.uniform(-3, 6), 1)) for n in range(9)]
    yield "nothing read", []
    yield "one reading", climb[:1]
    for count in (2, 3, 5, 8, 11):
        yield f"climbing, {count} readings", climb[:count]
    yield "far too fast", [(4.0 * n, 20 + 140.0 * n) for n in range(6)]
    yield "fast where porcelain cracks", [(10.0 * n, 300 + 60.0 * n) for n in range(6)]
    yield "a point that slipped", [*climb[:4], (50.0, 2450.0)]
    yield "a point that slipped down", [*climb[:8], (110.0, 54.5)]
    yield "falling", [*climb[:8], *((105.0 + 8 * n, 540 - 22.0 * n) for n in range(1, 6))]
    yield "level", [*climb[:6], *((75.0 + 6 * n, 395 + chance.uniform(-2, 2)) for n in range(1, 5))]
    yield "in its soak", [*climb, *soak[:4]]
    yield "held long enough", [*climb, *soak]
    yield "left its soak", [*climb, *soak[:4], (230.0, 870.0)]
    yield "over the plan", [*climb, *soak[:2], (200.0, 931.0)]
    yield "over its rating and its furnace", [*climb, *soak[:2], (205.0, 1012.0)]
    yield "a probe that came loose", [*climb[:8], (106.0, 31.0)]
    yield "a probe that came loose, read twice", [*climb[:8], (106.0, 31.0), (110.9, 31.0)]
    yield "read cold again after five minutes", [*climb[:8], (106.0, 31.0), (111.0, 31.0)]
    yield "a probe that was put back", [*climb[:8], (106.0, 31.0), (108.0, 553.0)]
    yield "another probe", [*climb[:8], (106.6, 760.0)]


def cases() -> list[Any]:
    """Every curve with notes, wares and waits drawn at random."""
    chance, library, found = Random(7), load_library(), []
    for name, curve in curves(chance):
        for later in (0.5, round(chance.uniform(2, 14), 1), round(chance.uniform(16, 90), 1)):
            notes = {what: chance.choice(values) for what, values in NOTES.items() if chance.random() < 0.5}
            ware = chance.choice(("alumina-99", "unglazed-porcelain", "quartz-glass", "no such ware"))
            found.append(Fire(curve, ware, notes, chance.random() < 0.3).case(name, later, library))
    return found


if __name__ == "__main__":
    write("fires", cases())
