"""Towards a colour: typed, or that of a swatch; one's own swatches by their distance, and the step that is left."""

from typing import Any

from flask import Blueprint, Response, request

from bench.science.colour import Lab, lab_to_srgb_hex
from bench.science.refusal import Refusal
from bench.screens.kit.thing_label import pigment_name
from bench.screens.planning.again_plan import factor_of
from bench.screens.planning.copying_factors import level_text
from bench.screens.powders.swatch import AXES
from bench.web.current import current_bench
from bench.web.forms import Form, blank
from bench.web.numbers import read_number
from bench.web.page import page
from bench.web.words import _
from bench.workshop.between import Between, guesses
from bench.workshop.comparing import direction
from bench.workshop.things.batches import batch
from bench.workshop.things.swatches import swatch
from bench.workshop.towards import Near, nearest, targets_near

blueprint = Blueprint("towards", __name__)


@blueprint.get("/swatches/towards")
def show() -> Response:
    """What is near a colour."""
    here = current_bench()
    given = swatch(here.state, request.args.get("from", ""))
    last = given.colour if given is not None else None
    form, lab = _asked(last.lab if last is not None else None)
    found = (
        nearest(here.state, lab, last.se if last is not None else _error(), given.id if given else "") if lab else []
    )
    return page(
        "swatch/towards.html",
        form=form,
        status=422 if form.errors else 200,
        axes=[(name, words) for name, words, _low, _high in AXES],
        fill=lab_to_srgb_hex(lab).hex if lab else None,
        rows=[_row(one, lab) for one in found] if lab else [],
        guesses=_guesses(lab) if lab else [],
        targets=targets_near(here.library, lab) if lab else [],
        asked=lab is not None,
    )


def _asked(given: Lab | None) -> tuple[Form, Lab | None]:
    """The colour in the address; of a swatch where one is named."""
    typed = {name: request.args[name] for name, *_rest in AXES if name in request.args}
    if not typed:
        start = {name: f"{value:.1f}" for (name, *_rest), value in zip(AXES, given, strict=True)} if given else {}
        return blank(**start), given
    form = Form(typed, now_ms=current_bench().now_ms())
    numbers = [form.number(name, low=low, high=high) for name, _words, low, high in AXES]
    if any(one is None for one in numbers):
        return form, None
    lightness, a, b = (one or 0.0 for one in numbers)
    return form, (lightness, a, b)


def _error() -> Lab | None:
    """The standard error of the colour in the address, where a photo told one."""
    try:
        lightness, a, b = (read_number(request.args.get(f"se_{name}", ""), low=0, high=50) for name, *_rest in AXES)
    except Refusal:
        return None
    return lightness, a, b


def _row(one: Near, wanted: Lab) -> dict[str, Any]:
    words = direction(one.lab, wanted)
    plus = f" ± {one.uncertainty:.1f}" if one.uncertainty is not None else ""
    told = _("wanted: {words}", words=", ".join(words)) if words else _("as wanted, as far as visible")
    if one.uncertainty is not None and one.uncertainty >= one.de:
        told = _("no difference is shown")
    return {
        "id": one.id,
        "name": pigment_name(one.pigment) or _("Swatch"),
        "second": f"ΔE₀₀ {one.de:.1f}{plus}, {told}",
        "code": current_bench().state.code_of(one.id),
    }


def _guesses(wanted: Lab) -> list[dict[str, Any]]:
    """Levels of own series that may come nearer, each with the way to plan it, or to its series."""
    return [_guess(one) for one in guesses(current_bench().state, wanted)]


def _can_be_planned(one: Between) -> bool:
    view = batch(current_bench().state, one.batch)
    factor = factor_of(view) if view is not None else None
    return factor is not None and factor.low <= one.guess.level <= factor.high


def _guess(one: Between) -> dict[str, Any]:
    level = one.guess.level
    where = _("beyond what was made") if one.guess.beyond else _("between two that were made")
    return {
        "path": f"/batch/{one.batch}/again?level={level:g}" if _can_be_planned(one) else f"/series/{one.series}",
        "name": f"{one.plan.factor} {level_text(level, one.plan.unit)}",
        "second": _("ΔE₀₀ about {de:.1f}, not {made:.1f}; {where}", de=one.guess.de, made=one.made_de, where=where),
    }
