"""Grind a fired powder again, sieve it, and weigh it dry."""

from typing import Any

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.reference.cautions import Advice
from bench.screens.kit.declared import form_of, past_words, read_step, shown_fields, start_of
from bench.screens.kit.dust_checks import dust, read_dust
from bench.screens.kit.gating import goes_on
from bench.screens.kit.onward import onward
from bench.screens.powders.powder import FAR, against, powder_or_404, step_page
from bench.steps.bounds import QUICK_MINUTES
from bench.steps.dry_weigh import STEP as DRY
from bench.steps.regrind import STEP as GRIND
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.recording import Entry, record_all
from bench.workshop.things.pigments import Pigment

blueprint = Blueprint("regrinding", __name__, url_prefix="/pigment")

GRIND_ADVICE = ("crush-sieve", "wet-mortar", "stop-egyptian", "stop-zircon", "stop-spinel")


@blueprint.get("/<thing>/grind")
def ask_grind(thing: str) -> Response:
    """What it is ground in."""
    return _show_grind(powder_or_404(thing), form_of(GRIND, thing), "")


def _show_grind(view: Pigment, form: Form, medium: str) -> Response:
    return step_page(
        "grind", view, form, "grind", against(view, "grind", **grind_terms(medium, form.flag("no_flame"))),
        fields=shown_fields(form, GRIND, view.id), advice=_advice(GRIND_ADVICE), dust=dust(view.id),
        quick_minutes=QUICK_MINUTES,
    )  # fmt: skip


def grind_terms(medium: str, no_flame: bool) -> dict[str, Any]:
    """What the rules are told of a grinding."""
    terms: dict[str, Any] = {"liquid": medium, "dry_handling": medium in ("", "dry")}
    return terms | ({"flame_or_hot_furnace_within_m": FAR} if no_flame else {})


def _advice(slugs: tuple[str, ...]) -> list[Advice]:
    rows = current_bench().library.advice
    return [rows[slug] for slug in slugs if slug in rows]


@blueprint.post("/<thing>/grind")
def keep_grind(thing: str) -> Response:
    """Record a grinding. One in a liquid makes the powder damp until it is weighed dry."""
    view = powder_or_404(thing)
    form = read_form()
    data = read_step(form, GRIND, thing).data
    medium = data.get("medium", "")
    dusty = read_dust(form, dust(thing), thing, GRIND.dust, medium == "dry")
    goes = form.ok and goes_on(form, against(view, "grind", **grind_terms(medium, form.flag("no_flame"))))
    if goes and record_all([Entry("ground", thing, data), *dusty], form=form, say=past_words(GRIND, thing, data)):
        return onward(form, thing, DRY.verb)
    return _show_grind(view, form, medium)


@blueprint.get("/<thing>/dry")
def ask_dry(thing: str) -> Response:
    """What it weighs dry."""
    view = powder_or_404(thing)
    return _show_dry(view, blank(**start_of(DRY, thing), was=" ".join(_standing(thing))))


def _standing(thing: str) -> list[str]:
    return [r.id for r in current_bench().state.slot(thing, "dry.weighed").heads]


def _show_dry(view: Pigment, form: Form) -> Response:
    state = current_bench().state
    return step_page(
        "dry", view, form, "dry", against(view, "dry", **_terms_of(form)),
        fields=shown_fields(form, DRY, view.id), weighed=state.slot(view.id, "dry.weighed").body,
        advice=_advice(("dry-and-bottle",)),
    )  # fmt: skip


def _terms_of(form: Form) -> dict[str, Any]:
    return dry_terms(form.typed.get("drying") or "oven", form.flag("no_flame"))


def dry_terms(way: str, clear: bool) -> dict[str, Any]:
    """What the rules are told of drying a fired powder: how, and whether nothing hot is near."""
    return {"drying": way, **({"flame_or_hot_furnace_within_m": FAR} if clear else {})}


@blueprint.post("/<thing>/dry")
def keep_dry(thing: str) -> Response:
    """Record its dry mass. It takes the place of the mass that its page showed; of one that came since, it does not."""
    view = powder_or_404(thing)
    form = read_form()
    data = read_step(form, DRY, thing).data
    if form.ok and goes_on(form, against(view, "dry", **_terms_of(form))):
        shown = [one for one in form.typed.get("was", "").split() if _was_weighed(one, thing)]
        # What was wetted and dried again is weighed now; a slip that is mended was weighed when it was weighed.
        anew = shown and view.state in ("washed", "ground") and form.happened_ms is None
        happened = _of_repeat(form) or (form.now_ms if anew else None)
        entry = Entry("dry.weighed", thing, data, corrects=shown, happened_ms=happened)
        if record_all([entry], form=form, say=past_words(DRY, thing, data)):
            return onward(form, thing, "swatch")
    return _show_dry(view, form)


def _of_repeat(form: Form) -> int | None:
    """The moment that this very submit was given when it came the first time, so that its repeat says the same."""
    standing = current_bench().state.record(form.record_id)
    return to_ms(standing.when) if standing is not None and standing.how == "late" else None


def _was_weighed(record_id: str, thing: str) -> bool:
    found = current_bench().state.record(record_id)
    return found is not None and found.kind == "dry.weighed" and found.subject == thing
