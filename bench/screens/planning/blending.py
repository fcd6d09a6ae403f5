"""A line blend: batches between two recipes, in steps. The two batches themselves are its ends."""

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.records.kinds import BatchPlanned, Line
from bench.records.moments import to_ms
from bench.records.schema import read, write
from bench.science.blends import blended_g, lattice
from bench.screens.kit.found import batch_or_404
from bench.screens.planning.again_rows import heat_words
from bench.screens.planning.copying_factors import reckon_again
from bench.screens.planning.series_plans import (
    NAME_MAX,
    REPEATS,
    USUAL_REPEATS,
    keep_series,
    read_repeats,
    repeats_of,
)
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import date_here, go, page
from bench.web.words import _
from bench.workshop.series_results import CONTROL, END, END_LEVEL
from bench.workshop.things.batches import Batch, batch

blueprint = Blueprint("blending", __name__)

STEPS = (("2", _("2 steps, by 50 %")), ("4", _("4 steps, by 25 %")), ("5", _("5 steps, by 20 %")), ("10", "10"))
USUAL_STEPS = "4"
MOST_LISTED = 24


@blueprint.get("/batch/<thing>/blend")
def ask(thing: str) -> Response:
    """With which other batch; then in how many steps."""
    view, other = batch_or_404(thing), _other(thing, request.args.get("with", ""))
    return _show(view, other, blank(steps=USUAL_STEPS, repeats=USUAL_REPEATS))


def _other(thing: str, wanted: str) -> Batch | None:
    state = current_bench().state
    found = batch(state, wanted) if wanted and wanted != thing and state.exists(wanted) else None
    return found if found is not None and found.plan.lines else None


@blueprint.post("/batch/<thing>/blend")
def keep(thing: str) -> Response:
    """The batches between the two; each end as often again as it is to be repeated."""
    view, form = batch_or_404(thing), read_form()
    other = _other(thing, form.typed.get("with", ""))
    if other is None:
        form.refuse(_("Choose the other batch."))
        return _show(view, None, form)
    steps, times = form.choice("steps", [value for value, _words in STEPS]), read_repeats(form)
    if steps is None or form.errors:
        return _show(view, other, form)
    plans: list[dict[str, Any]] = []
    shares = sorted(float(first) for first, _second in lattice(2, int(steps)))
    for share in shares:
        made = 1 if share in (0.0, 1.0) else 0
        plans += repeats_of(blended(view, other, share, form.record_id), times - made, 1 + made)
    told = {
        "factor": _("Share of {name}", name=other.name[:60]),
        "unit": "%",
        "levels": [100 * share for share in shares],
        "control": 0.0,
    }
    findings = keep_series(form, told, {CONTROL: view.id, END: other.id}, plans)
    return go("series.show", thing=form.record_id) if findings is None else _show(view, other, form, findings)


def blended(view: Batch, other: Batch, share: float, series: str) -> dict[str, Any]:
    """The plan of a blend with a share of the other batch, as many grams as the first; fired as the first is."""
    whole = sum(line.target_g for line in view.plan.lines)
    corners = (_corner(view, whole), _corner(other, whole))
    grams = blended_g((1 - share, share), [{key: g for key, (_line, g) in one.items()} for one in corners])
    lines = {key: line for one in reversed(corners) for key, (line, _g) in one.items()}
    data: dict[str, Any] = write(view.plan)
    kept = [(write(lines[key]), g) for key, g in grams.items() if g > 0]
    name = _("{first} and {n:g} % {second}", first=view.name[:30], n=100 * share, second=other.name[:30])
    data |= {
        "series": series,
        "level": END_LEVEL * share,
        "name": name[:NAME_MAX],
        "lines": [line | {"line": n, "target_g": round(g, 5)} for n, (line, g) in enumerate(kept, 1)],
        "hot_pull": False,
    }
    if other.plan.target_formula != view.plan.target_formula:
        data.pop("target", None)
        data.pop("target_formula", None)
    reckon_again(data)
    read(BatchPlanned, data)
    return data


def _corner(view: Batch, whole: float) -> Mapping[str, tuple[Line, float]]:
    """The lines of a batch by what they are, scaled to so many grams in all; two of one jar are one."""
    own = sum(line.target_g for line in view.plan.lines)
    found: dict[str, tuple[Line, float]] = {}
    for line in view.plan.lines:
        key = f"{line.formula} {line.assay_pct} {line.fate} {line.jar}"
        before = found[key][1] if key in found else 0.0
        found[key] = (line, before + line.target_g * whole / own)
    return found


def _show(view: Batch, other: Batch | None, form: Form, findings: tuple[Finding, ...] = ()) -> Response:
    return page(
        "blending/ask.html",
        form=form,
        view=view,
        other=other,
        others=[] if other is not None else _others(view),
        steps=STEPS,
        repeats=REPEATS,
        differs=_differs(view, other) if other is not None else [],
        findings=findings,
    )


def _others(view: Batch) -> list[tuple[str, str, str, str | None]]:
    state = current_bench().state
    found = [one for t in state.things("batch")[::-1][:MOST_LISTED] if (one := _other(view.id, t)) is not None]
    return [(one.id, one.name, date_here(to_ms(state.records[one.id].when)), one.code) for one in found]


def _differs(view: Batch, other: Batch) -> list[str]:
    """What a blend takes from the first alone: it is said where the two differ in it."""
    first, second = (_heat(one) for one in (view, other))
    says = [_("All are fired as {name}: {heat}.", name=view.name, heat=first)] if first != second else []
    if view.plan.cooling_mode != other.plan.cooling_mode:
        says.append(_("All are cooled as {name}.", name=view.name))
    return says


def _heat(view: Batch) -> str:
    return ", ".join(heat_words(one.to_c, one.hold_min) for one in view.plan.schedule) or _("no heat planned")
