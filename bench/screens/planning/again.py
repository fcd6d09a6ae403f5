"""Make it again, in one screen: what was done, with the jars of today, and what differs and why."""

from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.reckoning.rules import Finding
from bench.records.kinds import BatchPlanned
from bench.records.moments import to_ms
from bench.records.schema import read, write
from bench.science.refusal import Refusal
from bench.screens.kit.deciding import decided
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.names import line_name, reagent_name
from bench.screens.loading.charge import COOLINGS
from bench.screens.planning.again_rows import Row, heat_rows, notes_of, ware_rows
from bench.screens.planning.copying_factors import Factor, factors, reckon_again
from bench.screens.planning.keeping import LEVEL_MAX
from bench.web.current import current_bench
from bench.web.existing import existing
from bench.web.forms import Form, blank, read_form
from bench.web.numbers import read_number
from bench.web.page import code_text, date_here, go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.again import REPEATS, Dose, Ware, doses, ground, ware
from bench.workshop.as_fired import Fired, fired, schedule_done
from bench.workshop.gates import gate_plan, stops
from bench.workshop.lineage import offspring
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import pigment
from bench.workshop.untested import LARGE_G, TRIAL_G, untested

blueprint = Blueprint("again", __name__)

LEAST_G, ROUNDED_G = 0.1, 2e-5


@dataclass(frozen=True)
class Change:
    """The one thing that is to be other than last time: a factor of a series, and the level that is suggested."""

    factor: Factor
    level: float
    series: str


@dataclass(frozen=True)
class Again:
    """A batch that is to be made again: what was done of it, and the plan that repeats it."""

    view: Batch
    doses: list[Dose]
    fired: Fired
    ware: Ware | None
    change: Change | None
    data: dict[str, Any]
    batches: int = 1
    scale: float = 1.0
    """How many times as much is made as was."""

    @property
    def to_weigh_g(self) -> float:
        return float(sum(line["target_g"] for line in self.data["lines"]))


@blueprint.get("/batch/<thing>/again")
def of_batch(thing: str) -> Response:
    """A batch again, whatever came of it."""
    view = existing(batch(current_bench().state, thing), thing)
    return _show(_again(view, list(offspring(current_bench().state, thing))), f"/batch/{thing}", blank())


@blueprint.post("/batch/<thing>/again")
def keep_of_batch(thing: str) -> Response:
    """Keep its plan."""
    view = existing(batch(current_bench().state, thing), thing)
    return _keep(_again(view, list(offspring(current_bench().state, thing))), f"/batch/{thing}")


@blueprint.get("/pigment/<thing>/again")
def of_pigment(thing: str) -> Response:
    """The batch that a powder came from, again; with `level`, what its series suggests."""
    return _show(_of_pigment(thing), f"/pigment/{thing}", blank(level=request.args.get("level", "")[:LEVEL_MAX]))


@blueprint.post("/pigment/<thing>/again")
def keep_of_pigment(thing: str) -> Response:
    """Keep its plan."""
    return _keep(_of_pigment(thing), f"/pigment/{thing}")


def _of_pigment(thing: str) -> Again:
    """The batch that brought most of a powder, with the fires of all its charges."""
    view, charges = _main_batch(thing)
    if pigment(current_bench().state, thing) is None or view is None:
        abort(404)
    held = {b for charge in charges for b in batches_of(current_bench().state, charge)}
    return replace(_again(view, charges), batches=len(held))


def _main_batch(thing: str) -> tuple[Batch | None, list[str]]:
    state = current_bench().state
    charges = list(dict.fromkeys(earlier_charges(state, thing)))
    views = [batch(state, b) for c in charges for b in batches_of(state, c)]
    return max((one for one in views if one is not None), key=lambda one: one.weighed_g, default=None), charges


def _again(view: Batch, charges: list[str]) -> Again:
    here = current_bench()
    taken = doses(here.state, view, here.library, request.values.get("jar"))
    done, stood = fired(here.state, charges), ware(here.state, charges)
    change = _change(view)
    data = _data(view, taken, done, stood)
    if change is not None:
        _apply(data, change, view, taken)
    scale = _scaled(data)
    return Again(view, taken, done, stood, change, data, scale=scale)


def _data(view: Batch, taken: list[Dose], done: Fired, stood: Ware | None) -> dict[str, Any]:
    """The plan that repeats what was done. Of a series that is not closed it is one more batch of the same level."""
    data: dict[str, Any] = write(view.plan)
    series = view.plan.series
    if series is not None and (not current_bench().state.exists(series) or current_bench().state.own(series, "closed")):
        for name in ("series", "level"):
            data.pop(name, None)
    data |= {
        "lines": [_line(dose) for dose in taken],
        "schedule": [write(segment) for segment in schedule_done(view.plan.schedule, done)],
        "library_rev": current_bench().library.revision,
        "notes": notes_of(ground(current_bench().state, view.id), done, stood, view.plan.notes),
    }
    if stood is not None and stood.charge.charged.packing:
        data["packing"] = stood.charge.charged.packing
    if any(not dose.same or dose.weighed for dose in taken):
        reckon_again(data)
    return data


