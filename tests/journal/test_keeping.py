"""The lock, the backups, upgrades on reading, clocks and synchronised folders."""

import errno
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from bench.journal import Held, Journal, Unusable, journal
from bench.journal import backups as backups_of
from bench.journal.clouds import cloud_warning
from bench.journal.hlc import MOST_AHEAD_MS, HybridClock
from bench.journal.lines import HEAD, TAIL
from bench.journal.survey import survey
from bench.journal.upgrade import UPGRADES, upgraded
from tests.journal.helpers import START_MS, HandClock, assay, open_journal, phone_record, ulid

JAR = ulid(9_000_000)
DAY = 86_400_000
HOLDER = """
import sys
from pathlib import Path
from bench.journal import Held, Journal
from tests.journal.helpers import HandClock
try:
    journal = Journal.open(Path(sys.argv[1]), clock=HandClock())
except Held as held:
    print(held.say, flush=True)
else:
    print("open", flush=True)
    sys.stdin.read()
"""


def other_process(folder: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path.cwd(),
    )


def test_a_second_process_is_told_who_holds_the_folder(tmp_path: Path) -> None:
    with open_journal(tmp_path), other_process(tmp_path) as second:
        said, _ = second.communicate()
    assert said == (
        f"Another Saggar has this data folder open: process {os.getpid()} on {socket.gethostname()}, "
        "since 2026-05-28T20:26:40.001Z. Use that one, or close it first. Two at once would overwrite each other.\n"
    )


def test_a_killed_process_leaves_the_folder_free(tmp_path: Path) -> None:
    with other_process(tmp_path) as first:
        assert first.stdout is not None and first.stdout.readline() == "open\n"
        with pytest.raises(Held, match=f"process {first.pid} on "):
            open_journal(tmp_path)
        first.send_signal(signal.SIGKILL)
        first.wait()
    open_journal(tmp_path).close()
    assert not (tmp_path / "saggar.holder").exists()


def test_a_folder_can_be_opened_again_after_it_could_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(errno.EACCES, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(journal, "RecordBase", refuse)
        with pytest.raises(Unusable, match="cannot be used: Permission denied"):
            open_journal(tmp_path)
    open_journal(tmp_path).close()


def backups(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "backups").glob("*.backup"))


def test_a_backup_a_day_and_the_newest_seven_are_kept(tmp_path: Path) -> None:
    open_journal(tmp_path).close()
    assert not backups(tmp_path)  # nothing to keep yet
    for day in range(9):
        with open_journal(tmp_path, HandClock(START_MS + day * DAY)) as journal:
            journal.write("jar.assayed", JAR, assay(day))
        with open_journal(tmp_path, HandClock(START_MS + day * DAY)):
            pass
    days = ["05-30", "05-31", "06-01", "06-02", "06-03", "06-04", "06-05"]
    assert backups(tmp_path) == [f"saggar-2026-{day}.backup" for day in days]
    assert [p.suffix for p in tmp_path.rglob("*.json")] == [".json"]


def test_a_backup_is_a_whole_file_as_of_the_last_commit(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        assert journal.backup(tmp_path / "stick").read_bytes() == HEAD + TAIL
        journal.write("jar.assayed", JAR, assay(1))
        kept = journal.backup(tmp_path / "stick")
        assert kept.read_bytes() == (tmp_path / "saggar.json").read_bytes()
        journal.write("jar.assayed", JAR, assay(2))
        assert survey(kept.read_bytes()).clean and len(survey(kept.read_bytes()).lines) == 1


def test_a_backup_that_fails_is_told_and_the_bench_opens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_journal(tmp_path) as first:
        first.write("jar.assayed", JAR, assay(1))

    def full(*_: object) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(backups_of, "replace_file", full)
    with open_journal(tmp_path) as opened:
        assert opened.report == ["Today's backup could not be made: No space left on device."]


def test_an_older_version_reads_as_todays_and_stays_as_it_was_on_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Version 0 never existed: the steps stand for those that a later change of a kind will bring.
    old = phone_record(1, v=7, kind="jar.assayed", data={"before_mg": 2000.0})
    monkeypatch.setitem(UPGRADES, ("jar.assayed", 7), lambda data: {"before_g": data["before_mg"] / 1000})
    monkeypatch.setitem(UPGRADES, ("jar.assayed", 8), lambda data: {**data, "after_g": 1.0, "at_c": 110.0})
    monkeypatch.setitem(UPGRADES, ("jar.assayed", 9), lambda data: {**data, "at_c": 100.0})
    assert upgraded(old)["v"] == 10 and upgraded(old)["data"] == {"before_g": 2.0, "after_g": 1.0, "at_c": 100.0}
    assert old["data"] == {"before_mg": 2000.0}
    with open_journal(tmp_path) as journal:
        assert journal.receive([old])[0].status == "new" and journal.receive([old])[0].status == "same"
        assert journal.receive([phone_record(2, v=7, data={"no": 1})])[0].status == "refused"
        assert journal.records(JAR)[0].v == 10
    assert b'"v":7' in (tmp_path / "saggar.json").read_bytes()
    with open_journal(tmp_path) as journal:
        assert journal.records(JAR)[0].data["at_c"] == 100.0 and not journal.conflicts


def test_unknown_kinds_and_versions_are_given_back_as_they_are() -> None:
    raw = phone_record(1, kind="moon.seen", v=3)
    assert upgraded(raw) is raw


def test_order_marks_only_ever_grow() -> None:
    wall = [100]
    clock = HybridClock(lambda: wall[0], (90, 4))
    marks = [clock.tick(), clock.tick()]
    wall[0] = 50
    marks.append(clock.tick())
    assert clock.saw((60 + MOST_AHEAD_MS, 7)) == 0
    marks.append(clock.tick())
    assert clock.saw((10 * MOST_AHEAD_MS, 0)) == 10 * MOST_AHEAD_MS - 90
    marks.append(clock.tick())
    clock.follow((20 * MOST_AHEAD_MS, 1))
    marks.append(clock.tick())
    assert marks == sorted(set(marks)) and marks[0] == (100, 0) and marks[-1] == (20 * MOST_AHEAD_MS, 2)
    assert clock.behind_ms == 40


def test_a_synchronised_folder_is_warned_about(tmp_path: Path) -> None:
    assert cloud_warning(tmp_path / "bench", {}) is None
    for place in ("Dropbox", "OneDrive - home", "Mobile Documents"):
        warning = cloud_warning(tmp_path / place / "bench", {})
        assert warning is not None and f"({place})" in warning
    (tmp_path / "shared" / ".stfolder").mkdir(parents=True)
    assert cloud_warning(tmp_path / "shared" / "bench", {}) is not None
    assert cloud_warning(tmp_path / "work" / "bench", {"OneDrive": str(tmp_path / "work")}) is not None


def test_the_warning_is_in_the_report(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "Dropbox" / "bench", clock=HandClock()) as journal:
        assert "inside a synced folder" in journal.report[0]
