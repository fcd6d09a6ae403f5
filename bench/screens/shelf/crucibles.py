"""The crucibles: which are free, which hold something, which are to be cleaned; and a new one with its code."""

from flask import Blueprint, Response, request

from bench.screens.kit.declared import read_named
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.tagging import chosen_code
from bench.screens.kit.thing_label import thing_label, ware_name
from bench.steps.add_crucible import STEP as ADD
from bench.steps.see import CONDITIONS
from bench.steps.see import STEP as SEE
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.paging import paged
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.things.crucibles import Crucible, crucible

blueprint = Blueprint("crucibles", __name__, url_prefix="/crucibles")

ORDER = ("free", "holding", "to-clean", "ended")
STANDING = {
    "free": _("Free"),
    "holding": _("Holding something"),
    "to-clean": _("To be cleaned"),
    "ended": _("Out of use"),
}
LIKE = ("ware", "volume_ml", "rated_c")
"""What a vessel shares with one like it; what it weighs is its own."""


@blueprint.get("")
def show() -> Response:
    """All crucibles by how they stand."""
    here = current_bench()
    state = here.state
    ended = [thing for thing in reversed(state.things("crucible")) if not state.is_open("crucible", thing)]
    part = paged([*state.open_things("crucible"), *ended])
    found = [crucible(state, thing) for thing in part.found]
    groups = [(STANDING[s], [_row(view) for view in found if view is not None and view.standing == s]) for s in ORDER]
    return page("crucibles/show.html", groups=[group for group in groups if group[1]], part=part)


def _row(view: Crucible) -> dict[str, object]:
    holds = thing_label(view.holds).name if view.holds else ""
    said = [holds] if holds else [] if view.condition in ("sound", "clean") else [condition_words(view.condition)]
    if view.added.mark:
        said.append(_("mark: {mark}", mark=view.added.mark))
    return {
        "id": view.id,
        "code": view.code,
        "name": thing_label(view.id).name,
        "second": " · ".join(said),
        "end": _("to {c:g} °C", c=view.rated_c) if view.rated_c is not None else "",
    }


def condition_words(condition: str) -> str:
    """A condition as it is said."""
    return next((_(one.words).lower() for one in CONDITIONS if one.value == condition), condition)


@blueprint.get("/new")
def ask() -> Response:
    """Ask for a vessel; a link may put in what the last one was like, and the spare tag that was scanned."""
    start = {name: request.args.get(name, "")[:40] for name in (*LIKE, "code")}
    return _show(blank(**start))


@blueprint.post("/new")
def keep() -> Response:
    """Record the vessel, what it weighs, and its code."""
    form, here = read_form(), current_bench()
    ware = form.choice("ware", here.library.ware)
    said = read_named(form, ADD, "volume_ml", "rated_c", "mark")
    rated = said["rated_c"]
    seen = {"condition": "clean", **read_named(form, SEE, "tare_g", "lid_g")}
    row = here.library.ware.get(ware or "")
    if row is not None and rated is not None and row.short_max_c is not None and rated > row.short_max_c:
        form.refuse(
            _(
                "{ware} takes at most {c:g} °C, even for a short time. Is it another ware?",
                ware=ware_name(row.slug).capitalize(),
                c=row.short_max_c,
            ),
            "rated_c",
        )
    data = {
        **said,
        "ware": ware,
        "rated_c": rated if rated is not None or row is None else row.continuous_max_c,
    }
    code = chosen_code(form, form.record_id)
    if form.ok:
        entries = [
            Entry("crucible.added", None, data),
            Entry("crucible.seen", form.record_id, seen),
            *code_entries(form, code=code),
        ]
        words = _("A crucible of {ware}, {ml:g} mL", ware=ware_name(ware or ""), ml=said["volume_ml"])
        if record_all(entries, form=form, say=words):
            return go("crucible.show", thing=form.record_id)
    return _show(form)


def _show(form: Form) -> Response:
    wares = [
        (row.slug, _("{ware}, to {c:g} °C", ware=ware_name(row.slug).capitalize(), c=row.continuous_max_c))
        for row in sorted(current_bench().library.ware.values(), key=lambda row: row.slug)
        if row.continuous_max_c is not None
    ]
    return page("crucibles/new.html", form=form, wares=wares)