def _scaled(data: dict[str, Any]) -> float:
    """Makes as much as the address or the form asks for, `g` grams to weigh, and gives back how many times that is."""
    typed = request.values.get("g", "")[:LEVEL_MAX].strip()
    whole = sum(line["target_g"] for line in data["lines"])
    if not typed or whole <= 0:
        return 1.0
    try:
        wanted = read_number(typed, low=LEAST_G, high=100_000)
    except Refusal:
        return 1.0
    for line in data["lines"]:
        line["target_g"] = round(line["target_g"] * wanted / whole, 5)
    reckon_again(data)
    return float(wanted / whole)


def _line(dose: Dose) -> dict[str, Any]:
    told: dict[str, Any] = write(dose.plan)
    told |= {"target_g": round(dose.now_g, 5), "formula": dose.now.formula, "assay_pct": dose.now.assay_pct}
    told.pop("jar", None)
    return told | ({"jar": dose.jar_now.id, "name": dose.jar_now.opened.reagent} if dose.jar_now is not None else {})


def _change(view: Batch) -> Change | None:
    """What the address or the form asks to be other than last time: a level of the factor of the batch's series."""
    typed = request.values.get("level", "")[:LEVEL_MAX]
    if not typed or view.plan.series is None:
        return None
    factor = factor_of(view)
    try:
        level = read_number(typed, low=factor.low, high=factor.high) if factor is not None else None
    except Refusal:
        level = None
    if factor is None or level is None:
        abort(404)  # no key of ours leads there
    return Change(factor, level, view.plan.series)


def factor_of(view: Batch) -> Factor | None:
    """The factor of a batch's series, where it is a number that a plan can be given."""
    series = current_bench().state.slot(view.plan.series, "series.planned").body if view.plan.series else None
    if series is None:
        return None
    return next((one for one in factors(view) if one.words == series.factor and not one.options), None)


def takes_level(thing: str) -> bool:
    """Whether the batch that brought most of a powder can be planned at another level of its series."""
    view = _main_batch(thing)[0]
    return view is not None and factor_of(view) is not None


def _apply(data: dict[str, Any], change: Change, view: Batch, taken: list[Dose]) -> None:
    """Puts the level in. Grams were meant of the jar of then: of another one as many as bring the same."""
    level = change.level
    if change.factor.key.startswith("line."):
        number = view.plan.lines[int(change.factor.key.removeprefix("line."))].line
        for dose, line in zip(taken, data["lines"], strict=True):
            if line["line"] == number:
                line["target_g"] = round(level * dose.now_g / dose.then_g, 5)
        data["lines"] = [line for line in data["lines"] if line["target_g"] > 0]
        reckon_again(data)
    else:
        change.factor.change(data, level)
    name = f"{view.name.partition(', ' + change.factor.words)[0]}, {change.factor.words} {change.factor.text(level)}"
    data |= {"series": change.series, "level": level, "name": name[:80]}


def _findings(plan: BatchPlanned) -> tuple[Finding, ...]:
    return tuple(gate_plan(plan, current_bench().state, current_bench().library))


def _show(found: Again, back: str, form: Form, status: int | None = None) -> Response:
    here = current_bench()
    rows = _rows(found)
    plan: BatchPlanned = read(BatchPlanned, found.data)
    made = here.state.records[found.view.id]
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
        return replace(row, now=_("none"), why=_("The series suggests to leave it out."))
    if found.change is None or abs(line["target_g"] - dose.now_g * found.scale) < ROUNDED_G:
        return row
    return replace(row, now=grams(line["target_g"]), why=_("The series suggests this dose."))


def _dose_row(dose: Dose, scale: float) -> Row:
    """The grams of then and now, both for the amount that is made."""
    now = None if dose.same else grams(dose.now_g * scale)
    return Row(_("{name}, g", name=_name(dose)), grams(dose.then_g * scale), now, _why(dose))


def _why(dose: Dose) -> str | None:
    """Why the grams or the jar are others; and what the jar of today lacks."""
    lacks = _(" It holds {g} g too little.", g=grams(dose.too_little_g)) if dose.too_little_g else ""
    if dose.how == "none-left":
        return _("No jar of it is on the shelf.")
    if dose.how != "other-jar" or dose.jar_now is None:
        return lacks.strip() or None
    jar = dose.jar_now
    which = _("lot {lot}", lot=jar.opened.lot) if jar.opened.lot else code_text(jar.code)
    if dose.now.formula != dose.then.formula:
        say = _("New jar, {which}: with other water, {pct:.4g} %.", which=which, pct=dose.now.assay_pct)
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
    plan = read(BatchPlanned, found.data)
    choice = decided(form, _findings(plan), form.record_id)
    if stops(choice.still):
        form.refuse(_("Not planned: the plan is stopped, for the reasons below."))
    entries = [
        Entry("batch.planned", None, found.data, {REPEATS: found.view.id}),
        *code_entries(form),
        *choice.entries,
    ]
    if form.ok and record_all(entries, form=form, say=_("Planned: {name}", name=found.data["name"])):
        return _after(form)
    return _show(found, back, form, 422)
