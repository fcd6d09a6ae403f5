"""Numbers as people type them: one mark is the decimal mark, two are asked about, and nothing is guessed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.science.refusal import Refusal
from bench.steps.named import slip as slipped_point
from bench.web.numbers import read_number, thousands_mark, whole_digits

READ = {
    "9.10": 9.10,
    "9,10": 9.10,
    " 9.10 ": 9.10,
    ",5": 0.5,
    "5.": 5.0,
    "0": 0.0,
    "-0": 0.0,
    "007": 7.0,
    "1,234": 1.234,
}
REFUSED = {
    "": "no digit",
    ".": "no digit",
    "1.234,5": "such as 1234.5",
    "1,234.5": "such as 1234.5",
    "1,234,567": "More than one decimal mark",
    "1.2.3": "More than one decimal mark",
    "1 000": "space",
    "+5": "plus sign",
    "-5": "Enter 0 or more",
    "−5": "Enter 0 or more",
    "--5": "More than one minus",
    "9.10 g": "without the unit",
    "1 000 g": "without the unit",
    "9.10g": "not a number",
    "five hundred": "not a number",
    "1e3": "not a number",
    "nan": "not a number",
    "inf": "not a number",
    "0x10": "not a number",
    "١٢": "not a number",
    "½": "not a number",
    "9\x00": "invisible",
    "9\u200b1": "invisible",
    "9" * 21: "too long",
    "999999": "At most 500 g",
    "5" + "0" * 18: "At most",
}


@pytest.mark.parametrize(("typed", "value"), READ.items())
def test_read_as_meant(typed: str, value: float) -> None:
    """What has one reading is read."""
    assert read_number(typed, low=0, high=500, unit="g") == value


@pytest.mark.parametrize(("typed", "words"), REFUSED.items())
def test_refused_with_a_sentence(typed: str, words: str) -> None:
    """What has none, or two, is refused with a sentence that says what to do."""
    with pytest.raises(Refusal, match=words):
        read_number(typed, low=0, high=500, unit="g")


def test_below_zero_where_it_belongs() -> None:
    """A temperature or a b* may be negative, by any of the minus signs that keyboards have."""
    assert [read_number(typed, low=-128, high=127) for typed in ("-28,9", "−28.9", "–28.9")] == [-28.9] * 3


def test_whole_numbers() -> None:
    """Half a round of washing is asked about."""
    with pytest.raises(Refusal, match="whole number"):
        read_number("2.5", low=0, high=9, whole=True)


@given(st.text(max_size=40))
def test_any_text_is_a_number_or_a_sentence(typed: str) -> None:
    """Whatever is typed, it is a number within the bounds or a refusal; nothing else happens."""
    try:
        assert 0 <= read_number(typed, low=0, high=500) <= 500
    except Refusal as refusal:
        assert refusal.say.endswith(".")


@pytest.mark.parametrize(
    ("typed", "shown"), [("1,000", 1.0), ("1.000", 1.0), ("12.500", 12.5), ("1.00", None), ("1000", None), ("", None)]
)
def test_a_mark_that_some_read_as_thousands_is_told(typed: str, shown: float | None) -> None:
    assert thousands_mark(typed) == shown


@pytest.mark.parametrize(
    ("value", "wanted", "slip"),
    [(29.5, 2.95, 10), (0.296, 2.95, 0.1), (280, 2.95, 100), (3.2, 2.95, None), (5.9, 2.95, None), (1, 0, None)],
)
def test_a_point_that_slipped(value: float, wanted: float, slip: float | None) -> None:
    assert slipped_point(value, wanted) == slip


@pytest.mark.parametrize(
    ("like", "digits"),
    [(3.38, 1), (0.84, 1), (58.2, 2), (9.5, None), (10.2, None), (120.0, None), (150.0, 3), (0.0, None), (None, None)],
)
def test_the_point_is_set_only_where_a_fifth_more_or_less_has_it_there_too(
    like: float | None, digits: int | None
) -> None:
    assert whole_digits(like) == digits
