"""What a show sheet says: of each swatch, of the recipe, of the fire, and what to mind, which always stays on it."""

import base64
from dataclasses import dataclass
from typing import Any

from bench.exporting.recipe_code import Recipe, pack
from bench.exporting.recipes import recipe_of
from bench.journal.photos import find_photo
from bench.printing.show_sheet import NO_CURVE, Shown, ShowSheet
from bench.reckoning import reckon
from bench.reckoning.gas_most import HARMLESS
from bench.reckoning.rules import hazard_summary
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.furnace.firing_view import drawn, say_curve
from bench.screens.kit.attached import phase_words
from bench.screens.kit.names import line_name
from bench.screens.kit.thing_label import pigment_name, ware_name
from bench.screens.loading.charge import COOLINGS
from bench.screens.paper.batch_record import hottest
from bench.screens.planning.again_rows import heat_words
from bench.screens.powders.powder import VERDICT_WORDS
from bench.screens.records.photo import thumbnail
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.again import Dose, doses, ware
from bench.workshop.as_fired import fired
from bench.workshop.jar_water import gas_ask
from bench.workshop.parts import batch_parts
from bench.workshop.soaking import soaking
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.swatches import Swatch, swatch
from bench.workshop.ware_fit import attacks

MOST_STATEMENTS = 8
WIDE_MM = 91.0


@dataclass(frozen=True)
class Asked:
    """What is to stand on the sheet. `also` holds names of the options that were ticked."""

    swatches: tuple[Swatch, ...]
    also: frozenset[str]
    title: str
    words: str


def batches_behind(one: Swatch) -> list[Batch]:
    """The batches that a swatch's powder came from, the first that was filled first."""
    state = current_bench().state
    found = [b for c in earlier_charges(state, one.made.pigment) for b in batches_of(state, c)]
    return [view for thing in dict.fromkeys(found) if (view := batch(state, thing)) is not None]


def name_of(one: Swatch) -> str:
    """A swatch by its powder."""
    name = pigment_name(one.made.pigment) or _("Swatch")
    return _("{name}, tint", name=name) if one.made.white_per_pigment else name


def title_of(swatches: tuple[Swatch, ...]) -> str:
    """What the sheet is called where nobody says."""
    return name_of(swatches[0]) if len(swatches) == 1 else _("Own pigments")


def content(asked: Asked) -> tuple[ShowSheet, dict[str, Any]]:
    """The sheet, and the curve that stands on it."""
    views = list({view.id: view for one in asked.swatches for view in batches_behind(one)}.values())
    view = views[0] if views else None
    also = asked.also
    sheet = ShowSheet(
        title=asked.title or title_of(asked.swatches),
        words=asked.words,
        swatches=tuple(_shown(one, "notes" in also) for one in asked.swatches),
        recipe_of=view.name if view is not None and len(asked.swatches) > 1 else "",
        recipe=tuple(_recipe(view, also)) if view is not None and "recipe" in also else (),
        heat=(*_phase(view, asked), *_heat(view)) if view is not None and "recipe" in also else (),
        safety=tuple(safety(views)),
        notes=(view.plan.notes,) if view is not None and "notes" in also and view.plan.notes else (),
        code=code_of(view, "notes" in also) if view is not None and {"code", "amounts", "recipe"} <= also else "",
    )
    return sheet, _curve(view) if view is not None and "curve" in also else NO_CURVE


def _curve(view: Batch) -> dict[str, Any]:
    fire = hottest(view)
    if fire is None or not fire.curve:
        return NO_CURVE
    soak = soaking(current_bench().state, fire)
    return {"c": drawn(fire, "paper", soak, []), "title": say_curve(fire, soak), "wide_mm": WIDE_MM}


def code_of(view: Batch, notes: bool) -> str:
    """The text of the recipe's code; without the notes where it is too long with them, and empty where even so."""
    for note in (notes, False):
        try:
            return pack(_code_recipe(view, note))
        except Refusal:
            continue
    return ""


def _code_recipe(view: Batch, note: bool) -> Recipe:
    here = current_bench()
    return recipe_of(view, view.charges, here.state, here.library, note)


def _shown(one: Swatch, notes: bool) -> Shown:
    judged = current_bench().state.by_time(one.made.pigment, "judged")
    tint = (
        _("tint, 1 to {n:g} white", n=one.made.white_per_pigment) if one.made.white_per_pigment else _("full strength")
    )
    lines = [*_colour_words(one), _("{binder}, {tint}", binder=one.made.binder, tint=tint)]
    if judged and notes:
        lines.append(" ".join((str(VERDICT_WORDS[judged[-1].body.verdict]), judged[-1].body.words or "")).strip())
    if one.colour is not None:
        return Shown(name_of(one), lab_to_srgb_hex(one.colour.lab).hex, _tint(one), tuple(lines))
    return Shown(name_of(one), "", "", tuple(lines), _photo(one))


def _colour_words(one: Swatch) -> list[str]:
    last = one.colour
    if last is None:
        return [_("Its colour is not measured.")]
    plus = _(" ± {e:.1f} at most", e=max(last.se)) if last.se else ""
    return [f"L* {last.lab[0]:.0f} a* {last.lab[1]:.0f} b* {last.lab[2]:.0f}{plus}, D65", last.method]


