"""Checks of the hazard cards, rules, checklists and statement texts."""

import re
from collections.abc import Iterator

from bench.reference.applying import applies
from bench.reference.cautions import (
    ASK,
    DERIVED,
    EFFECTS,
    EMERGENCY,
    REMIND,
    STEPS,
    ChecklistItem,
    HazardCard,
    Rule,
)
from bench.reference.dust import dust_limits
from bench.reference.labelling import pictograms_for, signal_words_for
from bench.reference.library import Library
from bench.reference.surroundings import FRACTIONS
from bench.reference.tables import rows
from bench.science.cas import cas_holds
from bench.science.formulas import parsed
from tests.reference.checking.common import in_order, one_of

MOST_WORDS = 12
"""A warning names the hazard and the action in at most so many words."""
MOST_WORDS_ASKED = 14
"""An item of a checklist is said in at most so many words."""
NOT_IN_FIGURES = frozenset(
    {
        "none in current EH40",
        "80/(%SiO2) mg/m3 or 20 mppcf",
        "some national respirable limits are far lower (about 0.0003-0.01)",
    }
)
"""Words on the cards that name no figure to reckon with."""
LIMIT_FIELDS = ("osha_pel", "niosh_rel", "uk_wel", "acgih_tlv", "other_limit")
FLAGS = ("ok", "caution", "avoid", "refuse")
ADVISED = (
    "plan",
    "weigh",
    "mix",
    "dry",
    "load",
    "light",
    "fire",
    "cool",
    "open",
    "wash",
    "grind",
    "swatch",
    "judge",
    "waste",
    "first-aid",
    "everywhere",
)
RULE_KINDS = ("element-present", "anion-or-oxidation-state", "combination", "step-condition")
PHASES = (
    "before-weighing",
    "before-loading",
    "before-lighting",
    "after-lighting",
    "firing",
    "before-opening",
    "after-shutdown",
    "emergency",
)

HELD_KEYS = ("weigh", "grind", "load", "paint", "light", "open", "close")
FITTINGS = ("blower", "lid_switch", "cut_out", "rcd")


def check_cautions(library: Library) -> Iterator[str]:
    """What is wrong with the cards, rules, checklists and statements."""
    for slug, card in library.hazards.items():
        yield from card_sound(f"hazard card {slug}", card, library)
    for slug, rule in library.rules.items():
        yield from rule_sound(f"rule {slug}", rule, library)
    yield from dust_limits_sound(library)
    yield from checklists_sound(library)
    yield from advice_sound(library)
    yield from wordings_sound(library)
    for code, statement in library.statements.items():
        yield from one_of(f"statement {code}", "kind", statement.kind, ("H", "EUH", "P", "GHS"))
        if not code.startswith(statement.kind) or not statement.text:
            yield f"statement {code}: its kind or text does not fit."


def card_sound(who: str, card: HazardCard, library: Library) -> Iterator[str]:
    """Codes have their texts; pictograms and signal word follow from the codes; CAS numbers hold."""
    for code in (*card.h_codes, *card.p_codes, *card.good_practice_p_codes, *card.pictograms):
        if code not in library.statements:
            yield f"{who}: the code {code} has no text."
    if not card.own and card.pictograms != pictograms_for(card.h_codes):
        called = " ".join(pictograms_for(card.h_codes)) or "none"
        yield f"{who}: pictograms {' '.join(card.pictograms) or 'none'} stated, {called} by its codes."
    if card.signal_word not in signal_words_for(card.h_codes):
        yield f"{who}: the signal word {card.signal_word or 'none'} does not follow from its codes."
    if card.classified != bool(card.h_codes):
        yield f"{who}: it is marked as classified without codes, or the other way round."
    if len(card.reason.split()) > MOST_WORDS:
        yield f"{who}: its reason has more than {MOST_WORDS} words."
    yield from one_of(who, "flag", card.flag, FLAGS)
    yield from one_of(who, "gas_yield_kind", card.gas_yield_kind, ("listed", "none", "not-computable"))
    if (card.gas_yield_kind == "listed") != bool(card.gas_yields):
        yield f"{who}: its gas yields do not fit their kind."
    for number in card.cas:
        if not cas_holds(number):
            yield f"{who}: the CAS number {number!r} does not hold."
    for each in card.gas_yields:
        known = each.gas == "acetone" or parsed(each.gas) is not None
        if not known or each.g_per_g == 0 or ":" in each.form:
            yield f"{who}: the gas yield of {each.gas!r} cannot be used."


def wordings_sound(library: Library) -> Iterator[str]:
    """No label text has an option left open; a variant belongs to a code with a text, and says when it holds."""
    texts = [(each.code, each.text) for each in library.statements.values() if each.kind != "GHS"]
    for each in library.statement_variants:
        texts.append((each.code, each.text))
        if each.code not in library.statements or not (each.with_codes or each.groups):
            yield f"variant of {each.code}: it has no code to stand for, or never holds."
    for code, text in texts:
        if re.search(r"[…/\[\]]", text):
            yield f"statement {code}: an option is left open in {text!r}."


