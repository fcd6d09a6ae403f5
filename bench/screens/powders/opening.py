"""Open and weigh out: what came out, what stuck, what became of the crucible, and what the mass says."""

from typing import Any

from flask import Blueprint, Response

from bench.reckoning.working import Step, step
from bench.records.kinds import Source
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import Typed, past_words, read_step, shown_fields
from bench.screens.kit.found import charge_or_404
from bench.screens.kit.gating import may_record
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.onward import onward
from bench.screens.powders.powder import slug_of
from bench.screens.records.photo import photo_entry
from bench.steps.open import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, grams, page
from bench.web.recording import Entry, entry_id, record_all
from bench.web.uploads import read_photo
from bench.web.words import _
from bench.workshop.expectation import GAP_FRACTION, HEAVIER, LIGHTER, Gap, gap, source_left
from bench.workshop.gates import gate_out, stops
from bench.workshop.mixups import mixups
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.trying import failure_signs

blueprint = Blueprint("opening", __name__)

COMMON_SIGNS = (
    "stuck", "sintered hard", "two colours", "specks", "glass", "pale core", "coloured skin", "metal beads",
    "boiled over", "tinted rim",
)  # fmt: skip
"""What is often seen (common practice). As it is recorded, so it is compared: not put into another language."""


@blueprint.get("/charge/<thing>/open")
def ask(thing: str) -> Response:
    """Before it is opened: may it be, and what it should weigh."""
    view = charge_or_404(thing)
    return _ask(view, blank().offer(fate="clean"))


def _ask(view: Charge, form: Form) -> Response:
    here = current_bench()
    found = gap(here.state, view.id, here.library)
    findings = gate_out(here.state, view.id, here.library)
    vessel = crucible(here.state, view.crucible)
    return page(
        "opening/ask.html",
        form=form,
        view=view,
        findings=findings,
        stopped=bool(stops(findings)),
        gap=found,
        working=gap_working(view.id, found),
        meanings=(LIGHTER, HEAVIER),
        tare_g=vessel.tare_g if vessel is not None else None,
        fields={one.name: one for one in shown_fields(form, STEP, view.id)},
        signs=signs_of(view),
        foot=cautions("open", charge_parts(here.state, view.id)),
    )


def gap_working(thing: str, found: Gap | None) -> list[Step]:
    """How the theory of a charge came about, source by source, and what was found against it."""
    if found is None:
        return []
    if found.expected_g is None:
        return [step(found.why_not)] if found.why_not else []
    view = charge(current_bench().state, thing)
    steps = [_source_step(one) for one in (view.charged.sources if view is not None else ())]
    if view is not None and view.lost_g:
        steps.append(step(_("Minus what was lost"), view.lost_g, "g"))
    steps.append(step(_("In theory after the fire, unwashed"), found.expected_g, "g"))
    if found.span_g is not None:
        steps.append(step(_("The water of a jar is not known. At its wettest this stays"), found.span_g[0], "g"))
        steps.append(step(_("At its driest this stays"), found.span_g[1], "g"))
    if found.gap_g is not None:
        ends = _("Weighed, minus the nearer end of that") if found.span_g else _("Weighed, minus theory")
        steps.append(step(ends, found.gap_g, "g"))
    most = GAP_FRACTION * found.charge_g
    agree = _("They agree within 1 % of the charge (common practice), here")
    return [*steps, step(agree, most, "g", "common-practice")]


def _source_step(source: Source) -> Step:
    """What one source leaves: its batch's fired mass in theory over the mixture."""
    plan = current_bench().state.slot(source.batch, "batch.planned").body if source.batch else None
    left, _why = source_left(current_bench().state, source, current_bench().library)
    if plan is None or left is None:
        return step(_("{g} g fired already, or a salt: counted as staying whole", g=grams(source.g)), source.g, "g")
    pct = 100 * left.g / source.g if source.g else 0.0
    say = _("{g} g of {name}, of which the plan leaves {pct:.1f} %", g=grams(source.g), name=plan.name, pct=pct)
    return step(say, left.g, "g")


def signs_of(view: Charge) -> list[tuple[str, str, str]]:
    """What may be seen as (field, sign, usual cause): the failure signs of its targets, and the common ones."""
    here = current_bench()
    known = {one.sign: one.cause for one in failure_signs(here.state, view.id, here.library)}
    found = known | {sign: "" for sign in COMMON_SIGNS if sign not in known}
    return [(slug_of(sign), sign, cause) for sign, cause in found.items()]


@blueprint.post("/charge/<thing>/open")
def keep(thing: str) -> Response:
    """Record what came out: the powder, the crucible's fate, the photo, what was lost."""
    here, form = current_bench(), read_form()
    picture = read_photo(form)
    view = charge_or_404(thing)
    typed = read_step(form, STEP, thing)
    data = _seen(form, view, typed)
    fate, lost = typed.fields.get("fate"), typed.fields.get("lost_g")
    if form.ok and not may_record(form, gate_out(here.state, thing, here.library)):
        form.refuse(_("Not recorded: see the reasons below."))
    if form.ok:
        pigment = entry_id(form, 0)
        seen = {"condition": fate} | ({} if fate == "broken" else {"tare_g": data.get("tare_after_g")})
        entries = [Entry("opened", thing, data), *code_entries(form, thing=pigment)]
        entries.append(
            Entry("crucible.seen", view.crucible, seen, assumed=["condition"] if "fate" in form.unread() else [])
        )
        if lost:
            how = "breakage" if fate in ("broken", "cracked") or data["broken_open"] else "spill"
            entries.append(Entry("lost", thing, {"from": thing, "g": lost, "how": how}))
        photo = photo_entry(form, pigment, picture) if picture is not None else None
        entries += [photo] if photo is not None else []
        if form.ok and record_all(entries, form=form, say=past_words(STEP, thing, data)):
            return _after(form, view, pigment)
    return _ask(view, form)


def _after(form: Form, view: Charge, pigment: str) -> Response:
    """On to the mortar where the mass is as it should be; else its powder, which says what the mass means; or first
    what the masses say, where the crucible weighs empty what it should not."""
    state = current_bench().state
    for firing in dict.fromkeys(stay.firing for stay in view.residences):
        if any(one.weighed.charge == view.id for one in mixups(state, firing)):
            return go("firing_heat.mixed_up", thing=firing, opened=pigment)
    found = gap(state, view.id, current_bench().library)
    agrees = found is not None and found.gap_g is not None and not found.meaning
    return onward(form, pigment, *(("grind-again",) if agrees else ()))


def _seen(form: Form, view: Charge, typed: Typed) -> dict[str, Any]:
    """What its record holds: the masses as typed, and the signs that were ticked or written."""
    words = {slug: sign for slug, sign, _cause in signs_of(view)}
    signs = [words[one] for one in form.choices("signs", list(words))]
    more = typed.fields.get("more_signs")
    seen = {"signs": signs + ([more] if more else []), "broken_open": form.flag("broken_open")}
    return typed.data | seen
