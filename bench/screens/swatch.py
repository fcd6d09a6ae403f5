"""Swatches: one, measured; and all side by side, with what differs between any two."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.reckoning import reckon
from bench.science.colour import lab_to_srgb_hex
from bench.screens.called import called
from bench.screens.forms import blank, read_form
from bench.screens.joined import bench
from bench.screens.page import go, page
from bench.screens.recording import record
from bench.screens.words import _
from bench.workshop.comparing import differences
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.swatches import Swatch, photos_of, swatch

blueprint = Blueprint("swatch", __name__)

UNMEASURED = "#aeaeae"
MOST = 60


def swatch_or_404(thing: str) -> Swatch:
    """The paint-out of this address, or the calm page."""
    view = swatch(bench().state, thing)
    if view is None or not bench().state.exists(thing):
        abort(404)
    return view


@dataclass(frozen=True)
class Compared:
    """Two swatches: their colour difference where both are measured, and what differs in how they were made."""

    de00: float | None
    uncertainty: float | None
    say: str
    working: list[Any]
    differs: list[tuple[str, str, str]]


@blueprint.get("/swatches")
def home() -> Response:
    """All swatches on the mat, and the two that were picked."""
    here = bench()
    state = here.state
    found = [s for s in (swatch(state, t) for t in state.things("swatch")[-MOST:]) if s is not None]
    picked = [s for s in found if request.args.get(f"pick.{s.id}")][:2]
    items = [_item(one, one in picked) for one in found]
    items.sort(key=lambda item: (item["series"], item["sort"]))
    return page("swatch/home.html", items=items, compared=_compared(*picked) if len(picked) == 2 else None)


def _item(one: Swatch, picked: bool) -> dict[str, Any]:
    here = bench()
    lab = one.measured[-1].lab if one.measured else None
    plan = _plan(one)
    name = called(one.made.pigment, here.state, here.library).name
    level = plan.level if plan is not None and plan.level is not None else None
    fill = lab_to_srgb_hex(lab).hex if lab else UNMEASURED
    words = name if lab else _("{name}, not measured", name=name)
    number = float(level) if isinstance(level, int | float) and not isinstance(level, bool) else None
    return {
        "id": one.id,
        "masstone": fill,
        "tint": None,
        "name": f"{number:g}" if number is not None else (one.code or "?"),
        "unit": "" if lab else "?",
        "say": words,
        "picked": picked,
        "series": (plan.series if plan else None) or "~",
        "sort": (0, number, "") if number is not None else (1, 0.0, str(level or name)),
    }


def _plan(one: Swatch) -> Any:
    state = bench().state
    batches = [b for c in earlier_charges(state, one.made.pigment) for b in batches_of(state, c)]
    return state.slot(batches[0], "batch.planned").body if batches else None


def _compared(first: Swatch, second: Swatch) -> Compared:
    here = bench()
    told: dict[str, Any] = {}
    if first.measured and second.measured:
        ask: dict[str, Any] = {"lab1": list(first.measured[-1].lab), "lab2": list(second.measured[-1].lab)}
        for name, one in (("se1", first), ("se2", second)):
            if one.measured[-1].se:
                ask[name] = list(one.measured[-1].se)
        told = reckon("colour-difference", ask, here.library)
    differs = differences(here.state, first.made.pigment, second.made.pigment)
    say = told.get("say") or _("One of them is not measured: no difference can be shown.")
    return Compared(told.get("de00"), told.get("uncertainty"), say, told.get("working", []), differs)


@blueprint.get("/swatch/<thing>")
def show(thing: str) -> Response:
    """One swatch."""
    view = swatch_or_404(thing)
    here = bench()
    lab = view.measured[-1].lab if view.measured else None
    fill = lab_to_srgb_hex(lab) if lab else None
    pigment = called(view.made.pigment, here.state, here.library)
    photos = photos_of(here.state, thing)
    return page("swatch/show.html", view=view, lab=lab, fill=fill, pigment=pigment, photos=photos)


@blueprint.route("/swatch/<thing>/measure", methods=["GET", "POST"])
def measure(thing: str) -> Response:
    """A measured colour, with its standard error and how it was measured."""
    view = swatch_or_404(thing)
    form = read_form() if request.method == "POST" else blank(method=_("by camera, with a grey card"))
    if form.posted:
        lab = [
            form.number("l", low=0, high=100),
            form.number("a", low=-150, high=150),
            form.number("b", low=-150, high=150),
        ]
        se = [form.number(f"se_{axis}", low=0, high=50, required=False) for axis in "lab"]
        if any(one is None for one in se) and any(one is not None for one in se):
            form.refuse(_("Give all three errors, or none."), "se_l")
        method = form.text("method", max_len=120, required=True)
        data: dict[str, Any] = {"lab": lab, "method": method}
        data |= {"se": se} if all(one is not None for one in se) else {}
        if form.ok and record("swatch.measured", thing, data, form=form, say=_("Measured")):
            return go("swatch.show", thing=thing)
    return page("swatch/measure.html", form=form, view=view)
