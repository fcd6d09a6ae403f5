"""Timers as other pages and calendars get them: the list with absolute ends, and events with an alarm (RFC 5545)."""

from datetime import UTC, datetime
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.screens.phone.timers import event, folded
from tests.acceptance.loads import load_of, planned


@pytest.fixture
def firing(app: Flask) -> str:
    journal = app.extensions["bench"].journal
    furnace = journal.write(
        "furnace.described", None, {"name": "Box, the small; one", "fuel": "electric", "tiers": 1}
    ).id
    segments = [{"to_c": 950, "rate_c_per_h": 300, "hold_min": 30}]
    return str(journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id)


def parsed(text: str) -> list[tuple[str, dict[str, str], str]]:
    """Content lines as (name, parameters, value), read by the grammar of RFC 5545, section 3.1, and nothing of ours."""
    assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", "")
    raw = text.encode().split(b"\r\n")[:-1]
    assert all(len(line) <= 75 for line in raw)
    whole: list[bytes] = []
    for line in raw:
        if line[:1] in (b" ", b"\t"):
            whole[-1] += line[1:]
        else:
            whole.append(line)
    found = []
    for line in whole:
        head, _, value = line.decode("utf-8").partition(":")
        name, *parameters = head.split(";")
        found.append((name, dict(one.split("=", 1) for one in parameters), value))
    return found


def text_of(value: str) -> str:
    """A text value without its escapes."""
    out, rest = "", iter(value)
    for char in rest:
        out += {"n": "\n", "N": "\n"}.get(after := next(rest), after) if char == "\\" else char
    return out


def test_the_list_has_absolute_ends_and_says_what_the_laptop_knows(
    app: Flask, client: FlaskClient, send: Any, keeper: Any, firing: str
) -> None:
    for minutes, purpose in (("30", "Look"), ("5", "Turn it down")):
        assert send(f"/firing/{firing}/timer", {"minutes": minutes, "purpose": purpose}).status_code == 303
    found = client.get("/timers.json").json
    assert found["now_ms"] == keeper.ms
    assert [(one["purpose"], one["ends_ms"] - keeper.ms) for one in found["timers"]] == [
        ("Turn it down", 5 * 60_000),
        ("Look", 30 * 60_000),
    ]
    assert {one["path"] for one in found["timers"]} == {f"/firing/{firing}"}
    page = client.get(f"/firing/{firing}/timer").get_data(as_text=True)
    assert all(f"/timer/{one['id']}.ics" in page for one in found["timers"])
    assert "Rings only while this screen is on" in page and "locked phone is silent" in page


def test_a_timer_in_a_calendar(app: Flask, client: FlaskClient, send: Any, keeper: Any, firing: str) -> None:
    purpose = "Soak ends; look, then \\ turn it down – " + "å" * 40
    send(f"/firing/{firing}/timer", {"minutes": "90", "purpose": purpose})
    [one] = client.get("/timers.json").json["timers"]
    answer = client.get(f"/timer/{one['id']}.ics")
    assert answer.mimetype == "text/calendar" and "attachment" in answer.headers["Content-Disposition"]
    rows = parsed(answer.get_data().decode())
    names = [name for name, _, _ in rows]
    assert names[0] == "BEGIN" and rows[0][2] == "VCALENDAR" and rows[-1][2] == "VCALENDAR"
    assert [value for name, _, value in rows if name == "BEGIN"] == ["VCALENDAR", "VEVENT", "VALARM", "VALARM"]
    first = {name: value for name, _, value in reversed(rows)}
    ends = datetime.strptime(first["DTSTART"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    assert ends.timestamp() * 1000 == one["ends_ms"] == keeper.ms + 90 * 60_000
    assert text_of(first["SUMMARY"]) == f"{purpose}, Box, the small; one"
    assert one["id"] in first["UID"] and first["VERSION"] == "2.0" and first["PRODID"] and first["DTSTAMP"]
    alarms = [(parameters, value) for name, parameters, value in rows if name == "TRIGGER"]
    assert alarms == [({"RELATED": "START"}, "PT0S")] * 2
    assert sorted(value for name, _, value in rows if name == "ACTION") == ["AUDIO", "DISPLAY"]


def test_no_timer_no_calendar(app: Flask, client: FlaskClient, firing: str) -> None:
    for record in ("01J9ZZZZZZZZZZZZZZZZZZZZZZ", firing, "x", "../x"):
        assert client.get(f"/timer/{record}.ics").status_code == 404


@pytest.mark.parametrize("text", ["", "a" * 74, "a" * 75, "a" * 76, "é" * 200, "𝄞" * 99, "x\u0007y\r\nBEGIN:VALARM"])
def test_lines_are_folded_between_characters_and_nothing_breaks_out(text: str) -> None:
    assert folded(text[:200]).encode().decode()
    moment = datetime(2026, 11, 12, 8, tzinfo=UTC)
    rows = parsed(event("A" * 26, moment, moment, text, ""))
    assert [value for name, _, value in rows if name == "BEGIN"] == ["VCALENDAR", "VEVENT", "VALARM", "VALARM"]
    said = next(value for name, _, value in rows if name == "SUMMARY")
    assert text_of(said) == text.replace("\u0007", "").replace("\r", "")


def test_a_reading_that_is_overdue_in_its_phase_rings_like_a_timer_until_one_comes(
    app: Flask, client: FlaskClient, send: Any, keeper: Any
) -> None:
    """Every 10 min while it climbs, every 5 min in its soak; half an interval is let pass, as on its page."""
    thing = planned(app, load_of(app, (48.2,)), [{"to_c": 900, "hold_min": 60}])

    def rung() -> list[Any]:
        return list(client.get("/timers.json").json["timers"])

    assert rung() == []
    send(f"/firing/{thing}/light", in_fact="1")
    lit = keeper.ms
    keeper.turn(14)
    assert rung() == []
    keeper.turn(2)
    [one] = rung()
    assert one["reminder"] and one["of"] == thing and one["ends_ms"] == lit + 10 * 60_000
    assert one["purpose"] == "A reading of Yard ring is due" and one["path"] == f"/firing/{thing}"
    for c in ("895", "897"):
        send(f"/firing/{thing}/reading", c=c, unit="C")
        assert rung() == []
        keeper.turn(1)
    keeper.turn(7)
    assert [row["ends_ms"] for row in rung()] == [keeper.ms - 3 * 60_000]
    send(f"/firing/{thing}/off", reason="stalled")
    assert rung() == []
