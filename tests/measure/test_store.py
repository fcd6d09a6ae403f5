"""The store's measuring measures what it says: every rival keeps what it is given, and the figures follow from it."""

import json
import sqlite3
from pathlib import Path

import pytest
from tinydb import TinyDB

from bench.journal import FILE
from bench.journal.survey import survey
from bench.records.record import Record
from tests.measure.bulk import record
from tests.measure.store import MEMORY_DISK, append_figures, run, sync_figure
from tests.measure.store_core import KINDS, appends, group_gain
from tests.measure.store_opening import open_here, opened
from tests.measure.store_rivals import Ours, OursWhole, Raw, Rival, Sqlite, Stock, seed_ours

SIZE = 30


def kept(rival: type, folder: Path) -> int:
    if rival in (Ours, OursWhole):
        found = survey((folder / FILE).read_bytes())
        assert found.clean
        return len(found.lines)
    if rival is Sqlite:
        base = sqlite3.connect(folder / "rival.db")
        count = int(base.execute("SELECT count(*) FROM records").fetchone()[0])
        base.close()
        return count
    if rival is Stock:
        with TinyDB(folder / "stock.db") as base:
            return len(base)
    return (folder / "raw.lines").read_bytes().count(b"\n")


@pytest.mark.parametrize("kind", KINDS)
def test_each_rival_starts_with_the_seed_and_keeps_what_is_appended(kind: type, tmp_path: Path) -> None:
    rival: Rival = kind(tmp_path, SIZE)
    assert kept(kind, tmp_path) == SIZE
    for _ in range(3):
        rival.append()
    rival.close()
    assert kept(kind, tmp_path) == SIZE + 3


def test_sqlite_is_in_its_safest_mode(tmp_path: Path) -> None:
    rival = Sqlite(tmp_path, 2)
    assert rival._base.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert rival._base.execute("PRAGMA synchronous").fetchone() == (2,)  # 2 is FULL
    rival.close()


def test_the_seed_is_made_of_true_records() -> None:
    for number in (0, 1, 99_999):
        identity, doc = record(number)
        assert Record.from_dict({"id": identity, **doc}).seq == number + 1
    assert len({record(n)[0] for n in range(1000)}) == 1000


def test_appends_are_timed_for_every_rival() -> None:
    taken = appends(SIZE, rounds=4)
    assert set(taken) == {kind.name for kind in (Ours, OursWhole, Sqlite, Stock, Raw)}
    assert all(seconds > 0 for seconds in taken.values())


def test_opening_is_timed_here_and_in_a_process_of_its_own(tmp_path: Path) -> None:
    seed_ours(tmp_path, SIZE)
    for told in (open_here(tmp_path), opened(tmp_path)):
        assert set(told) == {"open_s", "fold_s", "query_s", "found", "memory_mb", "resident_mb"}
        assert told["open_s"] > 0 and told["fold_s"] > 0
    assert json.loads((tmp_path / FILE).read_bytes())["records"]


def test_writers_that_share_a_sync_are_faster_than_one() -> None:
    assert group_gain(writers=8, each=4, sync_s=0.01) > 2


def test_the_figures_follow_from_what_was_timed() -> None:
    taken = {"ours": 0.003, "journal": 0.004, "SQLite": 0.002, "stock TinyDB": 0.3, "write and sync": 0.0015}
    figures = append_figures(1000, taken)
    assert [figure.value for figure in figures] == pytest.approx([1.5, 2.0, 2.0, 100.0])
    assert figures[0].met is False and figures[0].note == "3.00 ms against 2.00 ms"
    assert append_figures(1000, taken | {"ours": 0.0024})[0].met is True


def test_a_whole_run_at_a_small_size() -> None:
    figures = run(sizes=(50,), rounds=3)
    assert len(figures) == 12 + 2 * MEMORY_DISK.is_dir() and all(figure.value >= 0 for figure in figures)
    assert figures[0].name == "append at 50 records, against SQLite WAL FULL"


def test_a_sync_of_known_length_is_added_to_both() -> None:
    figure = sync_figure(0.0002, 0.0001, 0.0001, 1.4)
    assert figure.value == pytest.approx(1.5) and figure.met is False
    assert sync_figure(0.0002, 0.0001, 0.0041, 1.4).value == pytest.approx(43 / 42)
