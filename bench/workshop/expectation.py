"""What a charge should weigh when it comes out, by its batches' plans, and what a gap means."""

from dataclasses import dataclass

from bench.workshop.kinds import BatchPlanned, Source
from bench.workshop.state import State
from bench.workshop.things.charges import charge
from bench.workshop.things.pigments import raw_g

GAP_FRACTION = 0.01
"""Loss by mass agrees with theory within 1 % of the charge in common practice."""


LIGHTER = "Lighter than theory: dust or spatter lost, flux or metal gone as fume, or something left in the crucible."
HEAVIER = "Heavier than theory: carbonate or sulfate not gone yet, oxygen taken up, or damp when it was filled."


@dataclass(frozen=True)
class Gap:
    """The mass that came out against the mass that theory gives. Grams; `expected_g` None when it cannot be said."""

    charge_g: float
    expected_g: float | None
    found_g: float | None
    why_not: str | None

    @property
    def gap_g(self) -> float | None:
        return None if self.expected_g is None or self.found_g is None else self.found_g - self.expected_g

    @property
    def meaning(self) -> str | None:
        """What the gap usually means (common practice), or None when the masses agree or cannot be compared."""
        gap = self.gap_g
        if gap is None or abs(gap) <= GAP_FRACTION * self.charge_g:
            return None
        if gap < 0:
            return LIGHTER
        return HEAVIER


def fired_fraction(plan: BatchPlanned) -> float | None:
    """Grams left after firing from one gram of the planned mixture; None when the plan cannot say."""
    total = sum(line.target_g for line in plan.lines)
    return None if plan.fired_g is None or total <= 0 else plan.fired_g / total


def expected_g(state: State, thing: str) -> tuple[float | None, str | None]:
    """Grams that a charge should leave after the fire, unwashed; or None and the reason."""
    view = charge(state, thing)
    if view is None:
        return None, "There is no such charge."
    total = 0.0
    for source in view.charged.sources:
        g, why = _source_g(state, source)
        if g is None:
            return None, why
        total += g
    return total - view.lost_g, None


def _source_g(state: State, source: Source) -> tuple[float | None, str | None]:
    if source.batch is None:
        return source.g, None  # a fired powder, or a salt put in as it is, is reckoned to stay
    plan = state.slot(source.batch, "batch.planned").body
    fraction = fired_fraction(plan) if plan else None
    if fraction is None:
        return None, "The plan gives no fired mass: a salt in it is volatile, or its gas is not known."
    return source.g * fraction, None


def _found_g(state: State, thing: str, pigment: str) -> float | None:
    # Of a powder that was gathered from several charges only this one's share was in this crucible.
    shares = [s.g for r in state.gatherings(thing) for s in r.body.sources if s.charge == thing]
    return sum(shares) if shares and not state.own(thing, "opened") else raw_g(state, pigment)


def gap(state: State, thing: str) -> Gap | None:
    """The gap of an opened charge, or of one that is not weighed out yet (then `found_g` is None)."""
    view = charge(state, thing)
    if view is None:
        return None
    expected, why_not = expected_g(state, thing)
    found = _found_g(state, thing, view.pigment) if view.pigment else None
    return Gap(view.dry_g, expected, found, why_not)
