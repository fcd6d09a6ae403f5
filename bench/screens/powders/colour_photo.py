"""The colour of swatches from a photo with a card beside them: marked, looked at, then kept, each on its own swatch."""

from collections.abc import Iterable
from functools import partial
from typing import Any

from flask import Blueprint, Response, request

from bench.journal.photos import find_photo
from bench.records.kinds import ColourCard
from bench.science.colour import lab_to_srgb_hex
from bench.science.refusal import Refusal
from bench.screens.kit.found import swatch_or_404
from bench.screens.kit.thing_label import thing_label
from bench.screens.powders.colour_marks import (
    ALSO,
    CORNERS,
    FLAGS,
    Found,
    Places,
    card_options,
    corners_of,
    known_card,
    worked,
)  # fmt: skip
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record_all
from bench.web.turns import out_of_turn
from bench.web.words import _, many
from bench.workshop.things.swatches import Swatch, swatch

blueprint = Blueprint("colour_photo", __name__)

MOST_ALSO, MOST_NEARBY, STEP = 5, 8, 70


@blueprint.get("/swatch/<thing>/colour")
def ask(thing: str) -> Response:
    """Mark the card and the swatch on a photo."""
    view = swatch_or_404(thing)
    photo = request.args.get("photo", "")
    start = {"photo": photo if photo in view.photos else next(iter(view.photos[::-1]), ""), **CORNERS}
    used = [one.card for one in view.measured if one.card] or current_bench().state.things("colour-card")
    start["card_id"] = used[-1] if used else ""
    for n, other in enumerate(_others(request.args.getlist("also"), thing), 1):
        start[ALSO + other] = _moved(CORNERS["swatch"], n * STEP)
    return _show(view, blank(**start))


def _others(named: Iterable[str], thing: str) -> list[str]:
    """Other swatches that were named, each once."""
    state = current_bench().state
    found = [one for one in dict.fromkeys(named) if one != thing and swatch(state, one) is not None]
    return found[:MOST_ALSO]


def _also(form: Form, thing: str) -> list[str]:
    return _others((name.removeprefix(ALSO) for name in form.typed if name.startswith(ALSO)), thing)


def _moved(corners: str, by: int) -> str:
    pairs = (pair.split(",") for pair in corners.split())
    return " ".join(f"{int(x) - by},{int(y) + by}" for x, y in pairs)


def _show(view: Swatch, form: Form, found: dict[str, Found] | None = None) -> Response:
    others = _also(form, view.id)
    shown = [view.id, *others] if found else []
    return page(
        "swatch/colour.html",
        form=form,
        view=view,
        name=thing_label(view.id).name,
        cards=card_options(),
        found=found[view.id] if found else None,
        tiles=[_tile(one, found[one]) for one in shown] if found else [],
        marks=[(what, form.typed.get(what, "")) for what in (*CORNERS, *(ALSO + one for one in others))],
        also=[(ALSO + one, _name(one)) for one in others],
        more=[(one, _name(one)) for one in _nearby(view, others)],
        asked=[("photo", form.typed.get("photo", "")), *(("also", one) for one in others)],
        flags=list(dict.fromkeys(FLAGS[flag] for one in shown for flag in found[one].flags)) if found else [],
    )


def _name(thing: str) -> str:
    what = thing_label(thing)
    return f"{what.name} {code_text(what.code)}" if what.code else what.name


def _tile(thing: str, found: Found) -> dict[str, Any]:
    lab = found.measured.lab
    axes = zip(("L*", "a*", "b*"), lab, found.measured.se, strict=True)
    fill = lab_to_srgb_hex(lab).hex
    return {
        "id": thing,
        "masstone": fill,
        "tint": None,
        "name": f"{lab[0]:.0f} {lab[1]:+.0f} {lab[2]:+.0f}",
        "say": _name(thing),
        "told": f"{_name(thing)}: " + ", ".join(f"{axis} {value:.1f} ± {se:.1f}" for axis, value, se in axes),
    }


def _nearby(view: Swatch, chosen: list[str]) -> list[str]:
    """Swatches that may lie on the same photo: the newest, and those of the same powder before them."""
    if len(chosen) >= MOST_ALSO:
        return []
    state = current_bench().state
    newest = state.things("swatch")[::-1][:MOST_NEARBY]
    return [one for one in newest if one != view.id and one not in chosen]


@blueprint.post("/swatch/<thing>/colour")
def look(thing: str) -> Response:
    """Work the colour out; keep it where that was pressed."""
    view, form = swatch_or_404(thing), read_form()
    photo = form.choice("photo", view.photos)
    card_id = form.choice("card_id", current_bench().state.things("colour-card"))
    others = _also(form, thing)
    places = {what: corners_of(form, what) for what in (*CORNERS, *(ALSO + one for one in others))}
    if not form.ok or photo is None or card_id is None or not all(places.values()):
        return _show(view, form)
    card: ColourCard = current_bench().state.slot(card_id, "colour.card").body
    try:
        found = _found(photo, card, places, thing)
    except Refusal as refusal:
        form.refuse(refusal.say)
        return _show(view, form)
    if form.typed.get("keep"):
        entries = [
            Entry(
                "swatch.measured",
                one,
                _data(told, photo, card_id, card, places, "swatch" if one == thing else ALSO + one),
            )
            for one, told in found.items()
        ]
        say = many("Colour saved", "{n} colours saved", len(entries))
        if record_all(entries, form=form, say=say):
            return go("swatch.show", thing=thing)
    return _show(view, form, found)


def _found(photo: str, card: ColourCard, places: Places, thing: str) -> dict[str, Found]:
    """The colours by their swatches, worked out while others have their turns. Refusal where it cannot be."""
    path = find_photo(current_bench().settings.photos, photo)
    if path is None:
        raise Refusal(_("This photo is not on the disk now. Take another one."))
    work = partial(worked, path.read_bytes(), known_card(card), places, thing)
    with out_of_turn():
        return work()


def _data(found: Found, photo: str, card_id: str, card: ColourCard, places: Places, frame: str) -> dict[str, Any]:
    """What is recorded of one swatch: its own frame and that of the card."""
    marked = {"card": places["card"], "swatch": places[frame]}
    method = (
        _("by camera, with a grey card") if found.by_grey else _("by camera, with {n} patches", n=len(card.patches))
    )
    return {
        "lab": [round(one, 3) for one in found.measured.lab],
        "se": [round(one, 3) for one in found.measured.se],
        "method": method,
        "photo": photo,
        "areas": [{"what": what, "corners": [n for pair in corners for n in pair]} for what, corners in marked.items()],
        "illuminant": "D65",
        "card": card_id,
        "residual": None if found.residual is None else round(found.residual, 3),
    }
