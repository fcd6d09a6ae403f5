"""What a phone's outbox sends: its own time and name, once however often, kept apart from what a page sends itself."""

import json
import re
from typing import Any

import pytest
from flask import Flask

from bench.records.record import BENCH
from bench.web.ids import fresh
from tests.screens.making import Making

START = 1_794_470_400_000
AHEAD_MS = 7 * 60_000
KEY = "bench.door"
TOKEN = re.compile(r'name="bench-token" content="([0-9a-f]{64})"')


class Phone:
    """A paired phone whose clock is seven minutes ahead, without a browser."""

    def __init__(self, app: Flask, name: str = "kiln") -> None:
        self.app, self.client, self.door = app, app.test_client(), {KEY: "tls", "wsgi.url_scheme": "https"}
        code = app.extensions["pairing"].offer()
        token = self._token("/pair")
        answer = self.post("/pair", {"token": token, "code": code, "name": name})
        assert answer.status_code == 303
        self.token = self._token("/looks/")

    def _token(self, path: str) -> str:
        found = TOKEN.search(self.get(path).get_data(as_text=True))
        assert found
        return found[1]

    def get(self, path: str) -> Any:
        return self.client.get(path, environ_overrides=self.door, base_url="https://bench.local")

    def post(self, path: str, fields: dict[str, str], **more: Any) -> Any:
        return self.client.post(path, data=fields, environ_overrides=self.door, base_url="https://bench.local", **more)

    def send(self, path: str, fields: dict[str, str], at_ms: int, identity: str | None = None, **told: Any) -> Any:
        """As the outbox sends a form."""
        record_id = identity or fresh(at_ms)
        header = {"id": record_id, "at_ms": at_ms, "offset_ms": -AHEAD_MS, "tz_min": 60, "store": "abcde"}
        headers = {
            "X-Bench-Outbox": json.dumps(header | {"waited": False} | told),
            "X-Bench-Token": self.token,
            "Idempotency-Key": record_id,
        }
        return self.post(path, {**fields, "record_id": record_id}, headers=headers)

    def records(self) -> list[Any]:
        """The phone's own records, in order."""
        journal = self.app.extensions["bench"].journal
        return sorted(
            (r for r in journal.state.records.values() if r.device.startswith("phone-")), key=lambda r: r.order
        )


@pytest.fixture
def phone(app: Flask) -> Phone:
    return Phone(app)


ROOM = {"room_m3": "40"}


def test_a_record_carries_the_phone_s_name_time_and_offset(phone: Phone, keeper: Any) -> None:
    keeper.turn(90)
    made = START + 10 * 60_000 + AHEAD_MS
    answer = phone.send("/settings", ROOM, made, waited=True)
    assert answer.status_code == 200 and answer.json["status"] == "kept" and answer.json["next"] == "/settings"
    (record,) = phone.records()
    assert record.device == "phone-kiln~abcde" and record.seq == 1
    assert record.offset_ms == -AHEAD_MS and record.tz_min == 60 and record.how == "live"
    assert round(record.when.timestamp() * 1000) == START + 10 * 60_000
    assert record.local.strftime("%H:%M") == "09:10"
    assert record.hlc[0] == START + 10 * 60_000


def test_sent_again_it_is_one_record_and_the_same_answer(phone: Phone) -> None:
    identity = fresh(START)
    answers = [phone.send("/settings", ROOM, START + AHEAD_MS, identity, waited=bool(n)) for n in range(3)]
    assert [answer.json["status"] for answer in answers] == ["kept"] * 3
    assert [record.seq for record in phone.records()] == [1]


def test_numbers_are_dense_and_order_is_the_phone_s_whatever_came_first(phone: Phone, keeper: Any) -> None:
    keeper.turn(60)
    for n in (3, 1, 2):
        assert phone.send("/settings", {"room_m3": str(10 + n)}, START + AHEAD_MS + n * 60_000).status_code == 200
    assert [record.data["value"] for record in phone.records()] == [11, 12, 13]
    assert sorted(record.seq for record in phone.records()) == [1, 2, 3]
    assert phone.app.extensions["bench"].state.setting("room_m3") == 13


def test_other_content_under_one_id_is_a_conflict_and_both_are_kept(phone: Phone) -> None:
    identity = fresh(START)
    assert phone.send("/settings", {"room_m3": "40"}, START + AHEAD_MS, identity).json["status"] == "kept"
    answer = phone.send("/settings", {"room_m3": "50"}, START + AHEAD_MS, identity)
    assert answer.status_code == 409 and answer.json["status"] == "conflict" and answer.json["say"]
    assert len(phone.app.extensions["bench"].journal.conflicts) == 1