def _photo(one: Swatch) -> str:
    """The last photo of a swatch, small and drawn anew, so that nothing of its file's notes is in it."""
    path = find_photo(current_bench().settings.photos, one.photos[-1]) if one.photos else None
    if path is None:
        return ""
    try:
        return "data:image/jpeg;base64," + base64.b64encode(thumbnail(str(path))).decode()
    except OSError:
        return ""


def _tint(one: Swatch) -> str:
    """The fill of the tint of the same powder, where one was measured."""
    state = current_bench().state
    if one.made.white_per_pigment:
        return ""
    made = [
        r.subject
        for r in state.effective_records(one.made.pigment, "swatch.made")
        if r.body.pigment == one.made.pigment
    ]
    views = [swatch(state, thing) for thing in made]
    tints = [view.colour for view in views if view is not None and view.made.white_per_pigment]
    found = [colour.lab for colour in tints if colour is not None]
    return lab_to_srgb_hex(found[-1]).hex if found else ""


def _recipe(view: Batch, also: frozenset[str]) -> list[tuple[str, str]]:
    here = current_bench()
    taken = doses(here.state, view, here.library)
    whole = sum(one.then_g for one in taken) or 1.0
    return [
        (_reagent(one, "lots" in also), f"{100 * one.then_g / whole:.1f} %" if "amounts" in also else "")
        for one in taken
    ]


def _reagent(one: Dose, lots: bool) -> str:
    here = current_bench()
    said = [line_name(one.plan, here.state, here.library), pretty(one.then.formula)]
    if not one.then.sure:
        wet = here.library.may_hold_water(one.then.formula, one.plan.name or "")
        said.append(_("water not known") if wet else _("purity not known"))
    elif abs(one.then.assay_pct - 100) > 0.005:
        said.append(_("holds {pct:.4g} %", pct=one.then.assay_pct))
    if lots and one.jar_then is not None and one.jar_then.opened.lot:
        said.append(_("lot {lot}", lot=one.jar_then.opened.lot))
    return ", ".join(said)


def _phase(view: Batch, asked: Asked) -> list[str]:
    """What may be said of the phase: by what is attached to the batch, or to the powders of these swatches."""
    powders = [one.made.pigment for one in asked.swatches if view.id in [b.id for b in batches_behind(one)]]
    return [phase_words(view.plan.target_formula, [view.id, *powders])] if view.plan.target_formula else []


def _heat(view: Batch) -> list[str]:
    done = fired(current_bench().state, view.charges)
    said = [_("Planned heat: {heat}.", heat=heat_words(one.to_c, one.hold_min)) for one in view.plan.schedule]
    if done.soak_c is not None and done.soak_min is not None:
        said.append(_("As read: {heat}.", heat=heat_words(round(done.soak_c), round(done.soak_min))))
    said.append(_("Cooling: {how}.", how=str(COOLINGS[view.plan.cooling_mode]).rstrip(".")))
    words = [(_("Liquid"), view.plan.liquid), (_("Packed in"), view.plan.packing)]
    return [*said, *(f"{name}: {what}." for name, what in words if what)]


def safety(views: list[Batch]) -> list[str]:
    """Gases, ware limits, hazards, and whose word counts: they stay, whatever is hidden."""
    here = current_bench()
    parts = [part for view in views for part in batch_parts(here.state, view.id)]
    found = hazard_summary(parts, here.library)
    said = []
    if found.statements:
        words = "; ".join(f"{code} {text}" for code, text in found.statements[:MOST_STATEMENTS])
        said.append(f"{found.signal_word}: {words}" if found.signal_word else words)
    if found.without_card:
        said.append(_("No hazard card here for: {names}.", names=", ".join(found.without_card)))
    gases = list(dict.fromkeys(gas for view in views for gas in _gases(view)))
    if gases:
        said.append(_("Gas in the fire: {gases}. Fire outdoors or under a hood.", gases=", ".join(gases)))
    said += dict.fromkeys(line for view in views for line in _ware(view))
    return [*said, _("Not for food, toys, cosmetics or skin. The SDS, local law and licensed practice decide.")]


def _ware(view: Batch) -> list[str]:
    here = current_bench()
    stood = ware(here.state, view.charges)
    if stood is None:
        return []
    rated = _("rated to {c:g} °C", c=stood.then.rated_c) if stood.then.rated_c else _("its rating is not known")
    said = [_("Crucible: {ware}, {rated}.", ware=ware_name(stood.then.added.ware), rated=rated)]
    peak = max((one.to_c for one in view.plan.schedule), default=None)
    parts = batch_parts(here.state, view.id)
    return said + [one.say for one in attacks(here.library.ware.get(stood.then.added.ware), parts, peak)]


def _gases(view: Batch) -> list[str]:
    here = current_bench()
    asks: list[dict[str, Any]] = [
        gas_ask(here.state, line.plan, line.weighed_g or line.target_g, here.library) for line in view.lines
    ]
    try:
        told = reckon("gas", {"charges": asks}, here.library)
    except Refusal:
        return [_("not known: treat it as poisonous")]
    return [pretty(one["gas"]) for one in told["evolved"] if one["gas"] not in HARMLESS and one["up_to_g"] > 0.0005]
