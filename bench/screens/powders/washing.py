"""Rinse a powder: water, test, where the rinse went, and how much salt is left after so many."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response

from bench.reckoning import reckon
from bench.reckoning.rules import Finding, Part
from bench.reckoning.working import Step, step
from bench.reference.cautions import Advice
from bench.science.formulas import atoms_of
from bench.screens.kit.declared import past_words, read_step, shown_fields, start_of
from bench.screens.kit.gating import goes_on
from bench.screens.kit.thing_label import thing_label
from bench.screens.powders.powder import against, powder_or_404, powder_parts, step_page
from bench.steps.wash import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.contents import LEFT_FRACTION, Held, salts
from bench.workshop.things.pigments import Pigment
from bench.workshop.waste_gate import gate_waste

blueprint = Blueprint("washing", __name__, url_prefix="/pigment")

NEVER_DRAIN = ("Co", "Ni", "Cu", "Cr", "V", "Ba", "Zn", "Mn", "Sb")
ROUNDS_AHEAD = 3
STOPS = {"Cl": "wash-stop-chloride", "S": "wash-stop-sulfate"}


@dataclass(frozen=True)
class Salt:
    """The salt in a powder at first and now, and after each of the next rinses as (rinse, grams, per cent)."""

    start_g: float
    now_g: float
    ahead: tuple[tuple[int, float, float], ...]
    working: tuple[Step, ...]


@blueprint.get("/<thing>/wash")
def ask(thing: str) -> Response:
    """The next rinse."""
    view = powder_or_404(thing)
    bins = current_bench().state.open_things("waste")
    start = start_of(STEP, thing) | {"waste": bins[0] if len(bins) == 1 else ""}
    return _show(view, blank(**start), "none")


def _show(view: Pigment, form: Form, acid: str, data: dict[str, Any] | None = None) -> Response:
    here = current_bench()
    parts = powder_parts(view)
    found = salts(here.state, view.id)
    bins = [thing_label(one) for one in here.state.open_things("waste")]
    return step_page(
        "wash", view, form, "wash", _against(view, acid, data),
        fields=[one for one in shown_fields(form, STEP, view.id) if bins or one.kind != "thing"],
        lists={"waste": [(one.id, one.name) for one in bins]},
        salt=salt_left(found, view.washes),
        stop=_when_to_stop(found),
        chromium="Cr" in symbols_of(parts),
        yellow=here.library.advice.get("yellow-wash"),
    )  # fmt: skip


@blueprint.post("/<thing>/wash")
def keep(thing: str) -> Response:
    """Record one rinse, and what it put into the waste."""
    view = powder_or_404(thing)
    form = read_form()
    typed = read_step(form, STEP, thing)
    acid, data = typed.fields.get("acid", "none"), typed.data
    if form.ok and goes_on(form, _against(view, acid, data)):
        if acid != "none":
            data["test"] = ", ".join(one for one in (_("with acid ({acid})", acid=acid), data.get("test")) if one)
        entries = [Entry("washed", thing, data), *_into_waste(view, data, acid)]
        if record_all(entries, form=form, say=past_words(STEP, thing, data)):
            return go("pigment.show", thing=thing)
    return _show(view, form, acid, data)


def _against(view: Pigment, acid: str, data: dict[str, Any] | None = None) -> list[Finding]:
    """What stands against the rinse itself, and against its going into the container that was chosen."""
    found = against(view, "wash", acid=acid)
    if data is None or data.get("waste") is None:
        return found
    here, words = current_bench(), _rinse_words(view, acid)
    return found + gate_waste(here.state, data["waste"], words, here.library, view.id, data.get("water_ml"))


def _rinse_words(view: Pigment, acid: str) -> str:
    metals = [one for one in NEVER_DRAIN if one in symbols_of(powder_parts(view))]
    words = _("rinse water with {metals}", metals=", ".join(metals)) if metals else _("rinse water")
    return words if acid == "none" else _("acid {rinse}", rinse=words)


def _into_waste(view: Pigment, data: dict[str, Any], acid: str) -> list[Entry]:
    if data.get("waste") is None:
        return []
    words = _rinse_words(view, acid)
    added = {"container": data["waste"], "from": view.id, "volume_ml": data.get("water_ml"), "contents": words}
    return [Entry("waste.added", data["waste"], added)]


def symbols_of(parts: list[Part]) -> set[str]:
    """Every element in the formulas of some parts; a formula that cannot be read brings none."""
    return {symbol for part in parts for symbol in atoms_of(part.formula or "")}


def salt_left(found: tuple[Held, ...], rinses: int) -> Salt | None:
    """What is left of the salts after so many rinses, and after a few more; None where there is no salt."""
    start = sum(one.g for one in found)
    if start <= 0:
        return None
    left = {n: _left(start, n) for n in range(rinses, rinses + ROUNDS_AHEAD + 1)}
    said = [step(_("{name} as it was put in", name=one.formula), one.g, "g") for one in found]
    said += left[rinses]["working"]
    said.append(step(_("Each rinse counts as leaving a tenth of its water behind."), source="common-practice"))
    said.append(step(_("Fume is not subtracted: this is the most that can be there.")))
    ahead = tuple((n, told["salt_left_g"], 100 * told["salt_left_g"] / start) for n, told in left.items() if n > rinses)
    return Salt(start, left[rinses]["salt_left_g"], ahead, tuple(said))


def _left(start_g: float, rinses: int) -> dict[str, Any]:
    return reckon("wash", {"salt_g": start_g, "left_fraction": LEFT_FRACTION, "count": rinses}, current_bench().library)


def _when_to_stop(found: tuple[Held, ...]) -> list[Advice]:
    """The tests that say when a powder is washed: conductivity, and that for the anion of each salt."""
    symbols = {symbol for one in found for symbol in atoms_of(one.formula)}
    slugs = ["wash-stop-conductivity", *(slug for symbol, slug in STOPS.items() if symbol in symbols)]
    rows = current_bench().library.advice
    return [rows[slug] for slug in slugs if slug in rows]
