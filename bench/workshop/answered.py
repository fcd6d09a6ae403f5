"""What stands answered to the items of the checklists, also by records from before the lists were rewritten."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.steps.close import HOUR_MIN
from bench.translation import _
from bench.workshop.things.firings import fire_off

Answers = dict[str, Record]
GOOD = ("done", "does-not-apply")
SITTING = timedelta(hours=4)
"""What was answered for one batch stands for the next for so long (project default)."""
MOST_LOOKED_AT = 40
OF_ITS_OWN = ("weigh-sheet-read",)
"""What is answered for the jars of one batch, and says nothing of those of another."""
PURGE = "light-purge"
HOUR = "off-recheck"
"""The item that asks to look again an hour after the fire."""
IN_WORDS = {"peak": _("the peak"), "rating": _("the lowest rating"), "purge": _("four chamber volumes")}
"""What stands for the figures of an item where no firing is at hand."""
WAIT = timedelta(minutes=5)
"""So long after a burner that did not light the purge begins at the earliest."""


def answers(state: State, thing: str, library: Library) -> Answers:
    """The newest standing answer to each item for a thing, by the item's name."""
    return state.memoize(("answers", thing, library.revision), lambda: _answers(state, (thing,), library))


def _answers(state: State, things: Iterable[str], library: Library, since: datetime | None = None) -> Answers:
    rows = [r for one in dict.fromkeys(things) for r in state.own(one, "check.answered")]
    found: Answers = {}
    for record in sorted(rows, key=lambda r: r.order):
        if since is None or record.when >= since:
            found |= dict.fromkeys(means(record, library), record)
    return found


def means(record: Record, library: Library) -> Iterator[str]:
    """The items of today that a record answers.

    One from before the lists were rewritten ticks only what it asked in the same way; where it was not fine, it holds
    all that it bore on.
    """
    body = record.body
    if body.item in library.items_by_slug:
        yield body.item
    earlier = library.earlier_by_words.get((body.list, body.item))
    if earlier is not None:
        yield from earlier.same
        yield from earlier.touched if body.answer == "not-done" else ()


def of_sitting(state: State, thing: str, library: Library, now: datetime) -> Answers:
    """What was answered in this sitting, for this thing or for another one under way.

    What does not apply to one powder, being damp say, is no answer for another one, nor for the same when it is dry.
    """
    own = _answers(state, (thing,), library)
    near = [*state.open_things("batch")[-MOST_LOOKED_AT:], *state.open_things("pigment")[-MOST_LOOKED_AT:], thing]
    found = _answers(state, near, library, now - SITTING).items()
    return {k: v for k, v in found if k not in OF_ITS_OWN and v.body.answer != "does-not-apply"} | {
        k: own[k] for k in OF_ITS_OWN if k in own
    }


def failed_to_light(state: State, thing: str) -> datetime | None:
    """When the burner of a firing did not light for the last time; None where that never was."""
    missed = [r.when for r in state.own(thing, "noted") if r.body.what == "light"]
    return max(missed, default=None)


def of_firing(state: State, thing: str, library: Library) -> Answers:
    """As `answers`; a purge from before the burner failed to light, or within the wait after it, is no purge.

    Nor is a look that was answered with done before the hour was over.
    """
    found = dict(answers(state, thing, library))
    missed = failed_to_light(state, thing)
    if missed is not None and PURGE in found and found[PURGE].when < missed + WAIT:
        del found[PURGE]
    if HOUR in found and found[HOUR].body.answer == "done" and is_early(state, thing, found[HOUR].when):
        del found[HOUR]
    return found


def is_early(state: State, thing: str, moment: datetime) -> bool:
    """Whether a moment is too soon after the fire for the look at the hour; never where it is not recorded as off."""
    off = fire_off(state, thing)
    return off is not None and moment < off.when + timedelta(minutes=HOUR_MIN)


def item_words(item: str, library: Library) -> str:
    """What an item says, by its name; a record from before the lists were rewritten holds its words themselves."""
    known = library.items_by_slug.get(item)
    return item if known is None else known.says.format_map(IN_WORDS)


def is_good(record: Record | None) -> bool:
    """Whether an answer lets the work go on."""
    return record is not None and record.body.answer in GOOD
