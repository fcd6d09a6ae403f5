"""A maker on paper: what a bench would record of batches whose colour a response surface of its own lays down.

The surface, its noise and the draws know nothing of the bench's own sums; the bench sees records alone.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Any

from bench.records.filing import fold
from bench.records.state import State
from bench.science.colour import Lab, de00
from bench.workshop.series_results import CONTROL, drawn_order
from tests.workshop.builder import Builder, lines

FACTORS = ("dose", "flux", "peak")
MIXED = ("dose", "flux")
"""What can differ within one load; each peak needs a fire of its own."""
LOW: Mapping[str, float] = {"dose": 0.5, "flux": 0.4, "peak": 950.0}
HIGH: Mapping[str, float] = {"dose": 3.5, "flux": 2.0, "peak": 1150.0}
UNITS: Mapping[str, str] = {"dose": "g", "flux": "g", "peak": "°C"}
WORDS: Mapping[str, str] = {"dose": "Titanium dioxide", "flux": "Potassium chloride", "peak": "Soak temperature"}
CENTRE: Lab = (52.0, 12.0, 22.0)
BATCH_SD, LOAD_SD, PLACE_LAB, READING_SD = 0.5, 0.8, 0.8, 0.4
"""Scatter in L*, a*, b*: from batch to batch, load to load, a furnace's cold end to its hot one, and of a photo."""
SOAK_MIN = 60.0

Recipe = dict[str, float]


def middle() -> Recipe:
    """The recipe in the middle of all that is tried."""
    return {name: (LOW[name] + HIGH[name]) / 2 for name in FACTORS}


def heat(recipe: Recipe) -> list[dict[str, float]]:
    """Its schedule."""
    return [{"to_c": recipe["peak"], "rate_c_per_h": 300.0, "hold_min": SOAK_MIN}]


def coded(recipe: Recipe) -> list[float]:
    """Each factor from −1 to 1."""
    return [2 * (recipe[name] - LOW[name]) / (HIGH[name] - LOW[name]) - 1 for name in FACTORS]


class Surface:
    """The true colour of a recipe: slopes, bends and a twist of each axis, drawn once. `flat` ones do nothing."""

    def __init__(self, draw: Random, flat: bool = False) -> None:
        size = 0.0 if flat else 1.0
        self.slopes = [[size * draw.gauss(0, 5) for _f in FACTORS] for _axis in range(3)]
        self.bends = [[size * draw.gauss(0, 1.5) for _f in FACTORS] for _axis in range(3)]
        self.twists = [size * draw.gauss(0, 1.5) for _axis in range(3)]

    def lab(self, recipe: Recipe) -> Lab:
        """The colour without any scatter."""
        x = coded(recipe)
        l_, a, b = (
            CENTRE[axis]
            + sum(slope * at for slope, at in zip(self.slopes[axis], x, strict=True))
            + sum(bend * at * at for bend, at in zip(self.bends[axis], x, strict=True))
            + self.twists[axis] * x[0] * x[1]
            for axis in range(3)
        )
        return l_, a, b