def test_what_is_malformed_is_refused_with_its_reason_and_nothing_is_kept(phone: Phone) -> None:
    answer = phone.send("/settings", {"room_m3": "many"}, START)
    assert answer.status_code == 422 and answer.json["status"] == "refused"
    assert answer.json["errors"]["room_m3"] and answer.json["errors"]["room_m3"] in answer.json["say"]
    assert phone.send("/batch/01J9ZZZZZZZZZZZZZZZZZZZZZZ/grind", {}, START).json["status"] == "refused"
    assert not phone.records()


@pytest.mark.parametrize(
    "told",
    [
        {"at_ms": "now"},
        {"at_ms": -1},
        {"offset_ms": 1e99},
        {"tz_min": 100_000},
        {"store": "../.."},
        {"store": "ABCDE"},
        {"id": "x"},
        {"waited": "yes"},
        {"awaited": "yes"},
    ],
)
def test_a_header_that_cannot_be_read_is_refused_in_words(phone: Phone, told: dict[str, Any]) -> None:
    answer = _raw(phone, told)
    assert answer.status_code == 400 and answer.json["status"] == "refused" and answer.json["say"]
    assert not phone.records()


def _raw(phone: Phone, told: dict[str, Any]) -> Any:
    identity = fresh(START)
    header = {"id": identity, "at_ms": START, "offset_ms": 0, "tz_min": 0, "store": "abcde", "waited": False} | told
    headers = {"X-Bench-Outbox": json.dumps(header), "X-Bench-Token": phone.token, "Idempotency-Key": identity}
    return phone.post("/settings", {**ROOM, "record_id": identity}, headers=headers)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"id": 1}', "[" * 900])
def test_a_header_that_is_no_json_is_refused_in_words(phone: Phone, text: str) -> None:
    headers = {"X-Bench-Outbox": text, "X-Bench-Token": phone.token, "Idempotency-Key": "x"}
    answer = phone.post("/settings", ROOM, headers=headers)
    assert answer.status_code == 400 and answer.json["say"]


def test_a_key_that_is_another_s_is_refused(phone: Phone) -> None:
    identity = fresh(START)
    header = {"id": identity, "at_ms": START, "offset_ms": 0, "tz_min": 0, "store": "abcde", "waited": False}
    headers = {"X-Bench-Outbox": json.dumps(header), "X-Bench-Token": phone.token, "Idempotency-Key": fresh(START)}
    assert phone.post("/settings", {**ROOM, "record_id": identity}, headers=headers).status_code == 400


def test_the_laptop_itself_cannot_speak_as_a_phone(app: Flask, send: Any, client: Any) -> None:
    identity = fresh(START)
    header = {"id": identity, "at_ms": 1000, "offset_ms": 0, "tz_min": 0, "store": "abcde", "waited": True}
    found = TOKEN.search(client.get("/looks/").get_data(as_text=True))
    assert found
    data = {**ROOM, "record_id": identity, "token": found[1]}
    assert client.post("/settings", data=data, headers={"X-Bench-Outbox": json.dumps(header)}).status_code == 303
    assert app.extensions["bench"].state.records[identity].device == "laptop"


def test_a_late_time_is_read_as_on_the_phone_s_day(phone: Phone, keeper: Any) -> None:
    """Typed at 23:50 as 23:40, sent two hours later: it is the evening's, not the next day's."""
    evening = START + 14 * 3_600_000 + 50 * 60_000  # 22:50 UTC, 23:50 in the phone's zone
    keeper.turn((evening - START) / 60_000 + 120)
    answer = phone.send("/settings", {**ROOM, "happened": "23:40"}, evening + AHEAD_MS, waited=True)
    assert answer.status_code == 200, answer.json
    (record,) = phone.records()
    assert record.how == "late" and record.happened_at.startswith("2026-11-12T22:40")


def test_a_shut_phone_is_told_so_in_short(phone: Phone) -> None:
    pairing = phone.app.extensions["pairing"]
    pairing.shut_out(pairing.devices[0].id)
    answer = phone.send("/settings", ROOM, START)
    assert answer.status_code == 401 and answer.json == {"status": "shut"}


def test_hello_gives_the_laptop_s_time(phone: Phone, keeper: Any) -> None:
    answer = phone.get("/outbox/hello")
    assert answer.json["now_ms"] == keeper.ms and answer.json["device"] == "phone-kiln"
    assert answer.headers["Cache-Control"] == "no-store"


def test_undo_of_a_submit_takes_all_its_records_back(phone: Phone) -> None:
    identity = fresh(START)
    both = {"room_m3": "40", "airflow": "2"}
    assert phone.send("/settings", both, START + AHEAD_MS, identity).json["status"] == "kept"
    state = phone.app.extensions["bench"].state
    assert len(phone.records()) == 2
    assert phone.send("/undo", {"ids": identity, "back": "/"}, START + AHEAD_MS + 1).json["status"] == "kept"
    assert state.setting("room_m3") is None and state.setting("airflow") is None


