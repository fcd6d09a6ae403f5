"""A checklist as a screen needs it: each item with why, where that is said, and the answer that stands.

For any screen with a list: `checks(…)` gives the items, `ui.checks(form, items)` shows them inside a form, and
`read_checks(form, items, phase, thing)` gives the records of what was answered.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256

from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import ASK, DERIVED, REMIND, ChecklistItem, EarlierItem
from bench.steps.answer import STEP as ANSWER
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import Entry
from bench.web.words import _, many
from bench.workshop.asked import LATER, MISSING, Asked, listed
from bench.workshop.conditions import CO_EXPIRES
from bench.workshop.light_gate import CO_DATE

HAS_NONE, NOT_KNOWN = "has-none", "not-known"
"""Two more answers while nobody has said whether the furnace has the fitting that an item is about."""
EARLIER = {"fine": "done", "stop": "not-done", "not-done": "not-done"}
"""What the answers of the lists as they were before mean: *fine* was said of a stop that was not there."""


@dataclass(frozen=True)
class Check:
    """One item of a list, and the newest standing answer to it for the thing at hand, or None."""

    asked: Asked
    ground: str

    @property
    def slug(self) -> str:
        """The item's own name: its fields are `answer.SLUG` and `answer_why.SLUG`."""
        return self.asked.item.slug

    @property
    def item(self) -> ChecklistItem:
        return self.asked.item

    @property
    def says(self) -> str:
        """The good thing, as it should be."""
        return self.asked.says

    @property
    def kind(self) -> str:
        """ask, later, remind, derived or missing."""
        return self.asked.kind

    @property
    def fitting(self) -> str:
        """The furnace's fitting that it is about, while nobody has said whether the furnace has one."""
        return self.asked.fitting

    @property
    def fitting_answers(self) -> list[tuple[str, str, str]]:
        """The answers for a furnace that lacks the fitting, or of which that is not known, and what follows."""
        if not self.fitting:
            return []
        unknown = (NOT_KNOWN, _("Not known"), _("Find out first: the check stays not done."))
        return [(HAS_NONE, _("It has none"), self.item.without), unknown]

    @property
    def answered(self) -> Record | None:
        return self.asked.answered

    @property
    def answer(self) -> str | None:
        """done, not-done, does-not-apply, or None while nobody answered."""
        return self.answered.body.answer if self.answered is not None else None

    @property
    def said(self) -> str | None:
        """The reason that was written beside the answer."""
        return self.answered.body.reason if self.answered is not None else None


def checks(state: State, library: Library, phase: str, thing: str, now: datetime | None = None) -> list[Check]:
    """The items of a phase, in order, with what stands answered for a thing.

    With `now`, what was answered in this sitting for another batch stands for this one too, and what is due later is
    not asked yet.
    """
    return [of_asked(_dated(one, state), library) for one in listed(state, library, phase, thing, now)]


def _dated(one: Asked, state: State) -> Asked:
    """The line of the CO alarm's age with its date, once that is known."""
    day = state.setting(CO_EXPIRES) if one.kind == DERIVED and one.item.slug == CO_DATE else None
    return replace(one, says=_("{check}: {day}", check=one.says, day=day)) if day else one


def of_asked(one: Asked, library: Library) -> Check:
    """An item as a screen shows it."""
    return Check(one, _ground(one.item, library))


def asks(found: Iterable[Check]) -> list[Check]:
    """The items that are answered."""
    return [check for check in found if check.kind == ASK]


def lines(found: Iterable[Check]) -> dict[str, list[Check]]:
    """The items that are not asked, by what they are: later, in mind, held by the bench, not for this furnace."""
    kept = sorted(found, key=lambda check: check.item.order)
    return {kind: [check for check in kept if check.kind == kind] for kind in (LATER, REMIND, DERIVED, MISSING)}


def turned(found: Iterable[Check], thing: str) -> list[Check]:
    """The list in an order of its own for each thing, so that answering does not become a reflex.

    The same thing has the same order whenever it is asked. Acts that others wait for or follow keep their places.
    """
    return sorted(found, key=lambda check: _place(check.item, thing))


def _place(item: ChecklistItem | EarlierItem, thing: str) -> tuple[int, int, str]:
    place = {"first": 0, "": 1, "last": 2}[item.place]
    mixed = sha256(f"{thing} {item.slug}".encode()).hexdigest() if place == 1 else ""
    return place, item.order if place != 1 else 0, mixed


def due(found: Sequence[Check]) -> list[Check]:
    """The one item to answer now, where one stands on a screen: the first that nobody answered, then one not done.

    All of them where every one is done.
    """
    asked = asks(found)
    return [*unanswered(asked), *stopped(asked)][:1] or asked


