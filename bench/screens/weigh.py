"""Weighing: a reagent a screen by batch, or a mortar a screen by jar, with the checks asked before the first one."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, abort, make_response, redirect, request, url_for

from bench.reckoning.rules import Finding, Part
from bench.screens.cautioning import cautions
from bench.screens.checking import Check, checks, read_checks, stopped, tally, unanswered
from bench.screens.forms import Form, blank, read_form
from bench.screens.gating import may_record, repeated
from bench.screens.joined import bench
from bench.screens.naming import formula_text, reagent_name
from bench.screens.page import code_text, go, page
from bench.screens.recording import Entry, record_all
from bench.screens.weighing import Aim, Mend, aims, becomes, mend, next_aim, readability_g, working
from bench.screens.weighing_read import Read, read_weighing
from bench.screens.words import _
from bench.workshop.gates import gate_batch, reason, stops
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.jars import Jar, jar

blueprint = Blueprint("weigh", __name__)

PHASE = "before-weighing"
HOW_LOST = ("dust", "spill", "leave")
DO = ("back", "scale", "keep")


@dataclass(frozen=True)
class Way:
    """How one comes through the weighings: by batch or by jar. `action` is where the form goes, `back` the way out."""

    action: str
    back: str
    sub: str
    done: int
    total: int
    what: str
    jar: Jar | None = None
    after: str | None = None


def _batch_or_404(thing: str) -> Batch:
    view = batch(bench().state, thing)
    if view is None or not bench().state.exists(thing):
        abort(404)
    return view


def _aim_or_404(view: Batch, number: int) -> Aim:
    found = next((aim for aim in aims(bench().state, bench().library, view) if aim.number == number), None)
    if found is None:
        abort(404)
    return found


def _list(thing: str) -> list[Check]:
    return checks(bench().state, bench().library, PHASE, thing)


def _asks_checks(view: Batch) -> bool:
    """Whether the list comes first: before the first weighing until it is answered, and while a stop stands."""
    found = _list(view.id)
    return bool(stopped(found)) or (view.state == "planned" and bool(unanswered(found)))


def _stands_against(view: Batch) -> list[Finding]:
    found = gate_batch(bench().state, "weigh", view.id, bench().library, dry_handling=True)
    if stopped(_list(view.id)):
        said = _("A check before weighing was answered with stop. Mend it, then answer it again.")
        found = [reason("check-says-stop", said, "weigh"), *found]
    return found


# By batch ---------------------------------------------------------------------------------------------------------


@blueprint.get("/batch/<thing>/weigh")
def following(thing: str) -> Response:
    """The checks, the next line, or what is in the mortar when all is weighed."""
    view = _batch_or_404(thing)
    if request.args.get("checks") or _asks_checks(view):
        return _show_checks([view], blank(), url_for("weigh.keep_list", thing=thing))
    aim = next_aim(aims(bench().state, bench().library, view))
    if aim is not None and not request.args.get("sum"):
        return make_response(redirect(url_for("weigh.line", thing=thing, number=aim.number), 302))
    return _show_sum(view, blank())


@blueprint.post("/batch/<thing>/weigh")
def keep_list(thing: str) -> Response:
    """Record the answers to the checks, or what the mortar's own weight says."""
    view = _batch_or_404(thing)
    form = read_form()
    if form.typed.get("part") == "mortar":
        return _keep_mortar(view, form)
    if _keep_checks([view], form):
        return go("weigh.following", thing=thing)
    return _show_checks([view], form, url_for("weigh.keep_list", thing=thing))


def _keep_checks(views: list[Batch], form: Form) -> bool:
    """Record the answers for every batch that is weighed in this sitting."""
    entries: list[Entry] = []
    for view in views:
        entries += read_checks(form, _list(view.id), PHASE, view.id)
    return form.ok and record_all(entries, form=form, say=_("Checks before weighing"))


def _show_checks(views: list[Batch], form: Form, action: str) -> Response:
    found = _list(views[0].id)
    parts = [part for view in views for part in _parts(view)]
    foot = cautions("weigh", parts, bench().library)
    return page("weigh/checks.html", form=form, found=found, views=views, action=action, foot=foot)


def _parts(view: Batch) -> list[Part]:
    return [Part(one.plan.formula, one.plan.name or one.plan.formula, slug=_slug(one.plan)) for one in view.lines]


def _slug(plan: Any) -> str | None:
    opened = bench().state.slot(plan.jar, "jar.opened").body if plan.jar else None
    return opened.reagent if opened is not None else plan.name


@blueprint.get("/batch/<thing>/weigh/<int:number>")
def line(thing: str, number: int) -> Response:
    """One reagent: what it is, how much, and what is on the balance."""
    view = _batch_or_404(thing)
    aim = _aim_or_404(view, number)
    if view.state == "planned" and _asks_checks(view) and not request.args.get("late"):
        return make_response(redirect(url_for("weigh.following", thing=thing), 302))
    return _show_line(aim, _by_batch(view, aim), blank())


