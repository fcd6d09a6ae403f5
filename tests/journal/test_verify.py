"""`saggar verify`: plain words, and an exit code."""

import hashlib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from bench.cli import main
from bench.journal.backups import Offer
from bench.journal.damage import Gone, counts_of, listed
from bench.journal.lines import TAIL, encode, render
from bench.journal.places import Layers
from bench.journal.previewing import STRANGE, Preview
from bench.journal.scanning import Counts, scan
from bench.journal.shortfall import Shortfall
from bench.journal.survey import survey
from bench.journal.verify import device_of, verify
from tests.journal.helpers import START_MS, assay, open_journal, phone_record, ulid

JAR = ulid(9_000_000)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with open_journal(tmp_path) as journal:
        for n in range(3):
            journal.write("jar.assayed", JAR, assay(n))
        journal.receive([phone_record(n, seq=n) for n in (2, 5, 6)])
    return tmp_path


def test_a_sound_file(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_journal(folder) as journal:
        journal.receive([phone_record(n, seq=n) for n in (1, 3, 4)])
    assert main(["verify", str(folder / "saggar.json")]) == main(["verify", str(folder)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[:3] == [
        "saggar.json is sound: 9 records, and every check sum is right.",
        "laptop: 3 records, numbers 1 to 3, none missing.",
        "phone-kiln: 6 records, numbers 1 to 6, none missing.",
    ]
    assert told[3:] == told[:3]


def test_numbers_in_between_are_told_alike_by_verify_and_on_opening_until_somebody_goes_on_without(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gap = "3 records in between are not here: numbers 1, 3 to 4 of phone-kiln. They were lost, or have not come yet."
    assert main(["verify", str(folder)]) == 1
    told = capsys.readouterr().out
    assert "saggar.json is sound: 6 records" in told and gap in told
    assert "phone-kiln: 3 records, numbers 1 to 6, missing: 1, 3 to 4." in told
    for _ in range(2):  # the second time from the snapshot's counts
        with open_journal(folder) as journal:
            question = journal.safe.shortfall
            assert question is not None and question.sentences == [gap]
            journal._keep_snapshot()
    with open_journal(folder) as journal:
        journal.receive([phone_record(3, seq=3)])  # one of them comes after all
        journal.safe.look()
        assert question is not None and journal.safe.shortfall is not None
        assert "2 records in between are not here: numbers 1, 4 of phone-kiln." in journal.safe.shortfall.sentences[0]
        journal.safe.go_on_without()
    with open_journal(folder) as journal:
        assert journal.safe.shortfall is None
        journal.receive([phone_record(9, seq=9)])  # what is missing since is asked about
        journal.safe.look()
        assert journal.safe.shortfall is not None
        assert "2 records in between are not here: numbers 7 to 8 of" in journal.safe.shortfall.sentences[0]
        journal.safe.go_on_without()
    assert main(["verify", str(folder)]) == 0
    assert "The bench continues without the missing numbers, as you chose." in capsys.readouterr().out


def test_what_is_held_of_a_device_is_counted_by_its_numbers() -> None:
    held = device_of("phone", Counter({2: 1, 3: 2, 4: 1, 7: 3, 9: 1}))
    assert (held.count, held.high) == (8, 9)
    assert held.missing == ((1, 1), (5, 6), (8, 8)) and held.twice == (3, 7)
    assert device_of("phone", Counter({1: 1, 2: 1})).missing == ()


@pytest.mark.parametrize(
    ("device", "first", "last", "among"),
    [("a", 3, 5, True), ("a", 2, 6, True), ("a", 1, 5, False), ("a", 3, 7, False), ("b", 3, 5, False)],
)
def test_gone_numbers_are_among_others_of_their_device(device: str, first: int, last: int, among: bool) -> None:
    assert Gone(device, first, last).within(Gone("a", 2, 6)) is among


def test_lines_that_somebody_cut_out_of_the_middle_are_told_in_numbers(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = folder / "saggar.json"
    with open_journal(folder) as journal:
        journal.receive([phone_record(n, seq=n) for n in (1, 3, 4)])
        journal.backup()
    lines = [*survey(file.read_bytes()).lines.values()]
    file.write_bytes(render(lines[:1] + lines[3:]))  # the second and third of the laptop
    # The last number of the laptop was noted, so it is one that was kept here; of the phone nothing is missing.
    assert main(["verify", str(folder)]) == 1
    told = capsys.readouterr().out
    file.write_bytes(render(lines[:1] + lines[2:]))
    assert "At least 2 records that were kept here are missing: numbers 2 to 3 of laptop." in told
    assert "2 missing records are in backups/" in told
    assert main(["verify", str(folder)]) == 1
    told = capsys.readouterr().out
    gap = "1 record in between is not here: number 2 of laptop. It was lost, or has not come yet."
    assert gap in told and "1 missing record is in backups/" in told
    with open_journal(folder) as journal:
        question = journal.safe.shortfall
        assert question is not None and question.sentences[-1] == gap and question.offers[0].gains == 1
        journal.safe.take_in(question.offers[0].path)
        assert journal.safe.shortfall is None
    assert main(["verify", str(folder)]) == 0


@given(some.lists(some.integers(1, 12), max_size=20))
def test_gaps_are_the_numbers_below_the_highest_that_are_not_there_in_whatever_order(order: list[int]) -> None:
    counts = counts_of(encode(f"K{n}", dict(phone_record(n + 1, seq=seq))) for n, seq in enumerate(order))
    missing = {n for first, last in counts.gaps.get("phone-kiln", ()) for n in range(first, last + 1)}
    assert missing == set(range(1, max(order, default=0))) - set(order)


def test_an_open_bench_can_be_verified(folder: Path) -> None:
    with open_journal(folder) as journal:
        journal.write("jar.assayed", JAR, assay(1))
        assert verify(folder).sound and verify(folder).records == 7


def test_a_damaged_file_is_told_and_not_touched(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "saggar.json"
    raw = file.read_bytes().replace(b'"before_g":1', b'"before_g":77', 1)
    file.write_bytes(raw)
    assert main(["verify", str(file)]) == 1
    out = capsys.readouterr().out
    assert "saggar.json is not sound: 5 records in it can be read." in out
    assert "1 record can be read, but their check sum is wrong (number 2 of laptop, “jar.assayed”)" in out
    assert "laptop: 2 records, numbers 1 to 3, missing: 2." in out
    assert "Nothing was changed." in out and file.read_bytes() == raw


@pytest.mark.parametrize("cut", [1, 3, 20, 200])
def test_a_torn_end_is_told(folder: Path, cut: int, capsys: pytest.CaptureFixture[str]) -> None:
    file = folder / "saggar.json"
    file.write_bytes(file.read_bytes()[:-cut])
    assert main(["verify", str(file)]) == 1
    # It was closed in peace, so what was kept is known: no power cut took a record, and what is missing is said.
    out = capsys.readouterr().out
    if cut <= len(TAIL):
        assert "The end of the file was cut off, as by a power cut" in out
    else:
        assert "The end of the file is missing. It was on the disk, so a power cut is not the cause." in out
        assert "At least 1 record that was kept here is missing: number 6 of phone-kiln." in out


def test_a_conflict_and_a_number_used_twice_are_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_journal(folder) as journal:
        journal.receive([phone_record(2, seq=2, data=assay(9.0)), phone_record(77, seq=5)])
    assert main(["verify", str(folder)]) == 1  # for the numbers that are missing
    out = capsys.readouterr().out
    assert f"1 id claimed by records that differ: {ulid(2)}." in out
    assert "phone-kiln: 2, 5 used by two records each" in out


def test_photos_missing_and_altered(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photos = folder / "photos"
    photos.mkdir()
    sha256 = hashlib.sha256(b"picture").hexdigest()
    with open_journal(folder) as journal:
        journal.write("photo.kept", JAR, {"of": JAR, "photo": ulid(1), "sha256": sha256})
    assert verify(folder).photos_missing == [ulid(1)] and verify(folder).sound
    (photos / f"{ulid(1)}.jpg").write_bytes(b"picture")
    assert verify(folder).photos_missing == verify(folder).photos_altered == []
    assert "1 photo named, all there and unaltered." in verify(folder).sentences
    (photos / f"{ulid(1)}.jpg").write_bytes(b"another picture")
    assert main(["verify", str(folder)]) == 1 and not verify(folder).sound
    assert f"1 photo not as recorded: {ulid(1)}." in capsys.readouterr().out


def test_attached_files_missing_and_altered(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photos = folder / "photos"
    photos.mkdir()
    told = {"of": JAR, "file": ulid(1), "bytes": 4, "name": "label.pdf", "what": "data-sheet"}
    with open_journal(folder) as journal:
        journal.write("file.attached", JAR, told | {"sha256": hashlib.sha256(b"file").hexdigest()})
    assert f"1 attached file not here yet: {ulid(1)}." in verify(folder).sentences and verify(folder).sound
    (photos / f"{ulid(1)}.bin").write_bytes(b"file")
    assert "1 attached file named, all there and unaltered." in verify(folder).sentences
    (photos / f"{ulid(1)}.bin").write_bytes(b"fire")
    assert main(["verify", str(folder)]) == 1 and not verify(folder).sound
    assert f"1 attached file not as recorded: {ulid(1)}." in capsys.readouterr().out


def test_a_whole_line_that_is_no_record_is_told_and_kept(folder: Path) -> None:
    file = folder / "saggar.json"
    lines = [*survey(file.read_bytes()).lines.values(), encode(ulid(3), {"from": "elsewhere"})]
    file.write_bytes(render(lines))
    assert not verify(folder).sound
    with open_journal(folder) as journal:
        assert journal.report == [f"The line of {ulid(3)} is kept, but this bench cannot read it."]
        assert len(journal.state.records) == 6
        assert journal.receive([phone_record(3, seq=3)])[0].status == "new"
        assert journal.state.records[ulid(3)].seq == 3
        journal.write("jar.assayed", JAR, assay(1))
    assert ulid(3).encode() in file.read_bytes()


@pytest.mark.parametrize("arguments", [[], ["a", "b"], ["--what"]])
def test_asked_wrongly(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", *arguments]) == 2
    assert "saggar verify FILE" in capsys.readouterr().err


def test_what_cannot_be_read_or_is_something_else(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(tmp_path / "nothing.json")]) == 2
    assert capsys.readouterr().err == "nothing.json cannot be read: No such file or directory.\n"
    (tmp_path / "picture.jpg").write_bytes(b"\xff\xd8\xff\xe0" * 40)
    assert main(["verify", str(tmp_path / "picture.jpg")]) == 2
    assert capsys.readouterr().err == "picture.jpg is not a data file of this bench.\n"
    assert main(["verify", "--help"]) == 0


def test_the_question_tells_of_the_fullest_backup_and_of_what_none_of_them_holds() -> None:
    fuller = Offer(Path("backups/fuller.backup"), 90, START_MS, 9, {"laptop": 90})
    other = Offer(Path("/stick/other.backup"), 2, START_MS, 2, {"laptop": 2})
    question = Shortfall((fuller, other), (), (Gone("laptop", 82, 95), Gone("phone", 1, 1)), False, 81)
    assert question.sentences == [
        "The backup fuller.backup holds 90 records, the newest of 2026-05-28. Of these, 9 are not in the data file.",
        "No backup holds all of it. At least 6 records that were kept here are missing: "
        "numbers 91 to 95 of laptop; number 1 of phone.",
    ]
    alone = Shortfall((other,), (fuller,), (), True, 0)
    assert alone.sentences == [
        "There was no data file, so the bench began an empty one.",
        "The backup /stick/other.backup holds 2 records, the newest of 2026-05-28. None of them is in the data file.",
        "9 records could be read, but the check sum is wrong. Import them, marked, or leave them out.",
    ]


@pytest.mark.parametrize(
    ("records", "new_here", "new_there", "strange"),
    [(3, 3, 5, True), (1, 1, 1, True), (0, 0, 5, False), (3, 3, 0, False), (3, 2, 5, False), (3, 0, 5, False)],
)
def test_a_copy_may_be_a_strangers_where_both_hold_records_and_none_in_common(
    records: int, new_here: int, new_there: int, strange: bool
) -> None:
    seen = Preview("copy", records, 0, new_here, new_there, 0, (), {})
    assert seen.strange == strange == (STRANGE in seen.holds) == (STRANGE in seen.sentences)


@pytest.mark.parametrize(
    ("count", "said"),
    [(5, "a, b, c, d, e"), (6, "a, b, c, d, e, and 1 more"), (9, "a, b, c, d, e, and 4 more")],
)
def test_of_many_words_the_first_five_are_said_and_the_rest_counted(count: int, said: str) -> None:
    assert listed(list("abcdefghi")[:count]) == said
    assert listed(list("abcdefghi")[:count], "; ") == said.replace(",", ";")


def test_a_last_line_without_its_end_is_not_passed_over(folder: Path) -> None:
    file = folder / "saggar.json"
    raw = file.read_bytes()
    file.write_bytes(raw[: -len(TAIL) - 1] + TAIL)  # the newline before the end is gone
    assert scan(file, Layers(), Counts()) is None
    with open_journal(folder) as journal:
        assert len(journal.state.records) == 6
    assert file.read_bytes() == raw
