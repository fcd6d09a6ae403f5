"""What differed between two powders or their swatches: plan, weighing, grinding, fires, what was done after, paint.

Each fact is a number with the scatter that is to be expected of it, or words. Two facts differ where they are further
apart than that scatter (project defaults), so that a hundredth of a gram is not taken for a cause.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from math import hypot
from typing import cast

from bench.records.state import State
from bench.science.colour import Lab
from bench.science.heat_work import min_above
from bench.steps import STEPS
from bench.steps.fields import Compare
from bench.translation import Later, _
from bench.workshop.share_changes import changed_shares, is_share, share_name
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of, charge
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.firings import BAND_C, Firing, firing, readings_of
from bench.workshop.things.pigments import pigment
from bench.workshop.things.residences import Residence
from bench.workshop.things.swatches import swatch

NOT_SAID = "–"
NONE_RECORDED = _("none recorded")
UNSAID = (NOT_SAID, NONE_RECORDED)
"""What stands where nothing was recorded: it may have been done all the same."""
SHARE_PCT, PEAK_C, SOAK_MIN, CHARGE_G, OUT_H = 0.1, 10.0, 10.0, 0.2, 0.5
SEEN_LAB = 1.0
"""A step in L*, a* or b* under this is not put into words where no standard error is known (project default)."""


@dataclass(frozen=True)
class Fact:
    """One fact of how something was made. `scatter` is how far two like numbers may lie apart."""

    value: float | str
    unit: str = ""
    scatter: float = 0.0
    places: int = 1

    @property
    def words(self) -> str:
        if isinstance(self.value, str):
            return self.value
        number = f"{self.value:.{self.places}f}"
        return f"{number} {self.unit}" if self.unit else number

    def like(self, other: "Fact") -> bool:
        if isinstance(self.value, str) or isinstance(other.value, str):
            return self.words == other.words
        return abs(self.value - other.value) <= max(self.scatter, other.scatter) + 1e-9


Facts = Mapping[str, Fact]


def facts(state: State, thing: str) -> dict[str, Fact]:
    """How a powder was made, each fact by its name; the same names for every powder."""
    found: dict[str, Fact] = {}
    charges = earlier_charges(state, thing)
    for one in dict.fromkeys(b for c in charges for b in batches_of(state, c)):
        found |= _batch_facts(state, one)
    for one in charges:
        found |= _charge_facts(state, one)
    found |= _fire_facts(state, charges)
    return found | _after_facts(state, thing)


def swatch_facts(state: State, thing: str) -> dict[str, Fact]:
    """How a paint-out was made."""
    view = swatch(state, thing)
    if view is None:
        return {}
    made = view.made
    found: dict[str, Fact] = {Later("binder"): Fact(made.binder)}
    numbers = {
        Later("oil to 1 g"): (made.oil_g, "g", 0.02, 2),
        Later("white to 1 of pigment"): (made.white_per_pigment or 0.0, "", 0.05, 1),
        Later("film"): (made.film_um, "µm", 10.0, 0),
    }
    found |= {name: Fact(n, unit, by, places) for name, (n, unit, by, places) in numbers.items() if n is not None}
    return found | ({Later("measured"): Fact(view.measured[-1].method)} if view.measured else {})


def _batch_facts(state: State, thing: str) -> dict[str, Fact]:
    view = batch(state, thing)
    if view is None:
        return {}
    found = {share_name(name): Fact(share, "%", SHARE_PCT) for name, share in _shares(view).items() if share > 0}
    mixed = state.by_time(thing, "mixed")
    if mixed:
        said = {Later("ground before in"): mixed[-1].read("medium"), Later("streak"): mixed[-1].read("streak")}
        found |= {name: Fact(value) for name, value in said.items() if value is not None}
    found |= declared_facts(state, thing, "batch")
    return found | {Later("cooling planned"): Fact(view.plan.cooling_mode.replace("-", " "))}


def _shares(view: Batch) -> dict[str, float]:
    """Each line as a part of the lines that react, so that more flux does not look like less of all else."""
    grams = [(line.plan, line.weighed_g if line.weighed_g is not None else line.target_g) for line in view.lines]
    whole = sum(g for plan, g in grams if plan.fate == "reacts") or sum(g for _, g in grams) or 1.0
    found: dict[str, float] = {}
    for plan, g in grams:
        found[plan.formula] = found.get(plan.formula, 0.0) + 100.0 * g / whole
    return found


def _charge_facts(state: State, thing: str) -> dict[str, Fact]:
    view = charge(state, thing)
    filled = state.slot(thing, "charged").record
    if view is None or filled is None:
        return {}
    return {
        **({Later("lid"): Fact(view.charged.lid)} if "lid" not in filled.assumed else {}),
        **({Later("in the crucible"): Fact(view.dry_g, "g", CHARGE_G)} if "sources" not in filled.assumed else {}),
        **({Later("packed in"): Fact(view.charged.packing)} if view.charged.packing else {}),
    }


def _fire_facts(state: State, charges: list[str]) -> dict[str, Fact]:
    """The hottest that was read, the soaks together, and of the last fire who stood where and when it came out."""
    stays = [(s, f) for c in charges for s in _stays(state, c) if (f := firing(state, s.firing)) is not None]
    if not stays:
        return {}
    peaks = [r.body.c for stay, _f in stays for r in readings_of(state, stay.firing)]
    found: dict[str, Fact] = {Later("hottest read"): Fact(max(peaks), "°C", PEAK_C, 0)} if peaks else {}
    soaks = [minutes for stay, fire in stays if (minutes := soak_min(stay, fire)) is not None]
    found |= {Later("soak in all"): Fact(sum(soaks), "min", SOAK_MIN, 0)} if soaks else {}
    found[Later("stays in a fire")] = Fact(len(stays), "", 0.0, 0)
    stay, fire = stays[-1]
    if stay.placed is not None:
        at = stay.placed
        found[Later("place")] = Fact(_("{n} o’clock", n=at.clock) if at.clock is not None else f"{at.row}.{at.column}")
        found[Later("tier")] = Fact(at.tier, "", 0.0, 0)
    if fire.furnace is not None:
        found[Later("furnace")] = Fact(fire.furnace.name)
    if fire.burner is not None:
        found[Later("burner")] = Fact(fire.burner.name)
    if stay.came_out is not None and fire.off_at is not None:
        found[Later("out after the fire")] = Fact((stay.came_out - fire.off_at).total_seconds() / 3600, "h", OUT_H)
    return found


def _stays(state: State, thing: str) -> list[Residence]:
    view = charge(state, thing)
    return [s for s in view.residences if s.went_in is not None] if view is not None else []


def soak_min(stay: Residence, fire: Firing) -> float | None:
    """Minutes held at the soak, from its first reading in the band until it came out or the fire was off, or None.

    What lies under the band again, as in a cooling by plan, is no soak.
    """
    ends = [e for e in (stay.came_out, fire.off_at) if e is not None]
    if fire.soak_start is None or not ends:
        return None
    start: datetime = max(fire.soak_start, stay.went_in or fire.soak_start)
    whole = max(0.0, (min(ends) - start).total_seconds() / 60)
    under = _under_min(fire, start, min(ends))
    return max(0.0, whole - under)


def _under_min(fire: Firing, start: datetime, end: datetime) -> float:
    """Minutes between two moments that were read under the soak's band, straight between readings."""
    lit = fire.lit_at or fire.readings[0].when
    low, high = ((moment - lit).total_seconds() / 60 for moment in (start, end))
    part = [(minute, c) for minute, c in fire.curve if low <= minute <= high]
    if len(part) < 2:
        return 0.0
    return (part[-1][0] - part[0][0]) - min_above(part, fire.soak.to_c - BAND_C)