def envelope(n: int = 1, value: float = 40, device: str = "phone-kiln~abcde") -> dict[str, Any]:
    """A whole record, as a phone's own store would hold it."""
    return {
        "id": fresh(START + n),
        "v": 1,
        "kind": "setting.changed",
        "device": device,
        "seq": n,
        "hlc": [START + n, 0, device],
        "at": "2026-11-12T08:00:00.000Z",
        "offset_ms": 0,
        "tz_min": 0,
        "how": "live",
        "subject": BENCH,
        "data": {"name": "room_m3", "value": value},
    }


def put(phone: Phone, raw: Any, key: str | None = None) -> Any:
    identity = raw.get("id", "") if isinstance(raw, dict) else ""
    headers = {"X-Bench-Token": phone.token, "Idempotency-Key": key if key is not None else identity}
    return phone.client.post(
        "/records", json=raw, headers=headers, environ_overrides=phone.door, base_url="https://bench.local"
    )


def test_whole_records(phone: Phone) -> None:
    raw = envelope()
    assert put(phone, raw).status_code == 201
    assert put(phone, raw).status_code == 200
    other = put(phone, raw | {"data": {"name": "room_m3", "value": 50}})
    assert other.status_code == 409 and other.json["say"]
    assert len(phone.records()) == 1


@pytest.mark.parametrize(
    ("raw", "status"),
    [
        ([], 400),
        ("x", 400),
        (envelope() | {"id": "short"}, 422),
        (envelope(2, device="laptop"), 422),
        (envelope(3, device="phone-other~abcde"), 422),
        (envelope(4) | {"data": {"name": "room_m3", "value": {"a": [1]}}, "kind": "weighed"}, 422),
    ],
)
def test_whole_records_that_are_none_are_refused_in_words(phone: Phone, raw: Any, status: int) -> None:
    answer = put(phone, raw)
    assert answer.status_code == status and answer.json["say"]
    assert not phone.records()


def test_a_key_that_is_another_record_s_is_refused(phone: Phone) -> None:
    assert put(phone, envelope(), key=fresh(START)).status_code == 400


def test_the_pages_of_a_phone_bring_its_outbox_and_the_laptop_s_do_not(phone: Phone, client: Any) -> None:
    page = phone.get("/").get_data(as_text=True)
    assert 'name="bench-device" content="phone-kiln"' in page and "outbox.js" in page
    assert "data-outbox-mark" in page and "data-outbox-list" in phone.get("/outbox").get_data(as_text=True)
    laptop = client.get("/").get_data(as_text=True)
    assert "bench-device" not in laptop and "outbox.js" not in laptop
    assert client.get("/outbox").status_code == 200


def test_what_is_asked_goes_to_the_page_that_waits_and_else_back_to_the_phone(phone: Phone, keeper: Any) -> None:
    """Too much on the balance: a page that waits is shown the question, an entry without one is refused in words.

    What had waited, and is mended now before somebody's eyes, is asked like any other; unattended it is a fact.
    """
    make = Making(phone.app, keeper)
    thing = make.batch([{"line": 1, "formula": "SiO2", "target_g": 10.0}])
    make.checked(thing, "before-weighing")
    path, typed = f"/batch/{thing}/weigh/1", {"net_g": "10.50"}
    before, now = len(phone.records()), keeper.ms + AHEAD_MS
    there = phone.send(path, typed, now, awaited=True)
    gone = phone.send(path, typed, now, awaited=False)
    mended = phone.send(path, typed, now, waited=True, awaited=True)
    assert (there.status_code, there.json["status"]) == (mended.status_code, mended.json["status"]) == (200, "page")
    assert (gone.status_code, gone.json["status"]) == (422, "refused")
    assert gone.json["say"] == there.json["say"] != "" and gone.json["asks"], (
        "it waits for an answer, and is not refused"
    )
    assert len(phone.records()) == before
    assert phone.send(path, typed, now, waited=True, awaited=False).json["status"] == "kept"


@pytest.mark.parametrize(("ago_s", "status"), [(29, "refused"), (31, "kept")])
def test_what_was_made_over_half_a_minute_ago_is_a_fact(phone: Phone, keeper: Any, ago_s: int, status: str) -> None:
    """A gate comes before an act. What a phone tells late, though no try had failed, was done already."""
    make = Making(phone.app, keeper)
    thing = make.batch([{"line": 1, "formula": "SiO2", "target_g": 10.0}])
    make.checked(thing, "before-weighing")
    sent_ms = keeper.ms + AHEAD_MS - 1000 * ago_s
    answer = phone.send(f"/batch/{thing}/weigh/1", {"net_g": "10.50"}, sent_ms, awaited=False)
    assert answer.json["status"] == status
