"""Whether what a form says may be recorded: a gate stands before the act; what was done in fact is never refused."""

from collections.abc import Iterable

from flask import g

from bench.reckoning.rules import Finding
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.sending import was_done_before
from bench.web.words import _
from bench.workshop.gates import stops


def repeated(form: Form) -> bool:
    """Whether this very submit was recorded before: it gets the same answer again, whatever has changed since."""
    return current_bench().state.record(form.record_id) is not None


def may_record(form: Form, found: Iterable[Finding], already: str | None = None) -> bool:
    """Whether nothing stops the step, or it is entered as something that was done.

    Where it may not, a phone is told the reasons and `already`, the words of the key that says that it was done; empty
    words give no such key.
    """
    against = stops(found)
    done = form.happened_ms is not None or (form.flag("in_fact") and already != "")
    if not against or done or repeated(form) or was_done_before():
        return True
    words = _("Already done: enter it") if already is None else already
    g.held = {"against": [one.say for one in against], "already": words, "held": _("Not yet:")}
    return False


def goes_on(form: Form, found: Iterable[Finding], already: str | None = None, field: str | None = None) -> bool:
    """As `may_record`; where it may not, the form says the first reason, beside a field or above itself."""
    against = stops(found)
    if may_record(form, against, already):
        return True
    form.refuse(_("Not recorded: {say}", say=against[0].say), field)
    return False
