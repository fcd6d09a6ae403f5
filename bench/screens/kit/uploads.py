"""A picture that a form brings, as it may be kept: `bench/journal/pictures.py` says what is one."""

from flask import request

from bench.journal.pictures import MOST_BYTES, Picture, without_place
from bench.screens.kit.forms import Form
from bench.screens.kit.turns import out_of_turn
from bench.screens.kit.words import _


def read_photo(form: Form, name: str = "photo", required: bool = False) -> Picture | None:
    """The picture of this request's field, or None where there is none; what cannot be kept is refused beside it.

    Others have their turns meanwhile, so it is read before anything of the bench is.
    """
    sent = request.files.get(name)
    data = sent.stream.read(MOST_BYTES + 1) if sent is not None and sent.filename else b""
    if not data:
        if required:
            form.refuse(_("Take a photo, or choose one."), name)
        return None
    with form.beside(name), out_of_turn():
        return without_place(data)
    return None
