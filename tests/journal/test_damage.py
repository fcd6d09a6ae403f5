"""What is kept of a damaged file: every bit flipped, every length cut, every stretch zeroed."""

import errno
import json
import os
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from bench.journal import Unusable, opening
from bench.journal.damage import describe, ranges
from bench.journal.lines import HEAD, TAIL, encode, key_of, render
from bench.journal.mending import mend
from bench.journal.opening import open_file
from bench.journal.survey import survey
from tests.journal.helpers import ulid

DOCS = {
    ulid(n): {"device": "laptop", "seq": n, "kind": "noted", "data": {"value": text}}
    for n, text in enumerate(["a flame", 'J*"quoted","crc":"x"}', "schräg – “é”", "", "x" * 40], 1)
}
LINES = [encode(key, doc) for key, doc in DOCS.items()]
WHOLE = render(LINES)


def docs_in(raw: bytes) -> dict[str, bytes]:
    return survey(raw).lines


def test_ranges_are_named_up_to_ten() -> None:
    several = [(n, n) for n in range(1, 30, 3)]
    assert "more places" not in ranges(several) and "28" in ranges(several)
    assert ranges([*several, (40, 41)]).endswith(" 28 and 1 more places")


def test_a_whole_file_is_clean_and_valid_json() -> None:
    found = survey(WHOLE)
    assert found.clean and list(found.lines) == list(DOCS) and describe(found) == []
    read = json.loads(WHOLE)["records"]
    assert {key: {k: v for k, v in doc.items() if k != "crc"} for key, doc in read.items()} == DOCS
    assert survey(HEAD + TAIL).clean and survey(HEAD + TAIL).lines == {}


def test_no_flipped_bit_anywhere_loses_or_changes_a_record() -> None:
    for place in range(len(WHOLE)):
        for bit in range(8):
            raw = bytearray(WHOLE)
            raw[place] ^= 1 << bit
            found = survey(bytes(raw))
            assert sorted(found.lines.values()) == sorted(LINES), (place, bit)
            assert not found.clean and not found.lost and describe(found), (place, bit)


def test_a_file_cut_anywhere_keeps_every_whole_line() -> None:
    ends = [len(render(LINES[: n + 1])) - len(TAIL) - 1 for n in range(len(LINES))]
    for length in range(len(WHOLE)):
        found = survey(WHOLE[:length])
        assert list(found.lines.values()) == LINES[: sum(end <= length for end in ends)], length
        assert not found.clean and describe(found)
        # A power cut never reaches the first bytes, which were on the disk before any record was.
        assert found.torn == (length >= len(HEAD)) and found.cut == (length < len(WHOLE) - 1), length


def test_zeros_from_anywhere_to_the_end_keep_every_whole_line() -> None:
    ends = [len(render(LINES[: n + 1])) - len(TAIL) - 1 for n in range(len(LINES))]
    for length in range(len(WHOLE)):
        for zeros in (1, 512):
            found = survey(WHOLE[:length] + b"\0" * zeros)
            kept = sum(end <= length for end in ends)
            # Where zeros stand in place of a newline, the line before them is still whole.
            assert list(found.lines.values()) == LINES[:kept], length
            assert found.torn == (length >= len(HEAD)) and describe(found), length


@settings(max_examples=400, deadline=None)
@given(
    some.integers(0, len(WHOLE) - 1),
    some.integers(1, 300),
    some.sampled_from(["zero", "noise", "drop", "double"]),
    some.randoms(),
)
def test_any_stretch_spoiled_never_shows_a_wrong_record(start: int, length: int, how: str, rng: random.Random) -> None:
    stretch = WHOLE[start : start + length]
    spoiled = {"zero": b"\0" * len(stretch), "noise": rng.randbytes(len(stretch)), "drop": b"", "double": stretch * 2}[
        how
    ]
    found = survey(WHOLE[:start] + spoiled + WHOLE[start + length :])
    assert set(found.lines.values()) <= set(LINES)
    assert {line for line in LINES if line in WHOLE[:start] + b"|" + WHOLE[start + length :]} <= set(
        found.lines.values()
    )
    assert found.clean or describe(found)