def dust_limits_sound(library: Library) -> Iterator[str]:
    """Every figure that a card notes for a limit stands in the table of limits, and every row of that on a card."""
    table = dust_limits(rows("dust_limits.csv"))
    noted = {(column, getattr(card, column)) for card in library.hazards.values() for column in LIMIT_FIELDS}
    dangers = {("idlh", card.idlh) for card in library.hazards.values()}
    figures = {key for key in noted if re.search(r"\d", key[1]) and key[1] not in NOT_IN_FIGURES}
    for column, words in sorted(figures - set(table)):
        yield f"limit {words!r} ({column}): it stands on a card and not in the table of limits."
    for column, words in sorted(set(table) - noted - dangers):
        yield f"limit {words!r} ({column}): no card notes it."
    for (column, words), limits in table.items():
        for limit in limits:
            who = f"limit {words!r} ({column})"
            yield from one_of(who, "fraction", limit.fraction, FRACTIONS)
            yield from one_of(who, "unit", limit.unit, ("mg/m3", "ppm", "f/ml"))
            yield from one_of(who, "basis", limit.basis, ("", "read", "read-part"))
            if bool(limit.basis) != bool(limit.source) or limit.source not in ("", *library.sources):
                yield f"{who}: what was read has its source in the list, and nothing else has one."
            if f"{limit.value:g}" not in re.findall(r"\d+(?:\.\d+)?", words) or not limit.body:
                yield f"{who}: {limit.value:g} is not the figure that the card notes."


def terms_of(pattern: str) -> set[str]:
    """The names before the signs of comparison in a rule's pattern."""
    return set(re.findall(r"([A-Za-z_0-9]+)\s*(?:!=|<=|>=|=|<|>)", pattern))


def rule_sound(who: str, rule: Rule, library: Library) -> Iterator[str]:
    """Words from fixed lists; every name in the pattern is a term; the reason stands; brackets close."""
    defined = {name.split("=")[0].strip() for term in library.rule_terms for name in term.split(",")}
    for name in terms_of(rule.pattern) - defined:
        yield f"{who}: its pattern uses {name!r}, which is no term."
    for step in rule.steps:
        yield from one_of(who, "step", step, STEPS)
    yield from one_of(who, "effect", rule.effect, EFFECTS)
    yield from one_of(who, "kind", rule.kind, RULE_KINDS)
    yield from one_of(who, "override", rule.override, ("none", "recorded-decision"))
    if rule.effect == "refuse" and rule.override != "none":
        yield f"{who}: what is refused is never lifted."
    if not (rule.steps and rule.reason and rule.sources) or rule.pattern.count("(") != rule.pattern.count(")"):
        yield f"{who}: it lacks a step, a reason or a source, or its brackets do not close."


def checklists_sound(library: Library) -> Iterator[str]:
    """Items are counted 1, 2, 3 … in each phase; each holds only keys that there are and can be read in full."""
    for phase in PHASES:
        orders = [each.order for each in library.checklists if each.phase == phase]
        if orders != list(range(1, len(orders) + 1)) or not orders:
            yield f"checklist {phase}: its items are not counted from 1 without a gap."
    for each in library.checklists:
        yield from _item_sound(each)
    yield from _earlier_sound(library)


def _item_sound(each: ChecklistItem) -> Iterator[str]:
    who = f"checklist {each.slug}"
    yield from one_of(who, "phase", each.phase, PHASES)
    yield from one_of(who, "kind", each.kind, (ASK, REMIND, DERIVED, EMERGENCY))
    yield from one_of(who, "place", each.place, ("", "first", "last"))
    yield from one_of(who, "fitting", each.fitting, ("", *FITTINGS))
    for key in each.holds:
        yield from one_of(who, "key that it holds", key, HELD_KEYS)
    try:
        applies(each.applies_when, {})
        applies(each.otherwise_when, {})
    except ValueError as wrong:
        yield f"{who}: {wrong}"
    if not each.why or not each.says or (each.kind in (ASK, DERIVED) and not each.if_not_done):
        yield f"{who}: it does not say why, or what to do where it is not so."
    if each.kind == ASK and (each.says.endswith("?") or not each.how_known or not each.once_per):
        yield f"{who}: it is no statement, or does not say how it is known, or how often it is asked."
    for words in (each.says, each.otherwise_says):
        if len(words.split()) > MOST_WORDS_ASKED:
            yield f"{who}: {words!r} has more than {MOST_WORDS_ASKED} words."
    if each.kind == ASK and each.otherwise == REMIND and not each.otherwise_says:
        yield f"{who}: where it is not asked it has no order: as a reminder its statement would be heard as a fact."
    if each.hard_stop and not each.holds:
        yield f"{who}: a hard stop that holds no key."
    if bool(each.fitting) != bool(each.without):
        yield f"{who}: a fitting, and what stands where it is missing, go together."


def _earlier_sound(library: Library) -> Iterator[str]:
    for each in library.earlier_items:
        for slug in (*each.same, *each.touched):
            item = library.items_by_slug.get(slug)
            if item is None or item.kind != ASK:
                yield f"earlier item {each.slug}: it points at {slug!r}, which is not asked."


def advice_sound(library: Library) -> Iterator[str]:
    """Each piece of advice belongs to a step, and a figure has both ends and a unit."""
    for slug, each in library.advice.items():
        yield from one_of(f"advice {slug}", "step", each.step, ADVISED)
        yield from in_order(f"advice {slug}", "its figure", each.low, each.high)
        if (each.low is not None) != bool(each.unit):
            yield f"advice {slug}: a figure and its unit go together."
