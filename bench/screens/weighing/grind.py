"""Grinding and mixing in the mortar: in what, for how long, and what the streak shows."""

from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import Finding
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import form_of, past_words, read_step, shown_fields
from bench.screens.kit.dust_checks import dust, read_dust
from bench.screens.kit.found import batch_or_404
from bench.screens.kit.gating import may_record
from bench.steps.bounds import QUICK_MINUTES
from bench.steps.grind import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.gates import gate_batch, one_a_rule, stops
from bench.workshop.parts import batch_parts
from bench.workshop.things.batches import DRY_MEDIA, Batch
from bench.workshop.things.charges import batches_of

blueprint = Blueprint("grind", __name__)


@blueprint.get("/batch/<thing>/grind")
def ask(thing: str) -> Response:
    """What it is ground in."""
    view = batch_or_404(thing)
    return _show(view, form_of(STEP, thing), "")


@blueprint.post("/batch/<thing>/grind")
def keep(thing: str) -> Response:
    """Record it; on to the next grinding while there are specks, else to the batch."""
    view = batch_or_404(thing)
    form = read_form()
    data = read_step(form, STEP, thing).data
    medium = data.get("medium", "")
    dusty = read_dust(form, dust(thing), thing, STEP.dust, medium == "dry")
    if not form.ok:
        return _show(view, form, medium)
    if not may_record(form, stands_against(thing, medium, form.flag("no_flame"))):
        form.refuse(_("Not recorded: see the reasons below."))
        return _show(view, form, medium)
    if record_all([Entry("mixed", thing, data), *dusty], form=form, say=past_words(STEP, thing, data)):
        return _after(thing, form, data)
    return _show(view, form, medium)


def _after(thing: str, form: Form, data: dict[str, Any]) -> Response:
    """Grind on while there are specks; else to what comes next, at once where it was so with the batch before."""
    if data["streak"] == "specks":
        return go("grind.ask", thing=thing)
    if form.happened_ms is None and _was_filled_at_once(thing, wet=data["medium"] not in DRY_MEDIA):
        return go("load.ask_batch", thing=thing)
    return go("grind.done", thing=thing)


def _was_filled_at_once(thing: str, wet: bool) -> bool:
    """Whether the batch that was filled last was ground as this one, and went into its crucible without a dish."""
    state = current_bench().state
    filled = [one for charge in state.things("charge")[-1:] for one in batches_of(state, charge) if one != thing]
    mixed = [state.by_time(one, "mixed") for one in filled]
    alike = [m and (m[-1].body.medium not in DRY_MEDIA) is wet for m in mixed]
    return bool(alike) and all(alike) and not any(state.by_time(one, "dried") for one in filled)


@blueprint.get("/batch/<thing>/grind/done")
def done(thing: str) -> Response:
    """What comes after the mortar: dry it, or load it as it is."""
    view = batch_or_404(thing)
    mixed = current_bench().state.by_time(thing, "mixed")
    wet = bool(mixed) and mixed[-1].body.medium not in DRY_MEDIA
    return page("grind/done.html", view=view, mixed=mixed, wet=wet)


def stands_against(thing: str, medium: str, no_flame: bool) -> list[Finding]:
    """The rules for mixing and for grinding together, each once. `no_flame`: nothing hot is within 10 m."""
    more: dict[str, Any] = {"dry_handling": medium in ("", "dry"), "dry_mix": medium in ("", "dry")}
    if medium:
        more["paste_solvent"] = "none" if medium == "dry" else medium
    if no_flame:
        more["flame_or_hot_furnace_within_m"] = "none"
    library = current_bench().library
    return one_a_rule(
        [one for step in ("mix", "grind") for one in gate_batch(current_bench().state, step, thing, library, **more)]
    )


def _show(view: Batch, form: Form, medium: str) -> Response:
    state, no_flame = current_bench().state, form.flag("no_flame")
    found = stands_against(view.id, medium, no_flame)
    # Another medium may be free where this one is stopped, so the form goes away only for what no medium mends.
    hopeless = stops(stands_against(view.id, "water", no_flame)) and stops(stands_against(view.id, "dry", no_flame))
    return page(
        "grind/ask.html",
        form=form,
        fields=shown_fields(form, STEP, view.id),
        view=view,
        findings=found,
        dust=dust(view.id),
        quick_minutes=QUICK_MINUTES,
        hopeless=bool(hopeless) and not form.typed.get("happened"),
        mixed=state.by_time(view.id, "mixed"),
        burning=[t for t in state.open_things("firing") if state.own(t, "lit") and not state.own(t, "fire.off")],
        foot=cautions("grind", batch_parts(state, view.id)),
    )
