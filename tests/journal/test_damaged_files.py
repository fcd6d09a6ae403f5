"""Files as disks, editors and other programs leave them: what is taken in, and that each is told with a true sentence.

`laptop` counted to 240 in this folder, and the bench was closed in peace: its note says so. What is missing from a file
is therefore known, and *power cut* is true of nothing that reaches below it.
"""

import base64
import gzip
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bench.journal import rereading
from bench.journal.damage import POWER_CUT
from bench.journal.lines import HEAD, TAIL, encode, render
from bench.journal.opening import open_file
from bench.journal.survey import survey
from bench.journal.verify import verify
from tests.journal.helpers import assay, phone_record, ulid

N = 240


def doc_of(number: int) -> dict[str, Any]:
    """The content of a record of this laptop."""
    doc = phone_record(number, device="laptop", seq=number, data=assay(number + 0.25))
    return {name: value for name, value in doc.items() if name not in ("id", "data")} | {"data": doc["data"]}


LINES = [encode(ulid(n), doc_of(n)) for n in range(1, N + 1)]
RAW = render(LINES)
JSON: dict[str, Any] = json.loads(RAW)
BIG = render(encode(ulid(n), doc_of(n) | {"also": {"batch": ulid(n)}}) for n in range(1, 3_601))
SORTED = json.dumps(JSON, sort_keys=True, indent=2).encode()
ANEW = "Another program rewrote the file"
MISSING = "It was on the disk, so a power cut is not the cause."


def flipped(raw: bytes, at: int, *bits: int) -> bytes:
    damaged = bytearray(raw)
    for bit in bits or (1,):
        damaged[at] ^= bit
    return bytes(damaged)


def zeroed(raw: bytes, start: int, length: int = 512) -> bytes:
    return raw[:start] + bytes(len(raw[start : start + length])) + raw[start + length :]


def end_of(count: int) -> int:
    """Behind the newline of so many lines."""
    return len(render(LINES[:count])) - len(TAIL)


def changed(how: Callable[[dict[str, Any]], Any]) -> bytes:
    docs = json.loads(RAW)
    how(docs["records"][ulid(7)])
    return json.dumps(docs, indent=1).encode()


