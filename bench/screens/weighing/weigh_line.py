"""One weighing on its screen, and the checks before the first: what weighing by batch and by jar share."""

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from typing import Any

from flask import Response, make_response, redirect, request

from bench.reckoning.rules import Finding, Part
from bench.records.kinds import Line
from bench.reference.cautions import ASK
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import (
    Check,
    alone,
    checks,
    due,
    holding,
    lines,
    read_checks,
    stopped,
    tally,
    turned,
    unanswered,
)
from bench.screens.kit.gating import may_record, repeated
from bench.screens.kit.onward import next_of, onward
from bench.screens.kit.steps import step_path
from bench.screens.weighing.weighing import OvershootFix, WeighTarget, aims, mend, mortars, working
from bench.screens.weighing.weighing_read import Read, read_weighing
from bench.steps.named import slip
from bench.web.current import current_bench
from bench.web.forms import Form, read_form
from bench.web.page import AGAIN, page
from bench.web.recording import Entry, record_all
from bench.web.sending import attended, was_done_before
from bench.web.words import _
from bench.workshop.checked import balance_due
from bench.workshop.gates import gate_batch, reason, stops
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.jars import Jar

PHASE = "before-weighing"
KEY = "weigh"
DO = ("retype", "back", "scale", "keep")
NOT_RECORDED = ("retype", "back")
MOST_LARGER = 1.2
"""The largest factor by which a batch is offered to grow after an overshoot (project default)."""


@dataclass(frozen=True)
class WeighContext:
    """How one comes through the weighings: by batch or by jar. `action` is where the form goes, `back` the way out."""

    action: str
    back: str
    sub: str
    done: int
    total: int
    what: str
    jar: Jar | None = None
    after: str | None = None


def listed(thing: str) -> list[Check]:
    """The checks before weighing, as they stand for a batch, in its own order."""
    here = current_bench()
    return turned(checks(here.state, here.library, PHASE, thing, here.now()), thing)


def asks_checks(view: Batch) -> bool:
    """Whether the list comes first: before the first weighing until it is answered, and while a stop stands."""
    found = listed(view.id)
    return bool(holding(found, KEY)) or (view.state == "planned" and bool(unanswered(found)))


def stands_against(view: Batch) -> list[Finding]:
    """What stands against weighing it, a check that was answered with not done first."""
    found = gate_batch(current_bench().state, "weigh", view.id, current_bench().library, dry_handling=True)
    not_done = tuple(one.says for one in holding(listed(view.id), KEY))
    if not_done:
        said = _("A check before weighing was answered with not done. Do it, then answer again.")
        found = [reason("check-says-stop", said, "weigh", because=not_done), *found]
    return found


def keep_checks(views: list[Batch], form: Form) -> bool:
    """Record the answers for every batch that is weighed in this sitting."""
    entries: list[Entry] = []
    for view in views:
        entries += read_checks(form, listed(view.id), PHASE, view.id)
    if entries:
        form.errors.pop("", None)  # one batch of several may have nothing that was asked
    return form.ok and record_all(entries, form=form, say=_("Checks before weighing"))


def show_checks(views: list[Batch], form: Form, action: str) -> Response:
    found = _of_all(views)
    parts = [part for view in views for part in _parts(view)]
    foot = cautions("weigh", parts)
    whole = request.args.get("checks") and not request.args.get("one")
    one = alone(found, form.flag("one") if form.posted else not whole, form.errors)
    return page(
        "weigh/checks.html",
        form=form,
        found=due(found) if one else found,
        lines=lines(found),
        one=one,
        said=tally(found),
        views=views,
        action=action,
        foot=foot,
    )


def _of_all(views: list[Batch]) -> list[Check]:
    """The lists of several batches as one: an item that any of them asks is asked, until it is done for all."""
    found: dict[str, Check] = {}
    for check in (check for view in views for check in listed(view.id)):
        if check.slug not in found or (check.kind == ASK and not check.asked.good):
            found[check.slug] = check
    return turned(found.values(), views[0].id)


def _parts(view: Batch) -> list[Part]:
    return [Part(one.plan.formula, one.plan.name or one.plan.formula, slug=_slug(one.plan)) for one in view.lines]


def _slug(plan: Line) -> str | None:
    opened: Any = current_bench().state.slot(plan.jar, "jar.opened").body if plan.jar else None
    return opened.reagent if opened is not None else plan.name


