"""Show a friend: chosen swatches on one page or one picture, with the recipe, and its code where that is asked."""

from typing import Any

from flask import Blueprint, Response, abort, request

from bench.exporting.recipe_code import packed
from bench.exporting.recipes import recipe_of
from bench.printing.show_sheet import Shown, ShowSheet, picture, show_page
from bench.reckoning import reckon
from bench.reckoning.gas_most import HARMLESS
from bench.reckoning.rules import hazard_summary
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.called import pigment_name, ware_name
from bench.screens.kit.joined import bench
from bench.screens.kit.naming import line_name
from bench.screens.kit.page import page
from bench.screens.kit.words import _
from bench.screens.loading.charge import COOLINGS
from bench.screens.paper.printing import for_printer, set_apart
from bench.screens.planning.again_rows import heat_words
from bench.screens.powders.powder import VERDICT_WORDS
from bench.settings import asset_folder
from bench.workshop.again import fired, ware
from bench.workshop.jar_water import gas_ask
from bench.workshop.parts import batch_parts
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.swatches import Swatch, swatch

blueprint = Blueprint("showing", __name__, url_prefix="/show")

MOST = 6
OPTIONS = {
    "recipe": (_("The recipe"), _("reagents, heat, cooling")),
    "amounts": (_("Its amounts"), _("else the reagents alone")),
    "code": (_("The recipe as a code"), _("another bench can scan it")),
    "notes": (_("Your words and notes"), ""),
}


@blueprint.get("")
def ask() -> Response:
    """What goes onto the page."""
    state = bench().state
    chosen = _chosen()
    others = [one for one in (swatch(state, t) for t in state.things("swatch")[::-1][:24]) if one is not None]
    known = {one.id: one for one in [*chosen, *others]}
    return page(
        "print/show.html",
        swatches=[(one.id, _name(one), one in chosen) for one in known.values()],
        options=[(name, words, more) for name, (words, more) in OPTIONS.items()],
    )


def _chosen() -> list[Swatch]:
    state = bench().state
    picked = [name.removeprefix("pick.") for name in request.args if name.startswith("pick.")][:MOST]
    return [one for one in (swatch(state, thing) for thing in picked) if one is not None]


def _name(one: Swatch) -> str:
    name = pigment_name(one.made.pigment, bench().state) or _("Swatch")
    return _("{name}, tint", name=name) if one.made.white_per_pigment else name


@blueprint.get("/sheet")
def sheet() -> Response:
    """The page for the printer; as PDF with `?pdf=1`."""
    made = _sheet()
    return for_printer(str(set_apart(show_page, asset_folder("labels"), made)), "swatches")


@blueprint.get("/sheet.png")
def sheet_picture() -> Response:
    """The same as a picture."""
    answer = Response(picture(_sheet()), mimetype="image/png")
    answer.headers["Content-Disposition"] = 'inline; filename="swatches.png"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _sheet() -> ShowSheet:
    chosen = _chosen()
    if not chosen:
        abort(404)
    asked = {name for name in OPTIONS if request.args.get(name)}
    view = _batch(chosen[0])
    recipe = view is not None and bool(asked & {"recipe", "code"})
    return ShowSheet(
        title=view.name if view is not None and len(chosen) == 1 else _("Own pigments"),
        swatches=tuple(_shown(one, "notes" in asked) for one in chosen),
        recipe=tuple(_recipe(view, "amounts" in asked)) if view is not None and "recipe" in asked else (),
        heat=tuple(_heat(view)) if view is not None and "recipe" in asked else (),
        safety=tuple(_safety(view)) if view is not None and recipe else (_guidance(),),
        notes=(view.plan.notes,) if view is not None and "notes" in asked and view.plan.notes else (),
        code=_code(view, "notes" in asked) if view is not None and "code" in asked else "",
    )


def _batch(one: Swatch) -> Batch | None:
    state = bench().state
    found = [b for c in earlier_charges(state, one.made.pigment) for b in batches_of(state, c)]
    return batch(state, found[0]) if found else None


def _code(view: Batch, notes: bool) -> str:
    here = bench()
    recipe = recipe_of(view, here.state, here.library, notes)
    try:
        return packed(recipe)
    except Refusal:
        return packed({name: value for name, value in recipe.items() if name != "note"})