CASES: dict[str, tuple[bytes, int, tuple[str, ...]]] = {
    # What a power cut leaves: the end of a write that nobody was told was kept.
    "without its last newline": (RAW[:-1], N, (POWER_CUT,)),
    "without its frame's end": (RAW[:-3], N, (POWER_CUT,)),
    "without the last newlines": (RAW[:-4], N, (POWER_CUT,)),
    "a torn record behind the last": (RAW[:-3] + b',"01J000', N, (POWER_CUT,)),
    "half a record behind the last": (RAW[:-3] + b"," + LINES[3][:90], N, (POWER_CUT,)),
    "zeros behind the last": (RAW[:-3] + bytes(700), N, (POWER_CUT,)),
    "zeros behind the end": (RAW + bytes(512), N, (POWER_CUT,)),
    "zeros inside a torn record": (zeroed(RAW[:-3] + b"," + LINES[3][:-9], len(RAW) + 40, 90), N, (POWER_CUT,)),
    # What is gone although it had been kept.
    "the last record torn": (RAW[:-60], N - 1, (MISSING, "1 record that was kept here is missing: number 240")),
    "cut to half": (RAW[: end_of(120) + 9], 120, (MISSING, "120 records", "numbers 121 to 240 of laptop")),
    "cut to three lines": (RAW[: end_of(3) + 30], 3, (MISSING, "237 records", "numbers 4 to 240")),
    "cut between two lines": (RAW[: end_of(60)], 60, (MISSING, "numbers 61 to 240")),
    "only the head": (HEAD, 0, (MISSING, "240 records", "numbers 1 to 240")),
    "half the head": (HEAD[:6], 0, ("The end of the file is missing.", "numbers 1 to 240")),
    "the last sectors zero": (zeroed(RAW, end_of(230), 99_999), 230, (MISSING, "numbers 231 to 240")),
    "nothing in it": (b"", 0, ("saggar.json is empty", "numbers 1 to 240")),
    "an empty table": (HEAD + TAIL, 0, ()),
    "an older copy": (render(LINES[:200]), 200, ()),
    "only zeros": (bytes(len(RAW)), 0, ("holds only zeros", "numbers 1 to 240")),
    "a picture": (b"\x89PNG\r\n\x1a\n" + random.Random(1).randbytes(9000), 0, ("is not a data file", "240 records")),
    "noise": (random.Random(2).randbytes(20_000), 0, ("is not a data file", "240 records")),
    "a page of an error": (b"<!doctype html><title>502</title>" * 20, 0, ("is not a data file", "240 records")),
    "somebody else's JSON": (b'{"settings":{"a":1},"list":[1,2]}', 0, ("is not a data file", "240 records")),
    "packed": (gzip.compress(RAW, mtime=0), 0, ("is not a data file", "240 records")),
    "a log": (b"2026-01-01 started\n" * 40, 0, ("is not a data file", "240 records")),
    # What another program wrote anew: every record is whole, and every one is taken in.
    "UTF-16 with its mark": (RAW.decode().encode("utf-16"), N, (ANEW,)),
    "UTF-16, big end first": (b"\xfe\xff" + RAW.decode().encode("utf-16-be"), N, (ANEW,)),
    "UTF-16 without its mark": (RAW.decode().encode("utf-16-le"), N, (ANEW,)),
    "UTF-16, big end, no mark": (RAW.decode().encode("utf-16-be"), N, (ANEW,)),
    "line ends of Windows": (RAW.replace(b"\n", b"\r\n"), N, (ANEW,)),
    "a mark before it": (b"\xef\xbb\xbf" + RAW, N, (ANEW,)),
    "a mark and line ends": (b"\xef\xbb\xbf" + RAW.replace(b"\n", b"\r\n"), N, (ANEW,)),
    "pretty": (json.dumps(JSON, indent=2).encode(), N, (ANEW,)),
    "pretty, with tabs": (json.dumps(JSON, indent="\t").encode(), N, (ANEW,)),
    "on one line": (json.dumps(JSON).encode(), N, (ANEW,)),
    "on one line, tight": (json.dumps(JSON, separators=(",", ":")).encode(), N, ("The frame around the records was",)),
    "fields sorted": (json.dumps(JSON, sort_keys=True).encode(), N, (ANEW,)),
    "fields sorted, pretty": (json.dumps(JSON, sort_keys=True, indent=4).encode(), N, (ANEW,)),
    "fields sorted, a mark, line ends": (
        b"\xef\xbb\xbf" + json.dumps(JSON, sort_keys=True, indent=1).encode().replace(b"\n", b"\r\n"), N, (ANEW,)
    ),
    "pretty and cut off": (json.dumps(JSON, indent=2).encode()[:-300], N - 1, (ANEW, "number 240 of laptop")),
    "sorted and cut off": (
        SORTED[:40_000], SORTED[:40_000].count(b'"v": 1\n    }'), (ANEW, "to 240 of laptop", "The end of the file is")
    ),
    "one line and cut off": (json.dumps(JSON).encode()[:-90], N - 1, (ANEW, "number 240 of laptop")),
    "line ends and cut off": (RAW.replace(b"\n", b"\r\n")[:-70], N - 1, (ANEW, "number 240 of laptop")),
    "line ends and a zero sector": (zeroed(RAW, end_of(9) + 50, 100).replace(b"\n", b"\r\n"), N - 1, (ANEW, "line 11")),
    "over a megabyte, line ends, cut off": (BIG.replace(b"\n", b"\r\n")[:-70], 3_599, (ANEW, "The end of the file is")),
    "over a megabyte, line ends, a zero sector": (
        zeroed(BIG, 700_000).replace(b"\n", b"\r\n"), 3_598, (ANEW, "1 place cannot be read")
    ),
    "over a megabyte, on one line, cut off": (json.dumps(json.loads(BIG)).encode()[:-90], 3_599, (ANEW,)),
    # Bits.
    "one bit of the frame's end": (flipped(RAW, -2), N, ("The frame around the records was damaged; every record",)),
    "one bit of the head": (flipped(RAW, 4), N, ("The frame around the records was damaged",)),
    "one bit of a record": (flipped(RAW, end_of(5) + 60), N, ("1 record had a single damaged bit",)),
    "one bit of a newline": (flipped(RAW, end_of(5) - 1), N, ("The frame around the records was damaged",)),
    "one bit of a comma": (flipped(RAW, end_of(5)), N, ("The frame around the records was damaged",)),
    "many bits of a record": (flipped(RAW, end_of(5) + 5, 7, 64), N - 1, ("1 place cannot be read", "line 7")),
    "many bits of every record": (
        b"\n".join(flipped(row, 5, 7, 64) if len(row) > 9 else row for row in RAW.split(b"\n")), 0,
        ("cannot be read", "numbers 1 to 240"),
    ),
    # What somebody else added, changed or took away.
    "a log behind the end": (RAW + b"2026-01-01 backup finished\n" * 3, N, ("Another program added 80 bytes",)),
    "a log before the start": (b"# exported 2026\n" + RAW, N, ("cannot be read", "line 1")),
    "a line of something else": (RAW.replace(b"\n,", b"\n-- 8< --\n,", 1), N, ("1 place cannot be read",)),
    "a zero sector inside": (zeroed(RAW, end_of(90) + 10, 200), N - 1, ("1 place cannot be read", "line 92")),
    "a number changed": (
        changed(lambda doc: doc["data"].update(before_g=99.0)), N - 1,
        ("1 record can be read, but their check sum is wrong (number 7 of laptop, “jar.assayed”)",),
    ),
    "a sum taken away": (changed(lambda doc: doc.pop("crc")), N - 1, ("1 record can be read, but their check sum",)),
    "a record spoiled": (changed(lambda doc: doc.pop("kind")), N - 1, ("1 place cannot be read", ulid(7))),
    "twice behind each other": (RAW + RAW, N, ("240 records appeared twice",)),
    # The same at other places.
    "cut within line 3": (RAW[: end_of(1) + 40], 1, (MISSING, "239 records", "numbers 2 to 240")),
    "cut within line 32": (RAW[: end_of(30) + 40], 30, (MISSING, "210 records", "numbers 31 to 240")),
    "cut within line 202": (RAW[: end_of(200) + 40], 200, (MISSING, "40 records", "numbers 201 to 240")),
    "cut within line 240": (RAW[: end_of(238) + 40], 238, (MISSING, "2 records", "numbers 239 to 240")),
    "a zero sector in line 62": (zeroed(RAW, end_of(60) + 10, 200), N - 1, ("1 place cannot be read", "line 62")),
    "a zero sector in line 152": (zeroed(RAW, end_of(150) + 10, 200), N - 1, ("1 place cannot", "line 152")),
    "a zero sector in line 239": (zeroed(RAW, end_of(237) + 10, 200), N - 1, ("1 place cannot", "line 239")),
    "two zero sectors": (
        zeroed(zeroed(RAW, end_of(30) + 10, 200), end_of(160) + 10, 200),
        N - 2,
        ("2 places cannot", "line 32, line 162"),
    ),
    "a zero sector over two lines": (zeroed(RAW, end_of(30) - 60, 200), N - 2, ("line 31 (it seems to be number 30",)),
    "zeros before the start": (bytes(512) + RAW, N, ("The frame around the records was damaged; every record",)),
    "the second half zero": (zeroed(RAW, end_of(120) + 9, 10**6), 120, (MISSING, "numbers 121 to 240")),
    "the first half zero": (zeroed(RAW, 0, end_of(120) + 3), 119, ("1 place cannot be read", "line 1")),
    "one bit of a key": (flipped(RAW, end_of(5) + 6), N, ("1 record had a single damaged bit",)),
    "one bit of a check sum": (flipped(RAW, end_of(5) - 4), N, ("1 record had a single damaged bit",)),
    "one bit of three records": (
        flipped(flipped(flipped(RAW, end_of(5) + 60), end_of(80) + 90), end_of(200) + 120), N, ("3 records had",)
    ),
    "many bits of three records": (
        flipped(flipped(flipped(RAW, end_of(5) + 5, 7, 64), end_of(80) + 5, 7, 64), end_of(200) + 5, 7, 64), N - 3,
        ("3 places cannot", "number 6 of laptop", "number 81 of laptop", "number 201 of laptop"),
    ),
    "many bits of the last record": (
        flipped(RAW, end_of(239) + 5, 7, 64), N - 1, ("1 place cannot be read", "missing: number 240 of laptop")
    ),
    "many bits of the first record": (flipped(RAW, len(HEAD) + 5, 7, 64), N - 1, ("line 2 (it seems to be number 1",)),
    "in another order": (render(reversed(LINES)), N, ()),
    "a record twice": (render([*LINES, LINES[6]]), N, ("1 record appeared twice",)),
    "half of it twice": (render([*LINES, *LINES[:120]]), N, ("120 records appeared twice",)),
    "the end of another copy": (RAW + RAW[end_of(200) :], N, ("40 records appeared twice",)),
    "blank lines behind the end": (RAW + b"\n\n\n", N, ("The frame around the records was damaged",)),
    "spaces behind the end": (RAW + b" " * 40, N, ("The frame around the records was damaged",)),
    "blank lines between": (RAW.replace(b"\n,", b"\n\n,"), N, ("The frame around the records was damaged",)),
    "spaces before each line": (RAW.replace(b"\n,", b"\n  ,"), N, ("The frame around the records was damaged",)),
    "commas at the ends of lines": (RAW.replace(b"\n,", b",\n"), N, ("The frame around the records was damaged",)),
    "line ends of old": (RAW.replace(b"\n", b"\r"), N, ("The frame around the records was damaged",)),
    "no line ends": (RAW.replace(b"\n", b""), N, ("The frame around the records was damaged",)),
    "bells": (RAW.replace(b"\n,", b"\x07\n,", 3), N, ("The frame around the records was damaged",)),
    "as a text of JSON": (json.dumps(RAW.decode()).encode(), 0, ("is not a data file", "240 records")),
    "in base 64": (base64.b64encode(RAW), 0, ("is not a data file", "240 records")),
    "an empty object": (b"{}", 0, ("is not a data file", "numbers 1 to 240")),
    "one newline": (b"\n", 0, ("is not a data file", "numbers 1 to 240")),
    "the end alone": (TAIL, 0, ("is not a data file", "numbers 1 to 240")),
    "the middle alone": (RAW[end_of(50) : end_of(90)], 40, ("The end of the file is", "numbers 91 to 240")),
    "the second half first": (RAW[end_of(120) :] + RAW[: end_of(120)], N, ("The end of the file is missing.",)),
    "the records alone": (json.dumps(JSON["records"]).encode(), N, (ANEW,)),
    "another table beside": (json.dumps(JSON | {"_default": {}}).encode(), N, (ANEW, "1 place cannot be read")),
    "wrapped once more": (json.dumps({"data": JSON}).encode(), N, (ANEW, "1 place cannot be read")),
    "UTF-16 and cut off": (RAW.decode().encode("utf-16")[:-201], N - 1, (ANEW, "is missing: number 240 of laptop")),
    "a long foreign line": (RAW.replace(b"\n,", b"\n" + b"x" * 5000 + b"\n,", 1), N, ("1 place cannot", "line 3")),
    "other bytes for the end": (
        RAW[: end_of(200)] + b"\xff" * 4096,
        200,
        ("4,096 bytes at the end", "numbers 201 to 240"),
    ),
    "two records of one id": (
        render([*LINES, encode(ulid(9), doc_of(9) | {"how": "late"})]), N + 1, ("1 id appeared twice",)
    ),
}  # fmt: skip


