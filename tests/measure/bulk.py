"""Years at the bench, as records: each follows from its number, forty of them from one batch to its verdict.

A batch is planned, weighed, filled into a crucible, fired with sixteen readings, opened, ground, brushed out and
judged. Every twenty batches a crucible and a jar are used up and new ones come. About 400 bytes a record in the file.
"""

from collections.abc import Callable, Iterator
from typing import Any

from bench.records.moments import utc_text
from bench.records.record import BENCH
from bench.science.codes import code_of

FIRST_MS = 1_700_000_000_000
MINUTE_MS = 60_000
CYCLE, RENEWED = 40, 20
FIGURES = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
FURNACE = 0
STATIONS = (5, 8, 9, 10, 12, 20, 29, 31, 32, 33, 34, 35, 36, 37)
"""After so many records of its forty a batch waits for its next step, each time another one."""

Told = tuple[str, dict[str, Any]]


def ident(number: int) -> str:
    """The ULID of a record: the millisecond in ten letters, the number in sixteen."""
    ms = FIRST_MS + number * MINUTE_MS
    return "".join(FIGURES[ms >> 5 * place & 31] for place in reversed(range(10))) + f"{number:016d}"


def code(number: int) -> str:
    """A true code for a number; no two numbers below 32⁴ have the same."""
    return next(found for n in range(32 * number, 32 * number + 32) if (found := code_of(n)) is not None)


