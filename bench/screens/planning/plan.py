"""Plan a batch: from a target, from grams, or from parts. The first plate reckons, the second keeps."""

from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.becoming import fits, metals_mol, ratio
from bench.records.kinds import Line
from bench.records.schema import read
from bench.science.refusal import Refusal
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.deciding import decided
from bench.screens.kit.declared import read_named
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.names import reagent_name
from bench.screens.planning import heat
from bench.screens.planning.dangers import refuse_dangers
from bench.screens.planning.keeping import plan_entries, read_series, series_options
from bench.screens.planning.lines import FIRST_ROWS, Row, place_refusal, read_rows, row_count, shelf_options
from bench.screens.planning.one_line import bring_mixture
from bench.screens.planning.prefill import prefilled
from bench.screens.planning.showing import Shown, ratio_words, shown
from bench.screens.planning.sums import SUMS, read_total
from bench.screens.planning.targets import Wanted, near, read_target, wanted
from bench.steps.plan_batch import STEP as PLAN
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record_all
from bench.web.words import _
from bench.workshop.gates import stops
from bench.workshop.things.batches import batch
from bench.workshop.untested import LARGE_G, TRIAL_G, untested

blueprint = Blueprint("plan", __name__, url_prefix="/plan")

PRODUCT_G = 10.0
AMOUNTS = {"target": "fixed", "grams": "g", "parts": "parts"}
TITLES = {"target": _("From a target"), "grams": _("From grams"), "parts": _("From parts")}
MOST_AGAIN = 4
PICK = "pick:"
TAKE = "take:"


@blueprint.get("")
def home() -> Response:
    """Which way to plan."""
    here = current_bench()
    newest = here.state.things("batch")[: -MOST_AGAIN - 1 : -1]
    return page("plan/home.html", made=[one for thing in newest if (one := batch(here.state, thing)) is not None])


@blueprint.get("/<any(target, grams, parts):way>")
def ask(way: str) -> Response:
    """The empty plan, with what a target brings already filled in."""
    start: dict[str, Any] = {"rows": FIRST_ROWS, "by": "mass"}
    typed = request.args.get("target", "")[:120]
    found = _known(typed)
    start |= heat.start_heat(found.target if found else None)
    start["heat_for"] = found.target.slug if found and found.target else heat.NO_TARGET
    if found is not None:
        start |= {"target": _called(found, typed), "name": found.name}
        start |= _start_rows(found) if way == "target" else {}
    start |= {"product_g": f"{PRODUCT_G:g}"} if way == "target" else {}
    start |= prefilled(request.args)
    return _show(way, blank(**start))


def _known(typed: str) -> Wanted | None:
    if not typed:
        return None
    try:
        return wanted(typed, current_bench().library)
    except Refusal:
        return None


def _called(found: Wanted, typed: str) -> str:
    """What a field of a target shows of one: its name, where that leads back to it, else as it was typed."""
    return found.name if _known(found.name) == found else typed


def _start_rows(found: Wanted) -> dict[str, Any]:
    """The first route whose reagents all stand on the shelf, else the first; from jars where there are any."""
    here = current_bench()
    jars: dict[str, str] = {}
    for thing in here.state.open_things("jar"):
        jars.setdefault(here.state.slot(thing, "jar.opened").body.reagent, thing)
    routes = list(found.target.routes) if found.target else []
    if not routes:
        return {}
    best = min(routes, key=lambda route: sum(slug not in jars for slug in route.reagents))
    rows: dict[str, Any] = {"rows": max(FIRST_ROWS, len(best.reagents) + 1)}
    for n, slug in enumerate(best.reagents):
        known = here.library.reagents.get(slug)
        rows |= {f"jar.{n}": jars[slug]} if slug in jars else {f"formula.{n}": known.name if known else slug}
    return rows


def _bring_rows(form: Form) -> None:
    """Where a target alone was typed, its reagents: what its page would have offered, had one come by it."""
    found = _known(form.typed.get("target", "").strip())
    filled = any(value.strip() for name, value in form.typed.items() if name.startswith(("jar.", "formula.", "share.")))
    if found is not None and not filled:
        form.typed |= {name: str(value) for name, value in _start_rows(found).items()}


@blueprint.post("/<any(target, grams, parts):way>")
def work_out(way: str) -> Response:
    """Reckon the plan and show it; keep it where *keep* was pressed and nothing stands against it."""
    form = read_form()
    do = form.typed.get("do", "")
    if do == "row":
        form.typed["rows"] = str(row_count(form))
        return _show(way, form, status=200)
    if way == "grams":
        bring_mixture(form, current_bench().state, current_bench().library)
    if do.startswith(PICK):
        picked = do.removeprefix(PICK)[:120]
        found = _known(picked)
        form.typed["target"] = _called(found, picked) if found is not None else picked
    if do.startswith(TAKE):
        field, _sign, text = do.removeprefix(TAKE).partition("=")
        form.typed[field[:40]] = text[:120]
    brought = _bring_heat(form)
    if way == "target":
        _bring_rows(form)
    result = _reckoned(way, form)
    if result is None:
        return _show(way, form)
    choice = decided(form, result.findings, form.record_id)
    if do == "keep" and form.ok:
        if brought and not repeated(form):
            form.refuse(_("The target was changed. Check its heat and cooling below, then save."))
        elif stops(choice.still) and not repeated(form):
            form.refuse(_("Not saved: see the reasons below."))
        elif _keep(way, form, result, list(choice.entries)):
            return go("batch.show", thing=form.record_id)
    return _show(way, form, result, status=422 if form.errors else 200)


