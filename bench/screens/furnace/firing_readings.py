"""The readings of a firing as a table: out as CSV, and in from a logger's file, looked over before anything is kept."""

import csv
import io
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.science.refusal import Refusal
from bench.screens.furnace.curves import thinned
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import repeated
from bench.web.drawing import curve
from bench.web.forms import Form, blank, read_form
from bench.web.moments import clock_text, date_text
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record_all
from bench.web.sent_files import sent_file, sent_files
from bench.web.words import _, many
from bench.workshop.logger import Columns, Log, Table, guess, read_log, spread_out, table
from bench.workshop.logger.columns import ELAPSED
from bench.workshop.logger.table import MOST_BYTES
from bench.workshop.things.firings import Firing

blueprint = Blueprint("firing_readings", __name__)

SHELF = "readings"
HOWS = (
    ("moment", _("date and time in one column")),
    ("date-clock", _("date and time in two columns")),
    ("clock", _("clock time, no date")),
    ("elapsed", _("a number since the start")),
    ("span", _("hours and minutes since the start")),
    ("epoch", _("seconds since 1970")),
)
KEEPS = (("0", _("Every reading")), ("10", _("One reading each 10 s")), ("60", _("One reading each minute")))
MANY = 5_000
"""Over so many readings a minute's lowest and highest are proposed instead of all."""
SHOWN_ROWS = 6


@blueprint.get("/firing/<thing>/readings")
def ask(thing: str) -> Response:
    """The readings, to take out as a table or to take in from a logger's file."""
    fire = firing_or_404(thing)
    return page("firing/readings.html", form=blank(), fire=fire, latest=_latest(fire), status=None)


def _latest(fire: Firing) -> list[tuple[str, str, str]]:
    rows = [(r.local.strftime("%H:%M"), f"{r.body.c:.0f} °C", _raw(r.body)) for r in fire.readings[-SHOWN_ROWS:]]
    return rows[::-1]


def _raw(body: Any) -> str:
    if body.raw is None or body.raw_unit == "C":
        return ""
    unit = {"F": "°F", "mV": "mV"}[body.raw_unit]
    return f"{body.raw:g} {unit}"


@blueprint.get("/firing/<thing>/readings.csv")
def out(thing: str) -> Response:
    """The readings as CSV: UTC, minutes since lighting, °C, as read, and how they came."""
    fire = firing_or_404(thing)
    start = fire.lit_at or (fire.readings[0].when if fire.readings else None)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(["utc", "minutes", "c", "raw", "raw_unit", "cold_junction_c", "how", "device"])
    for r in fire.readings:
        minutes = (r.when - start).total_seconds() / 60 if start is not None else 0.0
        writer.writerow(
            [r.when.strftime("%Y-%m-%dT%H:%M:%SZ"), f"{minutes:.3f}", f"{r.body.c:g}",
             "" if r.body.raw is None else f"{r.body.raw:g}", r.body.raw_unit,
             "" if r.body.cold_junction_c is None else f"{r.body.cold_junction_c:g}", r.how, r.device]
        )  # fmt: skip
    answer = Response(text.getvalue(), mimetype="text/csv; charset=utf-8")
    name = code_text(fire.code) if fire.code else "firing"
    answer.headers["Content-Disposition"] = f'attachment; filename="readings-{name}.csv"'
    return answer


# A logger's file -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Looked:
    """A file as it was looked over: its table, how it is read, what it says, and what of it is new here."""

    table: Table
    columns: Columns
    log: Log | None
    new: list[tuple[int, float, float]]
    known: int
    clash: int


@blueprint.post("/firing/<thing>/readings")
def take_in(thing: str) -> Response:
    """Look a file over, or take it in as it was looked over."""
    fire = firing_or_404(thing)
    form = read_form()
    digest = sent_file(form, SHELF, MOST_BYTES)
    if digest is None:
        return page("firing/readings.html", form=form, fire=fire, latest=_latest(fire))
    looked = look_over(form, fire, sent_files(SHELF)[digest])
    if looked is None:
        return page("firing/readings.html", form=form, fire=fire, latest=_latest(fire))
    taking = form.typed.get("take") and looked.log is not None
    if taking and looked.log is not None and looked.log.bad and not form.flag("leave_bad"):
        form.refuse(_("Some lines cannot be read. Leave them out, or fix the file."), "leave_bad")
    if taking and not looked.new and not form.errors and not repeated(form):
        form.refuse(_("All readings of this file are here already."))
    if taking and not form.errors:
        entries = [_entry(thing, one, looked.columns.unit) for one in looked.new]
        say = many("One reading imported", "{n} readings imported", len(entries))
        if repeated(form) or record_all(entries, form=form, say=say):
            return go("firing.show", thing=thing)
    return _show(fire, form, digest, looked, answered=bool(form.errors))


def _entry(thing: str, one: tuple[int, float, float], unit: str) -> Entry:
    ms, c, raw = one
    return Entry("reading", thing, {"c": c, "raw": raw, "raw_unit": unit}, happened_ms=ms, imported=True)


