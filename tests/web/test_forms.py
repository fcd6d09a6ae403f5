"""Forms keep what was typed, and every error stands beside its field."""

import pytest

from bench.science.refusal import Refusal
from bench.web.forms import Form
from bench.web.ids import derived, fresh, is_ulid

NOON_MS = 1_794_484_800_000  # 2026-11-12 12:00 UTC


def posted(**fields: str) -> Form:
    """A form as it came."""
    return Form({name.replace("__", "."): value for name, value in fields.items()}, now_ms=NOON_MS, zone_min=60)


def test_all_errors_at_once_and_nothing_lost() -> None:
    """Three wrong fields are three sentences, and all four values are still there."""
    form = posted(net_g="heavy", lot="", kind="??", note="kept")
    assert form.number("net_g", unit="g") is None
    assert form.text("lot", required=True) is None
    assert form.choice("kind", ["a", "b"]) is None
    assert form.text("note") == "kept"
    assert set(form.errors) == {"net_g", "lot", "kind"} and not form.ok
    assert form.typed["net_g"] == "heavy" and form.typed["note"] == "kept"


def test_a_fold_stands_open_again_only_where_something_was_filled_in() -> None:
    """What was only offered, left empty or stands in another fold opens none."""
    form = posted(c="110", offered__c="110", minutes="", guess__cobalt="1", gross_g="heavy")
    form.number("gross_g", unit="g")
    assert not form.fills("c", "minutes") and form.fills("guess") and form.fills("gross_g")
    assert posted(c="120", offered__c="110").fills("c", "minutes")
    assert not Form(start={"c": "110"}).fills("c")


def test_an_empty_form_is_not_ok() -> None:
    """A form that was only asked with records nothing."""
    assert not Form(start={"lot": "7"}).ok
    assert posted().ok


@pytest.mark.parametrize("bad", ["a\x00b", "a\x1bb", "a\nb"])
def test_control_characters_in_a_line(bad: str) -> None:
    """Control characters, and line ends where there is one line, are refused and kept."""
    form = posted(lot=bad)
    assert form.text("lot") is None
    assert "control character" in form.errors["lot"] and form.typed["lot"] == bad


def test_a_note_of_100_kb() -> None:
    """A note that is far too long is refused beside its field with its length, and still stands there."""
    form = posted(note="x" * 100_000)
    assert form.text("note", lines=True) is None
    assert "100 000 characters" in form.errors["note"] and len(form.typed["note"]) == 100_000


def test_notes_of_several_lines() -> None:
    """The browser's line ends become plain ones."""
    assert posted(note="one\r\ntwo").text("note", lines=True) == "one\ntwo"


@pytest.mark.parametrize(
    ("clock", "date", "ms"),
    [
        ("12:30", "", NOON_MS - 30 * 60_000),
        ("9:05", "2026-11-12", NOON_MS - (3 * 60 + 55) * 60_000),
        ("0905", "2026-11-12", NOON_MS - (3 * 60 + 55) * 60_000),
        ("23:59", "2026-11-11", NOON_MS - (13 * 60 + 1) * 60_000),
    ],
)
def test_times_in_the_zone_of_the_bench(clock: str, date: str, ms: int) -> None:
    """At UTC+1 the clock shows 13:00 at UTC noon."""
    assert posted(at=clock, at_date=date).time("at") == ms


@pytest.mark.parametrize(
    ("clock", "date", "words"),
    [
        ("25:70", "", "hours and minutes"),
        ("noon", "", "hours and minutes"),
        ("14:00", "", "in the future"),
        ("12:00", "2026-02-30", "year, month and day"),
        ("12:00", "0001-01-01", "cannot be right"),
        ("12:00", "9999-12-31", "in the future"),
        ("12:00", "٢٠٢٦", "year, month and day"),
    ],
)
def test_times_that_cannot_be(clock: str, date: str, words: str) -> None:
    """No time, no date, or one that has not come: a sentence, and both fields kept."""
    form = posted(at=clock, at_date=date)
    assert form.time("at") is None
    assert words in form.errors["at"] and form.typed["at"] == clock


def test_late_entry_is_read_with_every_form() -> None:
    """The folded-away time makes the form late, and a wrong one stops it."""
    assert posted(happened="12:30").happened_ms == NOON_MS - 30 * 60_000
    assert not posted(happened="12:77").ok


def test_rows_in_the_order_of_their_numbers() -> None:
    """Repeated fields come in order, and no number of them is endless."""
    assert posted(g__0="1", g__2="3", g__10="4").rows("g") == ["0", "2", "10"]
    assert len(Form({f"g.{n}": "1" for n in range(999)}).rows("g")) == 200


def test_ticks() -> None:
    """Ticked options, and none of others."""
    form = posted(signs__clean="1", signs__gold="1")
    assert form.choices("signs", ["clean", "stuck"]) == ["clean"]


def test_whole_and_ulid() -> None:
    """Whole numbers are ints; an id is an id or a sentence."""
    form = posted(round="2", jar="jar-7", batch="01J" + "0" * 23)
    assert form.whole("round") == 2 and form.ulid("batch") == "01J" + "0" * 23
    assert form.ulid("jar") is None and "jar" in form.errors


def test_a_refusal_names_its_own_field() -> None:
    """What a calculation refuses stands beside the field that it names, else above the form."""
    form = posted()
    form.refuse(Refusal("No such element.", "formula"))
    form.refuse(Refusal("It does not add up."))
    assert form.errors == {"formula": "No such element.", "": "It does not add up."}


def test_record_ids() -> None:
    """The page's id is kept when it is one; else a fresh one; further ones follow from it, each time the same."""
    given = fresh(NOON_MS)
    assert posted(record_id=given).record_id == given
    assert is_ulid(posted(record_id="../../etc").record_id)
    more = [derived(given, n) for n in range(5)]
    assert more[0] == given and len(set(more)) == 5 and all(map(is_ulid, more))
    assert more == [derived(given, n) for n in range(5)]
    assert {one[:10] for one in more} == {given[:10]}


@pytest.mark.parametrize("typed", ["T5C7HJ", "t5c7h-j", " T5C7H J "])
def test_codes_in_any_writing(typed: str) -> None:
    """Capitals or not, with its dash or without."""
    assert posted(code=typed).code("code") == "T5C7HJ"


@pytest.mark.parametrize(
    ("typed", "words"), [("T5C7HK", "One character is wrong"), ("T5C7H", "6 characters"), ("T5C7HO", "letter O")]
)
def test_codes_with_a_slip(typed: str, words: str) -> None:
    """A slip is found before anything is looked up, and stands beside the field."""
    form = posted(tag=typed)
    assert form.code("tag") is None and words in form.errors["tag"]
