"""Make it again, in one screen: what was done, with the jars of today, and what differs and why."""

from dataclasses import replace

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.records.kinds import BatchPlanned
from bench.records.moments import to_ms
from bench.records.schema import read
from bench.screens.kit.deciding import decided
from bench.screens.kit.found import batch_or_404
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.names import line_name, reagent_name
from bench.screens.loading.charge import COOLINGS
from bench.screens.planning.again_plan import Again, of_batch_again, of_powder
from bench.screens.planning.again_rows import Row, heat_rows, ware_rows
from bench.screens.planning.copying_factors import NAME_MAX
from bench.screens.planning.keeping import LEVEL_MAX
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, date_here, go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.again import REPEATS, Dose
from bench.workshop.gates import gate_plan, stops
from bench.workshop.lineage import offspring
from bench.workshop.untested import LARGE_G, TRIAL_G, untested

blueprint = Blueprint("again", __name__)

ROUNDED_G = 2e-5


@blueprint.get("/batch/<thing>/again")
def of_batch(thing: str) -> Response:
    """A batch again, whatever came of it."""
    view = batch_or_404(thing)
    return _show(of_batch_again(view, list(offspring(current_bench().state, thing))), f"/batch/{thing}", blank())


@blueprint.post("/batch/<thing>/again")
def keep_of_batch(thing: str) -> Response:
    """Keep its plan."""
    view = batch_or_404(thing)
    return _keep(of_batch_again(view, list(offspring(current_bench().state, thing))), f"/batch/{thing}")


@blueprint.get("/pigment/<thing>/again")
def of_pigment(thing: str) -> Response:
    """The batch that a powder came from, again; with `level`, what its series suggests."""
    return _show(of_powder(thing), f"/pigment/{thing}", blank(level=request.args.get("level", "")[:LEVEL_MAX]))


@blueprint.post("/pigment/<thing>/again")
def keep_of_pigment(thing: str) -> Response:
    """Keep its plan."""
    return _keep(of_powder(thing), f"/pigment/{thing}")


def _findings(plan: BatchPlanned) -> tuple[Finding, ...]:
    return tuple(gate_plan(plan, current_bench().state, current_bench().library))


def _show(found: Again, back: str, form: Form, status: int | None = None) -> Response:
    here = current_bench()
    rows = _rows(found)
    plan: BatchPlanned = read(BatchPlanned, found.data)
    made = here.state.records[found.view.id]
    form.typed.setdefault("name", found.data["name"])
    return page(
        "again/show.html",
        form=form,
        status=status,
        view=found.view,
        back=back,
        name=found.data["name"],
        made=date_here(to_ms(made.when)),
        to_weigh_g=found.to_weigh_g,
        rows=rows,
        changes=sum(row.changed for row in rows),
        unsure=[_name(dose) for dose in found.doses if not dose.sure],
        notes=found.data.get("notes"),
        level=form.typed.get("level", ""),
        asked={name: request.values.get(name, "")[:LEVEL_MAX] for name in ("g", "jar")},
        untested=[reagent_name(one.name, here.library) for one in untested(here.state, plan.lines)],
        large=found.to_weigh_g > LARGE_G,
        trial_g=TRIAL_G,
        batches=found.batches,
        findings=_findings(plan),
    )


def _name(dose: Dose) -> str:
    return line_name(dose.plan, current_bench().state, current_bench().library)


def _rows(found: Again) -> list[Row]:
    rows = [_changed(found, dose, _dose_row(dose, found.scale)) for dose in found.doses]
    rows += ware_rows(found.ware) + heat_rows(found.view.plan, found.data["schedule"], found.fired)
    return [*rows, Row(_("Cooling"), COOLINGS[found.view.plan.cooling_mode])]


def _changed(found: Again, dose: Dose, row: Row) -> Row:
    """The row of a reagent whose grams the series suggests to change."""
    line = next((one for one in found.data["lines"] if one["line"] == dose.plan.line), None)
    if line is None:
        return replace(row, now=_("none"), why=_("The series suggests leaving it out."))
    if found.change is None or abs(line["target_g"] - dose.now_g * found.scale) < ROUNDED_G:
        return row
    return replace(row, now=grams(line["target_g"]), why=_("The series suggests this dose."))


def _dose_row(dose: Dose, scale: float) -> Row:
    """The grams of then and now, both for the amount that is made."""
    now = None if dose.same else grams(dose.now_g * scale)
    return Row(_("{name}, g", name=_name(dose)), grams(dose.then_g * scale), now, _why(dose))


def _why(dose: Dose) -> str | None:
    """Why the grams or the jar are others; and what the jar of today lacks."""
    lacks = _(" It is short by {g} g.", g=grams(dose.too_little_g)) if dose.too_little_g else ""
    if dose.how == "none-left":
        return _("No jar of it is on the shelf.")
    if dose.how != "other-jar" or dose.jar_now is None:
        return lacks.strip() or None
    jar = dose.jar_now
    which = _("lot {lot}", lot=jar.opened.lot) if jar.opened.lot else code_text(jar.code)
    if dose.now.formula != dose.then.formula:
        say = _("New jar, {which}: other water content, {pct:.4g} %.", which=which, pct=dose.now.assay_pct)
    elif abs(dose.now.assay_pct - dose.then.assay_pct) > 1e-6:
        say = _("New jar, {which}: {now:.4g} % in place of {then:.4g} %.",
                which=which, now=dose.now.assay_pct, then=dose.then.assay_pct)  # fmt: skip
    else:
        say = _("New jar, {which}: the same assay.", which=which)
    return say + lacks


def _after(form: Form) -> Response:
    weighs = form.typed.get("then") == "weigh"
    return go("weigh.following" if weighs else "batch.show", thing=form.record_id)


def _keep(found: Again, back: str) -> Response:
    form = read_form()
    before = current_bench().state.record(form.record_id)
    if before is not None and before.kind == "batch.planned":
        return _after(form)  # what the shelf holds now no longer matters
    data = found.data | {"name": form.text("name", max_len=NAME_MAX) or found.data["name"]}
    plan = read(BatchPlanned, data)
    choice = decided(form, _findings(plan), form.record_id)
    if stops(choice.still):
        form.refuse(_("Not planned: see the reasons below."))
    entries = [
        Entry("batch.planned", None, data, {REPEATS: found.view.id}),
        *code_entries(form),
        *choice.entries,
    ]
    if form.ok and record_all(entries, form=form, say=_("Planned: {name}", name=data["name"])):
        return _after(form)
    return _show(found, back, form, 422)
