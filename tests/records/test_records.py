"""The envelope and the data of a record: what is right comes back as it went in, what is malformed is refused."""

import json
import math
from dataclasses import MISSING, fields
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.records.kinds import KINDS
from bench.records.record import BENCH, Record
from bench.records.schema import is_ulid, json_name, read, write
from bench.science.refusal import Refusal
from tests.workshop.builder import BLUE, SHA256, Builder, ulid
from tests.workshop.everything import records

BOX = ulid(9)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**400), 10**400)
    | st.integers(-5, 5)
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from([BENCH, BOX, "2026-03-01T12:00:00Z", "live", "x" * 30_000]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=12,
)


def good(**changes: Any) -> dict[str, Any]:
    """A sound envelope with some of it changed."""
    raw: dict[str, Any] = {
        "id": ulid(1),
        "v": 1,
        "kind": "weighed",
        "device": "phone-kiln",
        "seq": 3,
        "hlc": [1_772_352_000_000, 2, "phone-kiln"],
        "at": "2026-03-01T08:00:00.000Z",
        "offset_ms": -1500,
        "tz_min": 60,
        "how": "live",
        "subject": ulid(2),
        "data": {"line": 1, "net_g": 3.21},
    }
    return raw | changes


def refusal(raw: object) -> Refusal:
    with pytest.raises(Refusal) as caught:
        Record.from_dict(raw)
    return caught.value


def test_a_record_comes_back_as_it_went_in() -> None:
    raw = good(also={"jar": ulid(3)}, corrects=[ulid(4), ulid(5)], how="late", happened_at="2026-03-01T07:00:00Z")
    record = Record.from_dict(raw)
    assert record.to_dict() == raw
    assert record.body.net_g == 3.21 and record.body.balance_d_g == 0.01


@settings(max_examples=150, deadline=None)
@given(records())
def test_every_plausible_record_survives_the_trip_through_json(record: Record) -> None:
    again = Record.from_dict(json.loads(json.dumps(record.to_dict())))
    assert again == record
    assert again.order == record.order and again.content == record.content
    assert read(KINDS[record.kind].data, write(record.body)) == record.body


@settings(max_examples=200, deadline=None)
@given(json_values)
def test_any_json_at_all_is_a_record_or_a_refusal(raw: object) -> None:
    with pytest.raises(Refusal):
        Record.from_dict(raw)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(good())), json_values)
def test_any_json_in_one_field_of_the_envelope_is_a_record_or_a_refusal(name: str, value: object) -> None:
    try:
        record = Record.from_dict(good(**{name: value}))
    except Refusal as refused:
        assert refused.say and refused.say.isprintable()
        assert refused.field
        return
    assert Record.from_dict(record.to_dict()) == record
    assert record.when and record.local  # and its moments can be shown


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_any_json_in_one_field_of_the_data_is_a_record_or_a_refusal(data: st.DataObject) -> None:
    record = data.draw(records())
    schema = KINDS[record.kind].data
    name = data.draw(st.sampled_from([json_name(f.name) for f in fields(schema)] or ["none"]))
    raw = record.to_dict()
    raw["data"] = {**raw["data"], name: data.draw(json_values)}
    try:
        again = Record.from_dict(raw)
    except Refusal as refused:
        assert refused.say.isprintable() and refused.field
        assert refused.field.split(".")[0].split("[")[0] in (name, "data")
        return
    assert again.body is not None
    assert Record.from_dict(again.to_dict()) == again


