"""A jar of which only the water is unknown: what its assay leaves over is water, between its driest and wettest."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from bench.reckoning.ask import Ask
from bench.reckoning.substances import Substance
from bench.reckoning.wide_assay import grams_a_mole_of, key_element
from bench.reckoning.working import Step, step
from bench.science.batch import formed_mol
from bench.science.charge import Outcome, outcome, supplied
from bench.science.formulas import Formula, parse, pretty
from bench.translation import _

if TYPE_CHECKING:
    from bench.reckoning.charges import Ingredient

CRYSTAL_C: Final = (40.0, 250.0)
"""Between these, water of crystals leaves where no record says better (common practice)."""
NOT_WATER: Final = 0.9
"""An assay that reaches further below the wettest form than this tells of more than water (project default)."""
RESTS: Final = ("stays", "water")


@dataclass(frozen=True)
class Water:
    """The share of a jar that the formula is (1 is all of it) when it is at its wettest, and at its driest."""

    wettest: float
    driest: float

    @property
    def known(self) -> bool:
        """Whether the water is known: then there is no range."""
        return self.driest - self.wettest < 1e-9


def water_of(item: Ask, found: Substance, purity: float) -> Water | None:
    """The water of a line as asked: known where `assay_rest` is water, a range where `hydrate_known` is false.

    None where what the assay leaves over stays, and where the forms of the jar differ by more than water.
    """
    rest = item.choice("assay_rest", RESTS, None)
    unknown = item.flag("hydrate_known", True) is False
    sd = item.number("assay_sd_pct", low=0, high=50, default=None)
    if not unknown:
        return Water(purity, purity) if rest == "water" else None
    shares = shares_by_water(found)
    if rest == "stays" or len(shares) < 2 or item.has("assay_of"):
        return None
    if sd:
        # Such an assay is the middle of an even chance, and its spread half the width over √3 (JCGM 100:2008, 4.3.7).
        half = math.sqrt(3) * sd / 100
        wettest = purity - half
        return Water(wettest, purity + half) if wettest >= NOT_WATER * min(shares.values()) else None
    return Water(min(shares.values()) * purity, max(shares.values()) * purity)


def shares_by_water(found: Substance) -> dict[str, float]:
    """Each form that differs by water alone, with the share that a jar of it is when counted by the formula.

    Only the formula itself where nothing says that another water may be in the jar, or where it is not only water.
    """
    whole = found.formula
    key = key_element(whole)
    texts = [whole.text, *hydrates_of(found)]
    forms = [parse(text) for text in dict.fromkeys(texts)]
    if key is None or not all(_differ_by_water(whole, one, key) for one in forms):
        return {whole.text: 1.0}
    per = grams_a_mole_of(whole, key)
    return {one.text: per / grams_a_mole_of(one, key) for one in forms}


def hydrates_of(found: Substance) -> list[str]:
    """The other forms of a substance that differ in their water: by its row, or by its name and its formula."""
    return list(found.row.hydrates) if found.row is not None else [*dry_of(found.formula.text), *found.sold_as]


def dry_of(text: str) -> list[str]:
    """The formula without the water that it names apart, if it names any."""
    head, star, tail = text.rpartition("*")
    return [head] if star and tail.lstrip("0123456789.") == "H2O" else []


def _differ_by_water(one: Formula, other: Formula, key: str) -> bool:
    if key not in other.counts:
        return False
    times = one.counts[key] / other.counts[key]
    off = {s: one.counts.get(s, 0) - times * other.counts.get(s, 0) for s in {*one.counts, *other.counts}}
    return off.get("H", 0) == 2 * off.get("O", 0) and not any(n for s, n in off.items() if s not in ("H", "O"))


def ends(
    wanted: Formula, ingredients: "Sequence[Ingredient]", weigh_g: Sequence[float], oxides: Mapping[str, str]
) -> list[Outcome]:
    """What the same grams become when every jar of unknown water is at its wettest, and at its driest."""
    if not any(each.water is not None and not each.water.known for each in ingredients):
        return []
    found = []
    for end in ("wettest", "driest"):
        purities = [getattr(each.water, end) if each.water is not None else each.purity for each in ingredients]
        lines = [each.line(g, p) for each, g, p in zip(ingredients, weigh_g, purities, strict=True)]
        formed, _ = formed_mol(wanted.numbers, supplied(lines))
        found.append(outcome(lines, wanted.numbers, formed, oxides))
    return found


def ranges(middle: Outcome, outer: Sequence[Outcome]) -> dict[str, Any]:
    """The range of each mass that unknown water allows, in g; None where no water is unknown."""
    every = [middle, *outer]
    volatile = any(each.salt_volatile for each in every)

    def span(masses: list[float]) -> list[float] | None:
        return [min(masses), max(masses)] if outer else None

    return {
        "fired_range_g": span([each.fired_g for each in every]),
        "fired_unwashed_range_g": None if volatile else span([each.fired_g + each.salt_g for each in every]),
        "washed_range_g": span([each.washed_g for each in every]),
    }


def most_g(gas: str, every: Sequence[Mapping[str, float]]) -> float:
    """The most of a gas over what may be in the jars, in g."""
    return max(each.get(gas, 0.0) for each in every)


def said(ingredients: "Sequence[Ingredient]", weigh_g: Sequence[float]) -> list[Step]:
    """A step on each line whose rest is counted as water."""
    steps = []
    for each, g in zip(ingredients, weigh_g, strict=True):
        if each.water is None or g <= 0:
            continue
        name = pretty(each.name) if each.name == each.formula.text else each.name
        over_g = g * (1 - each.purity)
        if over_g >= 0:
            say = _("{name}: what its assay leaves over is counted as water, which leaves", name=name)
        else:
            say = _("{name}: its assay is above 100 %, so it holds less water than its formula by", name=name)
        steps.append(step(say, abs(over_g), "g"))
        if not each.water.known:
            steps.append(step(_between(name, *(g * (1 - share) for share in (each.water.driest, each.water.wettest)))))
    return steps


def _between(name: str, low_g: float, high_g: float) -> str:
    """How far the water may be off what the formula counts, from the driest jar to the wettest."""
    less, more = (f"{round(max(0.0, g), 4):.4g}" for g in (-low_g, high_g))
    if less == "0":
        low = f"{round(low_g, 4):.4g}"
        return _("{name}: water not known; {low} to {high} g may be there beside the formula.",
                 name=name, low=low, high=more)  # fmt: skip
    if more == "0":
        return _("{name}: water not known; up to {less} g less than the formula may be there.", name=name, less=less)
    return _("{name}: water not known; up to {less} g less or {more} g more than the formula may be there.",
             name=name, less=less, more=more)  # fmt: skip
