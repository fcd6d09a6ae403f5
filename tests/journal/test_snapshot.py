"""The snapshot beside the data file: used when it is true, and as if it were not there at any doubt."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest

from bench.journal import FILE, Journal, Unusable, keeping, places, scanning, shelf, snapshot, view
from bench.journal import journal as journals
from bench.journal.shelf import Recent, Shelf
from bench.journal.snapshot import SNAPSHOT
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid
from tests.records.test_compacting import told
from tests.workshop.everything import history

JAR = ulid(9_000_000)
COUNT = 60


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything that happens at many records happens at a few."""
    for where, name, value in (
        (view, "MANY", 2), (journals, "MANY", 2), (view, "SETTLE_OVER", 7), (places, "MANY", 5),
        (scanning, "BLOCK", 900), (keeping, "BLOCK", 900),
    ):  # fmt: skip
        monkeypatch.setattr(where, name, value)
    monkeypatch.setattr(shelf, "Recent", lambda: Recent(4))


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The positions of the lines that were read from the file since."""
    found: list[int] = []
    line = Shelf.line

    def counted(self: Shelf, spot: int) -> tuple[str, bytes]:
        found.append(spot)
        return line(self, spot)

    def walked(self: Shelf, spots: range) -> Iterator[tuple[int, str, bytes]]:
        found.extend(spots)
        return lines(self, spots)

    lines = Shelf.lines
    monkeypatch.setattr(Shelf, "line", counted)
    monkeypatch.setattr(Shelf, "lines", walked)
    return found


def everything(journal: Journal) -> dict[str, Any]:
    """All that a reader can ask, by the way of the journal too."""
    with journal.reading() as state:
        found = told(state)
    found["by"] = {kind: [r.id for r in journal.by("kind", kind)] for kind in ("noted", "jar.assayed", "moon.seen")}
    found["by"] |= {f"of {d}": [r.seq for r in journal.by("device", d)] for d in ("laptop", "phone-kiln", "bench-2")}
    found["subject"] = [r.to_dict() for r in journal.records(JAR)]
    found["conflicts"] = [(c.id, [r.to_dict() for r in c.records]) for c in journal.conflicts]
    found["report"] = journal.report
    found["keys"] = sorted(journal.table.storage.read()["records"])
    return found


def grown(folder: Path, count: int = COUNT) -> dict[str, Any]:
    """A closed folder with records of every kind, twins among them, and what it told before it was closed."""
    with open_journal(folder, device="bench-2") as journal:
        journal.receive([record.to_dict() for record in history(range(count))])
        journal.receive([phone_record(n, seq=500 + n) for n in range(5)])
        journal.receive([phone_record(2, seq=600, hlc=[START_MS - 9, 0, "phone-kiln"], data=assay(77.0))])
        journal.receive([phone_record(9, kind="moon.seen", v=3, data={"full": True})])
        journal.write("jar.assayed", JAR, assay(3.0), also={"batch": ulid(4)})
        return everything(journal)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, dict[str, Any]]]:
    """One grown folder with its snapshot, to be copied."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(view, "MANY", 2)
        patch.setattr(journals, "MANY", 2)
        patch.setattr(view, "SETTLE_OVER", 7)
        patch.setattr(scanning, "BLOCK", 900)
        patch.setattr(keeping, "BLOCK", 900)
        path = tmp_path_factory.mktemp("snapshot") / "data"
        yield path, grown(path)


@pytest.fixture
def copied(folder: tuple[Path, dict[str, Any]], tmp_path: Path) -> tuple[Path, dict[str, Any]]:
    """A copy of it to spoil."""
    shutil.copytree(folder[0], tmp_path / "data")
    return tmp_path / "data", folder[1]


def reopened(path: Path) -> dict[str, Any]:
    with open_journal(path, device="bench-2") as journal:
        return everything(journal)


