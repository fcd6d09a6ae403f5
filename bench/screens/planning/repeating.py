"""Did it repeat? The batches of one recipe in a row, with their spread."""

from statistics import fmean
from typing import Any

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.screens.kit.found import batch_or_404
from bench.screens.planning.series import VERDICTS
from bench.web.current import current_bench
from bench.web.page import date_here, page
from bench.web.words import _
from bench.workshop.repeats import FEWEST, Member, Spread, family_of, member, spreads

blueprint = Blueprint("repeating", __name__)

NAMES = {"yield": _("Yield, %"), "fired": _("Fired mass, %"), "L*": "L*", "a*": "a*", "b*": "b*"}


@blueprint.get("/batch/<thing>/repeats")
def show(thing: str) -> Response:
    """The recipe of this batch."""
    view = batch_or_404(thing)
    state = current_bench().state
    family = family_of(state, thing)
    members = [member(state, one) for one in family.batches]
    return page(
        "batch/repeats.html",
        view=view,
        rows=[_row(one) for one in members],
        spreads=[_said(one) for one in spreads(members)],
        fewest=FEWEST,
        members=members,
        more=family.more,
    )


def _row(one: Member) -> dict[str, Any]:
    state = current_bench().state
    lab = one.lab
    return {
        "id": one.id,
        "code": state.code_of(one.id),
        "day": date_here(to_ms(one.planned)),
        "yield": _yield(one),
        "lab": f"{lab[0]:.1f} {lab[1]:+.1f} {lab[2]:+.1f}" if lab else "–",
        "verdicts": ", ".join(str(VERDICTS[v]) for v in dict.fromkeys(one.verdicts)),
    }


def _yield(one: Member) -> str:
    """What came out for a hundred grams in; as fired too, where a rinse took some of it."""
    if one.yield_pct is None:
        return "–"
    fired = fmean(one.fired_pct) if one.fired_pct else one.yield_pct
    if abs(fired - one.yield_pct) < 0.05:
        return f"{one.yield_pct:.1f} %"
    return _("{pct:.1f} %, fired {fired:.1f} %", pct=one.yield_pct, fired=fired)


def _said(one: Spread) -> tuple[str, str, str, str]:
    """A row: what, the spread between batches, that within them, and which is the larger."""
    between = f"{one.between:.2g}" if one.between is not None else "–"
    within = f"{one.within:.2g}" if one.within is not None else "–"
    return NAMES[one.name], between, within, str(one.batches)
