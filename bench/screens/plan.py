"""Plan a batch: from a target, from grams, or from parts. The first plate reckons, the second keeps."""

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning import reckon
from bench.reckoning.parts_by import Share, grams_for
from bench.science.refusal import Refusal
from bench.screens.cautioning import cautions
from bench.screens.deciding import decided
from bench.screens.forms import Form, blank, read_form
from bench.screens.gating import may_record
from bench.screens.issuing import code_entries
from bench.screens.joined import bench
from bench.screens.page import go, page
from bench.screens.planning import heat
from bench.screens.planning.lines import FIRST_ROWS, Row, place_refusal, read_rows, row_count, shelf_options
from bench.screens.planning.prefill import prefilled
from bench.screens.planning.showing import Shown, ratio_words, shown
from bench.screens.planning.targets import Wanted, read_target, wanted
from bench.screens.recording import Entry, record_all
from bench.screens.weighing import readability_g
from bench.screens.words import _

blueprint = Blueprint("plan", __name__, url_prefix="/plan")

PRODUCT_G = 10.0
WAYS = ("target", "grams", "parts")
AMOUNTS = {"target": "fixed", "grams": "g", "parts": "parts"}
TITLES = {"target": _("From a target"), "grams": _("From grams"), "parts": _("From parts")}


@blueprint.get("")
def home() -> Response:
    """Which way to plan."""
    return page("plan/home.html")


@blueprint.get("/<any(target, grams, parts):way>")
def ask(way: str) -> Response:
    """The empty plan, with what a target brings already filled in."""
    start: dict[str, Any] = {"rows": FIRST_ROWS, "by": "mass"}
    typed = request.args.get("target", "")[:120]
    found = _known(typed)
    if found is not None:
        start |= {"target": typed, "name": found.name} | heat.start_heat(found.target)
        start |= _start_rows(found) if way == "target" else {}
    else:
        start |= heat.start_heat(None)
    start |= {"product_g": f"{PRODUCT_G:g}"} if way == "target" else {}
    start |= prefilled(request.args)
    return _show(way, blank(**start))


def _known(typed: str) -> Wanted | None:
    if not typed:
        return None
    try:
        return wanted(typed, bench().library)
    except Refusal:
        return None


def _start_rows(found: Wanted) -> dict[str, Any]:
    """The first route whose reagents all stand on the shelf, else the first; from jars where there are any."""
    here = bench()
    jars: dict[str, str] = {}
    for thing in here.state.open_things("jar"):
        jars.setdefault(here.state.slot(thing, "jar.opened").body.reagent, thing)
    routes = list(found.target.routes) if found.target else []
    if not routes:
        return {}
    best = min(routes, key=lambda route: sum(slug not in jars for slug in route.reagents))
    rows: dict[str, Any] = {"rows": max(FIRST_ROWS, len(best.reagents) + 1)}
    for n, slug in enumerate(best.reagents):
        rows |= {f"jar.{n}": jars[slug]} if slug in jars else {f"formula.{n}": slug}
    return rows


@blueprint.post("/<any(target, grams, parts):way>")
def work_out(way: str) -> Response:
    """Reckon the plan and show it; keep it where *keep* was pressed and nothing stands against it."""
    form = read_form()
    if form.typed.get("do") == "row":
        form.typed["rows"] = str(row_count(form))
        return _show(way, form, status=200)
    result = _reckoned(way, form)
    if result is None:
        return _show(way, form)
    choice = decided(form, result.findings, form.record_id)
    if form.typed.get("do") == "keep" and form.ok:
        if not may_record(form, choice.still):
            form.refuse(_("Not kept: the plan is stopped, for the reasons below."))
        elif _keep(form, result, choice.entries):
            return go("batch.show", thing=form.record_id)
    return _show(way, form, result, status=422 if form.errors else 200)


def _keep(form: Form, result: Shown, decisions: tuple[Entry, ...]) -> bool:
    entries = [Entry("batch.planned", None, result.data), *code_entries(bench().state, form), *decisions]
    return record_all(entries, form=form, say=_("Planned: {name}", name=result.data["name"]))


def _reckoned(way: str, form: Form) -> Shown | None:
    here = bench()
    found = read_target(form, here.library, required=way == "target")
    rows = read_rows(form, here.state, here.library, AMOUNTS[way], required=way != "target")
    name = form.text("name", max_len=80)
    data = heat.read_heat(form, found.target if found else None, here.library)
    data["notes"] = form.text("notes", lines=True)
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
    window = heat.window_words(found.target if found else None, data["schedule"])
    sure = form.flag("sure")
    asks = [] if sure else [found.outside if found else None]
    kept = {key: value for key, value in data.items() if value is not None}
    made = shown(rows, grams, told, kept, asks, here.state, here.library)
    says = (*made.says, *([window] if window else []))
    return Shown(**{**made.__dict__, "says": says})