@settings(max_examples=200, deadline=None)
@given(some.integers(0, len(LINES) - 1), some.sets(some.integers(0, 8 * 60), min_size=2, max_size=3))
def test_two_or_three_flipped_bits_are_not_taken_for_one(which: int, bits: set[int]) -> None:
    line = bytearray(LINES[which])
    for bit in bits:
        line[bit // 8] ^= 1 << bit % 8
    assert mend(bytes(line)) in (None, LINES[which])
    if len(bits) == 2:
        assert mend(bytes(line)) is None


def test_mending_knows_its_limit() -> None:
    line = bytearray(encode(ulid(1), {"text": "x" * 20_000}))
    line[500] ^= 4
    assert mend(bytes(line)) is None


def test_the_same_id_twice_with_other_content_keeps_both() -> None:
    other = encode(key_of(LINES[0]), {"device": "laptop", "seq": 1, "kind": "noted", "data": {"value": "another"}})
    found = survey(render([*LINES, other, LINES[1]]))
    assert len(found.lines) == len(LINES) + 1 and found.twins == 1 and found.doubled == 1
    assert "twice with different content" in describe(found)[0]
    assert survey(render(found.lines.values())).clean


@pytest.mark.parametrize("how", ["pretty", "one line", "windows", "mark"])
def test_a_file_written_anew_by_an_editor_is_read(how: str) -> None:
    read = json.loads(WHOLE)
    raw = {
        "pretty": json.dumps(read, indent=2, ensure_ascii=False).encode(),
        "one line": json.dumps(read).encode(),
        "windows": WHOLE.replace(b"\n", b"\r\n"),
        "mark": b"\xef\xbb\xbf" + WHOLE,
    }[how]
    assert sorted(survey(raw).lines.values()) == sorted(LINES)


def test_a_record_changed_in_an_editor_is_not_believed() -> None:
    read = json.loads(WHOLE)
    read["records"][ulid(2)]["data"]["value"] = "something else"
    found = survey(json.dumps(read, indent=1).encode())
    assert sorted(found.lines) == sorted(set(DOCS) - {ulid(2)})
    assert ulid(2) in describe(found)[0]


def test_a_damaged_file_is_copied_aside_and_put_right(tmp_path: Path) -> None:
    path, aside = tmp_path / "saggar.json", tmp_path / "backups"
    broken = WHOLE.replace(b"a flame", b"a plume")
    path.write_bytes(broken)
    opened = open_file(path, aside, "2026-05-01T101500")
    assert opened.lossy and list(docs_in(path.read_bytes())) == list(DOCS)[1:]
    assert (aside / "saggar-2026-05-01T101500.damaged").read_bytes() == broken
    assert path.read_bytes() == render(LINES[1:])
    assert opened.report[0] == (
        "The file is damaged: 1 place cannot be read. Records may be missing: "
        "line 2 (it seems to be number 1 of laptop, “noted”)."
    )
    assert opened.report[-1].endswith("backups/saggar-2026-05-01T101500.damaged.")
    path.write_bytes(broken[:-40])
    open_file(path, aside, "2026-05-01T101500")
    assert (aside / "saggar-2026-05-01T101500-2.damaged").exists()
    assert open_file(path, aside, "later").report == ()


def test_a_repair_that_the_disk_refuses_leaves_no_copy_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, aside = tmp_path / "saggar.json", tmp_path / "backups"
    broken = WHOLE.replace(b"a flame", b"a plume")
    path.write_bytes(broken)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as disk:
        disk.setattr(opening, "replace_file", full)  # the copy went in, what is put right does not
        for _ in range(3):
            with pytest.raises(Unusable, match="cannot be repaired: No space left on device"):
                open_file(path, aside, "now")
    assert path.read_bytes() == broken and not list(aside.iterdir())
    assert open_file(path, aside, "now").report


def test_lost_records_come_back_from_the_newest_sound_backup(tmp_path: Path) -> None:
    path, aside = tmp_path / "saggar.json", tmp_path / "backups"
    aside.mkdir()
    (aside / "saggar-2026-04-30.backup").write_bytes(render(LINES[:3]))
    (aside / "saggar-2026-05-01.backup").write_bytes(WHOLE[:-30])
    path.write_bytes(WHOLE.replace(b"a flame", b"a plume"))
    opened = open_file(path, aside, "now")
    assert sorted(docs_in(path.read_bytes())) == sorted(DOCS)
    assert "1 record that the file no longer had came back from backups/saggar-2026-04-30.backup." in opened.report


@pytest.mark.parametrize(
    "raw", [b"", b"\0" * 4096, b"not ours", b"[1,2]", b'{"records":[]}', b'{"records":{"a":1}}', b"\xff\n" * 9]
)
def test_a_file_without_a_good_line_opens_empty_with_a_copy_kept(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "saggar.json"
    path.write_bytes(raw)
    opened = open_file(path, tmp_path / "backups", "now")
    assert docs_in(path.read_bytes()) == {} and opened.report
    assert (tmp_path / "backups" / "saggar-now.damaged").read_bytes() == raw
    assert path.read_bytes() == HEAD + TAIL


def test_a_torn_end_hides_no_loss_before_it() -> None:
    """A record lost in the middle is damage, whatever a power cut did to the end."""
    whole = survey(WHOLE)
    first, second, *_rest, last = whole.lines.values()
    spoiled = WHOLE.replace(second[20:60], b"#" * 40, 1)
    torn = survey(WHOLE[: WHOLE.index(last) + len(last) // 2])
    both = survey(spoiled[: spoiled.index(last) + len(last) // 2])
    assert torn.torn and len(torn.lost) == 1
    assert not both.torn and len(both.lost) == 2
    assert first in both.lines.values() and len(both.lines) == len(whole.lines) - 2


def test_what_stands_behind_the_end_is_counted_in_words() -> None:
    assert any("added 2 bytes at the end" in said for said in describe(survey(WHOLE + b"xy")))