def _shown(one: Swatch, notes: bool) -> Shown:
    state = bench().state
    lines = []
    if one.measured:
        last = one.measured[-1]
        plus = f" ± {max(last.se):.1f}" if last.se else ""
        lines.append(f"L* {last.lab[0]:.0f} a* {last.lab[1]:.0f} b* {last.lab[2]:.0f}{plus}, D65")
        lines.append(last.method)
    else:
        lines.append(_("Its colour is not measured."))
    tint = (
        _("tint, 1 to {n:g} white", n=one.made.white_per_pigment) if one.made.white_per_pigment else _("full strength")
    )
    lines.append(_("{binder}, {tint}", binder=one.made.binder, tint=tint))
    judged = state.by_time(one.made.pigment, "judged")
    if judged and notes:
        lines.append(" ".join((VERDICT_WORDS[judged[-1].body.verdict], judged[-1].body.words or "")).strip())
    fill = lab_to_srgb_hex(one.measured[-1].lab).hex if one.measured else ""
    return Shown(_name(one), fill, _tint(one), tuple(lines))


def _tint(one: Swatch) -> str:
    """The fill of the tint of the same powder, where one was measured."""
    state = bench().state
    if one.made.white_per_pigment:
        return ""
    made = [r.subject for r in state.in_force(one.made.pigment, "swatch.made") if r.body.pigment == one.made.pigment]
    views = [swatch(state, thing) for thing in made]
    found = [view for view in views if view is not None and view.made.white_per_pigment and view.measured]
    return lab_to_srgb_hex(found[-1].measured[-1].lab).hex if found else ""


def _recipe(view: Batch, amounts: bool) -> list[tuple[str, str]]:
    here = bench()
    grams = [line.weighed_g if line.weighed_g is not None else line.target_g for line in view.lines]
    whole = sum(grams) or 1.0
    return [
        (
            f"{line_name(line.plan, here.state, here.library)}, {pretty(line.plan.formula)}",
            f"{100 * g / whole:.1f} %" if amounts else "",
        )
        for line, g in zip(view.lines, grams, strict=True)
    ]


def _heat(view: Batch) -> list[str]:
    state = bench().state
    done = fired(state, view.charges)
    said = [heat_words(one.to_c, one.hold_min) for one in view.plan.schedule]
    if done.soak_c is not None and done.soak_min is not None:
        said.append(_("As read: {heat}.", heat=heat_words(round(done.soak_c), round(done.soak_min))))
    said.append(_("Cooling: {how}.", how=str(COOLINGS[view.plan.cooling_mode]).lower()))
    stood = ware(state, view.charges)
    if stood is not None:
        rated = _(", rated to {c:g} °C", c=stood.then.rated_c) if stood.then.rated_c else ""
        said.append(_("Crucible: {ware}{rated}.", ware=ware_name(stood.then.added.ware), rated=rated))
    return said


def _safety(view: Batch) -> list[str]:
    """Gases, hazards and whose word counts: they stay, whatever is hidden."""
    here = bench()
    found = hazard_summary(batch_parts(here.state, view.id), here.library)
    said = []
    if found.statements:
        words = "; ".join(f"{code} {text}" for code, text in found.statements[:8])
        said.append(f"{found.signal_word}: {words}" if found.signal_word else words)
    gases = _gases(view)
    if gases:
        said.append(_("Gas in the fire: {gases}. Fire outdoors or under a hood.", gases=", ".join(gases)))
    return [*said, _guidance()]


def _guidance() -> str:
    return _("Not for food, toys, cosmetics or skin. The SDS, local law and licensed practice decide.")


def _gases(view: Batch) -> list[str]:
    here = bench()
    asks: list[dict[str, Any]] = [
        gas_ask(here.state, line.plan, line.weighed_g or line.target_g, here.library) for line in view.lines
    ]
    try:
        told = reckon("gas", {"charges": asks}, here.library)
    except Refusal:
        return [_("not known: treat it as poisonous")]
    return [pretty(one["gas"]) for one in told["evolved"] if one["gas"] not in HARMLESS and one["up_to_g"] > 0.0005]
