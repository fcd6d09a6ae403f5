"""Turns: a record is read as soon as it is queued, and nothing that was read is answered before it is on the disk."""

import errno
import os
import random
import threading
from functools import partial
from pathlib import Path

import pytest

from bench.journal import Journal, NotKept
from bench.journal.disk import Disk, put
from bench.journal.lines import TAIL
from tests.journal.helpers import assay, open_journal, ulid
from tests.journal.test_journal import run

JAR = ulid(9_000_000)


class SlowDisk:
    """A disk whose sync waits until it is let go, and then fails where that was asked for."""

    def __init__(self, fails: bool = False) -> None:
        self.go, self.entered, self.fails = threading.Event(), threading.Event(), fails

    def sync(self, _fd: int) -> None:
        self.entered.set()
        assert self.go.wait(10)
        if self.fails:
            self.fails = False
            raise OSError(errno.EIO, os.strerror(errno.EIO))


def writing_turn(journal: Journal, n: int, done: list[tuple[int, bool]]) -> None:
    turn = journal.turn()
    turn.begin()
    journal.write("jar.assayed", JAR, assay(n), id=ulid(n))
    turn.leave()
    done.append((n, turn.failed))


def reading_turn(journal: Journal, seen: list[tuple[int, bool]]) -> None:
    turn = journal.turn()
    turn.begin()
    count = len(journal.state.rows(JAR, "jar.assayed"))
    turn.leave()
    seen.append((count, turn.failed))


@pytest.mark.parametrize("fails", [False, True])
def test_what_a_turn_read_is_on_the_disk_when_its_answer_goes_out(tmp_path: Path, fails: bool) -> None:
    disk = SlowDisk(fails)
    written: list[tuple[int, bool]] = []
    seen: list[tuple[int, bool]] = []
    with open_journal(tmp_path, disk=Disk(sync=disk.sync)) as journal:
        writer = threading.Thread(target=writing_turn, args=(journal, 1, written))
        writer.start()
        assert disk.entered.wait(10)
        reader = threading.Thread(target=reading_turn, args=(journal, seen))
        reader.start()
        reader.join(0.05)
        assert reader.is_alive() and not seen and not written
        disk.go.set()
        writer.join(10)
        reader.join(10)
        assert written == [(1, fails)] and seen == [(1, fails)]
        assert len(journal.state.rows(JAR, "jar.assayed")) == (0 if fails else 1)


def test_eight_at_once_share_their_syncs(tmp_path: Path) -> None:
    done: list[tuple[int, bool]] = []

    def slow(_fd: int) -> None:
        threading.Event().wait(0.02)

    with open_journal(tmp_path, disk=Disk(sync=slow)) as journal:

        def writer(first: int) -> None:
            for n in range(first, first + 12):
                writing_turn(journal, n, done)

        run([partial(writer, 100 * k) for k in range(8)])
        assert len(done) == 96 and not any(failed for _, failed in done)
        assert journal._base.file.commits <= 28


def test_what_stands_on_a_write_that_failed_fails_with_it(tmp_path: Path) -> None:
    disk = SlowDisk(fails=True)
    with open_journal(tmp_path, disk=Disk(sync=disk.sync)) as journal:
        done: list[tuple[int, bool]] = []
        first = threading.Thread(target=writing_turn, args=(journal, 1, done))
        first.start()
        assert disk.entered.wait(10)
        second = journal.turn()
        second.begin()
        assert len(journal.state.rows(JAR, "jar.assayed")) == 1
        disk.go.set()
        first.join(10)
        with pytest.raises(NotKept):  # decided on what is no longer so
            journal.write("jar.assayed", JAR, assay(2), id=ulid(2))
        second.leave()
        assert done == [(1, True)] and second.failed and not journal.state.rows(JAR, "jar.assayed")


def test_at_once_the_refusal_of_the_disk_is_raised_inside_the_turn(tmp_path: Path) -> None:
    def failing(_fd: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    with open_journal(tmp_path, disk=Disk(sync=failing)) as journal:
        turn = journal.turn(at_once=True)
        turn.begin()
        with pytest.raises(NotKept, match="did not confirm"):
            journal.write("jar.assayed", JAR, assay(1))
        turn.leave()
        assert not turn.failed


@pytest.mark.parametrize("seed", range(4))
def test_threads_over_a_disk_that_often_refuses_show_and_keep_the_same(tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)

    def flaky(fd: int, data: bytes, at: int) -> int:
        threading.Event().wait(0.001)
        if data != TAIL and rng.random() < 0.2:
            put(fd, data[: rng.randrange(len(data))], at)
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return put(fd, data, at)

    acknowledged: set[str] = set()
    shown: set[str] = set()
    with open_journal(tmp_path, disk=Disk(put=flaky, sync=lambda fd: None)) as journal:

        def request(act: int, page: str) -> None:
            for attempt in range(3):
                turn = journal.turn(at_once=attempt > 0)
                turn.begin()
                read: set[str] = set()
                try:
                    read = {record.id for record in journal.state.rows(JAR, "jar.assayed")}
                    kept = []
                    if act == 1:
                        kept = [journal.write("jar.assayed", JAR, assay(len(read)), id=page).id]
                    elif act == 2 and read:
                        kept = [journal.write("withdrawn", JAR, {"ids": [min(read)], "why": "slip"}, id=page).id]
                except NotKept:
                    kept, read = [], set()
                finally:
                    turn.leave()
                if not turn.failed:
                    acknowledged.update(kept)
                    shown.update(read)
                    return

        def browser(first: int) -> None:
            own = random.Random(first)
            for n in range(first, first + 25):
                request(own.choice((0, 1, 1, 2)), ulid(n))

        run([partial(browser, 100 * k) for k in range(6)])
        assert journal._base.file.failures and acknowledged
        live = {record.id for record in journal.state.rows(JAR, "jar.assayed")}
        everything = set(journal.state.records)
        assert acknowledged <= everything and shown <= everything
    with open_journal(tmp_path) as journal:
        assert set(journal.state.records) == everything and not journal.report
        assert {record.id for record in journal.state.rows(JAR, "jar.assayed")} == live


@pytest.mark.parametrize("at_once", [False, True])
def test_what_was_read_and_then_dropped_calls_the_turn_off(tmp_path: Path, at_once: bool) -> None:
    disk = SlowDisk(fails=True)
    written: list[tuple[int, bool]] = []
    with open_journal(tmp_path, disk=Disk(sync=disk.sync)) as journal:
        writer = threading.Thread(target=writing_turn, args=(journal, 1, written))
        writer.start()
        assert disk.entered.wait(10)
        turn = journal.turn(at_once)
        turn.begin()
        assert len(journal.state.rows(JAR, "jar.assayed")) == 1
        disk.go.set()
        writer.join(10)
        turn.leave()
        assert written == [(1, True)] and turn.failed


def test_cuts_between_any_two_steps_take_nothing_that_was_shown(tmp_path: Path) -> None:
    from tests.measure.crash_turns import cut_by_name

    found = cut_by_name(tmp_path, seed=4)
    assert found.cuts > 200 and found.acks > 1000
    assert (found.lost, found.wrong) == (0, 0)
