"""What warns a maker: hazard cards, rules with their vocabulary, checklists, statement texts and advice."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from bench.reference.applying import ALWAYS, applies
from bench.reference.provenance import Row
from bench.reference.surroundings import DustLimit
from bench.reference.tables import Sentence
from bench.translation import _

STEPS = ("plan", "weigh", "mix", "grind", "dry", "load", "light", "fire", "open", "quench", "wash", "swatch", "waste")
"""The steps of the rules: what they may be asked about."""
EFFECTS = ("refuse", "block", "flag")
"""What a rule may do to a step, the heaviest first."""
NO_CARD = _("No card here: read the SDS.")
NO_CLASS = _("No class known. It may still harm: read the SDS.")


@dataclass(frozen=True, kw_only=True)
class GasYield:
    """The most gas in grams that one gram gives off.

    `form` names the hydrate or form it holds for (empty: the only one).

    `instead` is true for a figure that stands in place of the others of its form, not beside them. A negative figure
    is taken up.
    """

    gas: str
    g_per_g: float
    form: str = ""
    instead: bool = False


@dataclass(frozen=True, kw_only=True)
class HazardCard(Row):
    """What is known of the dangers of one substance; the SDS of the jar always decides.

    `flag` is ok, caution, avoid or refuse. `classified` false means: no label class known; then
    `good_practice_p_codes` are advice, not a label. `gas_yield_kind` is `listed`, `none`, or `not-computable`
    (vapour, fume or traces: counts as gas). `limits` are the limits of exposure in figures, by form (see `dust.py`).
    `reason` says in one sentence why the bench refuses it or is wary of it. `elements`: the card speaks for every
    substance that holds one of them.
    """

    slug: str
    name: str
    number: int = 0
    formulas: tuple[str, ...] = ()
    cas: tuple[str, ...] = ()
    groups: str = ""
    flag: str = "caution"
    signal_word: str = ""
    pictograms: tuple[str, ...] = ()
    classified: bool = False
    h_codes: tuple[str, ...] = ()
    h_codes_status: str = ""
    p_codes: tuple[str, ...] = ()
    good_practice_p_codes: tuple[str, ...] = ()
    osha_pel: str = ""
    niosh_rel: str = ""
    uk_wel: str = ""
    acgih_tlv: str = ""
    other_limit: str = ""
    idlh: str = ""
    iarc: str = ""
    evolves_on_heating: str = ""
    gas_yield_kind: str = "not-computable"
    gas_yields: tuple[GasYield, ...] = ()
    limits: tuple[DustLimit, ...] = ()
    never_combine: str = ""
    waste_note: str = ""
    uncertain: str = ""
    reason: Sentence = ""
    elements: tuple[str, ...] = ()


BLANK = re.compile(r"\{(\w+)\}")
GENERAL = {
    "element": _("this element"),
    "substance": _("this substance"),
    "fuel": _("what burns"),
    "oxidiser": _("an oxidiser"),
    "metal": _("this metal"),
    "oxide": _("this oxide"),
    "base": _("lime or alkali"),
    "gas": _("poisonous gas"),
    "matter": _("substance"),
    "colour": _("a strong colour"),
    "share": _("one fifth"),
}
"""What stands in a blank of a rule's words where no matter is in hand."""


def filled(template: str, values: Mapping[str, str]) -> str:
    """The words with their blanks filled, from the values or else in general; a sentence begins with a capital."""
    text = BLANK.sub(lambda blank: str(values.get(blank[1]) or GENERAL.get(blank[1], "?")), str(template))
    return text[:1].upper() + text[1:]


@dataclass(frozen=True, kw_only=True)
class Rule(Row):
    """One rule of the bench: at these steps, where this pattern holds, refuse, block or flag, for this reason.

    `reason` names the hazard, then the action; a word in braces is filled from the matter in hand. `otherwise` is said
    where one of them cannot be filled, `second_line` beside either. `sources_by_matter` parts the sources by what is in
    hand: `pattern: keys`, more of them after a bar; `else: keys` where none holds; `card` for those of its card.

    `override` is `none`, or `recorded-decision` where a named person may lift it by a record. The pattern's words are
    the rule terms.
    """

    slug: str
    kind: str
    pattern: str
    steps: tuple[str, ...]
    effect: str
    reason: Sentence
    otherwise: Sentence = ""
    second_line: Sentence = ""
    sources_by_matter: str = ""
    override: str = "none"
    catches: str = ""
    not_caught: str = ""
    project_default: bool = False

    @property
    def in_general(self) -> str:
        """The reason without any matter in hand, as a list or a record of decisions shows it."""
        return filled(self.otherwise or self.reason, {})


