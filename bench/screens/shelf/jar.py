"""A jar: what it is, what is left, how much of its formula it holds, and the fire-assay that tells."""

from flask import Blueprint, Response

from bench.reckoning.rules import hazard_summary
from bench.reckoning.working import Step, step
from bench.science.formulas import pretty
from bench.screens.kit.attached import attached_rows
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import read_step, shown_fields
from bench.screens.kit.first_steps import first_due
from bench.screens.kit.found import jar_or_404
from bench.screens.kit.jar_waters import waters_of_jar
from bench.screens.kit.names import reagent_name
from bench.screens.shelf.labels import label_of
from bench.steps.assay import STEP as ASSAY
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.assays import JarAssay, fired, jar_assay
from bench.workshop.digits import readability_g
from bench.workshop.things.jars import Jar, lost_g
from bench.workshop.untested import TRIAL_G, is_untested, trial_batch

blueprint = Blueprint("jar", __name__, url_prefix="/jar")


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The jar."""
    view, here = jar_or_404(thing), current_bench()
    opened = view.opened
    label = label_of(opened)
    return page(
        "jar/show.html",
        jar=view,
        name=label.name,
        formula=pretty(opened.formula),
        hazards=hazard_summary([label.part], here.library),
        assay=_assay(view),
        unread="assay_pct" in (opening.assumed if (opening := here.state.slot(thing, "jar.opened").record) else ()),
        fires=fired(here.state, thing, here.library, readability_g(here.state)),
        left=_left_working(view),
        waters=waters_of_jar(thing),
        row=label.reagent,
        may_hold_water=here.library.may_hold_water(opened.formula, opened.reagent),
        files=attached_rows(thing),
        first_due=first_due(),
        trial=trial_batch(here.state, view) if is_untested(here.state, view) else None,
        trial_g=f"{TRIAL_G:g}",
    )


def _assay(view: Jar) -> JarAssay | None:
    here = current_bench()
    return jar_assay(here.state, view.id, here.library, readability_g(here.state))


def _left_working(view: Jar) -> list[Step]:
    """How what is left came about."""
    if view.opened.net_g is None:
        return []
    lost = lost_g(current_bench().state, view.id)
    return [
        step(_("In the jar when it was added"), view.opened.net_g, "g"),
        step(_("Weighed out of it since"), view.used_g - lost, "g"),
        step(_("Lost from it"), lost, "g"),
        step(_("Left"), view.left_g, "g"),
    ]


@blueprint.get("/<thing>/assay")
def ask(thing: str) -> Response:
    """Ask for the masses of a fire-assay."""
    return _ask(jar_or_404(thing), blank())


def _ask(view: Jar, form: Form) -> Response:
    label = label_of(view.opened)
    return page(
        "jar/assay.html",
        form=form,
        fields=shown_fields(form, ASSAY, view.id),
        jar=view,
        name=label.name,
        formula=pretty(view.opened.formula),
        row=label.reagent,
        cautions=cautions("fire", [label.part]),
    )


@blueprint.post("/<thing>/assay")
def keep(thing: str) -> Response:
    """Record a fire-assay and show what it says."""
    view, form, here = jar_or_404(thing), read_form(), current_bench()
    data = read_step(form, ASSAY, thing).data
    before, after = data.get("before_g"), data.get("after_g")
    if before is not None and after is not None and after > 1.5 * before:
        form.refuse(
            _("A gain of more than 50 % is not possible. Is it the sample alone, without its crucible?"), "after_g"
        )
    if form.ok and before is not None and after is not None:
        said = _("{pct:.2f} % of {name} stayed", pct=100 * after / before, name=reagent_name(view.name, here.library))
        if record("jar.assayed", thing, data, form=form, say=said):
            return go("jar.show", thing=thing)
    return _ask(view, form)