def record(number: int) -> Told:
    """The id and content of a record. Number 0 describes the furnace; its first forty make no batch."""
    kind, subject, data, also = _first(number) if number < CYCLE else _of_cycle(number // CYCLE, number % CYCLE)
    ms = FIRST_MS + number * MINUTE_MS
    told: dict[str, Any] = {
        "v": 1,
        "kind": kind,
        "device": "laptop",
        "seq": number + 1,
        "hlc": [ms, 0, "laptop"],
        "at": utc_text(ms),
        "offset_ms": 0,
        "tz_min": 120,
        "how": "live",
        "subject": subject or ident(number),
    }
    return ident(number), told | ({"also": also} if also else {}) | {"data": data}


def records(count: int) -> Iterator[Told]:
    """The first `count` records."""
    return map(record, range(count))


def waiting(first: int, stations: tuple[int, ...] = STATIONS) -> Iterator[Told]:
    """Batches that are under way behind the first `first` records, each waiting at another station."""
    cycle = (first + CYCLE - 1) // CYCLE + RENEWED
    cycle -= cycle % RENEWED
    seq = first
    for n, station in enumerate(stations):
        for place in range(station):
            seq += 1
            identity, told = record((cycle + n * RENEWED) * CYCLE + place)  # each with a crucible and a jar of its own
            yield identity, told | {"seq": seq}


Row = tuple[str, str | None, dict[str, Any], dict[str, str]]


def _first(number: int) -> Row:
    if number == FURNACE:
        data = {"name": "Yard furnace", "fuel": "gas", "layout": "grid", "tiers": 1, "rows": 3, "columns": 3,
                "place": "outdoors", "ceiling_c": 1300.0, "probe_type": "K", "probe_class": "1"}  # fmt: skip
        return "furnace.described", None, data, {}
    return "setting.changed", BENCH, {"name": f"note-{number}", "value": number}, {}


def _of_cycle(cycle: int, place: int) -> Row:
    for last, make in PARTS:
        if place < last:
            return make(Cycle(cycle), place)
    raise AssertionError(place)


class Cycle:
    """The names of the things of one batch."""

    def __init__(self, number: int) -> None:
        self.number = number
        self.base = number * CYCLE
        self.newest = (number - number % RENEWED) * CYCLE
        self.is_first, self.is_last = number % RENEWED == 0, number % RENEWED == RENEWED - 1
        self.crucible, self.jar = ident(self.newest), ident(self.newest + 1)
        self.batch, self.charge, self.firing = (ident(self.base + n) for n in (2, 9, 10))
        self.pigment, self.swatch = ident(self.base + 32), ident(self.base + 36)


def _supplies(of: Cycle, place: int) -> Row:
    if place == 0:
        if of.is_first:
            return "crucible.added", None, {"ware": "alumina", "volume_ml": 60.0, "rated_c": 1600.0}, {}
        seen = {"condition": "retired" if of.is_last else "clean", "tare_g": 40.3, "lid_g": 12.1}
        return "crucible.seen", of.crucible, seen, {}
    if place == 1:
        if of.is_first:
            jar = {"reagent": "goethite", "formula": "FeOOH", "net_g": 500.0, "assay_pct": 99.5}
            return "jar.opened", None, jar, {}
        if of.is_last:
            return "closed", of.jar, {"outcome": "used up"}, {}
        return "jar.assayed", of.jar, {"before_g": 12.0 + of.number % 5, "after_g": 11.9, "at_c": 110.0}, {}
    return _planned(of, place)


def _planned(of: Cycle, place: int) -> Row:
    if place == 2:
        lines = [
            {"line": 1, "formula": "FeOOH", "target_g": 8.0, "jar": of.jar, "name": "yellow iron oxide"},
            {"line": 2, "formula": "ZnO", "target_g": 11.0, "name": "zinc oxide"},
            {"line": 3, "formula": "TiO2", "target_g": 3.5, "name": "titanium dioxide"},
        ]
        schedule = [{"to_c": 1150.0, "rate_c_per_h": 200.0, "hold_min": 120.0}]
        plan = {"name": f"Tan {of.number}", "from": "target", "target_formula": "Zn1.5FeTi0.5O4", "lines": lines}
        return "batch.planned", None, plan | {"schedule": schedule, "cooling_mode": "in-furnace"}, {}
    if place == 3:
        return "code.issued", BENCH, {"codes": [code(of.number)]}, {}
    return "code.assigned", of.batch, {"code": code(of.number), "thing": of.batch}, {}


def _made(of: Cycle, place: int) -> Row:
    if place < 8:
        line, g = place - 4, (8.0, 11.0, 3.5)[place - 5]
        jar = {"jar": of.jar} if line == 1 else {}
        return "weighed", of.batch, {"line": line, "net_g": g + of.number % 7 / 100} | jar, {}
    if place == 8:
        return "mixed", of.batch, {"medium": "dry", "minutes": 15.0, "streak": "even"}, {}
    sources = [{"g": 22.5, "batch": of.batch}]
    filled = {"crucible": of.crucible, "sources": sources, "gross_g": 62.8, "lid": "loose"}
    return "charged", None, filled, {"crucible": of.crucible, "batch": of.batch}


def _fired(of: Cycle, place: int) -> Row:
    furnace = ident(FURNACE)
    if place == 10:
        segments = [{"to_c": 1150.0, "rate_c_per_h": 200.0, "hold_min": 120.0}]
        return "firing.planned", None, {"furnace": furnace, "segments": segments}, {"furnace": furnace}
    if place == 11:
        return "placed", of.charge, {"firing": of.firing, "tier": 1, "row": 2, "column": 2}, {"firing": of.firing}
    if place == 12:
        return "lit", of.firing, {"deviations": []}, {}
    if place < 29:
        c = min(1150.0, 90.0 * (place - 12)) + of.number % 3
        return "reading", of.firing, {"c": c}, {}
    if place == 29:
        return "fire.off", of.firing, {"reason": "reached"}, {}
    if place == 30:
        return "came.out", of.charge, {"firing": of.firing, "charge": of.charge, "rest_place": "rack"}, {}
    return "touched", of.charge, {"thing": of.charge, "surface_c": 24.0}, {}


def _powdered(of: Cycle, place: int) -> Row:
    rows: dict[int, Row] = {
        32: ("opened", of.charge, {"gross_g": 58.6, "tare_after_g": 40.3, "signs": []}, {"batch": of.batch}),
        33: ("closed", of.firing, {"outcome": "done"}, {}),
        34: ("ground", of.pigment, {"medium": "water", "minutes": 20.0}, {}),
        35: ("dry.weighed", of.pigment, {"net_g": 18.2}, {}),
        36: ("swatch.made", None, {"pigment": of.pigment, "binder": "linseed"}, {}),
        37: ("judged", of.pigment, {"verdict": "keep", "words": "even blue"}, {}),
        38: ("swatch.measured", of.swatch, {"lab": [38.0 + of.number % 5, 12.0, -48.0], "method": "meter"}, {}),
        39: ("closed", of.batch, {"outcome": "done"}, {}),
    }
    return rows[place]


PARTS: tuple[tuple[int, Callable[[Cycle, int], Row]], ...] = (
    (5, _supplies), (10, _made), (32, _fired), (CYCLE, _powdered),
)  # fmt: skip
