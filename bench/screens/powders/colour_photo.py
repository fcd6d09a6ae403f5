"""The colour of a swatch from a photo with a card beside it: both are marked, the colour is looked at, then kept."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from flask import Blueprint, Response, request

from bench.journal.photos import find_photo
from bench.science.colour import Lab, lab_to_srgb_hex
from bench.science.photo_colour import Card, Measured, by_card, lab_of, light_of, measure, sample
from bench.science.refusal import Refusal
from bench.screens.kit.called import called
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, page
from bench.screens.kit.recording import record
from bench.screens.kit.turns import out_of_turn
from bench.screens.kit.words import _
from bench.screens.powders.light import pixels_of
from bench.screens.powders.swatch import swatch_or_404
from bench.workshop.kinds import ColourCard
from bench.workshop.things.swatches import Swatch

blueprint = Blueprint("colour_photo", __name__)

CORNERS = {"card": "80,80 480,80 480,380 80,380", "swatch": "600,120 900,120 900,420 600,420"}
"""Where the frames stand at first: x and y in thousandths of the photo's width."""
MOST = 4_000.0
WHITEST = 101.0
FLAGS = {"glossy": _("It shines there: turn it away from the light."), "uneven": _("It is uneven there.")}


@dataclass(frozen=True)
class Found:
    """What a photo tells: the colour with its error, for both whites, what is wrong, and what the error comes from."""

    measured: Measured
    lab_d50: Lab
    residual: float | None
    flags: tuple[str, ...]
    by_grey: bool

    @property
    def most_from(self) -> str:
        """What most of the error comes from."""
        if self.by_grey:
            return _("a single grey does not tell how the camera mixes colours")
        return _("the card") if self.measured.of_card >= self.measured.of_area else _("the swatch itself: uneven")


@blueprint.get("/swatch/<thing>/colour")
def ask(thing: str) -> Response:
    """Mark the card and the swatch on a photo."""
    view = swatch_or_404(thing)
    photo = request.args.get("photo", "")
    start = {"photo": photo if photo in view.photos else next(iter(view.photos[::-1]), ""), **CORNERS}
    used = [one.card for one in view.measured if one.card] or bench().state.things("colour-card")
    start["card_id"] = used[-1] if used else ""
    return _show(view, blank(**start))


def _show(view: Swatch, form: Form, found: Found | None = None) -> Response:
    here = bench()
    cards = [(one, here.state.slot(one, "colour.card").body) for one in here.state.things("colour-card")]
    known = [(one, body) for one, body in cards if body is not None]
    return page(
        "swatch/colour.html",
        form=form,
        view=view,
        name=called(view.id, here.state, here.library).name,
        cards=[(one, f"{body.name}, {len(body.patches)}") for one, body in known],
        found=found,
        fill=lab_to_srgb_hex(found.measured.lab).hex if found is not None else None,
        marks=[(what, form.typed.get(what, CORNERS[what])) for what in CORNERS],
        flags=[FLAGS[one] for one in (found.flags if found is not None else ())],
    )


@blueprint.post("/swatch/<thing>/colour")
def look(thing: str) -> Response:
    """Work the colour out; keep it where that was pressed."""
    view, form = swatch_or_404(thing), read_form()
    photo = form.choice("photo", view.photos)
    card_id = form.choice("card_id", bench().state.things("colour-card"))
    places = {what: _corners(form, what) for what in CORNERS}
    if not form.ok or photo is None or card_id is None or not all(places.values()):
        return _show(view, form)
    card: ColourCard = bench().state.slot(card_id, "colour.card").body
    try:
        found = _found(photo, card, places)
    except Refusal as refusal:
        form.refuse(refusal.say)
        return _show(view, form)
    if form.typed.get("keep") and record(
        "swatch.measured", thing, _data(found, photo, card_id, card, places), form=form, say=_("Colour kept")
    ):
        return go("swatch.show", thing=thing)
    return _show(view, form, found)


def _corners(form: Form, what: str) -> list[tuple[float, float]]:
    """Four corners as `x,y x,y x,y x,y`."""
    raw = form.text(what, max_len=200, required=True) or ""
    try:
        pairs = [tuple(float(one) for one in pair.split(",")) for pair in raw.split()]
    except ValueError:
        pairs = []
    if len(pairs) != 4 or any(len(pair) != 2 or not all(-MOST < one < MOST for one in pair) for pair in pairs):
        form.refuse(_("Mark it again: drag its corners."), what)
        return []
    return [(pair[0], pair[1]) for pair in pairs]


def _found(photo: str, card: ColourCard, places: dict[str, list[tuple[float, float]]]) -> Found:
    """The colour, worked out while others have their turns. Refusal where the photo does not serve."""
    path = find_photo(bench().settings.photos, photo)
    if path is None:
        raise Refusal(_("This photo is not on the disk now. Take another one."))
    known = Card(tuple(one.lab for one in card.patches), card.columns, card.white)
    work = partial(_worked, path.read_bytes(), known, places)
    with out_of_turn():
        return work()


def _worked(data: bytes, card: Card, places: dict[str, list[tuple[float, float]]]) -> Found:
    pixels, display_p3 = pixels_of(data)
    scale = pixels.shape[1] / 1000
    at = {what: [(x * scale, y * scale) for x, y in corners] for what, corners in places.items()}
    made, card_flags = by_card(pixels, at["card"], card, display_p3)
    area = sample(pixels, at["swatch"], display_p3, _("The swatch"))
    found = measure(area, made)
    if found.lab[0] > WHITEST:
        raise Refusal(_("It would be brighter than white. Mark the card again, and choose the right one."))
    flags = tuple(dict.fromkeys((*area.flags, *card_flags)))
    d50 = lab_of(light_of(found.lab), "D50")
    return Found(found, d50, None if made.by_grey else made.residual_de, flags, made.by_grey)


def _data(
    found: Found, photo: str, card_id: str, card: ColourCard, places: dict[str, list[tuple[float, float]]]
) -> dict[str, Any]:
    method = (
        _("by camera, with a grey card") if found.by_grey else _("by camera, with {n} patches", n=len(card.patches))
    )
    return {
        "lab": [round(one, 3) for one in found.measured.lab],
        "se": [round(one, 3) for one in found.measured.se],
        "method": method,
        "photo": photo,
        "areas": [{"what": what, "corners": [n for pair in corners for n in pair]} for what, corners in places.items()],
        "illuminant": "D65",
        "card": card_id,
        "residual": None if found.residual is None else round(found.residual, 3),
    }
