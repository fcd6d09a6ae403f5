"""A series: its batches side by side, what differed between them, and what came of each."""

from dataclasses import dataclass

from flask import Blueprint, Response, abort

from bench.screens.kit.joined import bench
from bench.screens.kit.page import grams_off, page
from bench.screens.kit.words import _
from bench.screens.planning.batch import STATES
from bench.screens.planning.copying_factors import level_text
from bench.workshop.comparing import SHARE_PCT, facts
from bench.workshop.expectation import gap
from bench.workshop.lineage import offspring
from bench.workshop.share_changes import SHARE, changed_shares
from bench.workshop.things.batches import Batch, batch

blueprint = Blueprint("series", __name__)

VERDICTS = {
    "keep": _("kept"),
    "refire": _("to be fired again"),
    "make-up": _("to be made up"),
    "tint": _("tint stock"),
    "discard": _("thrown away"),
}
MOST_FACTS = 12
NOT_SAID = "–"


@dataclass(frozen=True)
class Member:
    """One batch of a series: its level in words, whether it is the control, where it stands, and what came of it."""

    view: Batch
    level: str
    control: bool
    state: str
    came: tuple[str, ...]
    pigments: tuple[str, ...]


@blueprint.get("/series/<thing>")
def show(thing: str) -> Response:
    """The batches of a series side by side."""
    state = bench().state
    plan = state.slot(thing, "series.planned").body
    if plan is None or not state.exists(thing):
        abort(404)
    members = [_member(one, plan.unit, plan.control) for one in _batches(thing)]
    planned = {one.view.plan.level for one in members}
    return page(
        "series/show.html",
        thing=thing,
        plan=plan,
        members=members,
        missing=[level_text(one, plan.unit) for one in plan.levels if one not in planned],
        differed=_differed(members),
    )


def _batches(thing: str) -> list[Batch]:
    state = bench().state
    planned = dict.fromkeys(record.subject for record in state.touching(thing, "batch.planned"))
    found = [batch(state, t) for t in planned if _is_of(t, thing)]
    known = [one for one in found if one is not None]
    return sorted(known, key=lambda one: (isinstance(one.plan.level, str), one.plan.level or 0))


def _is_of(one: str, series: str) -> bool:
    state = bench().state
    plan = state.slot(one, "batch.planned").body
    return plan is not None and plan.series == series and state.exists(one)


def _member(view: Batch, unit: str | None, control: object) -> Member:
    pigments = _pigments(view.id)
    return Member(
        view,
        level_text(view.plan.level, unit),
        view.plan.level is not None and view.plan.level == control,
        STATES[view.state],
        tuple(_came(view, pigments)),
        tuple(pigments),
    )


def _pigments(thing: str) -> list[str]:
    """Every powder that came of a batch, through later fires too, the first first."""
    state = bench().state
    found: dict[str, None] = {}
    ahead = [thing]
    seen = {thing}
    while ahead:
        for one in offspring(state, ahead.pop(0)):
            if one in seen:
                continue
            seen.add(one)
            if state.sort_of(one) == "pigment":
                found[one] = None
            if state.sort_of(one) in ("charge", "pigment"):
                ahead.append(one)
    return list(found)


def _came(view: Batch, pigments: list[str]) -> list[str]:
    """What came of a batch in words: the gaps of its charges, and the verdict on each powder with its words."""
    state = bench().state
    said = []
    for filled in view.charges:
        found = gap(state, filled, bench().library)
        if found is not None and found.meaning is not None and found.gap_g is not None:
            said.append(_("{g} g against theory", g=grams_off(found.gap_g)))
    for one in pigments:
        for record in state.by_time(one, "judged")[-1:]:
            words = f": {record.body.words}" if record.body.words else ""
            said.append(VERDICTS[record.body.verdict] + words)
    return list(dict.fromkeys(said))


def _differed(members: list[Member]) -> list[tuple[str, list[str]]]:
    """Each fact in which the powders of the batches differ beyond its scatter: its name, and what it was of each."""
    state = bench().state
    told = [facts(state, one.pigments[-1]) if one.pigments else {} for one in members]
    known = [one for one in told if one]
    shares = changed_shares(known, SHARE_PCT)
    found = []
    for name in dict.fromkeys(name for one in known for name in one):
        values = [one.get(name) for one in known]
        first = values[0]
        if name.endswith(SHARE) and name not in shares:
            continue
        if any(value is None or first is None or not value.like(first) for value in values):
            found.append((name, [one[name].words if name in one else NOT_SAID for one in told]))
    return found[:MOST_FACTS]
