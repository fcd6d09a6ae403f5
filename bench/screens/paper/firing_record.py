"""A firing on one page, to print or keep: plan, curve, events, map, crucibles, gases, checks, sources."""

from datetime import datetime, timedelta
from functools import partial

from flask import Blueprint, Response, make_response

from bench.printing.firing_record import MOST_SOURCES, Crucible, FiringRecord, firing_record_page
from bench.printing.paper import html
from bench.reckoning.rules import DEFER
from bench.records.moments import to_ms
from bench.screens.furnace.firing import PHASES
from bench.screens.furnace.firing_view import Inside, drawn, inside, say_curve, zone_of
from bench.screens.furnace.load_air import LoadAir, load_air
from bench.screens.furnace.placing import picture, spots, tiers
from bench.screens.kit.checking import checks, stopped, tally, unfit
from bench.screens.kit.field_words import field_words
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.record_view import chosen_words, describe_record, facts_of
from bench.screens.paper.paper_screen import DRAWING_POLICY, document, set_apart, templates
from bench.settings import asset_folder
from bench.web.current import current_bench
from bench.web.drawing import Curve
from bench.web.page import code_text
from bench.web.words import _, many
from bench.workshop.heat import Heat
from bench.workshop.soaking import Soaking, soaking
from bench.workshop.things.firings import BAND_C, Firing

blueprint = Blueprint("firing_record", __name__)

EVENTS = ("lit", "noted", "went.in", "came.out", "fire.off", "rule.overridden", "photo.kept", "closed")
WIDE_MM = 190.0
FLOOR_MM = 30.0
MOST_FLOORS = 2
DAY = "%Y-%m-%d"
HEAT_WORK = "arrhenius-soak"


@blueprint.get("/print/record/firing/<thing>")
def show(thing: str) -> Response:
    """The page for the printer; as PDF with `?pdf=1`."""
    fire = firing_or_404(thing)
    soak = soaking(current_bench().state, fire)
    picture = {"c": drawn(fire, "paper", soak, []), "wide_mm": WIDE_MM, "floor_mm": FLOOR_MM}
    record = firing_record(fire, soak)
    setting = partial(firing_record_page, templates(), record, title=say_curve(fire, soak), **picture)
    return document(set_apart(setting), f"firing-{fire.code or fire.id}", back=f"/firing/{fire.id}")


@blueprint.get("/firing/<thing>/curve.svg")
def curve_file(thing: str) -> Response:
    """The curve alone, to keep beside the swatches."""
    fire = firing_or_404(thing)
    soak = soaking(current_bench().state, fire)
    c: Curve = drawn(fire, "paper", soak, [])
    text = html(asset_folder("labels"), "curve.svg", c=c, title=say_curve(fire, soak), wide_mm=WIDE_MM)
    answer = make_response(text)
    answer.headers["Content-Type"] = "image/svg+xml; charset=utf-8"
    answer.headers["Content-Disposition"] = f'inline; filename="curve-{fire.code or fire.id}.svg"'
    answer.headers["Content-Security-Policy"] = DRAWING_POLICY
    return answer


def firing_record(fire: Firing, soak: Soaking) -> FiringRecord:
    """Everything that the page says of a firing."""
    state, library = current_bench().state, current_bench().library
    air = load_air(state, fire, library)
    found = spots(state, fire)
    floors = [(tier, picture(found, fire, tier)) for tier in tiers(found)][:MOST_FLOORS]
    return FiringRecord(
        title=fire.name,
        code=fire.code or "",
        head=tuple(_head(fire)),
        planned=tuple(_planned(fire)),
        measured=tuple(_measured(fire, soak)),
        floors=tuple((tier, plan.pots, plan.height, plan.shape) for tier, plan in floors),
        crucibles=tuple(_crucible(one, fire) for one in inside(fire)),
        all_events=tuple(_events(fire)),
        gases=tuple(_gases(air)),
        checks=tuple(_checked(fire)),
        sources=_sources(fire),
        foot=" ".join((_("The temperatures are the furnace’s at its probe, not a crucible’s."), str(DEFER))),
        above_c=f"{fire.soak.to_c - BAND_C:g}",
        soak_c=f"{fire.soak.to_c:g}",
    )


def _begun(fire: Firing) -> str:
    """When it was lit, or switched on where nothing is lit."""
    electric = fire.fuel == "electric"
    if fire.lit_at is None:
        return _("Not switched on") if electric else _("Not lit")
    at = _local(fire, fire.lit_at)
    return _("Switched on {at}", at=at) if electric else _("Lit {at}", at=at)


def _head(fire: Firing) -> list[str]:
    furnace, said = fire.furnace, []
    if furnace is not None:
        probe = _("type {type}, class {cls}", type=furnace.probe_type, cls=furnace.probe_class)
        probe = _("no probe") if furnace.probe_type == "none" else probe
        burner = f" · {fire.burner.name}" if fire.burner is not None else ""
        said.append(f"{furnace.name} · {furnace.fuel}{burner} · {furnace.place} · {probe}")
    lit = _begun(fire)
    off = (
        _("off {at}: {why}", at=_local(fire, fire.off_at), why=chosen_words("reason", "fire.off", fire.off.reason))
        if fire.off
        else _("not off")
    )
    return [*said, f"{lit} · {off} · {_('closed') if fire.closed else _('not closed')}"]


def _local(fire: Firing, moment: datetime | None, how: str = "%Y-%m-%d %H:%M") -> str:
    """In the zone where the firing was."""
    if moment is None:
        return "–"
    return (moment + timedelta(minutes=zone_of(fire))).strftime(how)


