"""Drying, in a dish or in the crucible: how hot, how long, the mass now, and whether two masses agree."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import Finding, Part
from bench.reckoning.working import Step, step
from bench.records.moments import to_ms
from bench.records.record import Record
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import form_of, past_words, read_step, shown_fields
from bench.screens.kit.found import batch_or_404, charge_or_404
from bench.screens.kit.gating import may_record
from bench.screens.kit.onward import onward
from bench.steps.dry import STEP, WAYS
from bench.steps.named import STEADY_FRACTION, STEADY_G, STEADY_MIN, again_ms
from bench.web.current import current_bench
from bench.web.forms import Form, read_form
from bench.web.page import code_text, grams, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.gates import gate_batch, gate_dry, stops
from bench.workshop.parts import batch_parts, charge_parts
from bench.workshop.things.batches import batch, dish_g, is_steady, wets
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible

blueprint = Blueprint("dry", __name__)


@dataclass(frozen=True)
class Drying:
    """A batch in a dish or a charge in its crucible, with its weighings since it was last wet, oldest first."""

    thing: str
    where: str
    path: str
    home: str
    name: str
    code: str | None
    tare_g: float | None
    expected_g: float | None
    rows: list[Record]
    parts: list[Part]

    @property
    def weighed(self) -> list[Record]:
        return [r for r in self.rows if r.body.mass_g is not None]

    @property
    def masses_g(self) -> list[float]:
        return [r.body.mass_g for r in self.weighed]

    @property
    def again_ms(self) -> float | None:
        """The moment from which one more mass like the last shows it dry; None where it was not weighed."""
        found: float | None = again_ms(self.masses_g, [to_ms(r.when) for r in self.weighed])
        return found

    @property
    def too_soon(self) -> bool:
        """Whether a mass like the last would show nothing yet."""
        return self.again_ms is not None and not self.steady and current_bench().now_ms() < self.again_ms

    @property
    def same_g(self) -> float | None:
        """What the balance shows if nothing has changed: the last mass with its vessel; None where it is not known."""
        return self.masses_g[-1] + self.tare_g if self.masses_g and self.tare_g is not None else None

    @property
    def like_g(self) -> float | None:
        """About what the balance will show: as before, else what went in, with the vessel where that is known."""
        dry = self.masses_g[-1] if self.masses_g else self.expected_g
        return dry + self.tare_g if dry is not None and self.tare_g is not None else None

    @property
    def damp(self) -> bool:
        """Whether it counts as damp while it was not weighed often enough."""
        state = current_bench().state
        view = batch(state, self.thing) if self.where == "dish" else charge(state, self.thing)
        return view is None or view.damp

    @property
    def steady(self) -> bool:
        return is_steady(self.weighed)

    def against(
        self, way: str, no_flame: bool = True, steady: bool | None = None, liquid: str | None = None
    ) -> list[Finding]:
        """What stands against drying it in an oven or in the open air. `no_flame`: nothing hot is within 10 m.

        `steady` and `liquid` stand in for what is recorded, as it may come to be.
        """
        state, library = current_bench().state, current_bench().library
        more: dict[str, Any] = {"drying": way, "flame_or_hot_furnace_within_m": "none" if no_flame else "unknown"}
        if liquid is not None:
            more["paste_solvent"] = liquid
        if self.steady if steady is None else steady:
            more["flammable_liquid_open"] = False
        if self.where == "dish":
            return gate_batch(state, "dry", self.thing, library, **more)
        return gate_dry(state, self.thing, library, **more)


def drying_of(thing: str) -> Drying:
    """The drying of a batch in a dish, or of a charge in its crucible."""
    return _dish(thing) if current_bench().state.sort_of(thing) == "batch" else _crucible(thing)


def _dish(thing: str) -> Drying:
    state = current_bench().state
    view = batch_or_404(thing)
    wetted = [r for r in state.by_time(thing, "mixed") if wets(r)]
    rows = [r for r in state.by_time(thing, "dried") if not wetted or r.when >= wetted[-1].when]
    weighed = None if view.next_line is not None or view.charges else view.weighed_g - view.lost_g
    path = f"/batch/{thing}/dry"
    parts = batch_parts(state, thing)
    tare = dish_g(rows)
    return Drying(thing, "dish", path, f"/batch/{thing}", view.name, view.code, tare, weighed, rows, parts)


def _crucible(thing: str) -> Drying:
    state = current_bench().state
    view = charge_or_404(thing)
    vessel = crucible(state, view.crucible)
    plans = [state.slot(b, "batch.planned").body for b in view.batches]
    name = " + ".join(p.name for p in plans if p is not None) or _("Charge")
    tare = vessel.tare_g if vessel is not None else None
    rows = state.by_time(thing, "dried")
    path, home = f"/charge/{thing}/dry", f"/charge/{thing}"
    parts = charge_parts(state, thing)
    return Drying(thing, "crucible", path, home, name, view.crucible_code, tare, view.dry_g, rows, parts)


@blueprint.get("/batch/<thing>/dry")
def ask_dish(thing: str) -> Response:
    """A batch in a dish."""
    return _ask(_dish(thing))


@blueprint.post("/batch/<thing>/dry")
def keep_dish(thing: str) -> Response:
    """Record how it was dried and what it weighs."""
    return _keep(_dish(thing))


@blueprint.get("/charge/<thing>/dry")
def ask_crucible(thing: str) -> Response:
    """A charge in its crucible."""
    return _ask(_crucible(thing))


@blueprint.post("/charge/<thing>/dry")
def keep_crucible(thing: str) -> Response:
    """Record how it was dried and what it weighs."""
    return _keep(_crucible(thing))


def _ask(view: Drying) -> Response:
    tare = None if view.tare_g is None else f"{view.tare_g:g}"
    way = "open-air" if stops(view.against("oven")) else "oven"
    return _show(view, form_of(STEP, view.thing, way=way, tare_g=tare))


def _keep(view: Drying) -> Response:
    form = read_form()
    if form.typed.get("same") and view.same_g is not None:
        form.typed["gross_g"] = f"{view.same_g:.6g}"
    typed = read_step(form, STEP, view.thing)
    if not form.ok:
        return _show(view, form)
    if not may_record(form, view.against(typed.fields["way"], form.flag("no_flame"))):
        form.refuse(_("Not recorded: see the reasons below."))
        return _show(view, form)
    if record("dried", view.thing, typed.data, form=form, say=past_words(STEP, view.thing, typed.data)):
        dried = _dish(view.thing) if view.where == "dish" else _crucible(view.thing)
        return onward(form, view.thing, *(("load", "place") if dried.steady else ()), home=view.path)
    return _show(view, form)


def _show(view: Drying, form: Form) -> Response:
    way, ways = form.typed.get("way", "oven"), [one.value for one in WAYS]
    found = view.against(way if way in ways else "oven", form.flag("no_flame"))
    no_oven = stops(view.against("oven"))
    nowhere = stops(view.against("open-air"))
    return page(
        "dry/ask.html",
        form=form,
        view=view,
        sub=" · ".join([view.name, *([code_text(view.code)] if view.code else [])]),
        findings=found if form.posted and stops(found) else nowhere or no_oven,
        solvent=bool(stops(view.against("open-air", no_flame=False))) and not nowhere,
        flags=[f for f in found if f.effect == "flag"],
        no_oven=bool(no_oven),
        fields={one.name: one for one in shown_fields(form, STEP, view.thing)},
        blocked=bool(nowhere) and not form.typed.get("happened"),
        working=_working(view),
        foot=cautions("dry", view.parts),
    )


def _working(view: Drying) -> list[Step]:
    """Why it counts as steady, or not."""
    steps = []
    for before, after in pairwise(view.weighed):
        minutes = (after.when - before.when).total_seconds() / 60
        drop = before.body.mass_g - after.body.mass_g
        said = _("{a} g to {b} g in {n:.0f} min", a=grams(before.body.mass_g), b=grams(after.body.mass_g),
                 n=minutes)  # fmt: skip
        steps.append(step(said, 100 * drop / before.body.mass_g, "%"))
    pct = 100 * STEADY_FRACTION
    said = _("Two weighings {n:.0f} min apart and within {pct:g} % (or {g:g} g) are steady", n=STEADY_MIN, pct=pct,
             g=STEADY_G)  # fmt: skip
    return [*steps, step(said + " " + _("(common practice: under 0.2 % in an hour)."))]