def look_over(form: Form, fire: Firing, data: bytes) -> Looked | None:
    """A file as the form wants it read; None where it is no table at all, which then stands beside the file."""
    try:
        found = table(data)
        guessed = guess(found)
    except Refusal as refusal:
        form.refuse(refusal.say, "file")
        return None
    columns = _columns(form, found, guessed)
    start = _start_ms(form, fire)
    log: Log | None = None
    try:
        log = read_log(found, columns, zone_min=form.zone_min, start_ms=start, now_ms=form.now_ms)
    except Refusal as refusal:
        form.refuse(refusal.say, refusal.field if refusal.field in ("order", "start") else "file")
    if log is None:
        return Looked(found, columns, None, [], 0, 0)
    form.typed.setdefault("keep", "60" if len(log.readings) > MANY else "0")
    every = float(form.choice("keep", [name for name, _words in KEEPS]) or 0)
    new, known, clash = _against(fire, spread_out(log.readings, every))
    return Looked(found, columns, log, new, known, clash)


def _columns(form: Form, found: Table, guessed: Columns) -> Columns:
    """The columns as guessed, with whatever the form says otherwise."""
    numbers = {str(n) for n in range(found.width)}

    def at(name: str, default: int | None) -> int | None:
        typed = form.typed.get(name, "")
        return int(typed) if typed in numbers else default

    how = form.choice("how", [name for name, _words in HOWS], required=False) or guessed.how
    time, heat = at("time", guessed.time), at("heat", guessed.heat)
    order = form.choice("order", ("dmy", "mdy"), required=False) or guessed.order
    mark = form.choice("mark", ("point", "comma"), required=False)
    return Columns(
        time=guessed.time if time is None else time,
        heat=guessed.heat if heat is None else heat,
        how=how,
        date=at("date", guessed.date),
        elapsed_unit=form.choice("elapsed_unit", ELAPSED, required=False) or guessed.elapsed_unit,
        order=order if how in ("moment", "date-clock") else "",
        unit=form.choice("unit", ("C", "F"), required=False) or guessed.unit,
        comma=guessed.comma if mark is None else mark == "comma",
    )


def _start_ms(form: Form, fire: Firing) -> int:
    """When the file begins, for times without a date: as typed, else when the fire was lit."""
    typed = form.time("start", required=False)
    if typed is not None:
        return typed
    return to_ms(fire.lit_at) if fire.lit_at is not None else form.now_ms


def _against(fire: Firing, readings: list[tuple[int, float, float]]) -> tuple[list[tuple[int, float, float]], int, int]:
    """What is new here, how many stand here already, and how many say otherwise at the very second of one that does."""
    standing: dict[int, set[float]] = {}
    for r in fire.readings:
        standing.setdefault(to_ms(r.when) // 1000, set()).add(round(r.body.c, 2))
    new, known, clash = [], 0, 0
    for one in readings:
        there = standing.get(one[0] // 1000)
        if there is not None and round(one[1], 2) in there:
            known += 1
            continue
        clash += there is not None
        new.append(one)
    return new, known, clash


def _show(fire: Firing, form: Form, digest: str, looked: Looked, answered: bool) -> Response:
    columns, log = looked.columns, looked.log
    start = _start_ms(form, fire)
    zone = form.zone_min
    shown = {
        "digest": digest, "time": columns.time, "heat": columns.heat, "how": columns.how, "date": columns.date,
        "elapsed_unit": columns.elapsed_unit, "order": "" if columns.order == "?" else columns.order,
        "unit": columns.unit, "mark": "comma" if columns.comma else "point",
        "start": clock_text(start, zone), "start_date": date_text(start, zone),
    }  # fmt: skip
    for name, value in shown.items():
        form.typed.setdefault(name, "" if value is None else str(value))
    rows = looked.log.readings if looked.log is not None else []
    drawn = thinned([(float(ms), c) for ms, c, _raw in rows])
    return page(
        "firing/import.html",
        form=form,
        fire=fire,
        looked=looked,
        log=log,
        names=[(str(n), looked.table.name(n)) for n in range(looked.table.width)],
        hows=HOWS,
        units=tuple(ELAPSED),
        keeps=KEEPS,
        first=[_line(one, zone) for one in [*rows[:3], *rows[-2:]]] if rows else [],
        picture=curve(drawn, look="phone", zone_min=zone) if len(drawn) > 1 else None,
        outside=_outside(fire, rows),
        status=422 if answered else 200,
    )


def _line(one: tuple[int, float, float], zone: int) -> tuple[str, str]:
    return f"{date_text(one[0], zone)} {clock_text(one[0], zone)}", f"{one[1]:.1f} °C"


def _outside(fire: Firing, rows: list[tuple[int, float, float]]) -> int:
    """How many readings lie before this fire was lit."""
    if fire.lit_at is None:
        return 0
    lit = to_ms(fire.lit_at) - 60_000
    return sum(ms < lit for ms, _c, _raw in rows)