def folder_with(tmp_path: Path, raw: bytes) -> Path:
    (tmp_path / "keys").mkdir()
    (tmp_path / "keys" / "device.txt").write_text(f"laptop {N}\n")
    (tmp_path / "saggar.json").write_bytes(raw)
    return tmp_path / "saggar.json"


@pytest.mark.parametrize("case", CASES)
def test_each_is_told_truly_and_alike_by_both(case: str, tmp_path: Path) -> None:
    raw, records, told = CASES[case]
    file = folder_with(tmp_path, raw)
    expected = {"laptop": 3_600 if len(raw) > 1_000_000 else N}
    try:
        verdict = verify(file).sentences
    except Exception as trouble:
        verdict = [str(trouble), *told]  # a stranger's file is no data file, and nothing more is said of it
        assert "is not a data file of this bench" in verdict[0] and records == 0
    opened = open_file(file, tmp_path / "backups", "now", expected=lambda: expected)
    said, found = " ".join(opened.report), survey(file.read_bytes())
    assert (len(found.lines), found.clean) == (records, True)
    for fragment in told:
        assert fragment in said, said
        assert fragment in " ".join(verdict) or len(raw) > 1_000_000, verdict
    assert (POWER_CUT in said) == (told == (POWER_CUT,)), "no reassurance that is not so"
    if raw != file.read_bytes():
        assert (tmp_path / "backups" / "saggar-now.damaged").read_bytes() == raw
    lost = any(word in said for word in ("missing", "cannot be read", "can be read, but"))
    assert opened.lossy == lost, "numbers that were given out are not given out again"


