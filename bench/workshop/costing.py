"""What a batch cost by the prices of its jars, what a gram of it cost, and how much of an element is on the shelf."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum
from typing import Any

from bench.reckoning.working import Step, step
from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import parsed
from bench.science.weights import G_MOL
from bench.translation import _
from bench.workshop.assays import jar_assay
from bench.workshop.jar_water import water
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.jars import Jar, jar
from bench.workshop.things.pigments import mass_g

CURRENCY = "currency"
"""The setting that says in which money the prices of the jars are, such as EUR."""


@dataclass(frozen=True)
class LineCost:
    """One reagent of a batch: its grams, and what they cost; None where the jar's price or content is not known."""

    formula: str
    jar: str | None
    g: float
    cost: float | None


@dataclass(frozen=True)
class Cost:
    """A batch's reagents by the prices of their jars. `made_g` is the powder that came of it so far."""

    lines: tuple[LineCost, ...]
    made_g: float | None

    @property
    def known(self) -> float:
        return fsum(line.cost for line in self.lines if line.cost is not None)

    @property
    def whole(self) -> bool:
        """Whether every reagent's price is known."""
        return all(line.cost is not None for line in self.lines)

    @property
    def per_g(self) -> float | None:
        """What a gram of the powder cost; None while something of it is not known."""
        return self.known / self.made_g if self.whole and self.made_g else None

    @property
    def working(self) -> list[Step]:
        steps = [
            step(_("{formula}: {g:.2f} g", formula=one.formula, g=one.g), one.cost)
            for one in self.lines
            if one.cost is not None
        ]
        unknown = [one.formula for one in self.lines if one.cost is None]
        steps += [step(_("{formula}: no price or no content on its jar", formula=one)) for one in unknown]
        if self.made_g is not None:
            steps.append(step(_("Powder that came of it"), self.made_g, "g"))
        return [*steps, step(_("Reagents alone: fuel, water and work are not counted."))]


def price_per_g(opened: Any) -> float | None:
    """What a gram of a jar cost; None where its price or what it held is not known."""
    if opened is None or opened.price is None or not opened.net_g:
        return None
    return float(opened.price / opened.net_g)


def batch_cost(state: State, thing: str) -> Cost | None:
    """The cost of a batch: of what was weighed, or of what is planned where nothing was."""
    view = batch(state, thing)
    if view is None:
        return None
    lines = []
    for line in view.lines:
        taken = (line.weighed.body.jar if line.weighed is not None else None) or line.plan.jar
        g = line.weighed_g if line.weighed_g is not None else line.target_g
        each = price_per_g(state.slot(taken, "jar.opened").body) if taken else None
        lines.append(LineCost(line.plan.formula, taken, g, None if each is None else g * each))
    return Cost(tuple(lines), _made_g(state, thing, view.charges))


def _made_g(state: State, thing: str, charges: tuple[str, ...]) -> float | None:
    """Grams of powder that came of a batch: of a charge of several, its share. None while a crucible is not opened."""
    found = []
    for one in charges:
        view = charge(state, one)
        powder = mass_g(state, view.pigment) if view is not None and view.pigment else None
        if view is None or powder is None or view.dry_g <= 0:
            return None
        mine = sum(source.g for source in view.charged.sources if source.batch == thing)
        found.append(powder * mine / view.dry_g)
    return fsum(found) if found else None


@dataclass(frozen=True)
class Held:
    """Grams of an element in one jar. `g` None where nobody said how much it held; low and high while its water is
    not known."""

    jar: Jar
    g: float | None
    low_g: float | None = None
    high_g: float | None = None


def element_stock(state: State, library: Library) -> dict[str, list[Held]]:
    """For each element, every jar on the shelf that holds some, by the grams of the element in it."""
    found: dict[str, list[Held]] = {}
    for view in _jars(state):
        assay = jar_assay(state, view.id, library)
        formula = parsed(assay.formula) if assay is not None else None
        if assay is None or formula is None:
            continue
        span = _span(state, view, library)
        for symbol, count in formula.counts.items():
            share = float(count) * G_MOL[symbol] / formula.molar_mass_g_mol
            pct = assay.assay_pct / 100
            left = view.left_g
            low, high = (left * share * one if left is not None and span else None for one in span or (0.0, 0.0))
            found.setdefault(symbol, []).append(Held(view, None if left is None else left * share * pct, low, high))
    return found


def _jars(state: State) -> Iterator[Jar]:
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        if view is not None and not view.closed:
            yield view


def _span(state: State, view: Jar, library: Library) -> tuple[float, float] | None:
    """The least and the most of its formula that a jar may be, where its water is not known."""
    if view.opened.hydrate_known:
        return None
    line = Line(1, view.opened.formula, 1.0, jar=view.id, assay_pct=view.opened.assay_pct)  # type: ignore[arg-type]
    found = water(state, line, library)
    return None if found is None else (found.wettest, found.driest)
