"""What was typed wrong is refused with a sentence and the name of its field."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from bench.reckoning.ask import Ask
from bench.science.refusal import Refusal


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True, "3", [3], {}, 10**400, 1e300, -(10**30)])
def test_what_is_no_number(value: Any) -> None:
    with pytest.raises(Refusal) as refused:
        Ask({"g": value}).number("g")
    assert refused.value.field == "g"
    assert refused.value.say.startswith("g must be")


def test_bounds() -> None:
    ask = Ask({"g": 5})
    assert ask.number("g", low=5, high=5) == 5.0
    for bounds in ({"low": 6}, {"high": 4}, {"above": 5}):
        with pytest.raises(Refusal, match="it is 5"):
            ask.number("g", **bounds)


def test_nested_fields_are_named_in_full() -> None:
    ask = Ask({"reagents": [{"formula": "ZnO"}, {"formula": "CoO", "assay_pct": "pure", "more": {"deep": None}}]})
    second = ask.asks("reagents")[1]
    with pytest.raises(Refusal) as refused:
        second.number("assay_pct")
    assert refused.value.field == "reagents[1].assay_pct"
    with pytest.raises(Refusal) as deeper:
        second.inner("more").text("deep")
    assert deeper.value.field == "reagents[1].more.deep"


def test_null_counts_as_left_out() -> None:
    ask = Ask({"c": None})
    assert ask.number("c", default=20.0) == 20.0
    assert not ask.has("c")
    with pytest.raises(Refusal, match="Give c"):
        ask.number("c")


@pytest.mark.parametrize(
    ("read", "data"),
    [
        (lambda ask: ask.text("a"), {"a": "  "}),
        (lambda ask: ask.text("a"), {"a": 3}),
        (lambda ask: ask.text("a", longest=5), {"a": "abcdef"}),
        (lambda ask: ask.choice("a", ("x", "y")), {"a": "z"}),
        (lambda ask: ask.flag("a"), {"a": 1}),
        (lambda ask: ask.whole("a", 0, 9), {"a": 1.5}),
        (lambda ask: ask.whole("a", 0, 9), {"a": 10}),
        (lambda ask: ask.list_of("a"), {"a": []}),
        (lambda ask: ask.list_of("a"), {"a": "abc"}),
        (lambda ask: ask.inner("a"), {"a": [1]}),
    ],
)
def test_each_reader_names_its_field(read: Callable[[Ask], Any], data: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as refused:
        read(Ask(data))
    assert refused.value.field == "a"


def test_lists_name_the_entry() -> None:
    for read, field in (
        (lambda ask: ask.numbers("a"), "a[1]"),
        (lambda ask: ask.asks("a"), "a[0]"),
        (lambda ask: ask.pairs("a"), "a[0]"),
    ):
        with pytest.raises(Refusal) as refused:
            read(Ask({"a": [1, None]}))
        assert refused.value.field == field
    with pytest.raises(Refusal) as pair:
        Ask({"a": [[0, 20], [1, "hot"]]}).pairs("a")
    assert pair.value.field == "a[1][1]"


def test_numbers_with_gaps() -> None:
    assert Ask({"a": [1, None]}).numbers("a", nulls=True) == [1.0, None]


def test_monsters_are_refused() -> None:
    deep: Any = 1
    for _ in range(5000):
        deep = [deep]
    for data in ({"a": deep}, {"a": [0] * 60_000}, {"a": "x" * 3000}, {"x" * 3000: 1}, [1], None, "text"):
        with pytest.raises(Refusal):
            Ask(data)


def test_unread_fields_are_told_with_the_nearest_known_one() -> None:
    ask = Ask({"formula": "ZnO", "asay_pct": 90, "note": 1, "lines": [{"fomula": 1}]})
    ask.text("formula")
    ask.number("assay_pct", default=100)
    for line in ask.asks("lines"):
        line.text("formula", default=None)
    assert list(ask.unread(["formula"])) == [("asay_pct", "assay_pct"), ("note", None), ("lines[0].fomula", "formula")]