def _planned(fire: Firing) -> list[str]:
    said = []
    for n, one in enumerate(fire.plan.segments, 1):
        rate = _("at {rate:g} °C/h", rate=one.rate_c_per_h) if one.rate_c_per_h else _("as fast as it goes")
        hold = _(", held {min:g} min", min=one.hold_min) if one.hold_min else ""
        said.append(_("Planned {n}: to {c:g} °C {rate}{hold}", n=n, c=one.to_c, rate=rate, hold=hold))
    return said


def _measured(fire: Firing, soak: Soaking) -> list[str]:
    if not fire.readings:
        return [_("Nothing was read.")]
    hottest = max(fire.readings, key=lambda r: float(r.body.c))
    first, last = fire.readings[0], fire.readings[-1]
    clock = "%H:%M"
    said = [
        many("Measured: one reading", "Measured: {n} readings", len(fire.readings))
        + _(", from {a} to {b}", a=first.local.strftime(clock), b=last.local.strftime(clock)),
        _("Hottest {c:.0f} °C at {at}", c=hottest.body.c, at=hottest.local.strftime(clock)),
    ]
    if soak.start is not None and soak.low_c is not None and soak.high_c is not None:
        span = _("Soak from {at}: {m:.0f} min", at=_local(fire, soak.start, clock), m=soak.held_min)
        said.append(span + _(" between {low:.0f} and {high:.0f} °C", low=soak.low_c, high=soak.high_c))
    else:
        said.append(_("No soak was held."))
    return said


def _crucible(one: Inside, fire: Firing) -> Crucible:
    place = next((s.name for s in spots(current_bench().state, fire) if s.charge == one.charge), "–")
    heat = one.heat
    if heat is None:
        return Crucible(code_text(one.what.code), one.what.name, place, "–", "–", "–", "–", "–", "–")
    return Crucible(
        code=code_text(one.what.code),
        what=one.what.name,
        place=place,
        went_in=_clock(fire, heat.went_in),
        came_out=_clock(fire, heat.came_out) if heat.came_out else _("in"),
        out_c=f"{heat.out_c:.0f} °C" if heat.out_c is not None else "–",
        above_min=f"{heat.above_min:.0f} min",
        peak_c=f"{heat.peak_c:.0f} °C" if heat.peak_c is not None else "–",
        work=_work(heat),
    )


def _clock(fire: Firing, moment: datetime | None) -> str:
    """A time of the clock; with its date where that is not the day of lighting."""
    if moment is None:
        return "–"
    same_day = fire.lit_at is None or _local(fire, moment, DAY) == _local(fire, fire.lit_at, DAY)
    return _local(fire, moment, "%H:%M" if same_day else "%d %b %H:%M")


def _work(heat: Heat) -> str:
    if heat.work_min is None:
        return "–"
    spread = f" ({heat.work_spread[0]:.0f}–{heat.work_spread[1]:.0f})" if heat.work_spread else ""
    return f"{heat.work_min:.0f}{spread}"


def _events(fire: Firing) -> list[tuple[str, str]]:
    """Everything but readings and ticks, by the time it happened."""
    here = current_bench()
    own = [r for kind in EVENTS for r in here.state.by_time(fire.id, kind)]
    own += [
        r
        for charge in fire.charges
        for kind in ("went.in", "came.out")
        for r in here.state.rows(charge, kind)
        if r.body.firing == fire.id
    ]
    said = []
    for one in sorted({r.id: r for r in own}.values(), key=lambda r: (to_ms(r.when), r.order)):
        facts = [value for name, value in facts_of(one) if name != field_words("firing")]
        title = describe_record(one).title
        same_day = fire.lit_at is None or _local(fire, one.when, DAY) == _local(fire, fire.lit_at, DAY)
        clock = one.local.strftime("%H:%M" if same_day else "%d %b %H:%M")
        said.append((clock, ": ".join((str(title), " · ".join(map(str, facts)))) if facts else title))
    return said


def _gases(air: LoadAir) -> list[str]:
    said = []
    for one in air.lines:
        place = _("In place of another: ") if one.instead else ""
        said.append(f"{place}{one.name} {one.amount}, {one.when}{'; ' + one.limit if one.limit else ''}")
    said += [_("Fume may leave too: {what}.", what="; ".join(air.fumes))] if air.fumes else []
    said += [*air.cautions]
    if air.not_reckoned:
        said.append(_("Not known of {what}.", what=", ".join(air.not_reckoned)))
    return [*said, air.say]


def _checked(fire: Firing) -> list[str]:
    """How each list stands, who stopped at what, and what it was lit without."""
    state, library = current_bench().state, current_bench().library
    said = []
    for phase, words in PHASES.items():
        items = checks(state, library, phase, fire.id)
        start = fire.fuel == "electric" and phase == "before-lighting"
        said.append(f"{_('Before switching on') if start else words}: {tally(items)}")
        said += [_("Not done: {item}. {why}", item=one.says, why=one.said or "") for one in stopped(items)]
        said += [_("Does not apply: {item}. {why}", item=one.says, why=one.said or "") for one in unfit(items)]
    return [*said, *(_("Lit without: {rule}", rule=rule.replace("-", " ")) for rule in fire.deviations)]


def _sources(fire: Firing) -> str:
    """Where the figures and the lists come from, by title."""
    state, library = current_bench().state, current_bench().library
    keys = [HEAT_WORK] if fire.readings else []
    keys += [key for phase in PHASES for one in checks(state, library, phase, fire.id) for key in one.item.sources]
    titles = dict.fromkeys(library.sources[key].title for key in keys if key in library.sources)
    return _("Sources: {titles}.", titles="; ".join(list(titles)[:MOST_SOURCES])) if titles else ""
