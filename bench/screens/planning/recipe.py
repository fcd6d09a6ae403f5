"""A recipe that somebody shared as a code: read from its text or a photo of it, and planned with one's own jars."""

from urllib.parse import urlencode

from flask import Blueprint, Response

from bench.exporting.recipe_code import Scanned, unpacked
from bench.exporting.recipes import plan_fields
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.joined import bench
from bench.screens.kit.page import page
from bench.screens.kit.uploads import read_photo
from bench.screens.kit.words import _
from bench.screens.phone.tag_photo import texts_on
from bench.screens.planning.again_rows import heat_words

blueprint = Blueprint("recipe", __name__, url_prefix="/recipe")

MOST_TEXT = 5_000


@blueprint.get("")
def ask() -> Response:
    """The code of a recipe, typed in, pasted or photographed."""
    return _show(blank())


@blueprint.post("")
def look() -> Response:
    """What the recipe says, and the way to plan it."""
    form = read_form()
    text = form.text("text", max_len=MOST_TEXT) or _photographed(form)
    if text is None:
        if not form.errors:
            form.refuse(_("Paste the text of the code, or take a photo of it."), "text")
        return _show(form)
    try:
        found = unpacked(text.strip())
    except Refusal as refusal:
        form.refuse(refusal.say, "text")
        return _show(form)
    return _show(form, found)


def _photographed(form: Form) -> str | None:
    """The recipe on a photo of a code, or None where there is none."""
    picture = read_photo(form)
    if picture is None:
        return None
    try:
        texts = texts_on(picture.data)
    except (Refusal, ImportError):
        texts = []
    found = next((one for one in texts if one.startswith("SAGGAR")), None)
    if found is None:
        form.refuse(_("No recipe could be read on that photo. Take it closer and straight on."), "photo")
    return found


def _show(form: Form, found: Scanned | None = None) -> Response:
    here = bench()
    recipe = found.recipe if found is not None else {}
    rows = [*recipe.get("mix", []), *recipe.get("flux", [])] if found is not None and not found.say else []
    ready = found is not None and not found.say
    return page(
        "recipe/show.html",
        form=form,
        found=found,
        name=str(recipe.get("name", ""))[:80],
        target=pretty(recipe["target"]) if isinstance(recipe.get("target"), str) else "",
        rows=[(pretty(row[0]), f"{row[1]:g}", f"{row[2]:g} %" if len(row) > 2 else "") for row in rows],
        heats=[heat_words(to_c, hold) for _rate, to_c, hold in recipe.get("fire", [])] if ready else [],
        note=recipe.get("note") if ready else None,
        path=f"/plan/parts?{urlencode(plan_fields(recipe, here.state, here.library))}" if ready else None,
    )
