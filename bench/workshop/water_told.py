"""What the fired mass of a batch tells of the water of a jar, where nothing was spilt or lost. A fold, not a record."""

from collections.abc import Callable
from dataclasses import dataclass
from math import fsum

from bench.reckoning import reckon
from bench.reckoning.substances import substance
from bench.reckoning.water import shares_by_water
from bench.reckoning.wide_assay import grams_a_mole_of, key_element
from bench.reckoning.working import Step, step
from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.science.evolution import GAS_G_MOL
from bench.science.formulas import parse, pretty
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.assays import jar_assay
from bench.workshop.expectation import GAP_FRACTION, fill_assumed
from bench.workshop.jar_water import line_ask, water
from bench.workshop.things.batches import EMPTY_FRACTION, Batch, batch
from bench.workshop.things.charges import charge
from bench.workshop.things.pigments import raw_g

LEAST_SHARE, MOST_SHARE = 0.02, 1.05
"""Between these shares of the driest form the mass is looked for: a jar may be wetter than any form on record."""
HALVINGS = 14
MOST_BATCHES = 12
LOSING = frozenset({"stuck", "boiled over"})
"""Signs at the opening after which not all of it was weighed."""


@dataclass(frozen=True)
class WaterTold:
    """The water of a jar by one batch, in moles a formula unit of `formula`, its driest form, with its spread.

    `forms` are the forms on record with the water of each.
    """

    batch: str
    jar: str
    formula: str
    water: float
    low: float
    high: float
    forms: tuple[tuple[str, float], ...]
    working: tuple[Step, ...]


@dataclass(frozen=True)
class Together:
    """The water of a jar by all its batches: the mean with its spread, and the forms on record that lie within it.

    `agree` is false where the spreads of two batches do not meet: then one of them lost some, or the jar is uneven.
    """

    water: float
    low: float
    high: float
    fits: tuple[str, ...]
    agree: bool


def by_batch(state: State, thing: str, library: Library) -> WaterTold | None:
    """What a batch tells; None where more than one water is unknown, some was lost, or no water would explain it."""
    return state.memoize(("water-told", thing, library.revision), lambda: _by_batch(state, thing, library))


def by_jar(state: State, thing: str, library: Library) -> tuple[WaterTold, ...]:
    """What the last batches tell that were weighed out of a jar whose water is not known, in the order of weighing."""
    now = jar_assay(state, thing, library)
    if now is None or now.by != "wide":
        return ()
    batches = list(dict.fromkeys(r.subject for r in state.effective_records(thing, "weighed") if r.body.jar == thing))
    found = (by_batch(state, one, library) for one in batches[-MOST_BATCHES:])
    return tuple(one for one in found if one is not None and one.jar == thing)


def together(told: tuple[WaterTold, ...]) -> Together | None:
    """What the batches of a jar tell together: the spread is that of one batch, or their scatter if it is more."""
    if not told:
        return None
    mean = fsum(one.water for one in told) / len(told)
    below = max(fsum(one.water - one.low for one in told) / len(told), mean - min(one.water for one in told))
    above = max(fsum(one.high - one.water for one in told) / len(told), max(one.water for one in told) - mean)
    low, high = max(0.0, mean - below), mean + above
    fits = tuple(text for text, water in told[0].forms if low <= water <= high)
    agree = max(one.low for one in told) <= min(one.high for one in told)
    return Together(mean, low, high, fits, agree)


def _by_batch(state: State, thing: str, library: Library) -> WaterTold | None:
    view = batch(state, thing)
    fired_g = _all_fired_g(state, view) if view is not None else None
    if view is None or fired_g is None or not view.plan.target_formula:
        return None
    unknown = [line.plan for line in view.lines if (w := water(state, line.plan, library)) is not None and not w.known]
    if len(unknown) != 1 or unknown[0].jar is None or unknown[0].fate != "reacts":
        return None
    line = unknown[0]
    if any(one.weighed and one.weighed.body.jar not in (None, one.plan.jar) for one in view.lines):
        return None  # another jar was taken than the one that was planned
    try:
        return _told(state, view, line, fired_g, library)
    except Refusal:
        return None


