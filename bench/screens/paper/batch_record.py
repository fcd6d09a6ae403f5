"""A batch on two pages: plan and weighing, what was done, corrections, colour, verdict, and its firing."""

from functools import partial
from typing import Any

from flask import Blueprint, Response

from bench.exporting.crate import records_of
from bench.exporting.summaries import family
from bench.printing.batch_record import BatchRecord, Patch, batch_record_page
from bench.printing.firing_record import FiringRecord
from bench.reckoning.rules import DEFER
from bench.records.moments import to_ms
from bench.records.record import Record
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.screens.furnace.firing_view import drawn, say_curve
from bench.screens.kit.attached import phase_words
from bench.screens.kit.found import batch_or_404
from bench.screens.kit.names import line_name
from bench.screens.kit.record_view import describe_record, line_of
from bench.screens.loading.charge import COOLINGS
from bench.screens.paper.firing_record import FLOOR_MM, WIDE_MM, firing_record
from bench.screens.paper.paper_screen import document, set_apart, templates
from bench.screens.planning.again_rows import heat_words
from bench.screens.powders.powder import VERDICT_WORDS
from bench.web.current import current_bench
from bench.web.moments import local
from bench.web.page import code_text, grams, grams_off, grams_span
from bench.web.words import _
from bench.workshop.as_fired import fired
from bench.workshop.assays import jar_assay
from bench.workshop.costing import CURRENCY, batch_cost
from bench.workshop.expectation import gap, theory
from bench.workshop.soaking import soaking
from bench.workshop.things.batches import Batch, BatchLine
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing
from bench.workshop.things.pigments import pigment
from bench.workshop.things.swatches import swatch

blueprint = Blueprint("batch_record", __name__)

UNTOLD = frozenset(
    {"code.issued", "code.assigned", "reading", "check.answered", "timer.set", "batch.planned", "photo.kept"}
)
"""What the first page does not tell: it stands elsewhere on the two, or says nothing to a reader."""
MOST_PATCHES = 5


@blueprint.get("/print/record/batch/<thing>")
def show(thing: str) -> Response:
    """The two pages for the printer; as PDF with `?pdf=1`."""
    view = batch_or_404(thing)
    return document(record_html(view), f"batch-{view.code or view.id}", back=f"/batch/{view.id}")


def record_html(view: Batch) -> str:
    """Both pages as one document."""
    fire = hottest(view)
    picture: dict[str, Any] = {}
    on_paper: FiringRecord | None = None
    if fire is not None:
        soak = soaking(current_bench().state, fire)
        picture = {"c": drawn(fire, "paper", soak, []), "wide_mm": WIDE_MM, "floor_mm": FLOOR_MM,
                   "title": say_curve(fire, soak)}  # fmt: skip
        on_paper = firing_record(fire, soak)
    setting = partial(batch_record_page, templates(), batch_record(view), on_paper, picture)
    return str(set_apart(setting))


def hottest(view: Batch) -> Firing | None:
    """Of the firings that a batch went through, the hottest; of two alike the last."""
    state = current_bench().state
    views = [charge(state, one) for one in family(state, view.id) if state.kind_of.get(one) == "charge"]
    stays = [stay for one in views if one is not None for stay in one.residences if stay.went_in is not None]
    fires = [fire for stay in stays if (fire := firing(state, stay.firing)) is not None]
    return max(fires, key=lambda one: (max((c for _m, c in one.curve), default=0.0), one.id), default=None)


def batch_record(view: Batch) -> BatchRecord:
    """Everything that the first page says."""
    here = current_bench()
    things = family(here.state, view.id)
    records = records_of(here.state, things)
    told_of = [r for r in records if r.kind not in UNTOLD and r.body is not None]
    return BatchRecord(
        title=view.name,
        code=view.code or "",
        head=tuple(_head(view)),
        lines=tuple(_line(one) for one in view.lines),
        facts=tuple(_facts(view)),
        all_events=tuple(_event(one) for one in told_of if here.state.is_effective(one.id)),
        corrections=tuple(_correction(one) for one in records if not here.state.is_effective(one.id)),
        patches=tuple(_patches(things)),
        verdicts=tuple(_verdicts(things)),
        sources=_sources(view),
        foot=DEFER,
    )


def _head(view: Batch) -> list[str]:
    made = current_bench().state.records[view.id]
    said = [_("Planned {at}", at=made.local.strftime("%Y-%m-%d %H:%M"))]
    if view.plan.target_formula:
        said.append(phase_words(view.plan.target_formula, family(current_bench().state, view.id)))
    return said


