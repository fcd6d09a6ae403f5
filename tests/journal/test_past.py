"""Data files as earlier programs wrote them, two records of every kind in each: they open as they are, and for ever.

Each was written by the program of its day, not by today's; `43-kinds` by the first that folded records at all. A file
here is never made anew: its digest stands beside it. One more is added when a kind is added or changes.
"""

import hashlib
import json
import random
import shutil
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from bench.journal import FILE, Journal
from bench.journal.snapshot import SNAPSHOT
from bench.journal.view import folded
from bench.records.kinds import KINDS
from bench.records.record import Record
from tests.journal.helpers import START_MS, HandClock
from tests.records.test_compacting import told

PAST = Path(__file__).with_name("past")
WRITTEN = {
    "43-kinds": "b18ad84bb0bb1fd1",
    "45-kinds": "af601ac987764d2a",
    "46-kinds": "8b6b6aa0bb728517",
}
ANSWERS = {"fine": "done", "stop": "not-done"}
"""What a check of the first lists said, in the words of those that make a statement."""


def raw_records(name: str) -> dict[str, dict[str, Any]]:
    """The records as they stand in the file, by their ids: read by Python's own JSON."""
    found: dict[str, dict[str, Any]] = json.loads((PAST / f"{name}.json").read_bytes())["records"]
    return found


def opened(folder: Path, name: str) -> Journal:
    """A folder with a copy of the file, open."""
    folder.mkdir(exist_ok=True)
    shutil.copy(PAST / f"{name}.json", folder / FILE)
    return Journal.open(folder, clock=HandClock(START_MS + 10**11), device="bench-2")


@pytest.mark.parametrize("name", WRITTEN)
def test_it_opens_without_a_word_and_stays_as_it_is(name: str, tmp_path: Path) -> None:
    before = (PAST / f"{name}.json").read_bytes()
    assert hashlib.blake2b(before, digest_size=8).hexdigest() == WRITTEN[name], "a file of the past is never made anew"
    with opened(tmp_path, name) as journal:
        state = journal.state
        assert journal.report == [] and not state.unknown and set(state.records) == set(raw_records(name))
        counts = Counter(record.kind for record in state.records.values())
        assert min(counts.values()) >= 2 and len(counts) == int(name.partition("-")[0]) and set(counts) <= set(KINDS)
    assert (tmp_path / FILE).read_bytes() == before


@pytest.mark.parametrize("name", WRITTEN)
def test_every_record_reads_as_todays_and_says_what_it_said(name: str, tmp_path: Path) -> None:
    raw = raw_records(name)
    with opened(tmp_path, name) as journal:
        for identity, record in journal.state.records.items():
            assert Record.from_dict(record.to_dict()) == record and record.v == KINDS[record.kind].version
            was, now = raw[identity], record.to_dict()
            data = dict(was["data"])
            if record.kind == "check.answered" and was["v"] == 1:
                reason = data.pop("why", None)
                data["answer"] = ANSWERS.get(data["answer"], data["answer"])
                data |= {} if reason is None else {"reason": reason}
            assert now["data"] == data
            assert {k: now.get(k) for k in was if k not in ("data", "v", "crc")} == {
                k: value for k, value in was.items() if k not in ("data", "v", "crc")
            }


@pytest.mark.parametrize("name", WRITTEN)
def test_it_folds_to_the_same_in_any_order_and_from_its_snapshot(name: str, tmp_path: Path) -> None:
    with opened(tmp_path, name) as journal:
        before = told(journal.state)
        records = list(journal.state.records.values())
        journal._keep_snapshot()
    random.Random(1).shuffle(records)
    with folded(records).reading() as state:
        assert told(state) == before
    assert (tmp_path / SNAPSHOT).exists()
    with Journal.open(tmp_path, clock=HandClock(START_MS + 10**11), device="bench-2") as journal:
        assert told(journal.state) == before


def test_another_program_keeps_the_file_of_the_one_before_ahead_of_its_first_write(tmp_path: Path) -> None:
    before = (PAST / "45-kinds.json").read_bytes()
    with opened(tmp_path, "45-kinds") as journal:
        journal.backup()
        journal.write("jar.assayed", journal.state.things("jar")[0], {"before_g": 3.0, "after_g": 1.0, "at_c": 110.0})
    newer = (tmp_path / FILE).read_bytes()
    (tmp_path / "keys" / "program.txt").write_text("an earlier program\n", "ascii")
    with Journal.open(tmp_path, clock=HandClock(START_MS + 10**11 + 60_000), device="bench-2") as journal:
        kept = [path.read_bytes() for path in (tmp_path / "backups").glob("*.backup")]
        assert newer in kept and (tmp_path / FILE).read_bytes() == newer and newer.startswith(before[:-4])
