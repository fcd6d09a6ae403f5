"""What a charge should weigh when it comes out, by its batches' plans, and what a gap means."""

from dataclasses import dataclass
from math import fsum
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.working import Step, step
from bench.records.kinds import Source
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.jar_water import gas_ask, is_told, line_ask
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import charge
from bench.workshop.things.pigments import raw_g

GAP_FRACTION = 0.01
"""Loss by mass agrees with theory within 1 % of the charge in common practice."""


LIGHTER = _("Lighter than theory. Perhaps dust, spatter, fume, or powder left in the crucible.")
HEAVIER = _("Heavier than theory. Perhaps carbonate or sulfate left, oxygen taken up, or damp at filling.")
Span = tuple[float, float]


@dataclass(frozen=True)
class Gap:
    """The mass that came out against the mass that theory gives. Grams; `expected_g` None when it cannot be said.

    `span_g` is the range of theory where the water of a jar is not known, else None.
    """

    charge_g: float
    expected_g: float | None
    found_g: float | None
    why_not: str | None
    span_g: Span | None = None
    assumed: bool = False
    """Nobody weighed what went in: the gap then proves nothing."""

    @property
    def gap_g(self) -> float | None:
        """What was found less theory; less the nearer end of its range where it has one, and nothing inside that."""
        if self.expected_g is None or self.found_g is None:
            return None
        low, high = self.span_g or (self.expected_g, self.expected_g)
        return self.found_g - min(max(self.found_g, low), high)

    @property
    def inside(self) -> bool:
        """Whether it is off the middle of theory, but inside what the water of the jars allows."""
        agrees = self.gap_g is not None and self.meaning is None and not self.assumed
        return agrees and self.span_g is not None and self._counts((self.found_g or 0.0) - (self.expected_g or 0.0))

    def _counts(self, g: float) -> bool:
        return abs(g) > GAP_FRACTION * self.charge_g

    @property
    def meaning(self) -> str | None:
        """What the gap usually means (common practice), or None when the masses agree or cannot be compared."""
        gap = self.gap_g
        if gap is None or self.assumed or not self._counts(gap):
            return None
        if gap < 0:
            return LIGHTER
        return HEAVIER


@dataclass(frozen=True)
class Theory:
    """What a batch leaves in the fire. Grams; the spans are there where the water of a jar is not known.

    `of_g` is the mixture that it is reckoned for: as weighed where all is weighed, else as planned.
    """

    of_g: float
    fired_g: float | None
    washed_g: float | None
    fired_span_g: Span | None = None
    washed_span_g: Span | None = None
    working: tuple[Step, ...] = ()


def theory(state: State, view: Batch, library: Library) -> Theory:
    """The masses of a batch in theory: as its plan says, or reckoned anew where the water of a jar counts."""
    return state.memoize(
        ("theory", view.id, library.revision), lambda: _theory(state, batch(state, view.id) or view, library)
    )


def _theory(state: State, view: Batch, library: Library) -> Theory:
    plan = view.plan
    planned = sum(line.target_g for line in plan.lines)
    asks = _asks(state, view, library)
    if not any(is_told(ask) for ask in asks):
        return Theory(planned, plan.fired_g, plan.washed_g)
    of_g = sum(ask["g"] for ask in asks)
    if not plan.target_formula:
        return Theory(of_g, _left_g(state, view, library), None)
    try:
        told = reckon("balance", {"weighed": asks, "target": plan.target_formula}, library)
    except Refusal:
        return Theory(planned, plan.fired_g, plan.washed_g)
    spans = (_span(told["fired_unwashed_range_g"]), _span(told["washed_range_g"]))
    return Theory(of_g, told["fired_unwashed_g"], told["washed_g"], *spans, tuple(told["working"]))


