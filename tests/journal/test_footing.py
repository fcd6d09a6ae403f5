"""The data file is replaced, moved, deleted or shortened while the bench writes: nothing acknowledged is lost."""

import errno
import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from bench.journal import Held, Journal, NotKept, Unusable
from bench.journal.disk import Disk, strongest
from bench.journal.lines import HEAD, TAIL
from bench.journal.survey import survey
from tests.journal.helpers import assay, open_journal, ulid

JAR = ulid(9_000_000)


def replaced(file: Path) -> None:
    older = file.with_name("older")
    older.write_bytes(HEAD + TAIL)
    older.replace(file)


def renamed(file: Path) -> None:
    file.rename(file.with_name("gone.json"))


def deleted(file: Path) -> None:
    file.unlink()


def halved(file: Path) -> None:
    os.truncate(file, file.stat().st_size // 2)


def emptied(file: Path) -> None:
    os.truncate(file, 0)


def grown(file: Path) -> None:
    with file.open("ab") as end:
        end.write(b"a line of somebody else\n")


HARM = [replaced, renamed, deleted, halved, emptied]


@pytest.mark.parametrize("harm", HARM)
def test_eight_writers_lose_nothing_when_the_file_is_taken_from_under_them(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    kept: list[str] = []
    stopped = threading.Event()

    with open_journal(tmp_path) as journal:
        before = [journal.write("jar.assayed", JAR, assay(n)).id for n in range(20)]

        def work() -> None:
            while not stopped.is_set():
                try:
                    kept.append(journal.write("jar.assayed", JAR, assay(len(kept))).id)
                except NotKept:
                    return

        threads = [threading.Thread(target=work) for _ in range(8)]
        [thread.start() for thread in threads]
        while len(kept) < 60 and any(thread.is_alive() for thread in threads):
            threading.Event().wait(0.001)
        harm(tmp_path / "saggar.json")
        [thread.join(10) for thread in threads]
        alive = [thread for thread in threads if thread.is_alive()]
        stopped.set()
        assert not alive, "the bench went on writing into a file that is no longer there"

    with open_journal(tmp_path) as journal:
        found = {record.id for record in journal.records(JAR)}
        assert found >= set(before) | set(kept)
        assert any("came back from backups/" in say for say in journal.report)
    with open_journal(tmp_path) as journal:
        assert {record.id for record in journal.records(JAR)} == found
        assert not any("came back" in say for say in journal.report)


def test_the_sentence_says_what_happened_and_where_the_records_are(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        first = journal.write("jar.assayed", JAR, assay(1)).id
        renamed(tmp_path / "saggar.json")
        with pytest.raises(NotKept) as trouble:
            journal.write("jar.assayed", JAR, assay(2))
        say = trouble.value.say
        assert "saggar.json was moved or deleted by another program while the bench was open" in say
        assert "Close the bench and open it again" in say
        (held,) = (tmp_path / "backups").glob("*.held")
        assert f"backups/{held.name}" in say and list(survey(held.read_bytes()).lines) == [first]
        with pytest.raises(NotKept, match="moved or deleted"):
            journal.write("jar.assayed", JAR, assay(3))
        assert len(list((tmp_path / "backups").glob("*.held"))) == 1


def test_a_file_that_somebody_else_adds_to_is_noticed(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        kept = journal.write("jar.assayed", JAR, assay(1)).id
        grown(tmp_path / "saggar.json")
        with pytest.raises(NotKept, match="was changed by another program"):
            journal.write("jar.assayed", JAR, assay(2))
    with open_journal(tmp_path) as journal:
        assert [record.id for record in journal.records(JAR)] == [kept]


def test_a_file_that_is_moved_while_nobody_writes_is_noticed_on_closing(tmp_path: Path) -> None:
    with open_journal(tmp_path) as journal:
        kept = journal.write("jar.assayed", JAR, assay(1)).id
        deleted(tmp_path / "saggar.json")
    with open_journal(tmp_path) as journal:
        assert [record.id for record in journal.records(JAR)] == [kept]


def test_a_deleted_lock_lets_no_second_process_in(tmp_path: Path) -> None:
    with open_journal(tmp_path / "data"):
        (tmp_path / "data" / "saggar.lock").unlink()
        with pytest.raises(Held, match="has this data folder open"):
            open_journal(tmp_path / "data")
        call = (
            "import sys; from pathlib import Path; from tests.journal.helpers import open_journal; "
            "from bench.journal import Held\n"
            "try: open_journal(Path(sys.argv[1]))\nexcept Held: print('held')"
        )
        second = subprocess.run(
            [sys.executable, "-c", call, str(tmp_path / "data")], capture_output=True, text=True, check=True
        )
        assert second.stdout.strip() == "held"
    with open_journal(tmp_path / "data") as journal:
        assert journal.write("jar.assayed", JAR, assay(1)).status == "new"


def failing(error: int) -> Callable[[int], None]:
    def fail(_fd: int) -> None:
        raise OSError(error, os.strerror(error))

    return fail


def test_nothing_is_answered_before_what_was_found_is_on_the_disk(tmp_path: Path) -> None:
    synced: list[int] = []
    with open_journal(tmp_path) as journal:
        kept = journal.write("jar.assayed", JAR, assay(1)).record
    with open_journal(tmp_path, disk=Disk(sync_found=synced.append)) as journal:
        assert len(synced) == 1
        assert journal.write("jar.assayed", JAR, assay(1), id=kept.id).status == "same"
    with pytest.raises(Unusable, match="Input/output error"):
        open_journal(tmp_path, disk=Disk(sync_found=failing(errno.EIO)))
    with open_journal(tmp_path) as journal:  # the folder is free again, and the file is written anew
        assert [record.id for record in journal.records(JAR)] == [kept.id]


def test_after_a_failed_sync_the_next_opening_writes_the_file_anew(tmp_path: Path) -> None:
    file = tmp_path / "saggar.json"
    with open_journal(tmp_path, disk=Disk(sync=failing(errno.EIO))) as journal, pytest.raises(NotKept):
        journal.write("jar.assayed", JAR, assay(1))
    before, content = file.stat().st_ino, file.read_bytes()
    keeper = file.with_name("keeper")
    os.link(file, keeper)  # keeps the number of the old file from being given out again
    open_journal(tmp_path).close()
    assert file.stat().st_ino != before and file.read_bytes() == content
    after = file.stat().st_ino
    open_journal(tmp_path).close()
    assert file.stat().st_ino == after, "once is enough"


@pytest.mark.parametrize("error", [errno.ENOTSUP, errno.EINVAL, errno.ENOTTY])
def test_a_volume_that_does_not_know_the_stronger_sync_gets_the_plain_one(error: int) -> None:
    plain: list[int] = []
    strongest(7, failing(error), plain.append)
    assert plain == [7]


def test_a_disk_that_fails_the_stronger_sync_is_not_asked_for_a_weaker_one() -> None:
    plain: list[int] = []
    with pytest.raises(OSError, match="Input/output error"):
        strongest(7, failing(errno.EIO), plain.append)
    assert not plain


def test_a_held_file_that_cannot_be_read_is_told_and_stays(tmp_path: Path) -> None:
    (tmp_path / "backups" / "saggar-x.held").mkdir(parents=True)
    journal: Journal
    with open_journal(tmp_path) as journal:
        assert any("saggar-x.held could not be imported" in say for say in journal.report)
    assert (tmp_path / "backups" / "saggar-x.held").exists()
