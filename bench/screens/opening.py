"""Open and weigh out: what came out, what stuck, what became of the crucible, and what the mass says."""

from typing import Any

from flask import Blueprint, Response

from bench.reckoning.working import step
from bench.screens.cautioning import cautions
from bench.screens.charge import charge_or_404
from bench.screens.forms import Form, blank, read_form
from bench.screens.gating import may_record
from bench.screens.issuing import code_entries
from bench.screens.joined import bench
from bench.screens.page import go, page
from bench.screens.photo import photo_entry
from bench.screens.recording import Entry, entry_id, record_all
from bench.screens.uploads import read_photo
from bench.screens.words import _
from bench.workshop.expectation import gap
from bench.workshop.gates import gate_out
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import Charge
from bench.workshop.things.crucibles import crucible

blueprint = Blueprint("opening", __name__)

FATES = (
    ("clean", _("Clean")),
    ("stained", _("Stained")),
    ("cracked", _("Cracked")),
    ("broken", _("Broken")),
)
COMMON_SIGNS = ("stuck", "sintered hard", "two colours", "specks", "glass", "pale core")


@blueprint.get("/charge/<thing>/open")
def ask(thing: str) -> Response:
    """Before it is opened: may it be, and what it should weigh."""
    view = charge_or_404(thing)
    vessel = crucible(bench().state, view.crucible)
    tare = vessel.tare_g if vessel is not None else None
    return _ask(view, blank(tare_after_g="" if tare is None else f"{tare:g}", fate="clean"))


def _ask(view: Charge, form: Form) -> Response:
    here = bench()
    found = gap(here.state, view.id)
    return page(
        "opening/ask.html",
        form=form,
        view=view,
        findings=gate_out(here.state, view.id, here.library),
        gap=found,
        working=gap_working(found),
        sources={},
        fates=FATES,
        signs=[(one.replace(" ", "-"), one) for one in signs_of(view)],
        foot=cautions("open", charge_parts(here.state, view.id), here.library),
    )


def gap_working(found: Any) -> list[Any]:
    """How the theory came about, for one tap."""
    if found is None or found.expected_g is None:
        return [step(found.why_not)] if found is not None and found.why_not else []
    return [
        step(_("The charge as it was filled, reckoned dry"), found.charge_g, "g"),
        step(_("Times what its batches' plans leave after the fire, less what was lost"), found.expected_g, "g"),
        step(_("Within 1 % of the charge both agree (common practice)"), None, None),
    ]


def signs_of(view: Charge) -> list[str]:
    """The failure signs of its targets, and the common ones."""
    here = bench()
    found: list[str] = []
    for batch in view.batches:
        plan = here.state.slot(batch, "batch.planned").body
        target = here.library.targets.get(plan.target) if plan is not None and plan.target else None
        found += [sign.sign for sign in target.failure_signs] if target is not None else []
    return list(dict.fromkeys([*found, *COMMON_SIGNS]))


@blueprint.post("/charge/<thing>/open")
def keep(thing: str) -> Response:
    """Record what came out: the powder, the crucible's fate, the photo, what was lost."""
    view = charge_or_404(thing)
    here, form = bench(), read_form()
    data = _opened(form, view)
    fate = form.choice("fate", [name for name, _words in FATES])
    lost = form.number("lost_g", low=0, high=100_000, unit="g", required=False)
    picture = read_photo(form)
    findings = gate_out(here.state, thing, here.library)
    if form.ok and not (may_record(form, findings) or form.flag("in_fact")):
        form.refuse(_("Not recorded: the step is stopped, for the reasons below."))
    if form.ok:
        pigment = entry_id(form, 0)
        seen = {"condition": fate, "tare_g": data.get("tare_after_g")}
        entries = [Entry("opened", thing, data), *code_entries(here.state, form, thing=pigment)]
        entries.append(Entry("crucible.seen", view.crucible, seen))
        if lost:
            entries.append(Entry("lost", thing, {"from": thing, "g": lost, "how": "breakage"}))
        photo = photo_entry(form, pigment, picture) if picture is not None else None
        entries += [photo] if photo is not None else []
        if form.ok and record_all(entries, form=form, say=_("Opened and weighed")):
            return go("pigment.show", thing=pigment)
    return _ask(view, form)


def _opened(form: Form, view: Charge) -> dict[str, Any]:
    gross = form.number("gross_g", low=0, high=100_000, unit="g", required=False)
    tare = form.number("tare_after_g", low=0, high=100_000, unit="g", required=False)
    stuck = form.number("stuck_g", low=0, high=100_000, unit="g", required=False)
    if gross is not None and tare is not None and tare > gross:
        form.refuse(_("Empty, it cannot weigh more than full."), "tare_after_g")
    ticked = form.choices("signs", [one.replace(" ", "-") for one in signs_of(view)])
    words = form.text("more_signs", max_len=400)
    signs = [one.replace("-", " ") for one in ticked] + ([words] if words else [])
    data: dict[str, Any] = {"signs": signs, "broken_open": form.flag("broken_open")}
    numbers = {"gross_g": gross, "tare_after_g": tare, "stuck_g": stuck}
    return data | {name: value for name, value in numbers.items() if value is not None}
