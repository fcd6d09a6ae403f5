"""Today: the start page. What burns, what is hot, what counts down, and the next step of everything under way."""

from dataclasses import replace
from datetime import UTC, datetime

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.screens.furnace.curves import planned_points, read_points, thinned
from bench.screens.kit.checking import checks, stopped, unanswered
from bench.screens.kit.first_steps import first_due, first_steps
from bench.screens.kit.steps import glyph_of, step_path, thing_path
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.records.differing import disagreements
from bench.web.current import current_bench
from bench.web.drawing import Curve, curve
from bench.web.moments import local
from bench.web.page import page
from bench.web.words import _
from bench.workshop.answered import SITTING
from bench.workshop.asked import LATER, LOOK
from bench.workshop.next_steps import NextStep
from bench.workshop.snapshot import AFTER
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing
from bench.workshop.today import today

blueprint = Blueprint("today", __name__)

MOST_STEPS = 40
MOST_KEPT, MOST_LOOKED_AT = 3, 60
WEEKDAYS = (_("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday"), _("Friday"), _("Saturday"), _("Sunday"))
MONTHS = (
    _("January"), _("February"), _("March"), _("April"), _("May"), _("June"), _("July"), _("August"), _("September"),
    _("October"), _("November"), _("December"),
)  # fmt: skip


@blueprint.get("/")
def home() -> Response:
    """What is under way now."""
    here = current_bench()
    state = here.state
    now = here.now_ms()
    found = today(state, datetime.fromtimestamp(now / 1000, UTC))
    firsts = first_steps()
    steps = [step for step in map(_as_it_stands, found.steps) if step is not None]
    return page(
        "today/home.html",
        day=_day(now),
        found=found,
        differ=[(thing_label(one), _settled_at(one)) for one in found.differ],
        fires=[(fire, _small_curve(fire)) for fire in found.firings],
        steps=[(step, step_path(step), glyph_of(step)) for step in steps[:MOST_STEPS]],
        more=max(0, len(steps) - MOST_STEPS),
        timers=[(timer, thing_path(state.sort_of(timer.thing), timer.thing)) for timer in found.timers],
        looks=_looks(),
        kept=_kept(),
        firsts=firsts,
        first_due=first_due(),
        empty=not (found.firings or found.hot or found.steps or state.has_any("batch")),
        reports=here.journal.report,
        question=here.journal.safe.shortfall,
    )


def _as_it_stands(step: NextStep) -> NextStep | None:
    """A firing that is off with no check left to answer is to be unloaded; with nothing in it, it asks for nothing."""
    here = current_bench()
    fire = firing(here.state, step.thing) if step.verb == "after-checks" else None
    if fire is None:
        return step
    found = checks(here.state, here.library, AFTER, step.thing, here.now())
    left = unanswered(found)
    if fire.off_at is not None and here.now() - fire.off_at > SITTING:
        # What is asked once a sitting is asked of the sitting, not of every fire that was before it.
        left = [one for one in left if one.item.once_per != "sitting"]
    views = [charge(here.state, one) for one in fire.charges]
    is_in = any(view is not None and view.state == "in-heat" for view in views)
    if left or (is_in and stopped(found)):
        return step
    return replace(step, verb="fire", title=_("Unload")) if is_in else None


def _looks() -> list[tuple[str, ThingLabel, datetime, float]]:
    """The looks that are due later: (firing, its name, when, minutes until then). At its time each is a check."""
    here = current_bench()
    found = []
    for thing in here.state.open_things("firing"):
        fire = firing(here.state, thing)
        if fire is not None and fire.off_at is not None and here.now() < fire.off_at + LOOK:
            checked = checks(here.state, here.library, AFTER, thing, here.now())
            due = next((one.asked.due_at for one in checked if one.kind == LATER), None)
            if due is not None:
                found.append((thing, thing_label(thing), due, (due - here.now()).total_seconds() / 60))
    return found


def _kept() -> list[tuple[ThingLabel, str]]:
    """The powders that were kept last, with their day."""
    here = current_bench()
    found = []
    for thing in reversed(here.state.things("pigment")[-MOST_LOOKED_AT:]):
        judged = here.state.by_time(thing, "judged")
        if judged and judged[-1].body.verdict == "keep":
            found.append((judged[-1].when, thing, judged[-1].local.strftime("%Y-%m-%d")))
    newest = sorted(found, reverse=True)[:MOST_KEPT]
    return [(thing_label(thing), when) for _moment, thing, when in newest]


def _day(now_ms: int) -> str:
    moment = local(now_ms, current_bench().zone_min())
    return f"{WEEKDAYS[moment.weekday()]} {moment.day} {MONTHS[moment.month - 1]}"


def _small_curve(fire: Firing) -> Curve:
    """The curve of a fire that burns, against its plan, small."""
    return current_bench().state.memoize(
        ("small", fire.id),
        lambda: _small_curve_of(firing(current_bench().state, fire.id) or fire, current_bench().now_ms()),
    )


def _small_curve_of(fire: Firing, now_ms: int) -> Curve:
    start = to_ms(fire.lit_at) if fire.lit_at is not None else now_ms
    read = thinned(read_points(fire))
    return curve(read, planned_points(fire.plan.segments, start), look="mini")


def _settled_at(thing: str) -> str:
    """Where one of two records is taken: at once where one pair alone differs, else from the list of them."""
    found = disagreements(thing)
    return str(found[0]["href"]) if len(found) == 1 else f"/thing/{thing}"