def keep_line(aim: WeighTarget, way: WeighContext, then: str, form: Form | None = None) -> Response:
    form = form or read_form()
    read = read_weighing(form, aim)
    do = form.typed.get("do") if form.typed.get("do") in DO else None  # anything else is asked for once more
    if not form.ok or read is None:
        return show_line(aim, way, form)
    if not may_record(form, stands_against(aim.batch)):
        form.refuse(_("Not recorded: see the reasons below."))
        return show_line(aim, way, form)
    found = aims(current_bench().state, current_bench().library, aim.batch)
    larger = mend(found, aim.number, read.net_g, current_bench().library) if aim.off(read.net_g) == "over" else None
    asks = do is None and form.happened_ms is None and not repeated(form) and (attended() or not was_done_before())
    if aim.off(read.net_g) and asks:
        return _show_off(aim, way, form, read, larger)
    if do in NOT_RECORDED:
        back = way.action if way.jar is None else then
        return make_response(redirect(back + AGAIN if do == "retype" else back, 303))
    said = _("{g} g {name}", g=aim.text(read.net_g), name=aim.name)
    if record_all(_entries(aim, read, larger if do == "scale" else None), form=form, say=said):
        return _goes_on(aim, way, form, then)
    return show_line(aim, way, form)


def _goes_on(aim: WeighTarget, way: WeighContext, form: Form, then: str) -> Response:
    """To the next weighing, or on to the mortar when all of a batch is weighed and no two weighings disagree."""
    view = batch(current_bench().state, aim.batch.id)
    if way.jar is not None or view is None or any(one.disagrees for one in view.lines):
        return make_response(redirect(then, 303))
    return onward(form, view.id, "grind", home=then)


def _entries(aim: WeighTarget, read: Read, larger: OvershootFix | None) -> list[Entry]:
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


def _show_off(aim: WeighTarget, way: WeighContext, form: Form, read: Read, larger: OvershootFix | None) -> Response:
    """Too much or too little: what to do about it, before anything is recorded."""
    times = slip(read.net_g, aim.target_g) or slip(read.added_g, aim.short_g)
    if larger is not None and larger.factor > MOST_LARGER + 1e-9:
        larger = None
    miss = read.net_g - aim.target_g
    pct = 100 * abs(miss) / aim.target_g if aim.target_g else 0.0
    return page(
        "weigh/off.html", form=form, aim=aim, way=way, read=read, miss_g=miss, pct=pct, larger=larger, slip=times
    )


def show_line(aim: WeighTarget, way: WeighContext, form: Form) -> Response:
    state, library = current_bench().state, current_bench().library
    found, items = stands_against(aim.batch), listed(aim.batch.id)
    following = next_of(aim.batch.id) if way.jar is None else None
    slot = state.slot(aim.batch.id, "weighed", aim.number)
    numbers = partial(read_weighing, aim=aim)
    return page(
        "weigh/line.html",
        form=form.learn(numbers).learn(numbers, adding="1"),
        aim=aim,
        way=way,
        findings=found,
        blocked=bool(stops(found)) and not (request.args.get("late") or form.typed.get("happened") or _refused(form)),
        heads=slot.heads,
        disagrees=slot.disagrees,
        adding=bool(aim.short_g) and not request.args.get("correct") and not form.typed.get("corrects_whole"),
        working=working(aim, library),
        others=aims(state, library, aim.batch),
        foot=cautions("weigh", [line_part(aim)]),
        list_said=tally(items),
        not_done=[] if holding(items, KEY) else stopped(items),
        following=(following.title, step_path(following)) if following is not None else None,
        waiting=_waiting(aim, way),
        balance_overdue=balance_due(state, datetime.fromtimestamp(current_bench().now_ms() / 1000, UTC)),
    )


def line_part(aim: WeighTarget) -> Part:
    """What is on the balance, for its cautions."""
    plan = aim.line.plan
    return Part(plan.formula, aim.name, slug=_slug(plan), g=plan.target_g)


def _refused(form: Form) -> bool:
    """Whether a field was refused: the form is then shown with what was typed, whatever else stands against it."""
    return any(name for name in form.errors)


def _waiting(aim: WeighTarget, way: WeighContext) -> int:
    """How many other mortars wait for the same jar; 0 where one comes by jar already."""
    if aim.jar is None or way.jar is not None:
        return 0
    return sum(
        one.line.weighed is None and one.batch.id != aim.batch.id
        for one in mortars(current_bench().state, current_bench().library, aim.jar)
    )