@blueprint.post("/batch/<thing>/weigh/<int:number>")
def keep(thing: str, number: int) -> Response:
    """Record what was weighed, or ask what to do where it misses the target."""
    view = _batch_or_404(thing)
    aim = _aim_or_404(view, number)
    return _keep_line(aim, _by_batch(view, aim), url_for("weigh.following", thing=thing))


def _by_batch(view: Batch, aim: Aim) -> Way:
    numbers = [one.plan.line for one in view.lines]
    here = url_for("weigh.line", thing=view.id, number=aim.number)
    place = numbers.index(aim.number)
    sub = _("{n} of {total} · {code}", n=place + 1, total=len(numbers), code=code_text(view.code))
    return Way(here, f"/batch/{view.id}", sub, place, len(numbers), _("Reagent"))


# By jar -----------------------------------------------------------------------------------------------------------


def _jar_or_404(thing: str) -> Jar:
    found = jar(bench().state, thing)
    if found is None or not bench().state.exists(thing):
        abort(404)
    return found


def _mortars(taken: Jar) -> list[Aim]:
    """Every line that comes from a jar, of all open batches, those of one series together by its levels."""
    state, library = bench().state, bench().library
    views = [v for v in (batch(state, t) for t in state.open_things("batch")) if v is not None]
    found = [aim for view in views for aim in aims(state, library, view) if aim.line.plan.jar == taken.id]
    return sorted(found, key=lambda aim: (aim.batch.plan.series or "~", _level(aim.batch.plan.level)))


def _level(level: object) -> tuple[int, float, str]:
    number = isinstance(level, int | float) and not isinstance(level, bool)
    return (0, float(level), "") if number else (1, 0.0, str(level))  # type: ignore[arg-type]


@blueprint.get("/weigh/jar/<thing>")
def by_jar(thing: str) -> Response:
    """The next mortar that this jar goes into."""
    taken = _jar_or_404(thing)
    mortars = _mortars(taken)
    waiting = [aim for aim in mortars if aim.line.weighed is None]
    asking = _asking(waiting)
    if asking:
        return _show_checks(asking, blank(), url_for("weigh.keep_by_jar", thing=thing))
    if not waiting:
        name = reagent_name(taken.name, bench().library)
        return page("weigh/jar_done.html", jar=taken, name=name, mortars=mortars)
    return _show_line(waiting[0], _way_by_jar(taken, mortars, waiting[0]), blank())


@blueprint.post("/weigh/jar/<thing>")
def keep_by_jar(thing: str) -> Response:
    """Record the answers to the checks for all these batches, or what was weighed into one mortar."""
    taken = _jar_or_404(thing)
    mortars = _mortars(taken)
    form = read_form()
    if "batch" not in form.typed:
        asking = _asking([aim for aim in mortars if aim.line.weighed is None]) or [aim.batch for aim in mortars]
        if not asking:
            return go("weigh.by_jar", thing=thing)
        if _keep_checks(asking, form):
            return go("weigh.by_jar", thing=thing)
        return _show_checks(asking, form, url_for("weigh.keep_by_jar", thing=thing))
    named = (form.typed.get("batch", ""), form.typed.get("line", ""))
    aim = next((one for one in mortars if (one.batch.id, str(one.number)) == named), None)
    if aim is None:
        abort(404)
    return _keep_line(aim, _way_by_jar(taken, mortars, aim), url_for("weigh.by_jar", thing=thing), form)


def _asking(waiting: list[Aim]) -> list[Batch]:
    """The batches whose checks come first."""
    return [aim.batch for aim in waiting if _asks_checks(aim.batch)]


def _way_by_jar(taken: Jar, mortars: list[Aim], aim: Aim) -> Way:
    order = [one for one in mortars if one.line.weighed is not None] + [
        one for one in mortars if one.line.weighed is None
    ]
    place = next(n for n, one in enumerate(order) if (one.batch.id, one.number) == (aim.batch.id, aim.number))
    after = next((one for one in order[place + 1 :] if one.line.weighed is None), None)
    sub = _("Mortar {n} of {total}", n=place + 1, total=len(order))
    here = url_for("weigh.keep_by_jar", thing=taken.id)
    said = None if after is None else f"{after.batch.name} · {after.text(after.target_g)} g"
    return Way(here, f"/jar/{taken.id}", sub, place, len(order), _("Mortar"), taken, said)


# One weighing -----------------------------------------------------------------------------------------------------


def _keep_line(aim: Aim, way: Way, then: str, form: Form | None = None) -> Response:
    form = form or read_form()
    read = read_weighing(form, aim)
    do = form.typed.get("do") if form.typed.get("do") in DO else None  # anything else is asked for once more
    if not form.ok or read is None:
        return _show_line(aim, way, form)
    if not may_record(form, _stands_against(aim.batch)):
        form.refuse(_("Not recorded: the step is stopped, for the reasons below."))
        return _show_line(aim, way, form)
    found = aims(bench().state, bench().library, aim.batch)
    larger = mend(found, aim.number, read.net_g, bench().library) if aim.off(read.net_g) == "over" else None
    if aim.off(read.net_g) and do is None and form.happened_ms is None and not repeated(form):
        return _show_off(aim, way, form, read, larger)
    if do == "back":
        return make_response(redirect(way.action if way.jar is None else then, 303))
    said = _("{g} g {name}", g=aim.text(read.net_g), name=aim.name)
    if record_all(_entries(aim, read, larger if do == "scale" else None), form=form, say=said):
        return make_response(redirect(then, 303))
    return _show_line(aim, way, form)