@pytest.mark.parametrize("name", [n for n in sorted(good()) if n != "offset_ms"])
def test_a_missing_field_is_named(name: str) -> None:
    raw = good()
    del raw[name]
    assert refusal(raw).field == name
    assert refusal(good(**{name: None})).field == name


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("id", "01J"),
        ("id", ulid(10).lower()),
        ("id", "8" + "0" * 25),  # beyond 128 bits
        ("id", ulid(1) + "\n"),
        ("id", 7),
        ("subject", "the blue one"),
        ("v", True),
        ("v", "1"),
        ("seq", 0),
        ("seq", 1.0),
        ("seq", 1 << 60),
        ("seq", 10**400),
        ("device", ""),
        ("device", "a phone"),
        ("device", "x" * 65),
        ("device", "-rf"),
        ("hlc", []),
        ("hlc", [1, 2]),
        ("hlc", [1, 2, 3]),
        ("hlc", [1, 2, "a", "b"]),
        ("hlc", [True, 0, "a"]),
        ("hlc", [1.5, 0, "a"]),
        ("hlc", [-1, 0, "a"]),
        ("hlc", [1 << 47, 0, "a"]),
        ("hlc", [math.nan, 0, "a"]),
        ("hlc", [1, 0, "a b"]),
        ("hlc", "1-0-a"),
        ("at", "2026-03-01 08:00"),
        ("at", "2026-03-01T08:00:00+00:00"),
        ("at", "2026-02-30T08:00:00Z"),
        ("at", "2026-03-01T25:00:00Z"),
        ("at", "1970-12-31T23:59:59Z"),
        ("at", "2200-01-01T00:00:00Z"),
        ("at", "٢٠٢٦-03-01T08:00:00Z"),
        ("at", 1_772_352_000_000),
        ("happened_at", ""),
        ("happened_at", "yesterday"),
        ("happened_at", "9999-01-01T00:00:00Z"),
        ("tz_min", 841),
        ("tz_min", -841),
        ("tz_min", 60.0),
        ("offset_ms", 10**18),
        ("offset_ms", "0"),
        ("how", "soon"),
        ("how", ["live"]),
        ("also", [ulid(3)]),
        ("also", {"jar": "x"}),
        ("also", {"j\x00": ulid(3)}),
        ("corrects", ulid(3)),
        ("corrects", ["x"]),
        ("corrects", [ulid(1)]),  # itself
        ("data", []),
        ("data", "x"),
    ],
)
def test_a_malformed_envelope_names_its_field(name: str, value: object) -> None:
    assert (refusal(good(**{name: value})).field or "").split("[")[0].split(".")[0] == name


def test_what_is_entered_late_says_when_it_happened() -> None:
    assert refusal(good(how="late")).field == "happened_at"


@pytest.mark.parametrize("value", [0, 1000, -1])
def test_a_version_that_cannot_be_is_refused(value: int) -> None:
    assert refusal(good(v=value)).field == "kind"


def test_an_unknown_field_is_refused_and_shown_safely() -> None:
    assert refusal(good(colour="blue")).say == "There is no field “colour” here."
    assert refusal(good(data={"line": 1, "net_g": 1.0, "a\ud800\x00b": 1})).say == "There is no field “a??b” here."


def test_what_is_no_object_is_refused() -> None:
    for raw in (None, [], "x", 3, math.nan):
        assert refusal(raw).field == "record"