def _line(one: BatchLine) -> tuple[str, ...]:
    here = current_bench()
    used = (one.weighed.body.jar if one.weighed is not None else None) or one.plan.jar
    opened = here.state.slot(used, "jar.opened").body if used else None
    assay = jar_assay(here.state, used, here.library) if used else None
    lot = _(", lot {lot}", lot=opened.lot) if opened is not None and opened.lot else ""
    pct = assay.assay_pct if assay is not None else one.plan.assay_pct
    weighed = one.weighed_g
    return (
        f"{line_name(one.plan, here.state, here.library)}, {pretty(one.plan.formula)}",
        f"{code_text(here.state.code_of(used))}{lot}" if used else "–",
        f"{pct:.4g} %",
        f"{grams(one.target_g)} g",
        f"{grams(weighed)} g" if weighed is not None else "–",
        f"{grams_off(weighed - one.target_g)} g" if weighed is not None else "–",
    )


def _facts(view: Batch) -> list[tuple[str, str]]:
    here = current_bench()
    done, mass = fired(here.state, view.charges), theory(here.state, view, here.library)
    found = [(_("Cooling"), COOLINGS[view.plan.cooling_mode])]
    found += [
        (_("Planned heat {n}", n=n), heat_words(one.to_c, one.hold_min)) for n, one in enumerate(view.plan.schedule, 1)
    ]
    if done.peak_c is not None:
        found.append((_("Hottest read"), f"{done.peak_c:.0f} °C"))
    if done.soak_c is not None and done.soak_min is not None:
        found.append((_("Soak as read"), heat_words(round(done.soak_c), round(done.soak_min))))
    if done.cooling_c_per_h is not None:
        found.append((_("Cooled to 500 °C at"), f"{done.cooling_c_per_h:.0f} °C/h"))
    if mass.fired_g is not None:
        span = f" ({grams_span(mass.fired_span_g)})" if mass.fired_span_g else ""
        found.append((_("Fired, in theory"), f"{grams(mass.fired_g)} g{span}"))
    for one in view.charges:
        off = gap(here.state, one, here.library)
        if off is not None and off.found_g is not None:
            against = _(", {g} g against theory", g=grams_off(off.gap_g)) if off.gap_g is not None else ""
            found.append((_("Came out"), f"{grams(off.found_g)} g{against}"))
    cost = batch_cost(here.state, view.id)
    if cost is not None and cost.whole:
        found.append((_("Reagents cost"), f"{cost.known:.2f} {here.state.setting(CURRENCY, '')}".strip()))
    words = [(_("Liquid"), view.plan.liquid), (_("Packed in"), view.plan.packing), (_("Note"), view.plan.notes)]
    return [*found, *((name, what) for name, what in words if what)]


def _event(record: Record) -> tuple[str, str]:
    line = line_of(record)
    title = describe_record(record).title
    return record.local.strftime("%d %b %H:%M"), f"{title}: {line}" if line else title


def _correction(record: Record) -> str:
    one = describe_record(record)
    ends = "; ".join(f"{end.how} {end.at}{': ' + end.why if end.why else ''}" for end in one.undone)
    return f"{one.title}: {one.line} ({ends})"


def _patches(things: list[str]) -> list[Patch]:
    state = current_bench().state
    found = []
    for thing in things:
        view = swatch(state, thing)
        if view is None:
            continue
        tint = (
            _("1 to {n:g} white", n=view.made.white_per_pigment) if view.made.white_per_pigment else _("full strength")
        )
        last = view.colour
        if last is None:
            found.append(Patch("", _("{code}, {what}: not measured", code=code_text(view.code), what=tint)))
            continue
        lab = f"L* {last.lab[0]:.1f} a* {last.lab[1]:.1f} b* {last.lab[2]:.1f}"
        found.append(Patch(lab_to_srgb_hex(last.lab).hex, f"{code_text(view.code)}, {tint}: {lab}, {last.method}"))
    return found[:MOST_PATCHES]


def _verdicts(things: list[str]) -> list[str]:
    state, zone = current_bench().state, current_bench().zone_min()
    said = []
    for thing in things:
        view = pigment(state, thing)
        for record in state.by_time(thing, "judged") if view is not None else ():
            causes = "; ".join(f"{one.cause} ({one.certainty})" for one in record.body.suspected)
            suspects = _(" Suspected: {causes}.", causes=causes) if causes else ""
            day = local(to_ms(record.when), zone).strftime("%Y-%m-%d")
            said.append(f"{day} {VERDICT_WORDS[record.body.verdict]} {record.body.words or ''}{suspects}")
    return said


def _sources(view: Batch) -> str:
    library = current_bench().library
    target = library.targets.get(view.plan.target or "")
    keys = target.sources if target is not None else ()
    titles = [library.sources[key].title for key in keys if key in library.sources]
    return _("Sources of the target: {titles}.", titles="; ".join(titles)) if titles else ""
