"""Who stands beside whom in a furnace, and who should not: what leaves one crucible and stains the next."""

from collections.abc import Callable, Mapping
from itertools import combinations

from bench.reckoning.rules import Facts, Finding, Part, facts_of
from bench.records.state import State
from bench.reference import Library
from bench.translation import _
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import batches_of
from bench.workshop.things.firings import Firing, occupied

Where = tuple[int, int | None, int | None, int | None]
HOURS = 12
CHARGED = ("line", "packing")
MUCH_ZINC = 0.3
"""A third of the grams of a charge counts as much zinc (our own default; the advice says only *much*)."""
PALE_SHUNS = ("fluoride", "chloride", "sulfur", "vanadium", "zinc")
"""What never stands beside a pale target (common practice)."""


def _has(symbol: str) -> Callable[[Facts], bool]:
    return lambda facts: symbol in facts.symbols


def _mark(*marks: str) -> Callable[[Facts], bool]:
    return lambda facts: bool(facts.marks & set(marks))


TESTS: Mapping[str, Callable[[Facts], bool]] = {
    "fluoride": _mark("fluoride"),
    "chloride": _mark("chloride"),
    "sulfur": lambda facts: bool(facts.marks & {"sulfur", "sulfide"}) or "S" in facts.symbols,
    "vanadium": _has("V"),
    "zinc": _has("Zn"),
    "cobalt": _has("Co"),
    "copper": _has("Cu"),
    "chromium": _has("Cr"),
    "iron": _has("Fe"),
    "alkali": lambda facts: bool(facts.symbols & {"Li", "Na", "K"}) and not facts.symbols & {"Al", "Si"},
}


def beside(one: Where, two: Where, places: int = HOURS) -> bool:
    """Whether two places are next to each other: on the grid also across a corner, on the ring the next place, and the
    middle of a ring beside all of it; in the tier above or under, the same place.
    """
    if one[3] is not None and two[3] is not None:
        if 0 in (one[3], two[3]):
            return one[3] != two[3]
        apart = abs(one[3] - two[3]) % HOURS
        return 0 < min(apart, HOURS - apart) <= HOURS / max(1, min(places, HOURS)) + 0.5
    rows, columns = abs((one[1] or 1) - (two[1] or 1)), abs((one[2] or 1) - (two[2] or 1))
    tiers = abs(one[0] - two[0])
    return (tiers == 0 and 0 < max(rows, columns) <= 1) or (tiers == 1 and rows == columns == 0)


def bad_neighbours(state: State, fire: Firing, library: Library) -> list[Finding]:
    """A flag for each pair that stands side by side though one of them shuns what the other gives off."""
    places = fire.furnace.places if fire.furnace is not None and fire.furnace.places else HOURS
    found = []
    for (one, first), (two, second) in combinations(occupied(state, fire.id).items(), 2):
        if beside(one, two, places):
            found += _pair(state, first, second, library) + _pair(state, second, first, library)
    return found


def _pair(state: State, shy: str, other: str, library: Library) -> list[Finding]:
    shuns, name = _shuns(state, shy, library)
    facts = [(part, facts_of(part.formula, part.name, part.role)) for part in charge_parts(state, other)]
    bringing = [
        word
        for word in shuns
        if word in TESTS and any(TESTS[word](known) for part, known in facts if part.role in CHARGED)
    ]
    if "zinc" in bringing and _zinc_share(facts) < MUCH_ZINC:
        bringing.remove("zinc")
    if not bringing:
        return []
    codes = (_read_out(state, shy), _read_out(state, other))
    say = _(
        "{one} ({name}) is beside {other}, which brings {bringing}. Move one away.",
        one=codes[0],
        name=name,
        other=codes[1],
        bringing=_(" and ").join(bringing),
    )
    return [Finding("bad-neighbours", "flag", say, ("common-practice",), "memory", "none", codes, "load")]


def _shuns(state: State, thing: str, library: Library) -> tuple[list[str], str]:
    """What a charge should not stand beside, by its targets; and what it is called."""
    words: dict[str, None] = {}
    names: dict[str, None] = {}
    for batch in batches_of(state, thing):
        plan = state.slot(batch, "batch.planned").body
        target = library.target(plan.target) if plan is not None and plan.target else None
        if plan is not None:
            names[plan.name] = None
        if target is not None and target.pale:
            words |= dict.fromkeys((*target.neighbours_to_avoid, *PALE_SHUNS))
    own = {s for part in charge_parts(state, thing) for s in facts_of(part.formula, part.name, part.role).symbols}
    # What a charge is itself made of cannot spoil it from beside.
    made_of = {"zinc": "Zn", "cobalt": "Co", "copper": "Cu", "chromium": "Cr", "iron": "Fe", "vanadium": "V"}
    return [w for w in words if made_of.get(w) not in own], " + ".join(names)


def _zinc_share(facts: list[tuple[Part, Facts]]) -> float:
    lines = [(part.g or 0.0, "Zn" in known.symbols) for part, known in facts if part.role == "line"]
    whole = sum(g for g, _zinc in lines)
    return sum(g for g, zinc in lines if zinc) / whole if whole else 1.0


def _read_out(state: State, thing: str) -> str:
    code = state.code_of(state.slot(thing, "charged").body.crucible)
    return f"{code[:5]}-{code[5:]}" if code else _("one crucible")
