"""Timers for whoever has a page open: those that the laptop knows, and each as an entry for a calendar that alarms."""

from datetime import UTC, datetime, timedelta
from typing import Any

from flask import Blueprint, Response, abort, jsonify

from bench.records.moments import instant, to_ms
from bench.screens.kit.steps import thing_path
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.alarms import overdue
from bench.workshop.things.firings import firing
from bench.workshop.today import timers

blueprint = Blueprint("timers", __name__)

ON_CALENDAR_MIN = 5
LONGEST_LINE = 75
STAY = _("A timer does not watch a fire: stay.")


@blueprint.get("/timers.json")
def known() -> Response:
    """The timers that run or ended a short while ago, as the laptop knows them, and its time now."""
    here = current_bench()
    now_ms = here.now_ms()
    found = timers(here.state, datetime.fromtimestamp(now_ms / 1000, UTC))
    rows = [
        {
            "id": one.record.id,
            "purpose": one.purpose,
            "ends_ms": to_ms(one.ends_at),
            "path": thing_path(here.state.sort_of(one.thing), one.thing),
            "of": one.thing,
            "name": thing_label(one.thing).name,
        }
        for one in found
    ]
    answer = jsonify(now_ms=now_ms, timers=[*rows, *_reminders(now_ms)])
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _reminders(now_ms: int) -> list[dict[str, Any]]:
    """For every fire whose reading is overdue in its phase, what rings until one comes."""
    state = current_bench().state
    moment = datetime.fromtimestamp(now_ms / 1000, UTC)
    rows = []
    for thing in state.open_things("firing"):
        fire = firing(state, thing)
        due = overdue(fire, moment) if fire is not None else None
        if fire is not None and due is not None:
            last = fire.last_reading or state.slot(thing, "lit").record
            purpose = _("A reading of {name} is due", name=fire.name)
            path = thing_path("firing", thing)
            row = {"id": last.id if last else thing, "purpose": purpose, "ends_ms": to_ms(due), "path": path}
            rows.append(row | {"of": thing, "reminder": True})
    return rows


@blueprint.get("/timer/<record>.ics")
def calendar(record: str) -> Response:
    """One timer as an event with an alarm, for the phone's own calendar, which rings while the phone is locked."""
    here = current_bench()
    found = here.state.record(record)
    if found is None or found.kind != "timer.set" or not here.state.is_effective(record):
        abort(404)
    ends = instant(found.body.ends_at)
    name = thing_label(found.subject).name if here.state.exists(found.subject) else ""
    made = datetime.fromtimestamp(here.now_ms() / 1000, UTC)
    text = event(record, ends, made, found.body.purpose, name)
    answer = Response(text, mimetype="text/calendar")
    answer.headers["Content-Disposition"] = f'attachment; filename="timer-{record[-6:].lower()}.ics"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def event(identity: str, ends: datetime, made: datetime, purpose: str, name: str) -> str:
    """A calendar of one event that begins at a moment, with an alarm at that moment (RFC 5545)."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Saggar//Bench//EN",
        "BEGIN:VEVENT",
        f"UID:{identity}@bench.local",
        f"DTSTAMP:{utc(made)}",
        f"DTSTART:{utc(ends)}",
        f"DTEND:{utc(ends + timedelta(minutes=ON_CALENDAR_MIN))}",
        f"SUMMARY:{escaped(f'{purpose}, {name}' if name else purpose)}",
        f"DESCRIPTION:{escaped(STAY)}",
        "TRANSP:TRANSPARENT",
        *alarm("DISPLAY", f"DESCRIPTION:{escaped(purpose)}"),
        *alarm("AUDIO"),
        "END:VEVENT",
        "END:VCALENDAR",
    ]
    return "".join(folded(line) for line in lines)


def alarm(action: str, *more: str) -> list[str]:
    """An alarm at the start of its event."""
    return ["BEGIN:VALARM", f"ACTION:{action}", "TRIGGER;RELATED=START:PT0S", *more, "END:VALARM"]


def utc(moment: datetime) -> str:
    """A date-time in UTC, the third form of RFC 5545, section 3.3.5."""
    return moment.strftime("%Y%m%dT%H%M%SZ")


def escaped(text: str) -> str:
    """A text value (RFC 5545, section 3.3.11); control characters that may not stand in one are left out."""
    plain = "".join(char for char in text if char >= " " or char in "\n\t")
    return plain.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def folded(line: str) -> str:
    """A line with its end, folded so that none is longer than 75 octets and no character is torn (section 3.1)."""
    parts: list[str] = []
    current = ""
    for char in line:
        if len((current + char).encode()) > (LONGEST_LINE if not parts else LONGEST_LINE - 1):
            parts.append(current)
            current = ""
        current += char
    return "\r\n ".join([*parts, current]) + "\r\n"
