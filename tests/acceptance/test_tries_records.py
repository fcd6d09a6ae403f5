"""Whole records as a phone may send them: true ones, and any part of one replaced by anything."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from bench.web.ids import derived
from tests.acceptance.desk import Desk
from tests.acceptance.tries import SAME_EACH_TIME
from tests.acceptance.typed import ODD_NUMBERS, ODD_WORDS
from tests.screens.test_outbox import Phone

REQUESTS, LONG = 300, 20_000
ANYTHING = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats() | some.sampled_from([*ODD_WORDS, *ODD_NUMBERS]),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
KEPT = {200: "same", 201: "new", 409: "conflict", 422: "refused"}


def try_records(here: Desk, requests: int) -> None:
    phone = Phone(here.app)
    known = list(here.app.extensions["bench"].state.records.values())
    kinds = list({record.kind: record for record in known}.values())
    answers: set[int] = set()

    @settings(SAME_EACH_TIME, max_examples=requests)
    @given(some.data())
    def tried(data: some.DataObject) -> None:
        number = data.draw(some.integers(0, 1 << 30))
        raw: dict[str, Any] = data.draw(some.sampled_from(kinds)).to_dict()
        raw |= {"id": derived(known[0].id, number + 1), "device": "phone-kiln~abcde", "seq": number % 1000 + 1}
        raw |= {"hlc": [raw["hlc"][0], raw["hlc"][1], raw["device"]]}
        for _ in range(data.draw(some.integers(0, 2))):
            inside = raw["data"] if isinstance(raw.get("data"), dict) and data.draw(some.booleans()) else raw
            name = data.draw(some.sampled_from([*inside, "more"]))
            if name != "device":
                inside[name] = data.draw(ANYTHING)
        before = here.records
        marks = {"X-Bench-Token": phone.token, "Idempotency-Key": str(raw["id"]).encode().decode("latin-1")[:200]}
        if any(char in marks["Idempotency-Key"] for char in "\r\n\0"):
            marks["Idempotency-Key"] = "x"
        answer = phone.post("/records", json.dumps(raw), content_type="application/json", headers=marks)  # type: ignore[arg-type]
        told = answer.get_json()
        answers.add(answer.status_code)
        assert answer.status_code in {*KEPT, 400}, (answer.status_code, raw)
        assert told["status"] == KEPT.get(answer.status_code, "refused"), (told, raw)
        assert told["say"] or answer.status_code in (200, 201), (told, raw)
        assert here.records - before == (answer.status_code == 201), (told, raw)

    tried()
    assert {201, 422, 400} <= answers
    for path in ("/", "/shelf", "/firings", "/swatches", "/waste"):
        assert here.get(path).status_code == 200, path


def test_no_record_of_a_phone_fails_or_is_kept_in_part(here: Desk) -> None:
    try_records(here, REQUESTS)


@pytest.mark.long
@pytest.mark.timeout(0)
def test_none_does_at_length(here: Desk) -> None:
    try_records(here, LONG)
