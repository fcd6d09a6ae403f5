"""What people and machines may send for a form: strategies by the sort of field, from sound to absurd."""

import io
from typing import Any

from hypothesis import strategies as some
from hypothesis.strategies import DrawFn, SearchStrategy
from werkzeug.datastructures import FileStorage

from bench.web.ids import derived
from tests.acceptance.desk import Sent
from tests.acceptance.forms_of import Field, PostForm

GOOD: dict[str, list[str]] = {
    "decimal": ["1", "2.5", "0,75", "12.40", "100", "980", "3"],
    "whole": ["1", "2", "3", "24"],
    "code": ["T5C7HJ", "t5c7h-j", "7K3MQX"],
    "time": ["", "07:55", "16:04"],
    "date": ["", "2026-11-11", "2026-11-12"],
    "words": ["ZnO", "CoAl2O4", "Yard green", "a pale rim at the lid", "1000", "0.75, 0.25"],
}
"""What a person would type."""
ODD_NUMBERS = [
    "",
    " ",
    "0",
    "-0",
    "-1",
    "1e3",
    "1e400",
    "-1e-400",
    "0x10",
    "1_000",
    "1 000",
    "1,5",
    "1.5.2",
    ".5",
    "5.",
    "５",
    "٣",
    "½",
    "²",
    "+3",
    "--3",
    "NaN",
    "inf",
    "-Infinity",
    "5 g",
    "∞",
    "99999999999999999999",
    "1" * 5000,
    "0." + "0" * 400 + "1",
    "1,2,3",
    "1;2",
    "True",
    "None",
    "__import__",
    "%00",
    "${7*7}",
]
ODD_WORDS = [
    "",
    " ",
    "\t",
    "\n\n",
    "\x00",
    "\x07",
    "a\x00b",
    "\u202eabc",
    "\u200b",
    "🜂" * 50,
    "e\u0301" * 99,
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{7*7}}",
    "%s%n%d",
    "' OR 1=1 --",
    "=2+5",
    "../../etc/passwd",
    "C:\\con",
    "n" * 4001,
    "Zn" * 3000,
    "(" * 2000,
    "Zn0.5Co0.5Al2O4",
    "Xx2O3",
    "H2O*",
    "Co(",
    "Al2O3*3H2O",
    "окись цинка",
    "氧化锌",
    "null",
    "[]",
    "{}",
    "0",
    "-1",
    "a,b;c\n1,2;3",
]
ODD_TIMES = ["25:00", "24:00", "23:59", "7:5", "16.04", "1604", "4 pm", "-1:30", "12:60", "１６:０４", "00:00", "now"]
ODD_DATES = ["2026-02-30", "0001-01-01", "9999-12-31", "2026-13-01", "11.11.2026", "2026-11-11T16:04", "26-1-1", "-1"]
ODD_CODES = ["??", "T5C7HK", "M2G9XY", "TTTTTT", "000000", "*****I", "T5C7HJT5C7HJ", "-" * 40, "ТЅС7НЈ", "٠٠٠٠٠٠"]
ODD = {
    "decimal": ODD_NUMBERS,
    "whole": ODD_NUMBERS,
    "words": ODD_WORDS,
    "time": ODD_TIMES,
    "date": ODD_DATES,
    "code": ODD_CODES,
}
FILES = [
    (b"", ""),
    (b"", "empty.jpg"),
    (b"GIF89a" + b"\0" * 40, "moving.gif"),
    (b"\xff\xd8\xff\xe0", "cut.jpg"),
    (b"\x89PNG\r\n\x1a\n" + b"\0" * 99, "torn.png"),
    (b"%PDF-1.7", "page.pdf"),
    (b"minutes,c\n0,20\n10,400\n20,820\n", "readings.csv"),
    (b"minutes;c\n0;20\nten;\xff\xfe\n", "readings.csv"),
    (b"\xef\xbb\xbf,,,\n" * 50, "../../x.csv"),
    (b"a" * 5000, "x" * 300),
]


def value_of(one: Field) -> SearchStrategy[Any]:
    """Anything that may come for a field of its sort, and sometimes what is meant for another."""
    anything = some.sampled_from([*ODD_WORDS, *ODD_NUMBERS]) | some.text(max_size=30)
    if one.sort == "file":
        return some.sampled_from(FILES).map(lambda told: FileStorage(io.BytesIO(told[0]), told[1], name=one.name))
    if one.sort in ("radio", "select", "checkbox") and one.options:
        return some.one_of(some.sampled_from(one.options), some.sampled_from(one.options), anything)
    if one.sort in ("decimal", "whole"):
        number = some.floats(-1e6, 1e6).map(lambda x: f"{x:.6g}") | some.integers(-10, 2000).map(str)
        return some.one_of(
            some.sampled_from(GOOD[one.sort]), number, some.sampled_from(ODD_NUMBERS), some.text(max_size=9)
        )
    if one.sort in GOOD:
        return some.one_of(some.sampled_from(GOOD[one.sort]), some.sampled_from(ODD[one.sort]), anything)
    return some.one_of(some.just(one.value), anything)


@some.composite
def sendings(draw: DrawFn, form: PostForm, record_ids: list[str]) -> tuple[Sent, list[str]]:
    """A form as it may be sent, and which of its fields were meddled with.

    It begins as it stands on the page, or filled in soundly; then a few fields are changed, left out or added.
    """
    sent: Sent = dict(form.usual())
    if draw(some.booleans()):
        dice = draw(some.integers(0, 6))
        sent |= {f.name: GOOD[f.sort][dice % len(GOOD[f.sort])] for f in form.typed if not sent.get(f.name)}
    others = [one for one in form.fields.values() if one.name not in ("token", "record_id")]
    meddled = draw(some.lists(some.sampled_from(others), max_size=4, unique_by=lambda one: one.name)) if others else []
    for one in meddled:
        sent[one.name] = draw(value_of(one))
    if others and draw(some.integers(0, 9)) == 0:
        gone = draw(some.sampled_from(others)).name
        sent.pop(gone, None)
    if others and draw(some.integers(0, 9)) == 0:
        row = draw(some.sampled_from(others)).name.rpartition(".")[0] or "r9"
        sent[f"{row}.{draw(some.sampled_from(['9', '-1', 'x', '١', '1.1', '']))}"] = draw(some.sampled_from(ODD_WORDS))
    if form.buttons and draw(some.booleans()):
        sent |= dict([draw(some.sampled_from(form.buttons))])
    number = draw(some.integers(0, 1 << 30))
    odd = draw(some.integers(0, 19)) == 0
    bad_id = some.sampled_from([*record_ids, "x", "", "0" * 26])
    sent["record_id"] = draw(bad_id) if odd else derived(record_ids[0], number + 1)
    return sent, [one.name for one in meddled]