def _entries(aim: Aim, read: Read, larger: Mend | None) -> list[Entry]:
    data = {
        "line": aim.number,
        "net_g": read.net_g,
        "jar": read.jar,
        "before_g": read.before_g,
        "after_g": read.after_g,
        "balance_d_g": aim.d_g,
    }
    entries = [Entry("weighed", aim.batch.id, data, corrects=read.corrects)]
    if larger is not None:
        scaled = {"product_factor": larger.factor, "targets_g": list(larger.targets_g)}
        entries.append(Entry("rescaled", aim.batch.id, scaled))
    return entries


def _show_off(aim: Aim, way: Way, form: Form, read: Read, larger: Mend | None) -> Response:
    """Too much or too little: what to do about it, before anything is recorded."""
    if "do" not in form.typed:
        steady = aim.line.plan.fate in ("washed-out", "burns-out")
        form.typed["do"] = "scale" if larger is not None and not steady else "keep" if steady else "back"
    miss = read.net_g - aim.target_g
    pct = 100 * abs(miss) / aim.target_g if aim.target_g else 0.0
    return page("weigh/off.html", form=form, aim=aim, way=way, read=read, miss_g=miss, pct=pct, larger=larger)


def _show_line(aim: Aim, way: Way, form: Form) -> Response:
    state, library = bench().state, bench().library
    found = _stands_against(aim.batch)
    plan = aim.line.plan
    part = Part(plan.formula, aim.name, slug=_slug(plan), g=plan.target_g)
    slot = state.slot(aim.batch.id, "weighed", aim.number)
    return page(
        "weigh/line.html",
        form=form,
        aim=aim,
        way=way,
        findings=found,
        blocked=bool(stops(found)) and not (request.args.get("late") or form.typed.get("happened")),
        heads=slot.heads,
        disagrees=slot.disagrees,
        adding=bool(aim.short_g) and not request.args.get("correct") and not form.typed.get("corrects_whole"),
        working=working(aim, library),
        sources={key: source.title for key, source in library.sources.items()},
        others=aims(state, library, aim.batch),
        foot=cautions("weigh", [part], library),
        list_said=tally(_list(aim.batch.id)),
        waiting=_waiting(aim, way),
    )


def _waiting(aim: Aim, way: Way) -> int:
    """How many other mortars wait for the same jar; 0 where one comes by jar already."""
    if aim.jar is None or way.jar is not None:
        return 0
    return sum(one.line.weighed is None and one.batch.id != aim.batch.id for one in _mortars(aim.jar))


# What is in the mortar --------------------------------------------------------------------------------------------


def _keep_mortar(view: Batch, form: Form) -> Response:
    """The mortar weighed with what is in it, against the sum of the weighings; what is missing is recorded as lost."""
    empty = form.number("mortar_before_g", low=0, high=1e6, unit="g")
    full = form.number("mortar_after_g", low=0, high=1e6, unit="g")
    how = form.choice("how", HOW_LOST, required=False)
    if empty is not None and full is not None and full <= empty:
        form.refuse(_("The mortar with its contents cannot weigh less than the empty one."), "mortar_after_g")
    if not form.ok or empty is None or full is None:
        return _show_sum(view, form)
    known = sum(r.body.g or 0.0 for r in bench().state.own(view.id, "lost") if r.id != form.record_id)
    gap = round(view.weighed_g - known - (full - empty), 9)
    if how in ("dust", "spill") and gap > 0:
        lost = {"from": view.id, "g": gap, "how": how}
        if record_all([Entry("lost", view.id, lost)], form=form, say=_("{g:.2f} g lost", g=gap)):
            return go("weigh.following", thing=view.id, sum=1)
    if how == "leave":
        return go("weigh.following", thing=view.id, sum=1)
    return _show_sum(view, form, gap_g=gap)


def _show_sum(view: Batch, form: Form, gap_g: float | None = None) -> Response:
    state, library = bench().state, bench().library
    d_g = readability_g(state)
    found = aims(state, library, view)
    whole = becomes(view, d_g, library)
    return page(
        "weigh/sum.html",
        form=form,
        view=view,
        aims=found,
        gap_g=gap_g,
        gap_counts=gap_g is not None and abs(gap_g) > d_g * (len(found) + 1),
        target_g=sum(aim.target_g for aim in found),
        becomes=whole,
        meant=formula_text(view.plan.target_formula or ""),
        sources={key: source.title for key, source in library.sources.items()},
        list_said=tally(_list(view.id)),
        next=next_aim(found),
        places=found[0].places if found else 2,
    )