@dataclass(frozen=True, kw_only=True)
class RuleTerm:
    """One word of the rules' patterns: what it means and how it is found."""

    term: str
    kind: str
    meaning: str
    how_found: str = ""
    not_meant: str = ""


ASK, REMIND, DERIVED, EMERGENCY = "ask", "remind", "derived", "emergency"


@dataclass(frozen=True, kw_only=True)
class ChecklistItem(Row):
    """One item of a checklist: the good thing, as it should be.

    `kind` is ask (answered *Done* or *Not done*), remind (one line, nothing to tap), derived (the bench knows it from
    its records and holds the key itself) or emergency (a step). `applies_when` is a condition (`applying.py`); where it
    is false, an asked item is left out, or stands as a line where `otherwise` is remind and `otherwise_when` holds:
    then by the order in `otherwise_says`, since nobody answers for it there.
    `holds` names the keys that *Not done* keeps shut: weigh, grind, load, paint, light, open, close; with none the
    answer is recorded and nothing more. `hard_stop` marks those where the next act can kill or maim at once.

    *Does not apply* is offered only with the reason in `does_not_apply_when`. Where the furnace is known to lack its
    `fitting`, the words of `without` stand in the place of the question. `place` is first or last for an act that
    others wait for or follow. `reviewer` marks what a licensed reviewer has still to check.
    """

    slug: str
    phase: str
    order: int
    kind: str
    says: Sentence
    hard_stop: bool = False
    applies_when: str = ALWAYS
    once_per: str = ""
    if_not_done: Sentence = ""
    holds: tuple[str, ...] = ()
    otherwise: str = "hide"
    otherwise_when: str = ALWAYS
    otherwise_says: Sentence = ""
    does_not_apply_when: Sentence = ""
    how_known: str = ""
    fitting: str = ""
    without: Sentence = ""
    place: str = ""
    why: Sentence = ""
    project_default: bool = False
    reviewer: bool = False

    def stands_as(self, known: Mapping[str, bool | None]) -> str:
        """What the item is under these conditions: its kind, or a reminder in its place, or nothing."""
        if applies(self.applies_when, known):
            return self.kind
        reminds = self.otherwise == REMIND and applies(self.otherwise_when, known)
        return REMIND if reminds and _fuel_fits(self.applies_when, known) else ""


def _fuel_fits(when: str, known: Mapping[str, bool | None]) -> bool:
    """Whether a condition fails for another reason than the fuel: a gas line has no place at an electric furnace."""
    return not any(f"{fuel} &" in when and known.get(fuel) is False for fuel in ("gas", "electric"))


@dataclass(frozen=True, kw_only=True)
class EarlierItem:
    """An item of the lists as they were before, by which older records and phones still answer.

    `item` are its words as recorded, `asked` the question that was put; *fine* meant that it is not so. `same` names
    the items of today that ask the same thing: only those does a *fine* tick. `touched` names others that it bore on:
    what was stopped or not done there holds them too.
    """

    slug: str
    phase: str
    order: int
    item: str
    asked: str
    fuel: str = "any"
    place: str = ""
    same: tuple[str, ...] = ()
    touched: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Statement(Row):
    """The text of a hazard (H, EUH) or precautionary (P) code, or what a GHS pictogram stands for."""

    code: str
    kind: str
    text: Sentence


@dataclass(frozen=True, kw_only=True)
class StatementVariant(Row):
    """Another wording of a P code: for cards with one of these H codes, or of one of these groups."""

    code: str
    text: Sentence
    with_codes: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Advice(Row):
    """One piece of how a careful practitioner works, in one sentence, with its figure.

    `low` and `high` are the figure in `unit` (the same number twice for a single one; None where there is none).
    """

    slug: str
    step: str
    says: Sentence
    low: float | None = None
    high: float | None = None
    unit: str = ""
