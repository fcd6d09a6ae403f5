"""Plans a batch: reads target, mass and lines, fixes or solves every amount, and follows the charge into the fire."""

from collections.abc import Sequence
from dataclasses import dataclass

from bench.reckoning import charges
from bench.reckoning.ask import Ask
from bench.reckoning.charges import Ingredient
from bench.reckoning.substances import target
from bench.reckoning.water import ends
from bench.reference import Library
from bench.science.batch import Amounts, Source, amounts, formed_mol, missing, rows_of
from bench.science.charge import Outcome, outcome, supplied
from bench.science.formulas import Formula
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

LEAVES = ("C", "N")
"""Elements of which more than the target takes is no excess: it leaves as gas."""
FIXED_BY = ("g", "parts", "mol")


@dataclass(frozen=True)
class Plan:
    """A planned batch: what was asked, the grams of each line, and what comes of them.

    `fixed_by` says for each line whether it was fixed by g, parts or mol, or solved (None); `part_g` is the mass of one
    part. `excess` and `short` count elements in mol; `asked_g` is the product asked for; `outer` is what the same grams
    become at the ends of what is not known of the jars' water, empty where it is known.
    """

    target: Formula
    asked_g: float
    ingredients: tuple[Ingredient, ...]
    weigh_g: tuple[float, ...]
    fixed_by: tuple[str | None, ...]
    shares: tuple[float | None, ...]
    part_g: float | None
    excess: dict[str, float]
    short: dict[str, float]
    outcome: Outcome
    outer: tuple[Outcome, ...] = ()


@dataclass(frozen=True)
class _Fixed:
    """A fixed amount as asked: by what, and how much."""

    by: str
    amount: float


def planned(ask: Ask, library: Library) -> Plan:
    """The plan that an ask means; raises Refusal with the field for what cannot be planned."""
    typed = ask.text("target")
    wanted, row = target(typed, library, "target")
    product_g = ask.number("product_g", above=0, high=charges.MOST_G)
    chosen = charges.choices(ask)
    items = ask.asks("reagents", 1, charges.MOST_LINES)
    ingredients = tuple(charges.ingredient(item, library, chosen) for item in items)
    named = (wanted, typed, row.slug if row is not None else None)
    charges.refuse_if_dangerous([each.substance for each in ingredients], library, named)
    fixed = [_fixed(item, each) for item, each in zip(items, ingredients, strict=True)]
    shares = tuple(_share(item, each, amount) for item, each, amount in zip(items, ingredients, fixed, strict=True))
    if not rows_of(wanted.numbers):
        raise Refusal(_("{text} holds nothing that a reagent must bring.", text=wanted.text), "target")
    product_mol = product_g / wanted.molar_mass_g_mol
    part_g = _part_g(wanted, product_mol, product_g, ingredients, fixed)
    fixed_g = [_g(each, amount, part_g) for each, amount in zip(ingredients, fixed, strict=True)]
    solved = _solved(wanted, product_mol, ingredients, fixed_g, shares)
    weigh_g = tuple(solved.weigh_g)
    lines = [each.line(g) for each, g in zip(ingredients, weigh_g, strict=True)]
    brought = supplied(lines)
    most, _limiting = formed_mol(wanted.numbers, brought)
    result = outcome(lines, wanted.numbers, min(product_mol, most))
    excess = {symbol: mol for symbol, mol in solved.amounts.excess.items() if symbol not in LEAVES}
    for symbol, mol in brought.items():
        if symbol not in VOLATILE and symbol not in wanted.counts and mol > 0:
            excess[symbol] = mol
    by = tuple(amount.by if amount is not None else None for amount in fixed)
    short = dict(solved.amounts.short)
    outer = tuple(ends(wanted, ingredients, weigh_g, {}))
    return Plan(wanted, product_g, ingredients, weigh_g, by, shares, part_g, excess, short, result, outer)


