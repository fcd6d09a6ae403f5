"""What can be made from the jars on the shelf: which targets, by which route, what is missing, what to prefer."""

from dataclasses import dataclass

from bench.reckoning import reckon
from bench.reckoning.gas_most import HARMLESS
from bench.reckoning.rules import Part, hazard_summary
from bench.records.state import State
from bench.reference import Library
from bench.reference.things import Target
from bench.science.formulas import atoms_of
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.workshop.costing import price_per_g
from bench.workshop.things.jars import jar

SIGNAL_WEIGHT = {"Danger": 2, "Warning": 1, "": 0}


@dataclass(frozen=True)
class Way:
    """One route to a target for some grams of it. Grams by reagent slug; `missing` are slugs that no jar holds.

    `short` are slugs whose jars hold less than is needed. `gas_g` is harmful gas, `loss_pct` the loss on ignition; both
    None where they cannot be reckoned, and `why_not` then says why.
    """

    target: str
    name: str
    reagents: tuple[str, ...]
    missing: tuple[str, ...]
    short: tuple[str, ...]
    grams: dict[str, float]
    signal_word: str
    gas_g: float | None
    loss_pct: float | None
    why_not: str = ""
    instead: tuple[tuple[str, str], ...] = ()
    """Reagents of the published route, and the jar's reagent that brings the same metal in place of each."""

    @property
    def ready(self) -> bool:
        return not self.missing and not self.short

    @property
    def rank(self) -> tuple[int, int, int, int, float, float]:
        """Ready first, then fewest missing, as published, least hazard, least harmful gas, least loss."""
        gas = self.gas_g if self.gas_g is not None else 1e9
        loss = self.loss_pct if self.loss_pct is not None else 1e9
        hazard = SIGNAL_WEIGHT.get(self.signal_word, 2)
        return (len(self.missing), len(self.short), len(self.instead), hazard, gas, loss)


def stock_g(state: State) -> dict[str, float | None]:
    """What is left of each reagent on the shelf, in grams over all its jars; None where one says not how much."""
    found: dict[str, float | None] = {}
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        if view is None or view.closed:
            continue
        before = found.get(view.name, 0.0)
        found[view.name] = None if view.left_g is None or before is None else before + view.left_g
    return found


def ways(state: State, library: Library, product_g: float, only: str | None = None) -> list[Way]:
    """Every route to every plannable target (or to one), the best first."""
    stock = stock_g(state)
    targets = [t for t in library.targets.values() if t.status == "plannable" and only in (None, t.slug)]
    metals = _metals(stock, library)
    found = [
        _way(target, route.reagents, stock, library, product_g, metals) for target in targets for route in target.routes
    ]
    return sorted(found, key=lambda way: (*way.rank, way.name))


def _metals(stock: dict[str, float | None], library: Library) -> dict[frozenset[str], list[str]]:
    """The reagents on the shelf by the elements that they leave in the fire, those of one element alone."""
    found: dict[frozenset[str], list[str]] = {}
    for slug in stock:
        kept = _stays(slug, library)
        if len(kept) == 1:
            found.setdefault(kept, []).append(slug)
    return found


def _stays(slug: str, library: Library) -> frozenset[str]:
    row = library.reagents.get(slug)
    return frozenset(atoms_of(row.formula)) - VOLATILE if row is not None else frozenset()


def _in_place(slug: str, metals: dict[frozenset[str], list[str]], library: Library) -> str:
    """A reagent on the shelf that brings the metal of a missing one; the missing one itself where there is none."""
    kept = _stays(slug, library)
    return metals[kept][0] if kept in metals else slug


def _way(
    target: Target,
    published: tuple[str, ...],
    stock: dict[str, float | None],
    library: Library,
    product_g: float,
    metals: dict[frozenset[str], list[str]],
) -> Way:
    slugs = tuple(one if one in stock else _in_place(one, metals, library) for one in published)
    if len(set(slugs)) < len(slugs):
        slugs = published
    instead = tuple((was, now) for was, now in zip(published, slugs, strict=True) if was != now)
    known = [library.reagents[s] for s in slugs if s in library.reagents]
    missing = tuple(s for s in slugs if s not in stock)
    hazards = hazard_summary([Part(r.formula, r.name, slug=r.slug) for r in known], library)
    way = Way(target.slug, target.name, slugs, missing, (), {}, hazards.signal_word, None, None, instead=instead)
    if missing:
        return way
    ask = {"target": target.formula, "product_g": product_g, "reagents": [{"formula": s} for s in slugs]}
    try:
        told = reckon("weigh-up", ask, library)
    except Refusal as refusal:
        return Way(**{**way.__dict__, "why_not": refusal.say})
    grams = {slug: g for slug, g in zip(slugs, told["weigh_g"], strict=True) if g is not None}
    gas = sum(
        one["g"] for one in told["evolved"] if one["gas"] not in HARMLESS and one["gas"] != "CO2" and one["g"] > 0
    )
    short = tuple(s for s, g in grams.items() if (left := stock[s]) is not None and left < g)
    changes = {"grams": grams, "gas_g": gas, "loss_pct": told["loss_on_ignition_pct"], "short": short}
    return Way(**{**way.__dict__, **changes})


@dataclass(frozen=True)
class Purchase:
    """What a series needs of one reagent: grams, what is on the shelf, what to buy, and what the bought part costs."""

    slug: str
    name: str
    needed_g: float
    stock_g: float | None
    buy_g: float
    cost: float | None


def shopping(state: State, series: str, library: Library) -> list[Purchase]:
    """What the unweighed lines of a series' batches still need, against the shelf, at the price of the jars one has.

    The price of a gram is that of the newest jar of the reagent whose content and price are known; else none is given.
    """
    planned = ((thing, state.slot(thing, "batch.planned").body) for thing in state.open_things("batch"))
    return shopping_of(state, [thing for thing, plan in planned if plan is not None and plan.series == series], library)


def shopping_of(state: State, batches: list[str], library: Library) -> list[Purchase]:
    """The same for some batches."""
    needed: dict[str, float] = {}
    for thing in batches:
        plan = state.slot(thing, "batch.planned").body
        for line in plan.lines if plan is not None else ():
            if state.slot(thing, "weighed", line.line).record is None:
                opened = state.slot(line.jar, "jar.opened").body if line.jar else None
                slug = (
                    opened.reagent if opened else (row.slug if (row := library.reagent(line.formula)) else line.formula)
                )
                needed[slug] = needed.get(slug, 0.0) + line.target_g
    stock, prices = stock_g(state), _prices(state)
    return [_purchase(slug, g, stock, prices, library) for slug, g in sorted(needed.items())]


def _prices(state: State) -> dict[str, float]:
    found = {}
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        each = price_per_g(view.opened) if view is not None else None
        if view is not None and each is not None:
            found[view.name] = each
    return found


def _purchase(
    slug: str, needed: float, stock: dict[str, float | None], prices: dict[str, float], library: Library
) -> Purchase:
    left = stock.get(slug, 0.0)
    buy = max(0.0, needed - left) if left is not None else 0.0
    row = library.reagents.get(slug)
    return Purchase(slug, row.name if row else slug, needed, left, buy, buy * prices[slug] if slug in prices else None)
