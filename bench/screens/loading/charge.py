"""A charge: what one crucible holds, where it stands, how it may be touched, and what comes next."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flask import Blueprint, Response

from bench.reckoning.working import step
from bench.records.moments import to_ms
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.found import charge_or_404
from bench.screens.kit.steps import step_path
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.records.differing import disagreements
from bench.steps.sorts import CHARGE_WORDS
from bench.web.current import current_bench
from bench.web.moments import clock_text, date_text
from bench.web.page import grams, page
from bench.web.words import _
from bench.workshop.expectation import gap
from bench.workshop.next_steps import charge_step
from bench.workshop.parts import charge_parts
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import Charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.firings import firing

blueprint = Blueprint("charge", __name__, url_prefix="/charge")

STATES = CHARGE_WORDS | {"opened": _("Opened"), "lost": _("Given up")}
COOLINGS = {
    "in-furnace": _("Leave in the furnace to cool"),
    "slow": _("Slowly, in the furnace"),
    "fast": _("Fast"),
    "controlled": _("By its schedule, in the furnace"),
    "either": _("Leave in: fast or slow makes no difference."),
    "quench-water": _("Quench in water"),
    "unknown": _("Not known: leave it in"),
}
OUTSIDE = ("fast", "quench-water")
"""Of these coolings, what is done out of the furnace; the others end where it is taken out."""
LIDS = {"none": _("none"), "loose": _("loose"), "vented": _("vented"), "sealed": _("sealed")}
LEAST_LEFT_G = 0.05
SURE = ("read", "planned")


@dataclass(frozen=True)
class SourceRow:
    """One thing that went in, and how much of it."""

    what: ThingLabel
    g: float


@dataclass(frozen=True)
class StayRow:
    """One firing of it: when in and out, and where it was put."""

    what: ThingLabel
    said: str


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The charge."""
    view = charge_or_404(thing)
    state, library = current_bench().state, current_bench().library
    following = charge_step(state, thing)
    weighed, filled = gap(state, thing, library), state.slot(thing, "charged").record
    vessel = crucible(state, view.crucible)
    return page(
        "charge/show.html",
        view=view,
        name=thing_label(thing).name,
        said=_(STATES[view.state]),
        cooling=COOLINGS[view.cooling_mode],
        cooling_sure=view.cooling_basis in SURE,
        vessel=vessel,
        lid=LIDS[view.charged.lid],
        assumed=() if filled is None else filled.assumed,
        rows=_sources(view),
        stays=_stays(view),
        gap=weighed,
        full_g=None if view.charged.gross_g is None or vessel is None else _inside(view.charged.gross_g, vessel.tare_g),
        following=following,
        path=step_path(following) if following is not None else None,
        # A charge may go on to another furnace after one: then it can be placed again.
        more=[(row.what, left) for row in _sources(view) if (left := _left_g(row)) > LEAST_LEFT_G],
        place_again=view.state in ("placed", "out-hot", "cool") and view.pigment is None,
        pigment=thing_label(view.pigment) if view.pigment else None,
        disagreements=disagreements(thing),
        unloads=view.state == "in-heat" and not _burns(view),
        working=_working(view),
        foot=cautions("open" if view.was_hot else "load", charge_parts(state, thing)),
    )


def _burns(view: Charge) -> bool:
    fire = firing(current_bench().state, view.stay.firing) if view.stay is not None else None
    return fire is not None and fire.burning


def _left_g(row: SourceRow) -> float:
    """What is left of a batch that went in, for the next crucible."""
    found = batch(current_bench().state, row.what.id) if row.what.sort == "batch" else None
    return found.left_g if found is not None and found.state in ("weighed", "mixed") else 0.0


def _inside(gross_g: float, tare_g: float | None) -> float | None:
    return None if tare_g is None else gross_g - tare_g


def _sources(view: Charge) -> list[SourceRow]:
    found = []
    for source in view.charged.sources:
        thing = source.batch or source.pigment or source.jar or source.charge
        if thing is not None:
            found.append(SourceRow(thing_label(thing), source.g))
    return found


def _stays(view: Charge) -> list[StayRow]:
    found = []
    for stay in view.residences:
        said = [_("placed")] if stay.went_in is None else [_("in {clock}", clock=_day_and_clock(stay.went_in))]
        if stay.came_out is not None:
            said.append(_("out {clock}", clock=_out_clock(stay.went_in, stay.came_out)))
        if stay.unconfirmed:
            said.append(_("tag not checked yet"))
        if stay.rest_place:
            said.append(stay.rest_place)
        found.append(StayRow(thing_label(stay.firing), " · ".join(said)))
    return found


def _day_and_clock(moment: datetime) -> str:
    zone = current_bench().zone_min()
    return f"{date_text(to_ms(moment), zone)} {clock_text(to_ms(moment), zone)}"


def _out_clock(went_in: datetime | None, came_out: datetime) -> str:
    """The clock alone where it went in on the same day: a furnace cools overnight."""
    told = _day_and_clock(came_out)
    same = went_in is not None and _day_and_clock(went_in)[:10] == told[:10]
    return told[11:] if same else told


def _working(view: Charge) -> list[dict[str, Any]]:
    """How its dry mass came about."""
    rows = [step(_("{g} g of {name}", g=grams(row.g), name=row.what.name), row.g, "g") for row in _sources(view)]
    return [*rows, step(_("Together, dry mass"), view.dry_g, "g")]
