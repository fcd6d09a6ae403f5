"""What attacks a crucible: the charge against what its ware is said to suffer from. It warns, it never blocks."""

from collections.abc import Callable, Mapping, Sequence

from bench.reckoning.rules import Facts, Finding, Part, facts_of
from bench.reference.surroundings import Ware
from bench.translation import _

Test = Callable[[Facts], bool]
ALKALI = frozenset({"Li", "Na", "K", "Rb", "Cs"})
COBALT_FROM_C = 1200.0
CHARGED = ("line", "binder", "packing")


def _has(*symbols: str) -> Test:
    return lambda facts: set(symbols) <= facts.symbols


def _alkali_melt(facts: Facts) -> bool:
    """An alkali salt or flux; in a feldspar or a spinel the alkali is bound."""
    return bool(facts.symbols & ALKALI) and not facts.symbols & {"Al", "Si"}


def _mark(*marks: str) -> Test:
    return lambda facts: bool(set(marks) & facts.marks)


TESTS: Mapping[str, Test] = {
    "alkali-melt": _alkali_melt,
    "alkali-hot": _alkali_melt,
    "lithium": _has("Li"),
    "lithium-melt": _has("Li"),
    "calcium-oxide": _has("Ca"),
    "barium-oxide": _has("Ba"),
    "bismuth": _has("Bi"),
    "bismuth-melt": _has("Bi"),
    "vanadium": _has("V"),
    "vanadium-reduced": _has("V"),
    "antimony": _has("Sb"),
    "lead": _has("Pb"),
    "copper-melt": _has("Cu"),
    "copper-oxide-melt": _has("Cu"),
    "cobalt-above-1200": _has("Co"),
    "iron-oxide-contact": _has("Fe"),
    "borate-melt": _has("B", "O"),
    "phosphate-melt": _has("P", "O"),
    "phosphate-hot": _has("P", "O"),
    "silica-hot": lambda facts: facts.symbols == {"Si", "O"},
    "fluoride": _mark("fluoride"),
    "chloride": _mark("chloride"),
    "chloride-with-oxidiser": _mark("chloride"),
    "salt-vapour": lambda facts: "chloride" in facts.marks and bool(facts.symbols & ALKALI),
    "sulfur": _mark("sulfur", "sulfide"),
    "nitrate-hot": _mark("nitrate"),
    "tin-or-zinc-where-reducing": lambda facts: bool(facts.symbols & {"Sn", "Zn", "Pb"}),
    "iron-oxide-where-reducing": _has("Fe"),
}
"""How each attacker that the ware's rows name is found in a part, where a formula can tell. Words about sensitive
colours, thermal shock or the furnace's gas are no attack by the charge and are left out."""


def attacks(ware: Ware | None, parts: Sequence[Part], peak_c: float | None = None) -> list[Finding]:
    """A flag for each thing that attacks this ware and is in the charge, with the parts that bring it.

    `peak_c` is the planned peak in °C, None where it is not known, which counts as hot.
    """
    if ware is None:
        return []
    facts = [(part, facts_of(part.formula, part.name, part.role)) for part in parts if part.role in CHARGED]
    found = []
    for word in ware.avoid:
        test = TESTS.get(word)
        if test is None or (word == "cobalt-above-1200" and peak_c is not None and peak_c < COBALT_FROM_C):
            continue
        bringing = tuple(dict.fromkeys(part.label for part, known in facts if test(known)))
        if bringing:
            found.append(_flag(ware, word, bringing))
    return found


def _flag(ware: Ware, word: str, bringing: tuple[str, ...]) -> Finding:
    name = ware.slug.replace("-", " ").capitalize()
    say = _("This attacks {name} ({what}): it may crack, stick or leak.", name=name, what=word.replace("-", " "))
    return Finding("ware-attacked", "flag", say, ware.sources, ware.basis, "none", bringing, "load")
