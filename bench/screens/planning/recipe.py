"""A recipe of another bench: its code is scanned, typed or pasted, shown, and planned with the jars of this bench."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, request

from bench.exporting.recipe_code import MOST_TEXT, Recipe, RecipeDose, Scanned, unpack
from bench.reckoning.rules import Finding, Part, refuse_if_dangerous
from bench.records.kinds import BatchPlanned
from bench.records.schema import read
from bench.science.formulas import parse, pretty
from bench.science.refusal import Refusal
from bench.screens.kit.deciding import decided
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import code_entries
from bench.screens.planning.again_rows import Row, heat_words
from bench.screens.planning.copying_factors import reckon_again
from bench.screens.planning.heat import ATMOSPHERES, COOLINGS, cooling_basis
from bench.screens.planning.targets import Wanted, wanted
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.numbers import read_number
from bench.web.page import code_text, go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.again import Content, jar_today
from bench.workshop.gates import gate_plan, stops
from bench.workshop.things.jars import Jar

blueprint = Blueprint("recipe", __name__, url_prefix="/recipe")

TO_WEIGH_G = "10"
LEAST_G, MOST_G = 0.1, 100_000
NOTES_MAX = 4_000


@dataclass(frozen=True)
class Today:
    """One reagent of the recipe, and what brings as much of it here; `jar` None where no jar here holds it."""

    dose: RecipeDose
    then_g: float
    now_g: float
    now: Content
    jar: Jar | None

    @property
    def line(self) -> dict[str, Any]:
        """The line of the plan, without its number."""
        told = {"formula": self.now.formula, "target_g": round(self.now_g, 5), "fate": self.dose.fate}
        told["assay_pct"] = self.now.assay_pct
        if self.jar is not None:
            return told | {"jar": self.jar.id, "name": self.jar.opened.reagent}
        known = current_bench().library.reagent(self.dose.formula)
        return told | {"name": known.slug if known is not None else self.dose.formula}


@dataclass(frozen=True)
class Planned:
    """What a recipe comes to on this bench."""

    data: dict[str, Any]
    doses: list[Today]
    says: list[str]
    findings: tuple[Finding, ...]


@blueprint.get("")
def ask() -> Response:
    """The text of a code; or the recipe behind the one that the address brings."""
    text = request.args.get("text", "")
    return _answer(blank(text=text[: MOST_TEXT + 20], to_weigh_g=TO_WEIGH_G)) if text.strip() else _ask(blank())


@blueprint.post("")
def look() -> Response:
    """Show the recipe; plan it where that was pressed and nothing stands against it."""
    return _answer(read_form())


def _ask(form: Form) -> Response:
    return page("recipe/ask.html", form=form)


def _answer(form: Form) -> Response:
    try:
        scanned = unpack(form.typed.get("text", ""))
    except Refusal as refusal:
        form.refuse(refusal, "text")
        return _ask(form)
    form.typed.setdefault("to_weigh_g", TO_WEIGH_G)
    try:
        g = read_number(form.typed["to_weigh_g"], low=LEAST_G, high=MOST_G, unit="g")
    except Refusal as refusal:
        form.refuse(refusal, "to_weigh_g")
        g = float(TO_WEIGH_G)
    if scanned.recipe is None:
        return _show(form, scanned, None, scanned.say)
    try:
        found = planned(scanned.recipe, g, form.typed.get("text", ""))
    except Refusal as refusal:
        return _show(form, scanned, None, refusal.say)
    choice = decided(form, found.findings, form.record_id)
    if form.posted and form.typed.get("do") == "keep":
        if stops(choice.still) and not repeated(form):
            form.refuse(_("Not planned: see the reasons below."))
        entries = [
            Entry("batch.planned", None, found.data),
            *code_entries(form),
            *choice.entries,
        ]
        if form.ok and record_all(entries, form=form, say=_("Planned: {name}", name=found.data["name"])):
            return go("batch.show", thing=form.record_id)
    return _show(form, scanned, found)


def planned(recipe: Recipe, total_g: float, text: str) -> Planned:
    """The plan of a recipe with the jars of this bench. Refusal where something in it must not be planned here."""
    here = current_bench()
    aim = wanted(recipe.target, here.library) if recipe.target else None
    parts = sum(one.parts for one in recipe.doses)
    doses = [_today(one, total_g * one.parts / parts) for one in recipe.doses]
    says: list[str] = []
    data: dict[str, Any] = {
        "name": recipe.name,
        "from": "parts",
        "lines": [{"line": n, **one.line} for n, one in enumerate(doses, 1)],
        "library_rev": here.library.revision,
        "scanned": "".join(text.split("\n")).strip(),
    }
    data |= _heat(recipe, aim, says) | _target(aim)
    data |= {name: getattr(recipe, name) for name in ("liquid", "packing") if getattr(recipe, name)}
    notes = "\n".join(one for one in (recipe.note, recipe.source) if one)
    data |= {"notes": notes[:NOTES_MAX]} if notes else {}
    reckon_again(data)
    return Planned(data, doses, says, tuple(gate_plan(read(BatchPlanned, data), here.state, here.library)))


def _today(dose: RecipeDose, g: float) -> Today:
    here = current_bench()
    refuse_if_dangerous([Part(dose.formula, dose.formula)], here.library)
    parse(dose.formula)
    then = Content(dose.formula, dose.assay_pct)
    found = jar_today(here.state, then, g, here.library)
    if found is None:
        return Today(dose, g, g, then, None)
    view, now, now_g = found
    return Today(dose, g, now_g, now, view)


def _target(aim: Wanted | None) -> dict[str, Any]:
    if aim is None:
        return {}
    return {"target_formula": aim.formula} | ({"target": aim.target.slug} if aim.target is not None else {})


def _heat(recipe: Recipe, aim: Wanted | None, says: list[str]) -> dict[str, Any]:
    """Schedule, air and cooling; a word that no plan of this bench has is said, and counted as not known."""
    schedule = [
        {"to_c": one.to_c, "hold_min": one.hold_min}
        | ({"rate_c_per_h": one.rate_c_per_h} if one.rate_c_per_h is not None else {})
        for one in recipe.fire
    ]
    cool, air = recipe.cool or "unknown", recipe.air or "unknown"
    if cool not in dict(COOLINGS):
        says.append(_("Its cooling is not known here: {word}.", word=cool))
        cool = "unknown"
    if air not in dict(ATMOSPHERES):
        says.append(_("Its atmosphere is not known here: {word}.", word=air))
        air = "unknown"
    basis = cooling_basis(cool, aim.target if aim is not None else None)
    return {"schedule": schedule, "cooling_mode": cool, "cooling_basis": basis, "hot_pull": False, "atmosphere": air}


def _show(form: Form, scanned: Scanned, found: Planned | None, why: str = "") -> Response:
    told = scanned.told
    return page(
        "recipe/show.html",
        form=form,
        name=str(told.get("name", ""))[:80] or _("Recipe"),
        found=found,
        why=why,
        say=scanned.say if found is not None else "",
        rows=_rows(found) if found is not None else [],
        raw=[] if found is not None else _raw(told),
        target=pretty(str(told.get("target", ""))[:120]),
        findings=found.findings if found is not None else (),
    )


def _rows(found: Planned) -> list[Row]:
    rows = [_dose_row(one) for one in found.doses]
    rows += [Row(_("Heat, hold"), heat_words(one["to_c"], one["hold_min"])) for one in found.data["schedule"]]
    return [*rows, Row(_("Cooling"), dict(COOLINGS)[found.data["cooling_mode"]])]


def _dose_row(one: Today) -> Row:
    known = current_bench().library.reagent(one.dose.formula)
    formula = pretty(one.dose.formula)
    words = _("{name}, g", name=f"{known.name}, {formula}" if known is not None else formula)
    then, told = grams(one.then_g), _("Recipe: {pct:.4g} %. ", pct=one.dose.assay_pct)
    if one.jar is None:
        return Row(words, then, None, told + _("No jar here holds it, so its grams stay."))
    which = _("lot {lot}", lot=one.jar.opened.lot) if one.jar.opened.lot else code_text(one.jar.code)
    if one.now.formula != one.dose.formula:
        why = _("Your jar, {which}: {formula}, {pct:.4g} %.",
                which=which, formula=pretty(one.now.formula), pct=one.now.assay_pct)  # fmt: skip
    else:
        why = _("Your jar, {which}: {pct:.4g} %.", which=which, pct=one.now.assay_pct)
    left = one.jar.left_g
    lacks = _(" It is short by {g} g.", g=grams(one.now_g - left)) if left is not None and left < one.now_g else ""
    wet = current_bench().library.may_hold_water(one.now.formula, known.slug if known is not None else "")
    unsure = "" if one.now.sure else _(" Its water is not known.") if wet else _(" Its purity is not known.")
    return Row(words, then, grams(one.now_g), told + why + lacks + unsure)


def _raw(told: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What a recipe says that cannot be planned, as it says it."""
    return [(name[:40], _flat(value)[:400]) for name, value in told.items() if name not in ("v", "name")]


def _flat(value: object) -> str:
    if not isinstance(value, list):
        return str(value)
    return "; ".join(" ".join(map(str, row)) if isinstance(row, list) else str(row) for row in value)
