"""What a finding says: the words of its rule filled from the matter in hand, and the sources of that matter alone."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import ceil, floor, log10

from bench.reckoning.rules import names
from bench.reckoning.rules.amounts import carbon_monoxide_g, hydrogen_fluoride_g
from bench.reckoning.rules.asking import Asking
from bench.reckoning.rules.cards import counts_of
from bench.reckoning.rules.grammar import Is, atoms, evaluate, parse_pattern
from bench.reckoning.rules.scene import Scene, Seen
from bench.reference.cautions import BLANK, HazardCard, Rule, filled
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.translation import _

BRITTLE = ("glazed-porcelain", "unglazed-porcelain", "borosilicate-glass", "fused-silica")
CARD, ELSE = "card", "else"
ALUM_SHARE, FROTH_SHARE = _("one tenth"), _("one fifth")
GASES_BY_MARK = (("nitrate", "NO2"), ("sulfate", "SO2"), ("sulfur", "SO2"), ("ammonium", "NH3"))
FREED_BY_ACID = (("sulfide", "H2S"), ("fluoride", "HF"), ("hypochlorite", _("chlorine")))
MATTER = {"hypochlorite": _("bleach")}


@dataclass(frozen=True)
class Met:
    """The parts that set a rule off, in their scene."""

    rule: Rule
    scene: Scene
    parts: tuple[Seen, ...]

    def first(self, *marks: str) -> Seen | None:
        """The first part with one of these marks; without any, the first part."""
        return next((each for each in self.parts if not marks or set(marks) & each.facts.marks), None)

    @property
    def elements(self) -> tuple[str, ...]:
        """The elements that the rule asks for and these parts hold, in the rule's order."""
        asked = [atom for atom in atoms(parse_pattern(self.rule.pattern)) if isinstance(atom, Is)]
        wanted = [value for atom in asked if atom.key.startswith("elements") for value in atom.values]
        held = {symbol for each in self.parts for symbol in each.facts.symbols}
        return tuple(dict.fromkeys(symbol for symbol in wanted if symbol in held))

    @property
    def cards(self) -> tuple[HazardCard, ...]:
        """The cards of these parts: those that refuse where there are any."""
        cards = (card for each in self.parts for card in self.scene.known.cards(each.part))
        found = tuple({card.slug: card for card in cards}.values())
        return tuple(card for card in found if card.flag == "refuse") or found


def called(seen: Seen | None, scene: Scene) -> str | None:
    """A part as a maker reads it: the name of the library, else what was typed, else its formula."""
    if seen is None:
        return None
    library, part = scene.known.library, seen.part
    thing = library.targets.get(part.slug or "") or library.reagents.get(part.slug or "")
    told = thing is not None and (not part.formula or counts_of(part.formula) == counts_of(thing.formula))
    name = thing.name if thing is not None and told else "" if thing is not None else part.name
    if not name or name == part.formula or scene.known.formula(part) == name:
        return _pretty(scene.known.formula(part) or name)
    return name


def _pretty(text: str) -> str:
    try:
        return pretty(text)
    except Refusal:
        return text


def _element(met: Met) -> str | None:
    return names.ELEMENTS.get(met.elements[0], met.elements[0]) if met.elements else None


def _metal(met: Met) -> str | None:
    """The metal of a powder, of a fume or of a rinse."""
    powder = met.first("metal_powder", "alkali_metal")
    if powder is None:
        return _element(met)
    symbols = sorted(powder.facts.symbols)
    return names.ELEMENTS.get(symbols[0], symbols[0]) if symbols else powder.part.name.split()[0]


def _base(met: Met) -> str | None:
    bases = [symbol for symbol in met.elements if symbol != "Cr"]
    return names.ELEMENTS.get(bases[0], bases[0]) if bases else None


def _fuel(met: Met) -> str | None:
    return called(met.first("fuel_material", "flammable_liquid"), met.scene)


def _oxidiser(met: Met) -> str | None:
    chlorates = (each for each in met.parts if each.facts.anions & {"ClO3", "ClO4"})
    return called(next(chlorates, None) or met.first("strong_oxidiser") or met.first("nitrate"), met.scene)


def _oxide(met: Met) -> str | None:
    others = (each for each in met.parts if not {"fuel_material", "metal_powder"} & each.facts.marks)
    return called(next(others, None), met.scene)


def _gas(met: Met) -> str | None:
    if met.rule.slug in ("acid-sulfide-fluoride", "waste-acid"):
        return next((gas for mark, gas in FREED_BY_ACID if met.first(mark)), _("hydrogen cyanide"))
    if met.rule.slug == "chlorine-release":
        return _("chloramine") if met.first("ammonium") else _("chlorine")
    gas = next((gas for mark, gas in GASES_BY_MARK if met.first(mark)), None)
    return gas or (_("{element} fume", element=names.ELEMENTS[met.elements[0]].lower()) if met.elements else None)


