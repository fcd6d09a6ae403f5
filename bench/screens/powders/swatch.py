"""One swatch: how it was painted, its photos, its colour as it was measured."""

from typing import Any

from flask import Blueprint, Response

from bench.reckoning import reckon
from bench.science.colour import Lab, lab_to_srgb_hex
from bench.science.colour_repeats import spread_of
from bench.science.photo_colour import lab_of, light_of
from bench.science.refusal import Refusal
from bench.screens.kit.found import swatch_or_404
from bench.screens.kit.thing_label import thing_label
from bench.screens.powders.powder import VERDICT_WORDS
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.things.swatches import Swatch, alike, photos_of

blueprint = Blueprint("swatch", __name__)

AXES = (("l", "L*", 0.0, 100.0), ("a", "a*", -150.0, 150.0), ("b", "b*", -150.0, 150.0))
WHITES = ("D65", "D50")
METHODS = (_("by camera, with a grey card"), _("by spectrophotometer"), _("by eye, against a chart"))


@blueprint.get("/swatch/<thing>")
def show(thing: str) -> Response:
    """One swatch."""
    view = swatch_or_404(thing)
    here = current_bench()
    last = view.colour
    photos = photos_of(here.state, thing)
    return page(
        "swatch/show.html",
        view=view,
        snaps=not photos and last is None and bool(here.state.things("colour-card")),
        last=last,
        fill=lab_to_srgb_hex(last.lab) if last is not None else None,
        named=_named(last.lab) if last is not None else None,
        pigment=thing_label(view.made.pigment),
        repeats=_repeats(view),
        photos=photos,
        verdict=VERDICT_WORDS.get(view.judged.verdict, "") if view.judged else "",
        words=[r.body.value for r in here.state.own(thing, "noted") if r.body.what == "words"],
    )


def _repeats(view: Swatch) -> tuple[int, Lab] | None:
    """How often it was measured in the way of the last time, and the standard deviation of each axis."""
    labs = [one.lab for one in alike(view.measured)]
    return (len(labs), spread_of(labs)) if len(labs) > 1 else None


def _named(lab: Lab) -> dict[str, Any] | None:
    """The nearest published name of a colour; None for a colour that no name can be looked up for."""
    try:
        return reckon("colour-name", {"lab": list(lab)}, current_bench().library)
    except Refusal:
        return None


@blueprint.get("/swatch/<thing>/measure")
def ask_measure(thing: str) -> Response:
    """Its colour; measured like the last time."""
    view = swatch_or_404(thing)
    last = view.measured[-1].method if view.measured else METHODS[0]
    return _ask(view, blank(method=last, illuminant="D65"))


def _ask(view: Swatch, form: Form) -> Response:
    axes = [(name, words) for name, words, _low, _high in AXES]
    return page("swatch/measure.html", form=form, view=view, axes=axes, methods=METHODS)


@blueprint.post("/swatch/<thing>/measure")
def keep_measure(thing: str) -> Response:
    """Record a measured colour with its standard errors and how it was measured."""
    view = swatch_or_404(thing)
    form = read_form()
    lab = [form.number(name, low=low, high=high) for name, _words, low, high in AXES]
    se = [form.number(f"se_{name}", low=0, high=50, required=False) for name, *_rest in AXES]
    for (name, *_rest), one in zip(AXES, se, strict=True):
        if one is None and any(other is not None for other in se):
            form.refuse(_("Type all three errors, or none."), f"se_{name}")
    white = form.choice("illuminant", WHITES, required=False) or "D65"
    if white == "D50" and None not in lab:
        lab = [round(one, 3) for one in lab_of(light_of((lab[0] or 0.0, lab[1] or 0.0, lab[2] or 0.0), "D50"))]
    data: dict[str, Any] = {"lab": lab, "illuminant": white, "method": form.text("method", max_len=120, required=True)}
    data |= {"se": se} if all(one is not None for one in se) else {}
    if form.ok and record("swatch.measured", thing, data, form=form, say=_("Measured")):
        return go("swatch.show", thing=thing)
    return _ask(view, form)