@pytest.mark.parametrize(
    ("kind", "data", "field"),
    [
        ("weighed", {"line": 1}, "net_g"),
        ("weighed", {"line": 1, "net_g": "3.2"}, "net_g"),
        ("weighed", {"line": 1, "net_g": True}, "net_g"),
        ("weighed", {"line": 1, "net_g": math.nan}, "net_g"),
        ("weighed", {"line": 1, "net_g": math.inf}, "net_g"),
        ("weighed", {"line": 1, "net_g": 10**400}, "net_g"),
        ("weighed", {"line": 1, "net_g": -0.1}, "net_g"),
        ("weighed", {"line": 1, "net_g": 1e7}, "net_g"),
        ("weighed", {"line": 1.0, "net_g": 1}, "line"),
        ("weighed", {"line": -1, "net_g": 1}, "line"),
        ("weighed", {"line": 1, "net_g": 1, "jar": "a jar"}, "jar"),
        ("reading", {"c": -300}, "c"),
        ("reading", {"c": 5000}, "c"),
        ("dried", {"where": "oven"}, "where"),
        ("dried", {"where": "dish", "minutes": -1}, "minutes"),
        ("washed", {"round": 1, "c": 1e9}, "c"),
        ("lost", {"from": BOX, "how": "spill", "g": -1}, "g"),
        ("batch.planned", {"name": "x", "from": "grams", "lines": "none"}, "lines"),
        ("batch.planned", {"name": "x", "from": "grams", "lines": [*BLUE, {"line": 3}]}, "lines[2].formula"),
        (
            "batch.planned",
            {"name": "x", "from": "grams", "lines": [{"line": 1, "formula": "CoO", "target_g": -1}]},
            "lines[0].target_g",
        ),
        ("batch.planned", {"name": "x", "from": "grams", "lines": BLUE * 2000}, "lines"),
        ("batch.planned", {"name": "a\x07b", "from": "grams", "lines": []}, "name"),
        ("batch.planned", {"name": "a\x7fb", "from": "grams", "lines": []}, "name"),
        ("batch.planned", {"name": "a\ud83d", "from": "grams", "lines": []}, "name"),
        ("batch.planned", {"name": "x" * 20_001, "from": "grams", "lines": []}, "name"),
        ("charged", {"crucible": BOX, "sources": [{"g": 1, "batch": "x"}]}, "sources[0].batch"),
        ("charged", {"crucible": BOX, "sources": [{"g": -1, "batch": BOX}]}, "sources[0].g"),
        ("charged", {"crucible": BOX, "sources": [7]}, "sources[0]"),
        ("furnace.described", {"name": "x", "fuel": "gas", "rows": 10**9}, "rows"),
        ("furnace.described", {"name": "x", "fuel": "gas", "flue": "yes"}, "flue"),
        ("placed", {"firing": BOX, "tier": 0}, "tier"),
        ("rescaled", {"product_factor": 1.1, "targets_g": [1, math.nan]}, "targets_g[1]"),
        ("swatch.measured", {"lab": [50, 0]}, "lab"),
        ("swatch.measured", {"lab": [50, 0, 0], "se": [0.1]}, "se"),
        ("timer.set", {"purpose": "soak", "ends_at": "soon"}, "ends_at"),
        ("setting.changed", {"name": "place", "value": {"a": {"b": [[[[[[1]]]]]]}}}, "value"),
        ("setting.changed", {"name": "place", "value": math.nan}, "value"),
        ("setting.changed", {"name": "place", "value": ["\x00"]}, "value"),
        ("judged", {"verdict": "lovely"}, "verdict"),
        ("judged", {"verdict": "keep", "suspected": [{"cause": "x", "certainty": "maybe"}]}, "suspected[0].certainty"),
        ("withdrawn", {"ids": ["x"], "why": "a slip"}, "ids[0]"),
    ],
)
def test_malformed_data_names_its_field(kind: str, data: dict[str, Any], field: str) -> None:
    refused = refusal(good(kind=kind, v=KINDS[kind].version, data=data))
    assert refused.field == field
    assert refused.say.endswith(".") and refused.say.isprintable()


def test_every_kind_names_what_it_misses() -> None:
    for kind, known in KINDS.items():
        needed = [f for f in fields(known.data) if f.default is MISSING and f.default_factory is MISSING]
        if needed:
            assert refusal(good(kind=kind, v=known.version, data={})).field == json_name(needed[0].name)
        else:
            assert Record.from_dict(good(kind=kind, v=known.version, data={})).body == known.data()


def test_text_may_run_over_lines_and_be_of_any_script() -> None:
    words = "zwei\nZeilen\tund 日本, \N{ARTIST PALETTE}"
    assert Record.from_dict(good(kind="noted", data={"what": "words", "value": words})).body.value == words


