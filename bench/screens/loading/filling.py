"""How full a crucible gets: the loose volume of a charge, the limit of its kind, and which crucibles hold it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.rules import Part, facts_of
from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.web.words import _
from bench.workshop.things.crucibles import Crucible, crucible

LOOSE_G_ML = 0.8
"""The loose density that is assumed where no row says any (project default): between chalk and ground oxide."""
BULKY_SHARE = 0.1
"""What froths counts above this share of the charge by mass (project default)."""
FROTHING = ("borate_hydrate", "ammonium_phosphate")


@dataclass(frozen=True)
class Loose:
    """The loose density of a charge in g/mL and the kind that sets its limit, with how they came about."""

    g_ml: float
    kind: str
    working: tuple[Step, ...]


def loose(parts: Sequence[Part], library: Library) -> Loose:
    """The density and kind of a mixture of these parts, by their grams; a part without grams counts as one gram."""
    lines = [part for part in parts if part.role == "line"]
    volume, mass = 0.0, 0.0
    steps = []
    for part in lines:
        g = part.g or 1.0
        density, known = _density(part, library)
        said = _("{name}, loose", name=part.name) if known else _("{name}, loose: assumed", name=part.name)
        steps.append(step(said, density, "g/mL", None if known else "own-ware"))
        mass, volume = mass + g, volume + g / density
    mixed = mass / volume if volume else LOOSE_G_ML
    kind = _kind(lines)
    steps.append(step(_("The mixture, by the volumes of its parts"), mixed, "g/mL"))
    return Loose(mixed, kind, tuple(steps))


def _density(part: Part, library: Library) -> tuple[float, bool]:
    row = library.reagent(part.slug or "") or library.reagent(part.formula or "")
    low = row.bulk_density_low_g_ml if row is not None else None
    high = row.bulk_density_high_g_ml if row is not None else None
    found = [value for value in (low, high) if value]
    return (sum(found) / len(found), True) if found else (LOOSE_G_ML, False)


def _kind(lines: Sequence[Part]) -> str:
    """What sets the limit: alum before what froths, before carbonates; quiet where nothing gives off much."""
    total = sum(part.g or 1.0 for part in lines) or 1.0
    shares: dict[str, float] = {}
    for part in lines:
        facts = facts_of(part.formula, part.name, part.role)
        share = (part.g or 1.0) / total
        if "alum" in facts.marks:
            shares["alum"] = shares.get("alum", 0) + share
        elif set(FROTHING) & facts.marks:
            shares["froths"] = shares.get("froths", 0) + share
        elif {"C", "O"} <= facts.symbols:
            shares["carbonate"] = shares.get("carbonate", 0) + share
    return next((kind for kind in ("alum", "froths", "carbonate") if shares.get(kind, 0) > BULKY_SHARE), "quiet")


MOST_OF = {
    "quiet": _("{limit:g} % is the most"),
    "carbonate": _("{limit:g} % is the most of what gives off gas"),
    "froths": _("{limit:g} % is the most of what froths"),
    "alum": _("{limit:g} % is the most with alum"),
}
"""How full a crucible may be, with what the charge holds that sets it."""


@dataclass(frozen=True)
class Fit:
    """A crucible and how a charge fills it. `pct` is None while nobody has said how much goes in."""

    vessel: Crucible
    pct: float | None
    limit_pct: float
    working: tuple[Step, ...]
    kind: str = "quiet"

    @property
    def most(self) -> str:
        """How full it may be, and for what."""
        return _(MOST_OF[self.kind], limit=self.limit_pct)

    @property
    def fits(self) -> bool:
        return self.pct is None or self.pct <= self.limit_pct

    @property
    def fraction(self) -> float | None:
        """The part of the brim volume, from 0."""
        return None if self.pct is None else self.pct / 100


def fit(vessel: Crucible, g: float | None, mixture: Loose, library: Library) -> Fit:
    """How these grams of a mixture fill a crucible."""
    ask: dict[str, Any] = {
        "charge_g": g or 0.0,
        "bulk_density_g_ml": mixture.g_ml,
        "crucible_ml": vessel.volume_ml,
        "kind": mixture.kind,
    }
    try:
        answer = reckon("fill", ask, library)
    except Refusal as refusal:
        return Fit(vessel, None, 100.0, (step(refusal.say),))
    pct = answer["fill_pct"] if g else None
    return Fit(vessel, pct, answer["limit_pct"], (*mixture.working, *answer["working"]), mixture.kind)


def free_crucibles(state: State) -> list[Crucible]:
    """The crucibles that hold nothing now, clean ones first, then by size."""
    found = [crucible(state, thing) for thing in state.open_things("crucible")]
    free = [one for one in found if one is not None and one.standing in ("free", "to-clean")]
    return sorted(free, key=lambda one: (one.standing != "free", one.volume_ml, one.code or ""))


def fits(state: State, g: float | None, mixture: Loose, library: Library) -> list[Fit]:
    """Every free crucible with its fill, those that hold the charge first."""
    found = [fit(one, g, mixture, library) for one in free_crucibles(state)]
    return sorted(found, key=lambda one: not one.fits)
