"""Mask and dust control inside the form of a step on dry powder: asked once a sitting, where the powder harms for life.

`dust(thing)` gives the items that are still open, `ui.dust(form, items)` shows them in the step's own form, and
`read_dust(…)` gives the records of what was answered, or refuses the step beside the item.
"""

from bench.screens.kit.checking import Check, of_asked, read_some
from bench.screens.kit.gating import repeated
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import Entry
from bench.web.sending import was_done_before
from bench.web.words import _
from bench.workshop.asked import of_dust


def dust(thing: str, form: Form | None = None) -> list[Check]:
    """The items that are not done yet in this sitting; none where the powder is known to be harmless.

    With the form of a refused page also those to which it brings words, so that what was typed stays.
    """
    here = current_bench()
    found = [(one, of_asked(one, here.library)) for one in of_dust(here.state, here.library, thing, here.now())]
    return [check for one, check in found if not one.good or (form and form.typed.get(f"answer_why.{check.slug}"))]


def read_dust(form: Form, found: list[Check], thing: str, key: str, dry: bool) -> list[Entry]:
    """The answers that the form brings. Dry powder waits for them, and for the mask; what was done already does not."""
    entries = read_some(form, found, thing)
    told = {entry.data["item"]: entry.data["answer"] for entry in entries}
    if not dry or form.happened_ms is not None or repeated(form) or was_done_before() or form.flag("in_fact"):
        return entries
    for check in found:
        name = f"answer.{check.slug}"
        if check.slug not in told:
            form.refuse(_("Answer this first: dry powder makes dust."), name)
        elif told[check.slug] == "not-done" and key in check.item.holds:
            form.refuse(_("Not recorded. {do}", do=check.asked.if_not_done), name)
    return entries
