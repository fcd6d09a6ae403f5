"""A picture that a form brings, as it may be kept: `bench/journal/pictures.py` says what is one."""

from flask import request

from bench.journal.pictures import MOST_BYTES, Picture, without_place
from bench.web.forms import Form
from bench.web.held_photos import held_photo, hold, release
from bench.web.turns import out_of_turn
from bench.web.words import _

HELD, DROPPED = "_held", "_dropped"


def read_photo(form: Form, name: str = "photo", required: bool = False, holds: bool = True) -> Picture | None:
    """The picture of this request's field, or None where there is none; what cannot be kept is refused beside it.

    Others have their turns meanwhile, so it is read before anything of the bench is. With `holds` it is held until it
    is recorded, so that a form that is refused for anything else brings it along (`ui.photo` says so).
    """
    sent = request.files.get(name)
    data = sent.stream.read(MOST_BYTES + 1) if sent is not None and sent.filename else b""
    if not data:
        earlier = _earlier(form, name)
        if earlier is None and required:
            form.refuse(_("Take a photo, or choose one."), name)
        return earlier
    with form.beside(name), out_of_turn():
        found = without_place(data)
        if holds and sent is not None:
            release(form.typed.get(name + HELD, ""))
            form.typed[name + HELD] = hold(found, sent.filename or "", len(data))
        return found
    return None


def _earlier(form: Form, name: str) -> Picture | None:
    """The photo that was sent with this form before it was refused, unless it is to be dropped."""
    mark = form.typed.get(name + HELD, "")
    found = held_photo(mark)
    if found is None or form.flag(name + DROPPED):
        release(mark)
        form.typed.pop(name + HELD, None)
        form.typed.pop(name + DROPPED, None)
        return None
    return found.picture