def _identity(
    way: str, name: str | None, found: Wanted | None, rows: list[Row], grams: list[float], told: dict[str, Any]
) -> dict[str, Any]:
    """Who the batch is: its name, where it comes from, its target, its lines and its masses."""
    data: dict[str, Any] = {
        "name": name or (found.name if found else _("Batch from {way}", way=way)),
        "from": way,
        "lines": [row.line(g) for row, g in zip(rows, grams, strict=True)],
        "fired_g": told.get("fired_unwashed_g") if way == "target" else told.get("fired_g"),
        "washed_g": told.get("washed_g") or told.get("target_g"),
        "library_rev": bench().library.revision,
    }
    if found is not None:
        data["target_formula"] = found.formula
        data["target"] = found.target.slug if found.target is not None else None
    return data


def _from_target(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], dict[str, Any]]:
    product = form.number("product_g", low=0.001, high=100_000, unit="g")
    if product is None or found is None:
        return [], {}
    reagents = []
    for row in rows:
        told = row.ask() | ({"share": row.share} if row.share is not None else {})
        reagents.append(told | ({row.unit: row.amount} if row.amount is not None else {}))
    ask = {"target": found.formula, "product_g": product, "reagents": reagents, "balance_d_g": _d_g()}
    answer = reckon("weigh-up", ask, bench().library)
    return [float(g) for g in answer["weigh_g"]], answer


def _from_grams(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], dict[str, Any]]:
    grams = [float(row.amount or 0.0) for row in rows]
    return grams, _balance(form, rows, grams, found)


def _from_parts(form: Form, rows: list[Row], found: Wanted | None) -> tuple[list[float], dict[str, Any]]:
    total = form.number("total_g", low=0.001, high=100_000, unit="g")
    by = form.choice("by", ("mass", "mol")) or "mass"
    if total is None:
        return [], {}
    shares = [Share(row.formula, float(row.amount or 0.0), row.assay_pct) for row in rows]
    grams, steps = grams_for(shares, by, total, bench().library)
    answer = _balance(form, rows, grams, found)
    return grams, answer | {"working": [*steps, *answer.get("working", [])]}


def _balance(form: Form, rows: list[Row], grams: list[float], found: Wanted | None) -> dict[str, Any]:
    """What the grams can become; without a target, only the gas that they give off."""
    library = bench().library
    if found is None:
        charges = [{"formula": row.formula, "g": g} for row, g in zip(rows, grams, strict=True)]
        return reckon("gas", {"charges": charges}, library)
    weighed = [row.ask() | {"g": g} for row, g in zip(rows, grams, strict=True)]
    peak = max((one for one in _peaks(form)), default=None)
    ask: dict[str, Any] = {"weighed": weighed, "target": found.formula, "balance_d_g": _d_g()}
    return reckon("balance", ask | ({"c": peak} if peak is not None else {}), library)


def _peaks(form: Form) -> list[float]:
    found = [form.number(f"to_c.{n}", low=20, high=heat.HOTTEST_C, required=False) for n in range(heat.SEGMENTS)]
    return [one for one in found if one is not None]


def _d_g() -> float:
    return readability_g(bench().state)


Sum = Callable[[Form, list[Row], Wanted | None], tuple[list[float], dict[str, Any]]]
SUMS: dict[str, Sum] = {"target": _from_target, "grams": _from_grams, "parts": _from_parts}


def _show(way: str, form: Form, result: Shown | None = None, status: int | None = None) -> Response:
    here = bench()
    library = here.library
    found = _known(form.typed.get("target", "").strip())
    return page(
        "plan/work.html",
        form=form,
        status=status,
        way=way,
        title=TITLES[way],
        amount=AMOUNTS[way],
        rows=range(row_count(form)),
        jars=shelf_options(here.state, library),
        targets=sorted(t.name for t in library.targets.values() if t.status == "plannable"),
        reagents=sorted(r.name for r in library.reagents.values()),
        target=found.target if found else None,
        coolings=heat.COOLINGS,
        atmospheres=heat.ATMOSPHERES,
        segments=range(heat.SEGMENTS),
        result=result,
        sources={key: source.title for key, source in library.sources.items()},
        ratio_words=ratio_words,
        foot=cautions("plan", [], library),
    )