def test_an_opened_folder_reads_no_record_again(copied: tuple[Path, dict[str, Any]], read: list[int]) -> None:
    path, before = copied
    with open_journal(path, device="bench-2") as journal:
        twins = sum(len(conflict.records) for conflict in journal.conflicts)
        some_lines = len(set(read))
        assert some_lines <= twins + 2  # what disagrees, what is unknown, and the last one
        assert len(journal.state.records) == before["count"] and len(set(read)) == some_lines
        assert everything(journal) == before
    assert sorted(p.suffix for p in path.iterdir() if p.suffix == ".json") == [".json"]


def test_without_the_snapshot_everything_is_the_same(copied: tuple[Path, dict[str, Any]]) -> None:
    path, before = copied
    kept = (path / SNAPSHOT).read_bytes()
    (path / SNAPSHOT).unlink()
    assert reopened(path) == before
    assert len((path / SNAPSHOT).read_bytes()) == len(kept)  # it was made anew
    assert reopened(path) == before


def test_a_snapshot_spoiled_anywhere_changes_nothing(copied: tuple[Path, dict[str, Any]]) -> None:
    path, before = copied
    kept = (path / SNAPSHOT).read_bytes()
    spoiled = 0
    for place in range(0, len(kept), max(1, len(kept) // 20)):
        raw = bytearray(kept)
        raw[place] ^= 16
        (path / SNAPSHOT).write_bytes(raw)
        spoiled += snapshot.load(path / SNAPSHOT, path / FILE) is None
        assert reopened(path) == before, place
    assert spoiled >= 20
    for length in (0, 5, 40, len(kept) // 2, len(kept) - 1):
        (path / SNAPSHOT).write_bytes(kept[:length])
        assert snapshot.load(path / SNAPSHOT, path / FILE) is None
    (path / SNAPSHOT).write_bytes(kept)
    assert snapshot.load(path / SNAPSHOT, path / FILE) is not None


def test_what_was_written_after_the_snapshot_is_there_too(copied: tuple[Path, dict[str, Any]], read: list[int]) -> None:
    path, _before = copied
    kept = (path / SNAPSHOT).read_bytes()
    with open_journal(path, device="bench-2") as journal:
        for n in range(12):
            journal.write("jar.assayed", JAR, assay(float(n)))
        grown_to = everything(journal)
    (path / SNAPSHOT).write_bytes(kept)  # as after a pulled plug: the older one
    read.clear()
    with open_journal(path, device="bench-2") as journal:
        assert len(journal.state.records) == grown_to["count"]
        assert len(set(read)) <= 12 + 8
        assert everything(journal) == grown_to
    (path / SNAPSHOT).unlink()
    assert reopened(path) == grown_to


def test_a_damaged_data_file_is_put_right_as_without_a_snapshot(copied: tuple[Path, dict[str, Any]]) -> None:
    path, _before = copied
    raw = (path / FILE).read_bytes()
    place = raw.index(b'"kind":"', len(raw) // 3)
    (path / FILE).write_bytes(raw[:place] + b"??????" + raw[place + 6 :])
    other = path.with_name("other")
    shutil.copytree(path, other)
    (other / SNAPSHOT).unlink()
    with open_journal(path) as one, open_journal(other) as two:
        assert any("damaged" in say for say in one.report) and one.report == two.report
        assert told(one.state) == told(two.state) and one.device != "bench-2"
    assert (path / FILE).read_bytes() == (other / FILE).read_bytes()


@pytest.mark.parametrize("written", [0, 3])
def test_an_end_that_a_power_cut_tore_costs_only_what_is_torn(
    copied: tuple[Path, dict[str, Any]], read: list[int], written: int
) -> None:
    path, _before = copied
    kept = (path / SNAPSHOT).read_bytes()
    with open_journal(path, device="bench-2") as journal:
        for n in range(written):
            journal.write("jar.assayed", JAR, assay(float(n)))
        whole = everything(journal)
    raw = (path / FILE).read_bytes()
    torn = b"}}" if not written else raw[-3:] + b',"01M6NE00000000000000000000":{"device":"bench-2","seq":9'
    for end in (
        raw[:-3],
        raw[:-3] + b',"01M6NE00000000000000000000":{"device":"ben',
        raw[:-2],
        raw[:-1],
        raw[:-3] + torn,
    ):
        (path / SNAPSHOT).write_bytes(kept)
        (path / FILE).write_bytes(end)
        other = path.with_name("other")
        shutil.rmtree(other, ignore_errors=True)
        shutil.copytree(path, other)
        (other / SNAPSHOT).unlink()
        read.clear()
        with open_journal(path, device="bench-2") as one:
            assert len(one.state.records) == whole["count"] and len(set(read)) <= written + 8
            assert any("cut off" in say for say in one.report) or end == raw[:-1]
            with open_journal(other, device="bench-2") as two:
                assert one.report == two.report and one.device == two.device == "bench-2"
                assert everything(one) == everything(two)
        assert (path / FILE).read_bytes() == (other / FILE).read_bytes() == raw


def test_a_torn_end_that_a_backup_still_holds_is_filled_from_it(copied: tuple[Path, dict[str, Any]]) -> None:
    path, _before = copied
    kept = (path / SNAPSHOT).read_bytes()
    with open_journal(path, device="bench-2") as journal:
        journal.write("jar.assayed", JAR, assay(7.0))
        count = len(journal.state.records)
        journal.backup()
    (path / SNAPSHOT).write_bytes(kept)
    (path / FILE).write_bytes((path / FILE).read_bytes()[:-90])
    with open_journal(path, device="bench-2") as journal:
        assert len(journal.state.records) == count
        assert any("came back from" in say for say in journal.report)


def test_another_data_file_in_its_place_is_read_itself(copied: tuple[Path, dict[str, Any]]) -> None:
    path, _before = copied
    other = path.with_name("other")
    few = grown(other, 20)
    shutil.copy(other / FILE, path / FILE)
    with open_journal(path) as journal:
        assert told(journal.state) == {k: v for k, v in few.items() if k in told(journal.state)}


def test_another_program_makes_it_anew(copied: tuple[Path, dict[str, Any]], monkeypatch: pytest.MonkeyPatch) -> None:
    path, before = copied
    monkeypatch.setattr(snapshot, "rules_digest", lambda: "another")
    assert snapshot.load(path / SNAPSHOT, path / FILE) is None
    assert reopened(path) == before
    assert snapshot.load(path / SNAPSHOT, path / FILE) is not None
    monkeypatch.setattr(snapshot, "rules_digest", lambda: None)
    (path / SNAPSHOT).unlink()
    assert reopened(path) == before and not (path / SNAPSHOT).exists()


def test_the_digest_follows_every_room_that_decides_what_records_come_to(tmp_path: Path) -> None:
    program = tmp_path / "bench"
    shutil.copytree(snapshot.PROGRAM, program, ignore=shutil.ignore_patterns("__pycache__"))
    first = snapshot.digest_of(program)
    assert first == snapshot.rules_digest() is not None
    for changed in (
        "science/heat_work.py", "reference/data/targets.csv", "reckoning/__init__.py", "records/state.py",
        "journal/view.py",
    ):  # fmt: skip
        text = (program / changed).read_bytes()
        (program / changed).write_bytes(text + b"\n")
        assert snapshot.digest_of(program) != first, changed
        (program / changed).write_bytes(text)
    (program / "screens" / "__init__.py").write_text("# a page changes no number\n")
    assert snapshot.digest_of(program) == first


def test_a_full_disk_only_costs_the_snapshot(
    copied: tuple[Path, dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, before = copied
    (path / SNAPSHOT).unlink()
    (path / f"{SNAPSHOT}.new").mkdir()  # nothing can be written under this name
    assert reopened(path) == before and not (path / SNAPSHOT).exists()


def test_a_line_changed_under_an_open_bench_is_not_believed(copied: tuple[Path, dict[str, Any]]) -> None:
    path, _before = copied
    with open_journal(path, device="bench-2") as journal:
        raw = (path / FILE).read_bytes()
        with (path / FILE).open("r+b") as file:
            file.write(raw[:200].replace(b'"v":1', b'"v":2', 1))
        with pytest.raises(Unusable):
            list(journal.state.records.values())


def test_a_first_record_that_comes_second_counts_after_settling(tmp_path: Path) -> None:
    late = phone_record(4, seq=9, hlc=[START_MS - 5000, 0, "phone-kiln"], data=assay(8.0))
    with open_journal(tmp_path, device="bench-2") as journal:
        journal.receive([phone_record(n, seq=n + 1) for n in range(30)])
        assert journal.state.records[ulid(4)].data == assay(4.0)
        assert [r.status for r in journal.receive([late, late])] == ["conflict", "conflict"]
        assert journal.state.records[ulid(4)].data == assay(8.0)
        assert len(journal.conflicts) == 1 and len(journal.state.records) == 30
        before = everything(journal)
    assert reopened(tmp_path) == before
    with open_journal(tmp_path, HandClock(START_MS + 10**6), device="bench-2") as journal:
        journal.receive([phone_record(n, seq=n + 1) for n in range(30, 50)])
        after = everything(journal)
    (tmp_path / SNAPSHOT).unlink()
    assert reopened(tmp_path) == after


@pytest.mark.parametrize("stopped", [OSError, KeyboardInterrupt])
def test_reading_that_was_stopped_in_the_middle_begins_anew(
    copied: tuple[Path, dict[str, Any]], monkeypatch: pytest.MonkeyPatch, stopped: type[BaseException]
) -> None:
    """A disk that fails while the records are read, or Ctrl-C: half of them is never shown, and never kept."""
    path, before = copied
    (path / SNAPSHOT).unlink()
    lines = Shelf.lines

    def failing(self: Shelf, spots: range) -> Iterator[tuple[int, str, bytes]]:
        for each in lines(self, spots):
            if each[0] == 20:
                raise stopped
            yield each

    with open_journal(path, device="bench-2") as journal:
        monkeypatch.setattr(Shelf, "lines", failing)
        for _ in range(2):
            with pytest.raises(stopped):
                journal.state  # noqa: B018
        monkeypatch.setattr(Shelf, "lines", lines)
        assert everything(journal) == before
    (path / SNAPSHOT).unlink()
    with open_journal(path, device="bench-2") as journal:
        monkeypatch.setattr(Shelf, "lines", failing)
        with pytest.raises(stopped):
            journal.state  # noqa: B018
    assert not (path / SNAPSHOT).exists()
    monkeypatch.setattr(Shelf, "lines", lines)
    assert reopened(path) == before


def test_who_waits_is_told_how_far_it_has_come(
    copied: tuple[Path, dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, before = copied
    (path / SNAPSHOT).unlink()
    monkeypatch.setattr(view, "A_PIECE", 10)
    told: list[tuple[str, int, int]] = []
    heard = lambda *about: told.append(about)  # noqa: E731
    with Journal.open(path, clock=HandClock(), device="bench-2", heard=heard) as journal:
        checked = len(told)
        assert everything(journal) == before
        lines = len(journal.table)
    assert all(what == "checked" for what, _, _ in told[:checked])
    size = (path / FILE).stat().st_size - len(scanning.HEAD + scanning.TAIL)
    assert told[checked - 1] == ("checked", size, size) and checked > 3
    assert told[checked:] == [("read", n, lines) for n in range(0, lines, 10)]


@pytest.mark.parametrize("length", [0, 1, 899, 900, 901, 2_699, 2_700, 2_701])
def test_the_sums_of_blocks_go_on_from_any_block(tmp_path: Path, length: int) -> None:
    data = bytes(n * n % 251 for n in range(length))
    path = tmp_path / "blocks"
    path.write_bytes(data + b"behind the end")
    whole = [crc32(data[at : at + 900]) for at in range(0, length, 900)]
    with path.open("rb") as file:
        for first in range(len(whole) + 1):
            assert list(scanning.block_sums(file, first, length)) == whole[first:]