def _bring_heat(form: Form) -> bool:
    """Bring the heat and cooling of a target that was typed or changed since the page was made."""
    before = form.typed.get("heat_for")
    found = _known(form.typed.get("target", "").strip())
    slug = found.target.slug if found and found.target else heat.NO_TARGET
    if before is None or before == slug or (found is None and form.typed.get("target", "").strip()):
        return False
    return heat.bring_heat(form, found.target if found else None, current_bench().library.targets.get(before))


def _keep(way: str, form: Form, result: Shown, decisions: list[Any]) -> bool:
    entries = plan_entries(way, form, result, code_entries(form))
    return record_all([*entries, *decisions], form=form, say=_("Planned: {name}", name=result.data["name"]))


def _reckoned(way: str, form: Form) -> Shown | None:
    """The plan as the form says it; None where something in it cannot be used, with the sentences in the form."""
    here = current_bench()
    found = read_target(form, here.library, required=way == "target")
    rows = read_rows(form, here.state, here.library, AMOUNTS[way], required=way != "target", found=found)
    name = form.text("name", max_len=PLAN.field("name").most)
    read_total(way, form)
    data = heat.read_heat(form, found.target if found else None, here.library) | read_series(form, here.state)
    data |= read_named(form, PLAN, "notes")
    refuse_dangers(form, rows, found, here.library)
    if form.errors or (way == "target" and found is None):
        return None
    try:
        grams, told = SUMS[way](form, rows, found)
    except Refusal as refusal:
        place_refusal(form, refusal, rows)
        return None
    if form.errors:
        return None
    data |= _identity(way, name, found, rows, grams, told)
    return _shown(form, found, rows, grams, told, data)


def _shown(
    form: Form, found: Wanted | None, rows: list[Row], grams: list[float], told: dict[str, Any], data: dict[str, Any]
) -> Shown:
    here = current_bench()
    window = heat.window_words(found.target if found else None, data["schedule"])
    asks = [] if form.flag("sure") else [found.outside if found else None, _untested(rows, grams)]
    kept = {key: value for key, value in data.items() if value is not None}
    made = shown(rows, grams, told, kept, asks, here.state, here.library)
    says = (*made.says, *([window] if window else []))
    more = _become(rows, grams) if found is None else {}
    return Shown(**{**made.__dict__, "says": says, **more})


def _untested(rows: list[Row], grams: list[float]) -> str | None:
    """A question where much is planned with a lot that was never tried."""
    here = current_bench()
    lines = [read(Line, row.line(g)) for row, g in zip(rows, grams, strict=True)]
    new = untested(here.state, lines) if sum(grams) > LARGE_G else []
    if not new:
        return None
    name = reagent_name(new[0].name, here.library)
    return _("{name}: this lot is new. Make {g:g} g with it first.", name=name, g=TRIAL_G)


def _become(rows: list[Row], grams: list[float]) -> dict[str, Any]:
    """Where no target was named: the ratio of the metals, and what the library knows that they can become."""
    weighed = [row.ask() | {"g": g} for row, g in zip(rows, grams, strict=True)]
    mol = metals_mol(weighed)
    return {"fits": tuple(fits(weighed, current_bench().library)), "ratio": ratio_words(ratio(mol)) if mol else ""}


def _identity(
    way: str, name: str | None, found: Wanted | None, rows: list[Row], grams: list[float], told: dict[str, Any]
) -> dict[str, Any]:
    """Who the batch is: its name, where it comes from, its target, its lines and its masses."""
    data: dict[str, Any] = {
        "name": name or (found.name if found else _("Batch from {way}", way=way)),
        "from": way,
        "lines": [row.line(g) for row, g in zip(rows, grams, strict=True)],
        "fired_g": told.get("fired_unwashed_g"),
        "washed_g": told.get("washed_g"),
        "library_rev": current_bench().library.revision,
    }
    if found is not None:
        data["target_formula"] = found.formula
        data["target"] = found.target.slug if found.target is not None else None
    return data


def _show(way: str, form: Form, result: Shown | None = None, status: int | None = None) -> Response:
    here = current_bench()
    library = here.library
    typed = form.typed.get("target", "").strip()
    found = _known(typed)
    return page(
        "plan/work.html",
        form=form,
        status=status,
        way=way,
        title=TITLES[way],
        rows=range(row_count(form)),
        jars=shelf_options(here.state, library),
        targets=sorted(t.name for t in library.targets.values() if t.status == "plannable"),
        near=near(typed, library) if typed and "target" in form.errors else [],
        target=found.target if found else None,
        wanted=found,
        coolings=heat.COOLINGS,
        atmospheres=heat.ATMOSPHERES,
        segments=range(heat.SEGMENTS),
        series=series_options(here.state),
        result=result,
        ratio_words=ratio_words,
        foot=cautions("plan", result.parts if result else []),
    )
