"""The steps of the demo's batches, each told as the maker takes it: planned, weighed, filled, fired, opened, judged."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp
from typing import Any

from bench.demo.pictures import swatch_picture
from bench.demo.setup import JARS, POTS, Workshop
from bench.demo.teller import Teller
from bench.steps.named import STEADY_MIN

Line = tuple[str, float]
"""The jar that a line is weighed from, and grams."""
ROOM_C = 20.0
TAU_MIN = 110.0
"""Time constant of the box: each element climbs towards its own plateau at this pace."""


@dataclass(frozen=True)
class Filled:
    """A charge, the crucible that it was filled into by its number on the rack, and grams of powder in it."""

    charge: str
    pot: int
    g: float

    @property
    def tare_g(self) -> float:
        return POTS[self.pot][1]


@dataclass(frozen=True)
class Result:
    """What came of a charge: masstone (L*, a*, b*), the verdict with its words, the cause suspected, signs seen."""

    lab: tuple[float, float, float]
    verdict: str
    words: str
    cause: str = ""
    signs: tuple[str, ...] = ()


@dataclass
class Maker:
    """Tells the steps of a workshop's work. `found` is the formula of each jar whose label turned out wrong."""

    teller: Teller
    shop: Workshop
    found: dict[str, str] = field(default_factory=dict)

    def plan(self, at: float, name: str, lines: Sequence[Line], aim: Mapping[str, Any], **more: Any) -> str:
        """A batch from a target. Soda stays in the product; all else reacts."""
        rows = [
            {
                "line": n,
                "formula": self.found.get(jar, JARS[jar][1]),
                "target_g": g,
                "jar": self.shop.jars[jar],
                "name": JARS[jar][2],
                "assay_pct": 100.0 if jar in self.found else JARS[jar][3],
                "fate": "stays" if jar == "soda" else "reacts",
            }
            for n, (jar, g) in enumerate(lines, 1)
        ]
        made = self.teller.tell(
            at, "batch.planned", None, {"name": name, "from": "target", "lines": rows, **aim, **more}
        )
        self.teller.code(at, made)
        return made

    def weigh(self, at: float, batch: str, lines: Sequence[Line]) -> None:
        """One line after the other, on the phone."""
        for n, (jar, g) in enumerate(lines):
            data = {"line": n + 1, "jar": self.shop.jars[jar], "net_g": g, "balance_d_g": 0.01}
            self.teller.tell(at + 4 * n, "weighed", batch, data, device="demo-phone")

    def mix_wet(self, at: float, batch: str, lines: Sequence[Line]) -> None:
        """Ground in water and dried in a dish for two hours, then for one more to the same mass; a little of it is left
        on the pestle."""
        self.mix(at, batch, "water", 20)
        left = round(sum(g for _, g in lines) - 0.06, 2)
        for n, mass in enumerate((left, left)):
            dried = {"where": "dish", "c": 110, "minutes": 60 * (2 - n), "mass_g": mass, "apart_min": STEADY_MIN}
            self.teller.tell(at + 30 + 120 + 60 * n, "dried", batch, dried)

    def mix(self, at: float, batch: str, medium: str, minutes: int) -> None:
        data = {"medium": medium, "minutes": minutes, "streak": "even"}
        self.teller.tell(at, "mixed", batch, data, device="demo-phone")

    def fill(self, at: float, pot: int, batch: str, g: float) -> Filled:
        """A crucible filled from a batch and weighed without its lid."""
        crucible = self.shop.pots[pot]
        gross = round(POTS[pot][1] + g, 2)
        data = {"crucible": crucible, "sources": [{"batch": batch, "g": g}], "lid": "loose", "gross_g": gross}
        also = {"batch": batch, "crucible": crucible}
        return Filled(self.teller.tell(at, "charged", None, data, also=also, device="demo-phone"), pot, g)

    def close(self, at: float, thing: str, outcome: str, why: str) -> None:
        self.teller.tell(at, "closed", thing, {"outcome": outcome, "why": why})

    def check(self, at: float, firing: str, phase: str) -> None:
        for n, item in enumerate(self.teller.bench.library.asked_items(phase, "electric")):
            data = {"list": phase, "item": item.slug, "answer": "done"}
            self.teller.tell(at + 0.3 * n, "check.answered", firing, data)

    def light(
        self,
        at: float,
        name: str,
        element: str,
        segments: Sequence[Mapping[str, Any]],
        put: Sequence[tuple[Filled, tuple[int, int]]],
    ) -> str:
        """A firing planned, its crucibles placed by row and column, checked, and switched on after 20 min."""
        data = {"furnace": self.shop.furnace, "burner": element, "name": name, "segments": list(segments)}
        firing = self.teller.tell(at, "firing.planned", None, data)
        self.teller.code(at, firing)
        for n, (filled, (row, column)) in enumerate(put):
            where = {"firing": firing, "tier": 1, "row": row, "column": column}
            self.teller.tell(at + 2 + n, "placed", filled.charge, where, also={"firing": firing})
        self.check(at + 10, firing, "before-lighting")
        self.teller.tell(at + 20, "lit", firing, {"deviations": []})
        return firing

    def read(self, firing: str, start: float, curve: Sequence[tuple[float, float]]) -> None:
        for minutes, c in curve:
            data = {"c": c, "raw": c, "raw_unit": "C"}
            self.teller.tell(start + minutes, "reading", firing, data, device="demo-phone")

    def off(self, at: float, firing: str, words: str = "") -> None:
        """Switched off once it was held long enough, checked an hour later, and closed."""
        self.teller.tell(at, "fire.off", firing, {"reason": "reached"})
        self.check(at + 65, firing, "after-shutdown")
        self.teller.tell(at + 140, "closed", firing, {"outcome": "reached", **({"why": words} if words else {})})

    def take_out(self, at: float, firing: str, filled: Filled) -> None:
        data = {"firing": firing, "charge": filled.charge, "rest_place": "brick stand"}
        self.teller.tell(at, "came.out", filled.charge, data, also={"firing": firing}, device="demo-phone")

    def open(
        self, at: float, firing: str, filled: Filled, left: float, result: Result, really: Filled | None = None
    ) -> str:
        """Out cold, weighed with its powder and empty. `left` of each gram stays; `really` is the crucible that was
        taken for it, where it is another."""
        taken = really or filled
        self.take_out(at, firing, filled)
        touched = {"thing": filled.charge, "surface_c": 24.0}
        self.teller.tell(at + 1, "touched", filled.charge, touched, device="demo-phone")
        gross = round(taken.tare_g + taken.g * left - 0.05, 2)
        data = {"gross_g": gross, "tare_after_g": round(taken.tare_g + 0.01, 2), "signs": list(result.signs)}
        pigment = self.teller.tell(at + 5, "opened", filled.charge, data)
        self.teller.code(at + 5, pigment)
        return pigment

    def rinse(self, at: float, pigment: str) -> None:
        """Washed twice, the rinses into the waste."""
        for n, ph in enumerate(("9", "7")):
            data = {"round": n + 1, "water_ml": 200, "test": "pH", "result": ph, "waste": self.shop.waste}
            self.teller.tell(at + 7 * n, "washed", pigment, data)
        words = "rinse water with copper"
        added = {"container": self.shop.waste, "from": pigment, "volume_ml": 400, "contents": words}
        self.teller.tell(at + 8, "waste.added", self.shop.waste, added)

    def judge(self, at: float, pigment: str, net_g: float, result: Result) -> str:
        """Ground, weighed dry, brushed out, photographed beside a grey card, measured and judged."""
        self.teller.tell(at, "ground", pigment, {"medium": "water", "minutes": 10, "sieve_um": 45})
        self.teller.tell(at + 2, "dry.weighed", pigment, {"net_g": net_g})
        made = {"pigment": pigment, "binder": "linseed oil", "oil_g": 0.42, "film_um": 120}
        swatch = self.teller.tell(at + 4, "swatch.made", None, made)
        self.teller.code(at + 4, swatch)
        lab = {"lab": list(result.lab), "se": [0.4, 0.3, 0.5], "method": "photo beside a grey card, by camera"}
        self.teller.tell(at + 7, "swatch.measured", swatch, lab)
        swatch_picture(self.teller, at + 8, swatch, result.lab)
        suspected = [{"cause": result.cause, "certainty": "sure"}] if result.cause else []
        data = {"verdict": result.verdict, "words": result.words, "suspected": suspected}
        self.teller.tell(at + 10, "judged", pigment, data)
        return swatch


def climb(plateau_c: float, until_min: float, every_min: float = 10.0) -> list[tuple[float, float]]:
    """A climb from the room towards what the element can hold at full power, read to the nearest few °C."""
    count = int(until_min // every_min) + 1
    minutes = [every_min * n for n in range(count)]
    return [(m, round(plateau_c - (plateau_c - ROOM_C) * exp(-m / TAU_MIN)) + round(m) % 3 - 1) for m in minutes]


def hold(from_min: float, c: float, count: int, every_min: float = 10.0) -> list[tuple[float, float]]:
    """Readings of a soak: the controller switches, and the probe goes up and down by a few °C."""
    return [(from_min + every_min * n, c - 1 + (n * 5) % 8) for n in range(count)]
