"""What the hazard cards say of the parts at hand: pictograms, signal word and statement texts, the worst where
there is no card."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bench.reckoning.rules.asking import harmless
from bench.reckoning.rules.cards import Known, known
from bench.reckoning.rules.cautions import DEFER
from bench.reckoning.rules.scene import Seen
from bench.reckoning.rules.substances import Part
from bench.reference.cautions import NO_CARD, HazardCard
from bench.reference.labelling import text_for
from bench.reference.library import Library
from bench.translation import _

ASSUMED = _("{no_card} The worst of its elements is assumed.", no_card=NO_CARD)
NOTHING_KNOWN = _("{no_card} Nothing is known of its elements: treat it as poisonous.", no_card=NO_CARD)
SIGNALS = (_("Danger"), _("Warning"))
FLAGS = ("ok", "caution", "avoid", "refuse")


@dataclass(frozen=True)
class PartHazard:
    """The hazards of one part. `assumed` is true where it has no card and the worst cards of its elements stand in.

    `statements` are (code, text) for H and EUH codes, `precautions` for P codes; `cards` are the slugs that were
    used. `words` is empty unless something about the card itself has to be said. `signal_word` is Danger, Warning
    or empty.
    """

    label: str
    cards: tuple[str, ...]
    assumed: bool
    flag: str
    signal_word: str
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    precautions: tuple[tuple[str, str], ...]
    never_combine: tuple[str, ...]
    words: str = ""


@dataclass(frozen=True)
class HazardSummary:
    """The hazards of several parts together and one by one; `defer` is the sentence that always stands beside
    them."""

    parts: tuple[PartHazard, ...]
    signal_word: str
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    precautions: tuple[tuple[str, str], ...]
    without_card: tuple[str, ...]
    defer: str = DEFER


def hazard_summary(parts: Sequence[Part], library: Library) -> HazardSummary:
    """What the cards say of these parts. Water and paper have none and need none."""
    turned = known(library)
    seen = [Seen(part, turned.facts(part), turned.label(part)) for part in parts]
    each_part = tuple(dict.fromkeys(_part_hazard(each.part, each.label, turned) for each in seen if not harmless(each)))
    cards = [library.hazards[slug] for slug in dict.fromkeys(slug for each in each_part for slug in each.cards)]
    return HazardSummary(
        each_part,
        _worst((each.signal_word for each in each_part), SIGNALS[::-1]),
        tuple(sorted({code for each in each_part for code in each.pictograms})),
        tuple(sorted({pair for each in each_part for pair in each.statements})),
        _precautions(cards, library),
        tuple(each.label for each in each_part if each.words),
    )


def _part_hazard(part: Part, label: str, turned: Known) -> PartHazard:
    own = turned.cards(part)
    cards = own or turned.assumed(part)
    return PartHazard(
        label=label,
        cards=tuple(card.slug for card in cards),
        assumed=not own and bool(cards),
        flag=_worst((*(card.flag for card in cards), "ok" if own else "avoid"), FLAGS),
        signal_word=_worst((card.signal_word for card in cards), SIGNALS[::-1]),
        pictograms=tuple(sorted({code for card in cards for code in card.pictograms})),
        statements=_texts(_codes(cards, "h_codes"), turned.library),
        precautions=_precautions(cards, turned.library),
        never_combine=tuple(dict.fromkeys(handling(card) for card in cards if card.never_combine)),
        words="" if own else ASSUMED if cards else NOTHING_KNOWN,
    )


def is_own_list(card: HazardCard) -> bool:
    """Whether the maker typed what a card keeps apart: a list of things. The library's own are whole orders."""
    return card.own and (not card.field_basis or "never_combine" in card.field_basis)


def handling(card: HazardCard) -> str:
    """What a card keeps apart, as an order."""
    what = card.never_combine
    return _("Never together with: {what}", what=what) if is_own_list(card) else what


def _codes(cards: Iterable[HazardCard], field: str) -> list[str]:
    return sorted({code for card in cards for code in getattr(card, field)})


def _texts(codes: Iterable[str], library: Library) -> tuple[tuple[str, str], ...]:
    """Each code with its text; a code that the tables do not hold is shown as it is, never dropped."""
    return tuple((code, library.statements[code].text if code in library.statements else code) for code in codes)


def _precautions(cards: Sequence[HazardCard], library: Library) -> tuple[tuple[str, str], ...]:
    """The P codes of these cards, each in the one wording that fits all their H codes together."""
    h_codes, groups = _codes(cards, "h_codes"), {word for card in cards for word in card.groups.split()}
    return tuple((code, text_for(code, h_codes, groups, library)) for code in _codes(cards, "p_codes"))


def _worst(found: Iterable[str], ladder: Sequence[str]) -> str:
    """The highest of the words on a ladder that runs from mild to severe; empty where none stands on it."""
    steps = [ladder.index(each) for each in found if each in ladder]
    return ladder[max(steps)] if steps else ""
