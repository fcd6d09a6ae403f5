"""The shelf: every jar with what is left in it, and a new jar from its label."""

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request, url_for

from bench.reckoning.rules import hazard_summary
from bench.records import schema
from bench.records.kinds import KINDS
from bench.reference.library import composition
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.deciding import decided
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.names import reagent_name
from bench.screens.kit.tagging import chosen_code
from bench.screens.shelf.labels import UNKNOWN, Label, assumed_of, findings, jar_data, label_of, read_label, refusals
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, page
from bench.web.paging import paged
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.things.jars import Jar, jar

blueprint = Blueprint("shelf", __name__, url_prefix="/shelf")


@blueprint.get("")
def show() -> Response:
    """All jars by name; those that are put away stand at the end, the newest first."""
    state = current_bench().state
    standing = sorted(state.open_things("jar"), key=_name)
    away = [thing for thing in reversed(state.things("jar")) if not state.is_open("jar", thing)]
    part = paged([*standing, *away])
    found = [view for view in (jar(state, thing) for thing in part.found) if view is not None]
    return page("shelf/show.html", rows=[_row(view) for view in found], part=part)


def _name(thing: str) -> str:
    here = current_bench()
    opened = here.state.slot(thing, "jar.opened").body
    return reagent_name(opened.reagent, here.library).casefold() if opened is not None else ""


def _row(view: Jar) -> dict[str, object]:
    here = current_bench()
    label = label_of(view.opened)
    return {
        "id": view.id,
        "code": view.code,
        "name": reagent_name(view.opened.reagent, here.library),
        "formula": pretty(view.opened.formula),
        "left_g": view.left_g,
        "closed": view.closed,
        "signs": hazard_summary([label.part], here.library).pictograms,
    }


@blueprint.get("/new")
def ask() -> Response:
    """Look a label up; once it is known, ask for what the jar holds."""
    start = {name: request.args.get(name, "")[:200] for name in ("reagent", "formula", "code")}
    form = blank(**start)
    label = _label(form)
    if label is None and not form.errors and "reagent" in request.args:
        form.refuse(_("Type a name or a formula."), "reagent")
    if (
        label is None
        or label.formula is None
        or refusals(findings(label, current_bench().state, current_bench().library))
    ):
        return _look_up(form, label)
    form.typed.setdefault("water", label.forms[0] if len(label.forms) == 1 else "")
    return _show(form, label)


@blueprint.post("/new")
def keep() -> Response:
    """Record the jar and give it its code."""
    form = read_form()
    label = _label(form)
    if label is None or label.formula is None:
        form.refuse(_("Look up the label first: type a name or a formula."), "reagent")
        return _look_up(form, label)
    here = current_bench()
    found = findings(label, here.state, here.library)
    if refusals(found) and not repeated(form):
        form.refuse(refusals(found)[0].whole, "reagent")
        return _look_up(form, label)
    data = jar_data(form, label)
    code = chosen_code(form, form.record_id)
    settled = decided(form, found, form.record_id)
    if settled.stops and not repeated(form):
        form.refuse(_("There is a reason against this: see above."))
    if form.ok and not form.flag("another") and not repeated(form) and (twin := _twin(data)) is not None:
        form.refuse(_("{code} holds the same. Is this a second jar?", code=code_text(twin.code)), "another")
    if form.ok:
        added = Entry("jar.opened", None, data, assumed=assumed_of(form, data))
        entries = [added, *code_entries(form, code=code), *settled.entries]
        if record_all(entries, form=form, say=_("A jar of {name}", name=label.name)):
            return go("jar.show", thing=form.record_id)
    return _show(form, label)


def _twin(data: Mapping[str, Any]) -> Jar | None:
    """The jar on the shelf of which every word and figure of the label is the same."""
    state, said = current_bench().state, schema.read(KINDS["jar.opened"].data, data)
    views = (jar(state, thing) for thing in reversed(state.open_things("jar")))
    return next((view for view in views if view is not None and view.opened == said), None)


def _label(form: Form) -> Label | None:
    """What the fields `reagent` and `formula` say, or None where they say nothing that can be read."""
    typed, formula = form.text("reagent", max_len=200) or "", form.text("formula", max_len=200) or ""
    if {"reagent", "formula"} & set(form.errors) or not (typed or formula):
        return None
    try:
        return read_label(typed, formula, current_bench().library)
    except Refusal as refusal:
        form.refuse(refusal, refusal.field or "formula")
        return Label(typed)


def _look_up(form: Form, label: Label | None) -> Response:
    here = current_bench()
    found = findings(label, here.state, here.library) if label is not None else []
    names = sorted(row.name for row in here.library.reagents.values())
    return page(
        "shelf/find.html",
        form=form,
        status=422 if form.errors else 200,
        label=label,
        names=names,
        options=_options(label) if label is not None else [],
        meant=[(url_for("shelf.ask", reagent=text), pretty(text)) for text in form.offers.get("reagent", ())],
        found=refusals(found),
    )


def _options(label: Label) -> list[tuple[str, str, str]]:
    """What may be meant: both forms of a pair that is sold by this name, then the reagents that the words find."""
    forms = [
        (text, f"{pair.name}: {look}", pair.name)
        for pair in label.pairs
        for text, look in ((pair.lower, pair.by_eye_lower), (pair.hydrate, pair.by_eye_hydrate))
    ]
    held = {composition(text) for text, _look, _name in forms}
    rows = [row for row in label.options if composition(row.formula) not in held]
    return [
        *((_form_page(text, name), look, pretty(text)) for text, look, name in forms),
        *((url_for("shelf.ask", reagent=row.slug), row.name, pretty(row.formula)) for row in rows),
    ]


def _form_page(formula: str, name: str) -> str:
    """Where the jar of a form is asked for: by its row in the library, else under the name that it is sold by."""
    library = current_bench().library
    known = any(composition(row.formula) == composition(formula) for row in library.reagents.values())
    if known or library.reagent(name) is not None:  # the name is that of another form
        return url_for("shelf.ask", reagent=formula)
    return url_for("shelf.ask", reagent=name, formula=formula)


def _show(form: Form, label: Label) -> Response:
    here = current_bench()
    water: list[tuple[str, ...]] = [(text, pretty(text)) for text in label.forms]
    if len(water) == 1:
        water = [(label.forms[0], _("Known"), _("type it below; empty counts as 100 %"))]
    return page(
        "shelf/new.html",
        form=form,
        label=label,
        formula=pretty(label.formula or ""),
        water=[*water, (UNKNOWN, _("Not known"), _("the plan shows a range"))],
        hydrates=len(label.forms) > 1,
        wide=label.wide,
        found=[each for each in findings(label, here.state, here.library) if each.rule != "no-card"],
        hazards=hazard_summary([label.part], here.library),
    )
