"""The code of a thing that is being added: a fresh one, or a spare tag that lies on the bench already."""

from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.words import _


def chosen_code(form: Form, thing: str, name: str = "code") -> str | None:
    """The spare code that was typed, or None for a fresh one. What cannot be bound is refused beside the field.

    `thing` is the id that the new thing gets: a submit that is delivered again finds its own code bound to itself.
    """
    code = form.code(name, required=False)
    if code is None:
        return None
    state = current_bench().state
    if any(other != thing for other in state.things_with(code)):
        form.refuse(_("Something else has this code already. Take another tag."), name)
    elif code not in state.all_issued():
        form.refuse(_("This bench never issued that code. Check the tag, or leave this empty."), name)
    return code
