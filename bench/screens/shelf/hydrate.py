"""Which hydrate is in the jar: weigh, dry or fire, weigh again; by a jar with records, by a reagent as a sum alone."""

from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.fire_assay import ROOM_C
from bench.reckoning.hydrate_forms import kept
from bench.reckoning.hydrates import HydrateTest, drying_c, which_hydrate
from bench.reckoning.rules import Part
from bench.records.record import Record
from bench.reference import Library
from bench.reference.things import Reagent
from bench.science.formulas import pretty
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.found import jar_or_404
from bench.screens.shelf.labels import label_of
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.digits import readability_g
from bench.workshop.things.jars import Jar

blueprint = Blueprint("hydrate", __name__)

HOTTEST_C = 1800.0
Masses = tuple[float, float, float]


@blueprint.get("/jar/<thing>/hydrate")
def of_jar(thing: str) -> Response:
    """Ask for the masses, and say what those that were recorded tell."""
    view = jar_or_404(thing)
    row = label_of(view.opened).reagent
    return _jar_page(view, row, blank(at_c=_start_c(row)))


@blueprint.post("/jar/<thing>/hydrate")
def keep(thing: str) -> Response:
    """Record the two weighings of a jar; what they tell follows from them whenever it is asked."""
    view, form = jar_or_404(thing), read_form()
    row = label_of(view.opened).reagent
    read = _masses(form)
    if form.ok and read is not None:
        before, after, at_c = read
        data = {"before_g": before, "after_g": after, "at_c": at_c}
        said = _("Lost {pct:.2f} % at {c:g} °C", pct=100 - 100 * after / before, c=at_c)
        if record("jar.assayed", thing, data, form=form, say=said):
            return go("hydrate.of_jar", thing=thing)
    return _jar_page(view, row, form)


@blueprint.get("/known/reagent/<slug>/hydrate")
def of_reagent(slug: str) -> Response:
    """The same as a sum, for a jar that is not on the shelf yet; nothing is recorded."""
    here = current_bench()
    row = or_404(here.library.reagents.get(slug))
    typed = {name: request.args.get(name, "")[:40] for name in ("before_g", "after_g", "at_c")}
    asked = any(typed[name].strip() for name in ("before_g", "after_g"))
    form = Form(typed) if asked else blank(at_c=_start_c(row))
    read = _masses(form) if asked else None
    result = _says(row, read, here.library) if read is not None and form.ok else None
    return page(
        "hydrate/reagent.html",
        form=form,
        row=row,
        name=row.name,
        result=result,
        **_known(row),
    )


def _jar_page(view: Jar, row: Reagent | None, form: Form) -> Response:
    here = current_bench()
    return page(
        "hydrate/jar.html",
        form=form,
        jar=view,
        row=row,
        name=label_of(view.opened).name,
        formula=pretty(view.opened.formula),
        results=here.state.memoize(("hydrate", view.id, here.library.mark), lambda: _results(view, row)),
        **_known(row),
    )


def _results(view: Jar, row: Reagent | None) -> list[tuple[Record, HydrateTest | None]]:
    """Every reading of a jar with what it says, the newest first."""
    here = current_bench()
    records = here.state.by_time(view.id, "jar.assayed")
    return [(one, _read_record(row, one, here.library)) for one in reversed(records)]


def _known(row: Reagent | None) -> dict[str, Any]:
    """What both pages show beside the form: what each form would lose, the cautions, the names of the sources."""
    here = current_bench()
    library = here.library
    dry_c = drying_c(row, library) if row is not None else None
    parts = [Part(row.formula, row.name, slug=row.slug)] if row is not None else []
    return {
        "dry_c": dry_c,
        "kept": kept(row, dry_c, library) if row is not None and dry_c is not None else (),
        "cautions": cautions("fire", parts),
    }


def _start_c(row: Reagent | None) -> str:
    found = drying_c(row, current_bench().library) if row is not None else None
    return "" if found is None else f"{found:g}"


def _masses(form: Form) -> Masses | None:
    before = form.number("before_g", low=0.001, high=1000, unit="g")
    after = form.number("after_g", low=0, high=1000, unit="g")
    at_c = form.number("at_c", low=ROOM_C, high=HOTTEST_C, unit="°C")
    if before is None or after is None or at_c is None:
        return None
    if after > 1.5 * before:
        form.refuse(_("A gain of more than 50 % is not possible. Is it the sample alone, without its dish?"), "after_g")
        return None
    return before, after, at_c


def _says(row: Reagent, masses: Masses, library: Library) -> HydrateTest | None:
    before, after, at_c = masses
    if not kept(row, at_c, library):
        return None
    return which_hydrate(row, before, after, at_c, library, readability_g(current_bench().state))


def _read_record(row: Reagent | None, one: Record, library: Library) -> HydrateTest | None:
    body = one.body
    if row is None or body.before_g <= 0 or body.after_g < 0:
        return None
    return _says(row, (body.before_g, body.after_g, body.at_c), library)