def _matter(met: Met) -> str | None:
    return next((MATTER.get(mark, mark) for mark, _gas in FREED_BY_ACID if met.first(mark)), "cyanide")


def _number(name: str) -> Callable[[Met], str | None]:
    def told(met: Met) -> str | None:
        value = met.scene.value(name)
        return f"{value:g}" if isinstance(value, float) else None

    return told


def _rated(met: Met) -> str | None:
    return _number("lining_rated_c" if met.rule.slug == "lining-rating" else "crucible_rated_c")(met)


def _missing(met: Met) -> str | None:
    value = met.scene.value("ticks_missing")
    return f"{value:g}" if isinstance(value, float) else str(len(value)) if value else None


def _ware(met: Met) -> str | None:
    value = met.scene.value("ware")
    found = [slug for slug in BRITTLE if isinstance(value, tuple) and slug in value]
    return found[0].replace("-", " ") if found else None


def _colour(met: Met) -> str | None:
    value = met.scene.value("crucible_held")
    held = [symbol for symbol in value if symbol in names.ELEMENTS] if isinstance(value, tuple) else []
    coloured = [symbol for symbol in held if symbol in ("Co", "Cr", "Cu", "V")]
    return names.ELEMENTS[coloured[0]].lower() if coloured else None


def _share(met: Met) -> str | None:
    return ALUM_SHARE if met.first("alum") else FROTH_SHARE


def _grams(met: Met) -> str | None:
    """The most of the gas that the load, or else these parts, can give, rounded up: a bound, never a promise."""
    name, of = ("hf_g", hydrogen_fluoride_g) if met.rule.slug == "fluoride-indoors" else ("co_g", carbon_monoxide_g)
    whole = met.scene.value(name)
    if isinstance(whole, float):
        return rounded_up(whole)
    found = [of(each, met.scene.known) for each in met.parts]
    return rounded_up(sum(g for g in found if g is not None)) if found and None not in found else None


def rounded_up(g: float) -> str:
    """Grams to two figures, never fewer than there may be."""
    if g <= 0:
        return "0"
    figures = 10.0 ** (1 - floor(log10(g)))
    return f"{ceil(g * figures - 1e-6) / figures:g}"


def _why(met: Met) -> str | None:
    return next((card.reason for card in met.cards if card.reason), None)


PLACEHOLDERS: Mapping[str, Callable[[Met], str | None]] = {
    "element": _element,
    "substance": lambda met: called(met.first(), met.scene),
    "fuel": _fuel,
    "oxidiser": _oxidiser,
    "metal": _metal,
    "oxide": _oxide,
    "base": _base,
    "gas": _gas,
    "matter": _matter,
    "peak": _number("peak_c"),
    "rated": _rated,
    "n": _missing,
    "ware": _ware,
    "colour": _colour,
    "share": _share,
    "ppm": _number("co_ppm"),
    "g": _grams,
    "why": _why,
}
"""How each blank of a rule's words is filled; None where nothing is known to fill it."""


def met_by(rule: Rule, scene: Scene, because: Iterable[str]) -> Met:
    """The parts that an answer names, in their scene."""
    labels = set(because)
    return Met(rule, scene, tuple(each for each in scene.seen if each.label in labels))


def said(met: Met) -> tuple[str, str]:
    """What a rule says here, and its second line; words with a blank that nothing fills give way to the others."""
    rule = met.rule
    values = {name: PLACEHOLDERS[name](met) for name in BLANK.findall(rule.reason + rule.otherwise + rule.second_line)}
    known = {name: str(value) for name, value in values.items() if value}
    lacking = any(name not in known for name in BLANK.findall(rule.reason))
    second = "" if set(BLANK.findall(rule.second_line)) - set(known) else filled(rule.second_line, known)
    return filled(rule.otherwise if lacking and rule.otherwise else rule.reason, known), second


def sources_of(met: Met) -> tuple[str, ...]:
    """The sources of the matter in hand; those that the rule keeps for other matter are left out."""
    rule = met.rule
    if not rule.sources_by_matter:
        return rule.sources
    kept: dict[str, list[str]] = {}
    for entry in rule.sources_by_matter.split(" | "):
        pattern, _colon, keys = entry.partition(":")
        kept.setdefault(pattern.strip(), []).extend(key.strip() for key in keys.split(";") if key.strip())
    held = [pattern for pattern in kept if pattern not in (CARD, ELSE) and _holds(pattern, met)]
    told = [key for pattern in held for key in kept[pattern]] or list(kept.get(ELSE, []))
    told += [key for card in met.cards if CARD in kept for key in _of_card(card)]
    others = [key for key in rule.sources if not any(key in keys for keys in kept.values())]
    return tuple(dict.fromkeys((*told, *others)))


def _holds(pattern: str, met: Met) -> bool:
    tree = parse_pattern(pattern)
    return any(evaluate(tree, Asking(met.scene, (each,))).holds for each in met.parts)


def _of_card(card: HazardCard) -> tuple[str, ...]:
    return tuple(key for claim in card.claims for key in claim.sources) or card.sources
