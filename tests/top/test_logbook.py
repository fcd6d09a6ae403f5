"""The log file says what happened, and neither who, nor where, nor what was typed."""

import logging
import os
import stat
from pathlib import Path

import pytest

from bench import logbook
from bench.journal import Journal
from tests.journal.helpers import assay, open_journal, ulid

log = logging.getLogger("bench")


def lines(data: Path) -> str:
    return (data / "log" / "saggar.log").read_text("utf-8")


def test_it_tells_what_happened_without_whom_and_what(tmp_path: Path) -> None:
    with logbook.written(tmp_path):
        log.info("let in %s through the door %s", "Anna's phone", "tls")
        log.warning("a wrong pairing code from %s, number %d in a row", "192.168.3.4", 7)
        log.error("%s %s failed", "POST", "/thing/01J0000000000000000008JN20/correct")
        try:
            Journal.open(tmp_path / "nowhere" / "x", clock=None)  # type: ignore[arg-type]
        except AttributeError as error:
            log.error("it broke over %s", "cobalt blue, 3.5 g", exc_info=error)
    said = lines(tmp_path)
    assert "let in … through the door tls" in said and "number 7 in a row" in said
    assert "POST /thing/…/correct failed" in said
    assert "AttributeError at bench/journal/journal.py:" in said
    for secret in ("Anna", "192.168", "cobalt", "01J000"):
        assert secret not in said
    assert all(line[:4].isdigit() and line[19] == "Z" for line in said.splitlines())


def test_the_journal_tells_of_backups_and_of_what_is_missing(tmp_path: Path) -> None:
    with logbook.written(tmp_path):
        with open_journal(tmp_path) as journal:
            journal.write("jar.assayed", ulid(9_000_000), assay(1))
        open_journal(tmp_path).close()
        (tmp_path / "saggar.json").unlink()
        open_journal(tmp_path).close()
    said = lines(tmp_path)
    assert "backup made of 1 records" in said and "records are missing; backups that hold more: 1" in said


def test_it_is_rotated_and_its_owners_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(logbook, "BYTES", 2_000)
    with logbook.written(tmp_path):
        for n in range(500):
            log.info("reading %d", n)
    files = sorted((tmp_path / "log").iterdir())
    assert len(files) == 4 and all(path.stat().st_size <= 2_000 for path in files)
    assert "reading 499" in lines(tmp_path)
    if os.name != "nt":
        assert all(stat.S_IMODE(path.stat().st_mode) == 0o600 for path in files)


def test_without_room_for_it_the_bench_goes_on(tmp_path: Path) -> None:
    (tmp_path / "log").write_text("a file where the folder should be")
    with logbook.written(tmp_path):
        log.info("said to nobody")
    assert log.handlers == [] or all(not isinstance(one, logbook.Quiet) for one in log.handlers)