def test_there_are_as_many_as_a_siege_tried() -> None:
    assert len(CASES) >= 100
    assert sum(told == (POWER_CUT,) for _, _, told in CASES.values()) == 8


def test_what_reads_but_is_not_believed_is_offered_and_marked_when_taken(tmp_path: Path) -> None:
    from tests.journal.helpers import open_journal

    folder_with(tmp_path, CASES["a number changed"][0])
    with open_journal(tmp_path) as journal:
        question = journal.safe.shortfall
        assert question is not None and ulid(7) not in journal.state.records
        (offer,) = question.doubtful
        assert offer.gains == 1 and "Import them, marked" in " ".join(question.sentences)
        journal.safe.take_in(offer.path)
        assert journal.state.records[ulid(7)].how == "import" and journal.safe.shortfall is None
        assert journal.state.records[ulid(7)].data["before_g"] == 99.0
    with open_journal(tmp_path) as journal:
        assert journal.safe.shortfall is None


def test_every_line_damaged_costs_in_proportion(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bytes that are summed up to find sound lines: twice the file, about twice as many; not four times."""
    from bench.journal import mending

    counted = [0]

    def counting(line: bytes) -> bool:
        counted[0] += len(line)
        return is_sound(line)

    is_sound = mending.is_sound
    monkeypatch.setattr(mending, "is_sound", counting)
    costs = []
    for count in (60, 120, 240):
        counted[0] = 0
        rows = render(LINES[:count]).split(b"\n")
        survey(b"\n".join(flipped(row, 5, 7, 64) if len(row) > 9 else row for row in rows))
        costs.append(counted[0])
    assert costs[0] and costs[2] < 2.3 * costs[1] < 5.3 * costs[0]


def test_zeros_before_the_records_are_read_once() -> None:
    """A megabyte of them: read again from each of its bytes, this would not end before the test's own end."""
    found = survey(bytes(1 << 20) + b"x" + RAW)
    assert len(found.lines) == N


@pytest.mark.parametrize("piece", [b'"abc":{"seq":"', b'"a":{"seq":{', b'"a":{"crc":"00000000"}', b'{"seq":['])
def test_no_text_makes_the_reader_look_again_and_again(piece: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """The letters shown to the JSON decoder, whose errors cost as much as all that it was shown before them."""
    shown = [0]

    class Counting:
        def raw_decode(self, text: str) -> Any:
            shown[0] += len(text)
            return json.JSONDecoder().raw_decode(text)

    monkeypatch.setattr(rereading, "READER", Counting())
    costs = []
    for count in (2_000, 4_000):
        shown[0] = 0
        survey(piece * count)
        costs.append(shown[0])
    assert costs[1] <= 2.2 * costs[0] + 100_000