@dataclass(frozen=True)
class _Solved:
    weigh_g: list[float]
    amounts: Amounts


def _solved(
    wanted: Formula,
    product_mol: float,
    ingredients: Sequence[Ingredient],
    fixed_g: Sequence[float | None],
    shares: Sequence[float | None],
) -> _Solved:
    """The grams of every line: those that react by the elements, the others as fixed."""
    reacting = [i for i, each in enumerate(ingredients) if each.fate == "reacts"]
    sources = []
    for i in reacting:
        each, g = ingredients[i], fixed_g[i]
        mol = each.mol_in(g) if g is not None else None
        sources.append(Source(each.name, each.formula.numbers, mol, shares[i]))
    try:
        found = amounts(wanted.numbers, product_mol, sources)
    except Refusal as refusal:
        raise Refusal(refusal.say, _renumbered(refusal.field, reacting)) from None
    weigh_g = [amount or 0.0 for amount in fixed_g]
    for i, mol in zip(reacting, found.mol, strict=True):
        if fixed_g[i] is None:
            weigh_g[i] = ingredients[i].g_of(mol)
    return _Solved(weigh_g, found)


def _renumbered(field: str | None, reacting: Sequence[int]) -> str | None:
    """The field of a refusal that counts only the reacting lines, counted over all lines."""
    if field is None or not field.startswith("reagents["):
        return field
    number, _bracket, rest = field.removeprefix("reagents[").partition("]")
    return f"reagents[{reacting[int(number)]}]{rest}"


def _fixed(item: Ask, each: Ingredient) -> _Fixed | None:
    """The fixed amount of a line, of which there may be one; a line that does not react needs one."""
    given = [name for name in FIXED_BY if item.has(name)]
    if len(given) > 1:
        raise Refusal(
            _("Give {name} one amount, not {given}.", name=each.name, given=_(" and ").join(given)),
            item.field(given[1]),
        )
    if given:
        return _Fixed(given[0], item.number(given[0], above=0, high=charges.MOST_G))
    if each.fate != "reacts":
        raise Refusal(_("{name} does not react. Give its amount: g, parts or mol.", name=each.name), item.field("g"))
    return None


def _share(item: Ask, each: Ingredient, fixed: _Fixed | None) -> float | None:
    share: float | None = item.number("share", above=0, high=1000, default=None)
    if share is not None and (fixed is not None or each.fate != "reacts"):
        raise Refusal(
            _("{name} takes no share. Only a reacting reagent without a fixed amount does.", name=each.name),
            item.field("share"),
        )
    return share


def _part_g(
    wanted: Formula,
    product_mol: float,
    product_g: float,
    ingredients: Sequence[Ingredient],
    fixed: Sequence[_Fixed | None],
) -> float | None:
    """The mass of one part: so that the asked product forms where all reacting lines are parts, else 1/100 of it."""
    if not any(amount is not None and amount.by == "parts" for amount in fixed):
        return None
    reacting = [(each, amount) for each, amount in zip(ingredients, fixed, strict=True) if each.fate == "reacts"]
    if not all(amount is not None and amount.by == "parts" for _each, amount in reacting):
        return product_g / 100
    sources = [Source(each.name, each.formula.numbers) for each, _amount in reacting]
    absent = missing(wanted.numbers, sources)
    if absent:
        raise Refusal(
            _("No reagent here brings {absent}. Add one that does.", absent=_(" or ").join(absent)), "reagents"
        )
    one = supplied([each.line(amount.amount) for each, amount in reacting if amount is not None])
    most, _limiting = formed_mol(wanted.numbers, one)
    return product_mol / most


def _g(each: Ingredient, amount: _Fixed | None, part_g: float | None) -> float | None:
    if amount is None:
        return None
    if amount.by == "parts":
        return amount.amount * (part_g or 0.0)
    return each.g_of(amount.amount) if amount.by == "mol" else amount.amount