def _all_fired_g(state: State, view: Batch) -> float | None:
    """All that a batch left in the fire; None where some was lost, left over, mixed with others or not weighed."""
    if view.next_line is not None or view.lost_g or not view.charges:
        return None
    if view.weighed_g - view.loaded_g > EMPTY_FRACTION * view.weighed_g:
        return None
    found = 0.0
    for one in view.charges:
        g = _charge_g(state, one)
        if g is None:
            return None
        found += g
    return found


def _charge_g(state: State, thing: str) -> float | None:
    view = charge(state, thing)
    opened = state.slot(thing, "opened").body
    if view is None or opened is None or view.pigment is None or view.lost_g or opened.stuck_g or opened.broken_open:
        return None
    if fill_assumed(state, thing):
        return None
    if len(view.charged.sources) != 1 or LOSING & {sign.casefold() for sign in opened.signs}:
        return None
    return raw_g(state, view.pigment)


def _told(state: State, view: Batch, line: Line, fired_g: float, library: Library) -> WaterTold | None:
    shares = shares_by_water(substance(line.formula, library, "formula"))
    dry = max(shares, key=lambda text: shares[text])
    asks = [line_ask(state, one.plan, one.weighed_g or 0.0, library) for one in view.lines]
    place = [one.plan.line for one in view.lines].index(line.line)

    def left_g(share: float) -> float:
        told_dry = {"formula": dry, "assay_pct": 100 * share, "assay_rest": "water"}
        known = {name: asks[place][name] for name in ("g", "fate")}
        weighed = [*asks[:place], known | told_dry, *asks[place + 1 :]]
        told = reckon("balance", {"weighed": weighed, "target": view.plan.target_formula}, library)
        left = told["fired_unwashed_g"]
        if left is None:
            raise Refusal(_("A salt in it is volatile."))
        return float(left)

    allowed_g = GAP_FRACTION * view.weighed_g
    if not left_g(LEAST_SHARE) < fired_g < left_g(MOST_SHARE) + allowed_g:
        return None
    # A heavier powder has more of the metal in it, so less water was in the jar.
    grams = (fired_g, fired_g + allowed_g, fired_g - allowed_g)
    middle, low, high = (_water_in(dry, _share_for(left_g, g)) for g in grams)
    forms = tuple((text, _water_in(dry, share / shares[dry])) for text, share in shares.items())
    steps = _working(view, line, dry, fired_g, allowed_g, (middle, low, high))
    return WaterTold(view.id, line.jar or "", dry, middle, low, high, forms, steps)


def _share_for(left_g: Callable[[float], float], wanted_g: float) -> float:
    """The share of the driest form at which a batch would leave these grams: more of it leaves more."""
    low, high = LEAST_SHARE, MOST_SHARE
    for _again in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if left_g(middle) < wanted_g else (low, middle)
    return (low + high) / 2


def _water_in(dry: str, share: float) -> float:
    """Moles of water to a formula unit of the driest form that is this share of a jar, beyond what it names itself."""
    mass = parse(dry).molar_mass_g_mol
    return max(0.0, (mass / share - mass) / GAS_G_MOL["H2O"])


def _working(
    view: Batch, line: Line, dry: str, fired_g: float, allowed_g: float, waters: tuple[float, float, float]
) -> tuple[Step, ...]:
    formula = parse(dry)
    key = key_element(formula)
    held = _(
        "It held {weighed_g:g} g of mixture. Two masses agree within 1 % of that (common practice)",
        weighed_g=view.weighed_g,
    )
    told = _(
        "The water in {name} at which theory gives that mass, to each {dry}",
        name=line.name or line.formula,
        dry=pretty(dry),
    )
    return (
        step(_("What came out of all its crucibles"), fired_g, "g"),
        step(held, allowed_g, "g", "common-practice"),
        step(
            _("Molar mass of {dry}", dry=pretty(dry)), grams_a_mole_of(formula, key) if key else None, "g/mol", "ciaaw"
        ),
        step(told, waters[0], "H₂O"),
        step(_("The same by a powder that is so much heavier"), waters[1], "H₂O"),
        step(_("The same by a powder that is so much lighter"), waters[2], "H₂O"),
        step(_("This holds if nothing was lost and all gas is gone. The other jars must match their labels.")),
    )
