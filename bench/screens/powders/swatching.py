"""Brush out a swatch of a powder: binder, oil, white, film, a photo, and what it looks like."""

from flask import Blueprint, Response, url_for

from bench.screens.kit.declared import past_words, read_step, shown_fields
from bench.screens.kit.dust_checks import dust, read_dust
from bench.screens.kit.gating import goes_on
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.last import last_said
from bench.screens.kit.onward import onward
from bench.screens.powders.powder import against, powder_or_404, step_page
from bench.screens.records.photo import photo_entry
from bench.steps.swatch import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.recording import Entry, entry_id, record_all
from bench.web.uploads import read_photo
from bench.workshop.things.pigments import Pigment
from bench.workshop.things.swatches import swatch

blueprint = Blueprint("swatching", __name__, url_prefix="/pigment")

USUAL_BINDER = "linseed oil"
ADVICE = ("swatch-recipe", "tint-recipe", "camera", "oil-spinel", "oil-iron")


@blueprint.get("/<thing>/swatch")
def ask(thing: str) -> Response:
    """How it is painted out; like the last swatch of this powder where there is one."""
    view = powder_or_404(thing)
    state = current_bench().state
    last = swatch(state, view.swatches[-1]) if view.swatches else None
    binder = last.made.binder if last is not None else last_said("swatch", "swatch.made", "binder")
    form = blank().offer(binder=binder or USUAL_BINDER)
    if last is not None:
        form.offer(oil_g=last.made.oil_g, film_um=last.made.film_um)
    return _show(view, form, form.typed["binder"])


def _show(view: Pigment, form: Form, binder: str) -> Response:
    rows = current_bench().library.advice
    return step_page(
        "swatch", view, form, "swatch", against(view, "swatch", binder=binder or USUAL_BINDER),
        dust=dust(view.id), fields=shown_fields(form, STEP, view.id),
        advice=[rows[slug] for slug in ADVICE if slug in rows],
    )  # fmt: skip


@blueprint.post("/<thing>/swatch")
def keep(thing: str) -> Response:
    """Record the swatch; its words and its photo are its own."""
    form = read_form()
    picture = read_photo(form)
    view = powder_or_404(thing)
    data = read_step(form, STEP, thing).data
    binder = data.get("binder")
    dusty = read_dust(form, dust(thing), thing, STEP.dust, dry=True)
    words = form.text("words", max_len=400)
    if form.ok and goes_on(form, against(view, "swatch", binder=binder)):
        made = entry_id(form, 0)
        entries = [Entry("swatch.made", None, data), *code_entries(form)]
        entries += [Entry("noted", made, {"what": "words", "value": words})] if words else []
        photo = photo_entry(form, made, picture) if picture is not None else None
        entries += [*([photo] if photo is not None else []), *dusty]
        if form.ok and record_all(entries, form=form, say=past_words(STEP, thing, data)):
            return onward(form, thing, "judge", home=url_for("swatch.show", thing=made))
    return _show(view, form, binder or "")