def _after_facts(state: State, thing: str) -> dict[str, Fact]:
    view = pigment(state, thing)
    if view is None:
        return {}
    found = {Later("fires"): Fact(view.generation, "", 0.0, 0)}
    found[Later("rinses")] = Fact(view.washes, "", 0.0, 0) if view.washes else Fact(NONE_RECORDED)
    return found | declared_facts(state, thing, "pigment")


def declared_facts(state: State, thing: str, sort: str) -> dict[str, Fact]:
    """What the steps' own fields say to compare by: of several records the sum, the least or the last."""
    values: dict[str, tuple[Compare, str, list[float]]] = {}
    for step in (one for one in STEPS if sort in one.on and one.record is not None):
        for field in (one for one in step.recorded if one.compare is not None):
            done = [one for one in state.by_time(thing, str(step.record)) if field.name not in one.assumed]
            rows = (record.data.get(field.name) for record in done)
            how = cast(Compare, field.compare)
            values.setdefault(how.words, (how, field.unit, []))[2].extend(one for one in rows if one)
    return {
        _(words): Fact(WHICH[how.which](numbers), unit, how.scatter, how.places)
        for words, (how, unit, numbers) in values.items()
        if numbers
    }


WHICH: dict[str, Callable[[list[float]], float]] = {"sum": sum, "least": min, "last": lambda numbers: numbers[-1]}


def apart(one: Facts, two: Facts) -> list[tuple[str, str, str]]:
    """What differs: (what, of the first, of the second); alike facts are left out, and a changed dose is one."""
    found = []
    shares = set(changed_shares([one, two], SHARE_PCT))
    for name in dict.fromkeys([*one, *two]):
        first, second = one.get(name), two.get(name)
        if is_share(name) and name not in shares:
            continue
        if first is None or second is None or not first.like(second):
            found.append((name, first.words if first else NOT_SAID, second.words if second else NOT_SAID))
    return found


def differences(state: State, first: str, second: str) -> list[tuple[str, str, str]]:
    """What differed in how two powders were made."""
    return apart(facts(state, first), facts(state, second))


def swatch_differences(state: State, first: str, second: str) -> list[tuple[str, str, str]]:
    """What differed in how two swatches were painted and measured."""
    return apart(swatch_facts(state, first), swatch_facts(state, second))


DIRECTIONS = (("darker", "lighter"), ("greener", "redder"), ("bluer", "yellower"))


def direction(first: Lab, second: Lab, se1: Lab | None = None, se2: Lab | None = None) -> list[str]:
    """How the second colour stands to the first, in words; a step within twice its standard error is not said."""
    found = []
    for axis, (less, more) in enumerate(DIRECTIONS):
        step = second[axis] - first[axis]
        errors = [se[axis] for se in (se1, se2) if se is not None]
        if abs(step) > max(2 * hypot(*errors) if errors else 0.0, SEEN_LAB):
            found.append((abs(step), more if step > 0 else less))
    return [word for _size, word in sorted(found, reverse=True)]
