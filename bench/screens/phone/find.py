"""From a code to its thing: typed, scanned, or read off a photo of the tag."""

from flask import Blueprint, Response, make_response, redirect, request, url_for

from bench.exporting.recipe_code import is_recipe
from bench.science.refusal import Refusal
from bench.screens.kit.steps import thing_path
from bench.screens.kit.thing_label import thing_label
from bench.screens.phone.tag_photo import can_read, codes_on
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.guard import POLICY
from bench.web.page import go, page
from bench.web.uploads import read_photo
from bench.web.words import _
from bench.workshop.things.crucibles import held_charge

blueprint = Blueprint("find", __name__, url_prefix="/find")


@blueprint.get("")
def show() -> Response:
    """Ask for a code, or follow the one that was given to its thing."""
    typed = request.args.get("code", "")
    if not typed.strip():
        return _ask(blank())
    if is_recipe(typed):
        return go("recipe.ask", text=typed)
    here = current_bench()
    form = Form({"code": typed[:200]}, now_ms=here.now_ms(), zone_min=here.zone_min())
    code = form.code("code")
    if code is None:
        return _ask(form)
    things = [thing for thing in here.state.things_with(code) if here.state.exists(thing)]
    if len(things) == 1:
        return make_response(redirect(way_to(things[0]), 303))
    if things:
        return _several(code, things)
    issued = code in here.state.all_issued()
    form.refuse(_("This code is not in use.") if issued else _("This bench never issued that code."), "code")
    return _ask(form, spare=code if issued else None)


def way_to(thing: str) -> str:
    """The page that a scan opens: of a crucible the charge that is in it, of anything else its own."""
    state = current_bench().state
    sort = state.sort_of(thing)
    charge = held_charge(state, thing) if sort == "crucible" else None
    return thing_path("charge", charge) if charge is not None else thing_path(sort, thing)


def _several(code: str, things: list[str]) -> Response:
    """Two things with one code: both are shown, and each can be given another one."""
    here = current_bench()
    rows = []
    for thing in things:
        record = here.state.slot(thing, "code.assigned").record
        given = record.local.strftime("%Y-%m-%d %H:%M") if record is not None else ""
        settle = f"/thing/{thing}/correct/{record.id}" if record is not None else f"/thing/{thing}"
        rows.append((thing_label(thing), way_to(thing), given, record, settle))
    return page("find/several.html", code=code, rows=rows)


def _ask(form: Form, spare: str | None = None) -> Response:
    answer = page("find/ask.html", form=form, spare=spare, reads_photos=can_read())
    # The decoders are compiled on the phone itself: this screen alone may do that.
    answer.headers["Content-Security-Policy"] = POLICY.replace(
        "script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'"
    )
    return answer


@blueprint.post("")
def photo() -> Response:
    """Read the code off a photo. Nothing is recorded and the photo is not kept."""
    form = read_form()
    picture = read_photo(form, "photo", required=True, holds=False)
    if picture is None:
        return _ask(form)
    try:
        codes = codes_on(picture)
    except Refusal as refusal:
        form.refuse(refusal, "photo")
        return _ask(form)
    if len(codes) == 1:
        return go("find.show", code=codes[0])
    here = current_bench()
    rows = [(code, here.state.things_with(code), url_for("find.show", code=code)) for code in codes]
    named = [(code, thing_label(things[0]).name if things else "", href) for code, things, href in rows]
    return page("find/which.html", rows=named)