def alone(found: Sequence[Check], wanted: bool, refused: Iterable[str] = ()) -> bool:
    """Whether one item stands on its screen: that was wished, one is left, and nothing of another is refused."""
    left = due(found)
    if not wanted or len(left) != 1 or left[0].asked.good:
        return False
    others = {one.slug for one in found} - {left[0].slug}
    return others.isdisjoint(name.partition(".")[2] for name in refused)


def _ground(item: ChecklistItem, library: Library) -> str:
    titles = [library.sources[key].title if key in library.sources else key for key in item.sources]
    marks = {
        "memory": _("common practice, from memory"),
        "read-part": _("in part from memory"),
        "mixed": _("in part from memory"),
        "own": _("your own"),
    }
    said = [*titles, *([marks[item.basis]] if item.basis in marks else [])]
    return "; ".join([*said, _("our own default")] if item.project_default else said)


def read_checks(form: Form, found: Sequence[Check], phase: str, thing: str | None) -> list[Entry]:
    """The records of the answers that the form brings; items left alone keep the answer that stands.

    `thing` None: the thing that the form's first record makes. Nothing answered at all is refused above the form. A
    phone may still bring the fields of the lists as they were before: their answers are recorded as they were given.
    """
    earlier = _read_earlier(form, phase, thing)
    entries = [*earlier, *read_some(form, found, thing)]
    if not entries:
        again = not due(found) or all(check.asked.good for check in due(found))
        form.refuse(
            _("Each line is answered already. Tap a new answer first.")
            if again
            else _("Nothing is answered yet. Tap an answer for each line.")
        )
    return entries


def read_some(form: Form, found: Sequence[Check], thing: str | None) -> list[Entry]:
    """As `read_checks`, where nothing need be answered."""
    entries = []
    # What a page from before brings too early is a fact like others; it is not counted as the look at the hour.
    for check in (one for one in found if one.kind in (ASK, LATER)):
        answers = ANSWER.field("answer").values
        offered = answers if check.item.does_not_apply_when else answers[:2]
        answer = form.choice(f"answer.{check.slug}", offered, required=False)
        why = form.text(f"answer_why.{check.slug}", max_len=ANSWER.field("reason").most)
        if answer is not None:
            reason = why or (check.item.does_not_apply_when if answer == "does-not-apply" else None)
            data = {"list": check.item.phase, "item": check.slug, "answer": answer, "reason": reason}
            entries.append(Entry("check.answered", thing, data))
        elif why:
            form.refuse(_("Choose an answer for this one too."), f"answer.{check.slug}")
    return entries


def read_fittings(form: Form, found: Sequence[Check]) -> set[str]:
    """The fittings that the form says are not there. One that is not known answers its item: not done, and why."""
    lacking = set()
    for check in asks(found):
        name = f"answer.{check.slug}"
        if check.fitting and form.typed.get(name) == HAS_NONE:
            lacking.add(check.fitting)
            del form.typed[name]
        elif check.fitting and form.typed.get(name) == NOT_KNOWN:
            form.typed[name] = "not-done"
            form.typed[f"answer_why.{check.slug}"] = _("Not known whether this furnace has one. Find out.")
    return lacking


def _read_earlier(form: Form, phase: str, thing: str | None) -> list[Entry]:
    """In the order in which they were read then, so that a submit that comes again makes the same records."""
    entries = []
    for item in sorted(current_bench().library.earlier_phase(phase), key=lambda one: _place(one, thing or "")):
        answer = EARLIER.get(form.typed.get(f"answer.{item.slug}", ""))
        if answer is not None:
            why = form.text(f"answer_why.{item.slug}", max_len=ANSWER.field("reason").most)
            data = {"list": phase, "item": item.item, "answer": answer, "reason": why}
            entries.append(Entry("check.answered", thing, data))
    return entries


def unanswered(found: Iterable[Check]) -> list[Check]:
    """The asked items that nobody has answered."""
    return [check for check in asks(found) if check.answer is None]


def stopped(found: Iterable[Check]) -> list[Check]:
    """The asked items that stand answered with *not done*."""
    return [check for check in asks(found) if check.answer == "not-done"]


def unfit(found: Iterable[Check]) -> list[Check]:
    """Those that stand answered with *does not apply*, whose reason is kept."""
    return [check for check in asks(found) if check.answer == "does-not-apply"]


def holding(found: Iterable[Check], key: str) -> list[Check]:
    """Those that stand answered with *not done* and keep a key shut."""
    return [check for check in stopped(found) if key in check.item.holds]


def tally(found: Sequence[Check]) -> str:
    """How a list stands, in a few words."""
    asked = [check for check in found if check.kind in (ASK, LATER)]
    if not asked:
        return many("one to keep in mind", "{n} to keep in mind", len(found))
    return _("{n} of {total} done", n=sum(check.asked.good for check in asked), total=len(asked))