def theory_working(state: State, view: Batch, library: Library) -> tuple[Step, ...]:
    """How the masses in theory of a batch come about; nothing where no target was meant, or it cannot be reckoned."""
    if not view.plan.target_formula:
        return ()
    told = theory(state, view, library)
    if told.working:
        return told.working
    asks = [line_ask(state, line.plan, line.plan.target_g, library) for line in view.lines if line.plan.target_g > 0]
    try:
        found = reckon("balance", {"weighed": asks, "target": view.plan.target_formula}, library)
    except Refusal:
        return ()
    return (*found["working"], step(_("Fired in theory, by the plan"), view.plan.fired_g, "g"))


def _grams(view: Batch) -> list[float]:
    """The grams of each line: as weighed where all is weighed, else as planned."""
    done = view.next_line is None
    return [line.weighed_g or 0.0 if done else line.plan.target_g for line in view.lines]


def _asks(state: State, view: Batch, library: Library) -> list[dict[str, Any]]:
    pairs = zip(view.lines, _grams(view), strict=True)
    return [line_ask(state, line.plan, g, library) for line, g in pairs if g > 0]


def _left_g(state: State, view: Batch, library: Library) -> float | None:
    """What stays where no target was meant: what went in, less its gas."""
    if view.plan.fired_g is None:
        return None
    pairs = [(line.plan, g) for line, g in zip(view.lines, _grams(view), strict=True) if g > 0]
    try:
        told = reckon("gas", {"charges": [gas_ask(state, line, g, library) for line, g in pairs]}, library)
    except Refusal:
        return view.plan.fired_g
    gone = fsum(one["g"] for one in told["evolved"] if not one.get("bound"))  # a bound is no part of the balance
    return fsum(g for _, g in pairs) - gone


def _span(found: list[float] | None) -> Span | None:
    return None if found is None else (found[0], found[1])


@dataclass(frozen=True)
class _Left:
    """Grams that a source leaves: the middle, and the ends of its range."""

    g: float
    low_g: float
    high_g: float


def expected_g(state: State, thing: str, library: Library) -> tuple[float | None, str | None]:
    """Grams that a charge should leave after the fire, unwashed; or None and the reason."""
    found = gap(state, thing, library)
    return (found.expected_g, found.why_not) if found is not None else (None, _("There is no such charge."))


def source_left(state: State, source: Source, library: Library) -> tuple[_Left | None, str | None]:
    """What a source of a charge leaves after the fire; or None and the reason."""
    if source.batch is None:
        return _Left(source.g, source.g, source.g), None  # a fired powder or a salt is reckoned to stay
    view = batch(state, source.batch)
    told = theory(state, view, library) if view is not None else None
    if told is None or told.fired_g is None or told.of_g <= 0:
        return None, _("The plan gives no fired mass. A salt is volatile, or the gas is not known.")
    share = source.g / told.of_g
    low, high = told.fired_span_g or (told.fired_g, told.fired_g)
    return _Left(told.fired_g * share, low * share, high * share), None


def _found_g(state: State, thing: str, pigment: str) -> float | None:
    # Of a powder that was gathered from several charges only this one's share was in this crucible.
    shares = [s.g for r in state.gatherings(thing) for s in r.body.sources if s.charge == thing]
    return sum(shares) if shares and not state.own(thing, "opened") else raw_g(state, pigment)


def gap(state: State, thing: str, library: Library) -> Gap | None:
    """The gap of an opened charge, or of one that is not weighed out yet (then `found_g` is None)."""
    view = charge(state, thing)
    if view is None:
        return None
    found = _found_g(state, thing, view.pigment) if view.pigment else None
    left = []
    for source in view.charged.sources:
        one, why = source_left(state, source, library)
        if one is None:
            return Gap(view.dry_g, None, found, why)
        left.append(one)
    g, low, high = (fsum(getattr(one, name) for one in left) - view.lost_g for name in ("g", "low_g", "high_g"))
    return Gap(view.dry_g, g, found, None, (low, high) if high - low > 1e-9 else None, fill_assumed(state, thing))


def fill_assumed(state: State, thing: str) -> bool:
    """Whether what went into a crucible was taken over from an offer, and weighed by nobody."""
    filled = state.slot(thing, "charged").record
    return filled is not None and "sources" in filled.assumed
