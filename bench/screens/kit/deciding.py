"""Decisions to go on in spite of a rule: who decided and why, recorded on the thing, where the rule may be lifted."""

from collections.abc import Iterable
from dataclasses import dataclass

from bench.reckoning.rules import Decision, Finding, overridden
from bench.web.forms import Form
from bench.web.recording import Entry
from bench.web.words import _

RECORDED = "recorded-decision"
NAMELESS = frozenset({"reproductive"})
"""Rules about a person's own body: no name is ever kept with them."""
NOBODY = "no name kept"
NAME_MAX, WHY_MAX = 80, 400


@dataclass(frozen=True)
class Decided:
    """What still stands after the decisions that a form brings, and the records that keep those decisions."""

    still: tuple[Finding, ...]
    entries: tuple[Entry, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What still keeps the step from being done."""
        return tuple(each for each in self.still if each.effect != "flag")


def can_be_lifted(finding: Finding) -> bool:
    """Whether a recorded decision may lift it."""
    return finding.override == RECORDED and finding.effect != "refuse"


def read_decision(form: Form, rule: str, step: str, required: bool = False) -> Decision | None:
    """The decision on a rule that the fields `who.RULE` and `why.RULE` bring, or None.

    One field without the other is refused beside the empty one; with `required` so are two empty ones.
    """
    who_name, why_name = f"who.{rule}", f"why.{rule}"
    who = NOBODY if rule in NAMELESS else form.text(who_name, max_len=NAME_MAX)
    why = form.text(why_name, max_len=WHY_MAX)
    begun = required or bool(why) or (bool(who) and rule not in NAMELESS)
    if begun and not who:
        form.refuse(_("Type who decides."), who_name)
    if begun and not why:
        form.refuse(_("Type why this is right here."), why_name)
    return Decision(rule, step, who, why) if who and why else None


def decided(form: Form, findings: Iterable[Finding], thing: str | None) -> Decided:
    """Lifts those findings on which the form decides; `thing` is what the decisions are recorded on.

    For a thing that is made by the same submit, `thing` is the form's `record_id`.
    """
    found = list(findings)
    made = [read_decision(form, each.rule, each.step) for each in found if can_be_lifted(each)]
    taken = list(dict.fromkeys(each for each in made if each is not None))
    return Decided(overridden(found, taken).still, tuple(entry_of(each, thing) for each in taken))


def entry_of(decision: Decision, thing: str | None) -> Entry:
    """The record of a decision."""
    data = {"rule": decision.rule, "step": decision.step, "who": decision.who, "why": decision.why}
    return Entry("rule.overridden", thing, data)
