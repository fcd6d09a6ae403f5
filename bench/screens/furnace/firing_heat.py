"""What a firing did to each crucible, and which of its crucibles could have been taken for one another."""

from flask import Blueprint, Response, request

from bench.reckoning.working import Step, step
from bench.screens.furnace.firing_view import Inside, inside
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.page import code_text, page
from bench.web.words import _
from bench.workshop.learning import learnt, probe_hours
from bench.workshop.mixups import WITHIN_G, MixUp, best_order, mixups, weighings
from bench.workshop.soaking import soaking
from bench.workshop.times_amiss import amiss_in

blueprint = Blueprint("firing_heat", __name__)


@blueprint.get("/firing/<thing>/heat")
def show(thing: str) -> Response:
    """What each crucible got: in and out, minutes at heat, peak, heat work; and what the furnace taught."""
    fire = firing_or_404(thing)
    here = current_bench()
    return page(
        "firing/heat.html",
        fire=fire,
        rows=together([one for one in inside(fire) if one.heat is not None]),
        soak=soaking(here.state, fire),
        taught=learnt(here.state, fire.plan.furnace),
        hours=probe_hours(here.state, fire.plan.furnace),
        amiss=amiss_in(here.state, thing),
    )


def together(rows: list[Inside]) -> list[list[Inside]]:
    """The crucibles of a load by what they got: those that went in and came out together stand as one."""
    found: dict[object, list[Inside]] = {}
    for one in rows:
        heat = one.heat
        found.setdefault((heat.went_in, heat.came_out) if heat is not None else one.charge, []).append(one)
    return list(found.values())


@blueprint.get("/firing/<thing>/mixed-up")
def mixed_up(thing: str) -> Response:
    """Which crucibles weigh empty what they should not, and with which each could have been swapped."""
    fire = firing_or_404(thing)
    here = current_bench()
    found = mixups(here.state, thing)
    order = best_order(here.state, thing) or {}
    opened = request.args.get("opened", "")[:26]
    return page(
        "firing/mixed_up.html",
        fire=fire,
        rows=[(thing_label(one.weighed.charge), one, _said(one), _working(one)) for one in found],
        order=[(thing_label(one), thing_label(two)) for one, two in order.items()],
        opened=opened if here.state.sort_of(opened) == "pigment" else None,
        weighed=len(weighings(here.state, thing)),
        load=len(fire.charges),
    )


def _said(one: MixUp) -> str:
    """What the masses say of one crucible."""
    if one.swapped_with is not None:
        code = code_text(thing_label(one.swapped_with).code)
        return _("This one and {code} weigh what the other did: probably swapped.", code=code)
    if one.others:
        codes = ", ".join(code_text(thing_label(thing).code) for thing, _by in one.others)
        return _("It weighs what {codes} weighed before. Perhaps it is that one.", codes=codes)
    return _("No other crucible of this firing weighed that. A piece is missing, or something is still inside.")


def _working(one: MixUp) -> list[Step]:
    weighed = one.weighed
    steps = [
        step(_("Weighed empty before it was filled"), weighed.tare_g, "g"),
        step(_("Weighed empty after the fire"), weighed.after_g, "g"),
        step(_("Apart"), round(weighed.off_g, 3), "g"),
        step(_("Allowed: {g:g} g, plus what was noted as stuck", g=WITHIN_G), weighed.allowed_g, "g"),
    ]
    near = [(code_text(thing_label(thing).code), by) for thing, by in one.others]
    return [*steps, *(step(_("From the mass of {code} before", code=code), round(by, 3), "g") for code, by in near)]