def test_an_unknown_kind_or_version_is_kept_as_it_came_but_its_junk_is_not() -> None:
    newer = Record.from_dict(good(kind="cooled", data={"how_fast": [1, 2]}))
    assert newer.body is None and newer.to_dict()["data"] == {"how_fast": [1, 2]}
    assert Record.from_dict(good(v=2, data={"nobody": "knows"})).body is None
    assert refusal(good(kind="cooled", data=[1])).field == "data"
    assert refusal(good(kind="cooled", data={"a": math.inf})).field == "data"
    deep: Any = 1
    for _ in range(5000):
        deep = [deep]
    assert refusal(good(kind="cooled", data={"a": deep})).field == "data"
    assert refusal(good(data={"line": deep, "net_g": 1})).field == "line"
    assert refusal(deep).field == "record"


def test_the_photo_of_a_thing_is_named_by_its_own_ulid() -> None:
    data = {"of": BOX, "photo": ulid(4), "sha256": SHA256}
    assert Record.from_dict(good(kind="photo.kept", data=data)).body.photo == ulid(4)


# Time ----------------------------------------------------------------------------------------------------------


def test_the_time_is_the_devices_clock_mended_by_its_offset() -> None:
    record = Record.from_dict(good())
    assert record.when == datetime(2026, 3, 1, 7, 59, 58, 500_000, tzinfo=UTC)
    assert Record.from_dict(good(offset_ms=None)).when == datetime(2026, 3, 1, 8, tzinfo=UTC)


def test_a_late_record_happened_when_it_says_and_not_when_it_was_entered() -> None:
    late = Record.from_dict(good(how="late", happened_at="2026-02-27T10:30:00Z"))
    assert late.when == datetime(2026, 2, 27, 10, 30, tzinfo=UTC)
    assert late.order == Record.from_dict(good()).order  # the order of filing is not touched by it


def test_a_time_is_shown_in_the_records_own_zone() -> None:
    record = Record.from_dict(good(tz_min=-210, offset_ms=0))
    assert record.local.strftime("%Y-%m-%d %H:%M %z") == "2026-03-01 04:30 -0330"


@pytest.mark.parametrize("at", ["1971-01-01T00:00:00Z", "2199-12-31T23:59:59.999999Z"])
@pytest.mark.parametrize("offset_ms", [-50 * 366 * 86_400_000, 50 * 366 * 86_400_000])
@pytest.mark.parametrize("tz_min", [-840, 840])
def test_the_ends_of_the_ranges_can_still_be_shown(at: str, offset_ms: int, tz_min: int) -> None:
    record = Record.from_dict(good(at=at, offset_ms=offset_ms, tz_min=tz_min))
    assert record.local.utcoffset() == timedelta(minutes=tz_min)


def test_records_stand_by_their_mark_and_then_by_their_id() -> None:
    marks = [
        good(id=ulid(7), hlc=[5, 1, "a"]),
        good(id=ulid(9), hlc=[5, 0, "b"]),
        good(id=ulid(8), hlc=[5, 0, "a"]),
        good(id=ulid(6), hlc=[5, 0, "a"]),
    ]
    found = sorted((Record.from_dict(raw) for raw in marks), key=lambda r: r.order)
    assert [r.id for r in found] == [ulid(6), ulid(8), ulid(9), ulid(7)]


def test_the_same_content_under_the_same_id_is_one_record_however_it_travelled() -> None:
    first = Record.from_dict(good())
    assert Record.from_dict(good(seq=9, device="laptop", hlc=[9, 0, "laptop"])).content == first.content
    assert Record.from_dict(good(data={"line": 1, "net_g": 3.22})).content != first.content


@pytest.mark.parametrize("text", ["", "0" * 25, "0" * 27, "I" * 26, "0" * 25 + "u", "Z" * 26, None, 5, "０" * 26])
def test_what_is_no_ulid(text: object) -> None:
    assert not is_ulid(text)


def test_the_builder_makes_sound_ids() -> None:
    assert ulid(0) == BENCH and is_ulid(ulid(2**128 - 1))
    thing = Builder().jar()
    assert is_ulid(thing)
