"""Grind a fired powder again, sieve it, and weigh it dry."""

from typing import Any

from flask import Blueprint, Response

from bench.reference.cautions import Advice
from bench.screens.kit.dusty import dust, read_dust
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, grams
from bench.screens.kit.recording import Entry, record_all
from bench.screens.kit.words import _
from bench.screens.powders.powder import FAR, LIQUIDS, against, goes_on, powder_or_404, step_page
from bench.screens.weighing.grind import ground_words
from bench.workshop.moments import to_ms
from bench.workshop.things.charges import powder_is_damp
from bench.workshop.things.pigments import Pigment

blueprint = Blueprint("regrinding", __name__, url_prefix="/pigment")

WAYS = (
    ("oven", _("In an oven"), _("never with a liquid that burns")),
    ("open-air", _("In the open air")),
)
GRIND_ADVICE = ("crush-sieve", "wet-mortar", "stop-egyptian", "stop-zircon", "stop-spinel")


@blueprint.get("/<thing>/grind")
def ask_grind(thing: str) -> Response:
    """What it is ground in."""
    return _show_grind(powder_or_404(thing), blank(medium="water"), "water")


def _show_grind(view: Pigment, form: Form, medium: str) -> Response:
    return step_page(
        "grind", view, form, "grind", against(view, "grind", **_grind_terms(form, medium)),
        liquids=LIQUIDS, advice=_advice(GRIND_ADVICE), dust=dust(view.id),
    )  # fmt: skip


def _grind_terms(form: Form, medium: str) -> dict[str, Any]:
    terms: dict[str, Any] = {"liquid": medium, "dry_handling": medium in ("", "dry")}
    return terms | ({"flame_or_hot_furnace_within_m": FAR} if form.flag("no_flame") else {})


def _advice(slugs: tuple[str, ...]) -> list[Advice]:
    rows = bench().library.advice
    return [rows[slug] for slug in slugs if slug in rows]


@blueprint.post("/<thing>/grind")
def keep_grind(thing: str) -> Response:
    """Record a grinding. One in a liquid makes the powder damp until it is weighed dry."""
    view = powder_or_404(thing)
    form = read_form()
    kind = form.choice("medium", [one[0] for one in LIQUIDS]) or ""
    named = form.text("medium_name", max_len=80)
    medium = named if kind == "other" else kind
    if kind == "other" and not medium:
        form.refuse(_("Say which liquid."), "medium_name")
    data = {
        "medium": medium,
        "minutes": form.number("minutes", high=10_000, unit="min", required=False),
        "sieve_um": form.number("sieve_um", low=1, high=5000, unit="µm", required=False),
        "held_back_g": form.number("held_back_g", high=100_000, unit="g", required=False),
    }
    dusty = read_dust(form, dust(thing), thing, "grind", medium == "dry")
    goes = form.ok and medium and goes_on(form, against(view, "grind", **_grind_terms(form, medium)))
    if goes and record_all([Entry("ground", thing, data), *dusty], form=form, say=ground_words(data)):
        return go("pigment.show", thing=thing)
    return _show_grind(view, form, medium or "")


@blueprint.get("/<thing>/dry")
def ask_dry(thing: str) -> Response:
    """What it weighs dry."""
    view = powder_or_404(thing)
    return _show_dry(view, blank(drying="oven", was=" ".join(_standing(thing))))


def _standing(thing: str) -> list[str]:
    return [r.id for r in bench().state.slot(thing, "dry.weighed").heads]


def _show_dry(view: Pigment, form: Form) -> Response:
    state = bench().state
    return step_page(
        "dry", view, form, "dry", against(view, "dry", **_dry_terms(form)),
        damp=powder_is_damp(state, view.id), ways=WAYS, weighed=state.slot(view.id, "dry.weighed").body,
        advice=_advice(("dry-and-bottle",)),
    )  # fmt: skip


def _dry_terms(form: Form) -> dict[str, Any]:
    terms: dict[str, Any] = {"drying": form.typed.get("drying") or "oven"}
    return terms | ({"flame_or_hot_furnace_within_m": FAR} if form.flag("no_flame") else {})


@blueprint.post("/<thing>/dry")
def keep_dry(thing: str) -> Response:
    """Record its dry mass. It takes the place of the mass that its page showed; of one that came since, it does not."""
    view = powder_or_404(thing)
    form = read_form()
    net = form.number("net_g", low=0, high=100_000, unit="g")
    form.choice("drying", [one[0] for one in WAYS], required=False)
    if form.ok and net is not None and goes_on(form, against(view, "dry", **_dry_terms(form))):
        shown = [one for one in form.typed.get("was", "").split() if _was_weighed(one, thing)]
        # What was wetted and dried again is weighed now; a slip that is mended was weighed when it was weighed.
        anew = shown and view.state in ("washed", "ground") and form.happened_ms is None
        happened = _of_repeat(form) or (form.now_ms if anew else None)
        entry = Entry("dry.weighed", thing, {"net_g": net}, corrects=shown, happened_ms=happened)
        if record_all([entry], form=form, say=f"{grams(net)} g"):
            return go("pigment.show", thing=thing)
    return _show_dry(view, form)


def _of_repeat(form: Form) -> int | None:
    """The moment that this very submit was given when it came the first time, so that its repeat says the same."""
    standing = bench().state.records.get(form.record_id)
    return to_ms(standing.when) if standing is not None and standing.how == "late" else None


def _was_weighed(record_id: str, thing: str) -> bool:
    found = bench().state.records.get(record_id)
    return found is not None and found.kind == "dry.weighed" and found.subject == thing
