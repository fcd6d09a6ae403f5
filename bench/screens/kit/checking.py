"""A checklist as a screen needs it: each item with why, what stops it, where that is said, and the answer that stands.

For any screen with a list: `checks(…)` gives the items, `ui.checks(form, items)` shows them inside a form, and
`read_checks(form, items, phase, thing)` gives the records of what was answered.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256

from bench.reference import Library
from bench.reference.cautions import ChecklistItem
from bench.screens.kit.forms import Form
from bench.screens.kit.recording import Entry
from bench.screens.kit.words import _
from bench.workshop.records import Record
from bench.workshop.state import State
from bench.workshop.things.firings import answers

ANSWERS = ("fine", "stop", "not-done")
WHY_MAX = 400


@dataclass(frozen=True)
class Check:
    """One item of a list, and the newest standing answer to it for the thing at hand, or None."""

    asked: ChecklistItem
    ground: str
    answered: Record | None

    @property
    def slug(self) -> str:
        """The item's own name: its fields are `answer.SLUG` and `answer_why.SLUG`."""
        return self.asked.slug

    @property
    def asks_stop(self) -> bool:
        """Whether its answer says if what would stop it is there; an emergency's steps have no stop."""
        return bool(self.asked.asks or self.asked.stop_if)

    @property
    def answer(self) -> str | None:
        """fine, stop, not-done, or None while nobody answered."""
        return self.answered.body.answer if self.answered is not None else None

    @property
    def said(self) -> str | None:
        """What was written beside the answer."""
        return self.answered.body.why if self.answered is not None else None


def checks(state: State, library: Library, phase: str, thing: str, fuel: str = "any") -> list[Check]:
    """The items of a phase, in order, with what stands answered for a thing. `fuel` is gas, electric or any."""
    found = answers(state, thing, phase)
    return [Check(one, _ground(one, library), found.get(one.item)) for one in library.phase_items(phase, fuel)]


def turned(found: Iterable[Check], thing: str) -> list[Check]:
    """The list in an order of its own for each thing, so that answering does not become a reflex.

    The same thing has the same order whenever it is asked. Acts that others wait for or follow keep their places.
    """
    places = {"first": 0, "": 1, "last": 2}

    def key(check: Check) -> tuple[int, int, str]:
        place = places[check.asked.place]
        mixed = sha256(f"{thing} {check.slug}".encode()).hexdigest() if place == 1 else ""
        return place, check.asked.order if place != 1 else 0, mixed

    return sorted(found, key=key)


def due(found: Sequence[Check]) -> list[Check]:
    """The one item to answer now, where one stands on a screen: the first that nobody answered, then one not fine.

    All of them where every one is fine.
    """
    return [*unanswered(found), *(check for check in found if check.answer != "fine")][:1] or list(found)


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

    `thing` None: the thing that the form's first record makes. Nothing answered at all is refused above the form.
    """
    entries = []
    for check in found:
        answer = form.choice(f"answer.{check.slug}", ANSWERS, required=False)
        why = form.text(f"answer_why.{check.slug}", max_len=WHY_MAX)
        if answer is not None:
            data = {"list": phase, "item": check.asked.item, "answer": answer, "why": why}
            entries.append(Entry("check.answered", thing, data))
        elif why:
            form.refuse(_("Choose an answer for this one too."), f"answer.{check.slug}")
    if not entries:
        form.refuse(_("Nothing is answered yet. Tap an answer for each line."))
    return entries


def unanswered(found: Iterable[Check]) -> list[Check]:
    """The items that nobody has answered."""
    return [check for check in found if check.answer is None]


def stopped(found: Iterable[Check]) -> list[Check]:
    """The items that stand answered with *stop*."""
    return [check for check in found if check.answer == "stop"]


def tally(found: Sequence[Check]) -> str:
    """How a list stands, in a few words."""
    fine = sum(check.answer == "fine" for check in found)
    return _("{n} of {total} fine", n=fine, total=len(found))
