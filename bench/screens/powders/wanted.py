"""A wanted colour from a photo of anything, with a card beside it: nothing of it is recorded."""

from functools import partial
from urllib.parse import urlencode

from flask import Blueprint, Response, make_response, redirect

from bench.journal.pictures import KINDS
from bench.science.refusal import Refusal
from bench.screens.powders.colour_marks import CORNERS, FLAGS, Found, card_options, corners_of, known_card, worked
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.held_photos import held_photo
from bench.web.page import page
from bench.web.turns import out_of_turn
from bench.web.uploads import HELD, read_photo

blueprint = Blueprint("wanted", __name__, url_prefix="/swatches/towards/photo")

PHOTO, IT = "photo", "it"


@blueprint.get("")
def ask() -> Response:
    """Take the photo."""
    return _show(blank())


@blueprint.get("/<mark>")
def held(mark: str) -> Response:
    """The photo while it is marked; it is held for half an hour, and never kept."""
    found = or_404(held_photo(mark))
    answer = Response(found.picture.data, mimetype=KINDS[found.picture.ending])
    answer.headers["Cache-Control"] = "no-store"
    return answer


@blueprint.post("")
def look() -> Response:
    """The colour inside the frame; with `go`, on to what is near it."""
    form = read_form()
    picture = read_photo(form, required=True)
    if picture is None or "card" not in form.typed:
        form.typed |= {name: value for name, value in CORNERS.items() if name not in form.typed}
        return _show(form)
    card_id = form.choice("card_id", current_bench().state.things("colour-card"))
    places = {what: corners_of(form, what) for what in CORNERS}
    if not form.ok or card_id is None:
        return _show(form)
    card = known_card(current_bench().state.slot(card_id, "colour.card").body)
    try:
        with out_of_turn():
            found = partial(worked, picture.data, card, places, IT)()[IT]
    except Refusal as refusal:
        form.refuse(refusal.say)
        return _show(form)
    if form.typed.get("go"):
        return make_response(redirect(_onward(found), 303))
    return _show(form, found)


def _onward(found: Found) -> str:
    """What is near this colour, by its error too."""
    told = zip("lab", found.measured.lab, found.measured.se, strict=True)
    asked = {name: value for axis, lab, se in told for name, value in ((axis, lab), (f"se_{axis}", se))}
    return f"/swatches/towards?{urlencode({name: f'{value:.1f}' for name, value in asked.items()})}"


def _show(form: Form, found: Found | None = None) -> Response:
    mark = form.typed.get(PHOTO + HELD, "")
    return page(
        "swatch/wanted.html",
        form=form,
        mark=mark if held_photo(mark) is not None else "",
        cards=card_options(),
        marks=[(what, form.typed.get(what, "")) for what in CORNERS],
        found=found,
        told=_told(found) if found is not None else "",
        flags=[FLAGS[one] for one in found.flags] if found is not None else [],
    )


def _told(found: Found) -> str:
    axes = zip(("L*", "a*", "b*"), found.measured.lab, found.measured.se, strict=True)
    return ", ".join(f"{axis} {value:.1f} ± {se:.1f}" for axis, value, se in axes)
