"""From a form to records on the disk: ids that make a repeat one record, late entry, refusals beside their field."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from flask import request

from bench.journal.receipts import Draft, Receipt
from bench.journal.trouble import Trouble
from bench.records.moments import to_ms, utc_text
from bench.science.refusal import Refusal
from bench.web.current import current_bench
from bench.web.doubts import must_ask
from bench.web.flash import keep_typed, remember
from bench.web.forms import Form
from bench.web.held_photos import release
from bench.web.ids import derived
from bench.web.sending import sender
from bench.web.words import _

Data = Mapping[str, Any]


@dataclass(frozen=True)
class Entry:
    """One record of a submit that makes several. `subject` None: this record makes the thing, its id is the thing's.

    `happened_ms` is when this one happened, where the entries of a submit happened at different times; `imported` says
    that it was read from a file. `assumed` names fields of `data` that were offered under another name in the form.
    """

    kind: str
    subject: str | None
    data: Data
    also: Mapping[str, str] = field(default_factory=dict)
    corrects: Sequence[str] = ()
    happened_ms: int | None = None
    imported: bool = False
    assumed: Sequence[str] = ()


class Conflict(Exception):
    """A record under this id says something else; both are kept, and the screen shows both."""

    def __init__(self, receipt: Receipt) -> None:
        super().__init__(receipt.say)
        self.receipt = receipt


def record(
    kind: str,
    subject: str | None,
    data: Data,
    *,
    form: Form,
    say: str,
    also: Mapping[str, str] | None = None,
    corrects: Sequence[str] = (),
) -> bool:
    """Keep one record of what the form says; true when it is on the disk (or was already, from the same submit).

    `say` is what the next screens show beside *Undo*: the value as it was read. False when the journal refused it:
    the sentence then stands in `form.errors`, and the view shows the form again. Raises Conflict, which has its page.
    """
    return record_all([Entry(kind, subject, data, also or {}, corrects)], form=form, say=say)


def record_all(entries: Sequence[Entry], *, form: Form, say: str) -> bool:
    """Keep several records of one submit, all or none. Their ids follow from the form's id, so a repeat is the same.

    False too where the page first asks whether a figure is right (`doubts.py`).
    """
    if must_ask(entries, form):
        return False
    drafts = [_draft(entry, form, entry_id(form, n)) for n, entry in enumerate(entries)]
    try:
        who = sender()
        receipts = current_bench().journal.write_all(drafts, who) if who else current_bench().journal.write_all(drafts)
    except Refusal as refusal:
        form.refuse(refusal)
        return False
    except Trouble as trouble:
        form.refuse(trouble.say)
        return False
    for receipt in receipts:
        if receipt.status == "refused":
            form.refuse(receipt.say or _("This could not be kept."), receipt.field)
        elif receipt.status == "conflict":
            raise Conflict(receipt)
    if form.errors:
        return False
    about = [one for draft in drafts for one in (draft.subject or draft.id or "", *(draft.also or {}).values())]
    page = form.typed.get("from_page") or request.full_path.rstrip("?")
    remember([draft.id or "" for draft in drafts], say, things=about, page=page)
    release(form.typed.get("photo_held", ""))
    if entries and entries[0].subject is None:
        keep_typed(form.record_id, form.typed)
    return True


def entry_id(form: Form, n: int) -> str:
    """The id that the nth entry of this form's submit gets; the first one is the form's own."""
    return derived(form.record_id, n)


def _draft(entry: Entry, form: Form, identity: str) -> Draft:
    happened = entry.happened_ms if entry.happened_ms is not None else form.happened_ms
    # A correction says what was so then: it keeps the time of what it corrects, and is no late entry for that.
    first = current_bench().state.record(entry.corrects[0]) if entry.corrects and happened is None else None
    then = to_ms(first.when) if first is not None else happened
    data = {name: value for name, value in entry.data.items() if value is not None}
    return Draft(
        kind=entry.kind,
        subject=entry.subject,
        data=data,
        assumed=sorted({*entry.assumed, *form.unread()} & data.keys()),
        also=dict(entry.also),
        id=identity,
        corrects=tuple(entry.corrects),
        happened_at=utc_text(then) if then is not None else None,
        how="import" if entry.imported else "late" if happened is not None else "live",
    )