@dataclass
class Maker:
    """Makes batches of a surface and writes them down. `recipes` are what was made, by batch."""

    draw: Random
    surface: Surface
    book: Builder = field(default_factory=Builder)
    recipes: dict[str, Recipe] = field(default_factory=dict)
    seen: dict[str, Lab] = field(default_factory=dict)
    _state: State = field(default_factory=State)
    loads: int = 0
    _folded: int = 0

    def __post_init__(self) -> None:
        self._furnace = self.book.furnace()

    @property
    def made(self) -> int:
        return len(self.recipes)

    def plan(self, recipe: Recipe, series: str | None = None, level: float | None = None) -> str:
        """A batch as it is planned and weighed."""
        told: dict[str, Any] = {"series": series, "level": level} if series is not None else {}
        dose, flux = round(recipe["dose"], 3), round(recipe["flux"], 3)
        mix = lines(("ZnO", 8.0), ("Fe2O3", 16.0), ("TiO2", dose), ("KCl", flux, "washed-out"))
        thing = self.book.ready_batch(mix, schedule=heat(recipe), **told)
        self.recipes[thing] = dict(recipe)
        return thing

    @property
    def state(self) -> State:
        """What the records so far fold to; each is folded once."""
        for record in self.book.records[self._folded :]:
            fold(self._state, record)
        self._folded = len(self.book.records)
        return self._state

    def burn(self, charges: Sequence[str], recipe: Recipe) -> None:
        """One load side by side, read at its peak when the soak begins and when it ends, and cooled in the furnace."""
        book = self.book
        self.loads += 1
        firing = book.add("firing.planned", {"furnace": self._furnace, "segments": heat(recipe)}).id
        for n, one in enumerate(charges, 1):
            book.placed(one, firing, column=n)
        book.lit(firing)
        for minutes in (180, SOAK_MIN):
            book.wait(minutes)
            book.reading(firing, recipe["peak"] + self.draw.gauss(0, 3))
        book.off(firing)
        book.wait(600)
        book.all_out(firing)
        for one in charges:
            book.touched(one, 22.0)

    def fire(self, batches: Sequence[str], **more: Any) -> None:
        """One load: the batches in their places, fired, opened, painted out and measured."""
        hot = self.draw.gauss(0, LOAD_SD)
        charges = [self.book.charge({"batch": one, "g": 20.0}, **more) for one in batches]
        self.burn(charges, self.recipes[batches[0]])
        for n, (thing, one) in enumerate(zip(batches, charges, strict=True)):
            place = 2 * n / max(1, len(batches) - 1) - 1 if len(batches) > 1 else 0.0
            self._measure(thing, one, hot + PLACE_LAB * place)

    def _measure(self, thing: str, charge: str, off: float) -> None:
        true = self.surface.lab(self.recipes[thing])
        l_, a, b = (value + off + self.draw.gauss(0, BATCH_SD) + self.draw.gauss(0, READING_SD) for value in true)
        powder = self.book.opened(charge, 40.0 + 19.0 + self.draw.gauss(0, 0.1), tare_after_g=40.0)
        swatch = self.book.swatch(powder)
        told = {"lab": [round(l_, 2), round(a, 2), round(b, 2)], "se": [READING_SD] * 3, "method": "by camera"}
        self.book.add("swatch.measured", told, swatch)
        self.seen[thing] = (l_, a, b)

    def series(self, name: str, levels: Sequence[float], start: Recipe, repeats: int, control: str = "") -> str:
        """A series of one factor in one load, placed as the bench draws it; with a batch that stands as its control."""
        told = {"factor": WORDS[name], "unit": UNITS[name], "levels": sorted({*levels, start[name]})}
        also = {CONTROL: control} if control else {}
        thing = self.book.add("series.planned", told | {"control": start[name]}, also=also).id
        made = [self.plan(start | {name: one}, thing, one) for one in levels for _n in range(repeats)]
        for load in [list(drawn_order(thing, made))] if name in MIXED else [[one] for one in made]:
            self.fire(load)
        return thing

    def again(self, series: str, name: str, level: float, start: Recipe) -> str:
        """One more batch of a series, at another level, in a load of its own."""
        thing = self.plan(start | {name: level}, series, level)
        self.fire([thing])
        return thing

    def off(self, thing: str, wanted: Lab) -> float:
        """How far a batch was measured from a colour."""
        return de00(self.seen[thing], wanted)

    def nearest(self, wanted: Lab) -> str:
        """The batch that was measured nearest to it."""
        return min(self.seen, key=lambda one: self.off(one, wanted))


def within(name: str, level: float) -> float:
    """A level inside what is tried."""
    return min(HIGH[name], max(LOW[name], level))


def signed(draw: Random, powders: int, cause: Callable[[Recipe], float]) -> State:
    """Powders of drawn recipes under drawn lids, each opened grey with the odds that `cause` gives its recipe."""
    maker = Maker(draw, Surface(draw))
    for _n in range(powders):
        recipe = {name: draw.uniform(LOW[name], HIGH[name]) for name in FACTORS}
        batch = maker.plan(recipe)
        charge = maker.book.charge({"batch": batch, "g": 20.0}, lid=draw.choice(["none", "loose", "vented"]))
        maker.burn([charge], recipe)
        maker.book.opened(charge, signs=["grey"] if draw.random() < cause(recipe) else [])
    return maker.state
