"""Going back to an earlier copy, by files on the disk: what becomes of the order, of the file, of what was there."""

from pathlib import Path

import pytest

from bench.journal.disk import replace_file
from bench.journal.restoring import order_restore, ordered_restore, restore_ordered
from tests.journal.helpers import assay, open_journal, ulid

STAMP = "20300102-030405"


def table_of(folder: Path, count: int) -> bytes:
    """A data file of so many records, as the bench writes it."""
    with open_journal(folder) as journal:
        for number in range(count):
            journal.write("jar.assayed", ulid(9_000_000), assay(number + 1.0))
    return (folder / "saggar.json").read_bytes()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A data file of two records."""
    path = tmp_path / "saggar.json"
    path.write_bytes(table_of(tmp_path / "two", 2))
    return path


@pytest.mark.parametrize("holds", [b"", b"no bench at all", b'{"records": {}}'])
def test_a_copy_that_holds_nothing_restores_nothing_and_is_not_tried_again(file: Path, holds: bytes) -> None:
    copy = file.parent / "copy.json"
    copy.write_bytes(holds)
    was = file.read_bytes()
    order_restore(file.parent, copy)
    said = restore_ordered(file.parent, file, STAMP)
    assert said is not None and said.startswith("Nothing was restored")
    assert file.read_bytes() == was
    assert ordered_restore(file.parent) is None and restore_ordered(file.parent, file, STAMP) is None


def test_a_copy_that_is_gone_restores_nothing_and_is_not_tried_again(file: Path) -> None:
    was = file.read_bytes()
    order_restore(file.parent, file.parent / "pulled out" / "copy.json")
    said = restore_ordered(file.parent, file, STAMP)
    assert said is not None and said.startswith("Nothing was restored")
    assert file.read_bytes() == was and ordered_restore(file.parent) is None


def test_going_back_keeps_what_was_there_and_can_itself_be_undone(file: Path) -> None:
    was = file.read_bytes()
    copy = file.parent / "copy.json"
    copy.write_bytes(table_of(file.parent / "one", 1))
    order_restore(file.parent, copy)
    said = restore_ordered(file.parent, file, STAMP)
    assert said is not None and "copy.json was restored with 1 record." in said
    (kept,) = (file.parent / "backups").glob("*.before")
    assert kept.read_bytes() == was and file.read_bytes() != was
    assert ordered_restore(file.parent) is None, "the next opening would throw away what was recorded since"
    order_restore(file.parent, kept)
    assert "2 records" in (restore_ordered(file.parent, file, STAMP) or "")


def test_no_order_is_no_restore_and_an_order_taken_back_is_none(file: Path) -> None:
    assert restore_ordered(file.parent, file, STAMP) is None
    order_restore(file.parent, file)
    assert ordered_restore(file.parent) == file
    order_restore(file.parent, None)
    order_restore(file.parent, None)
    assert restore_ordered(file.parent, file, STAMP) is None


def test_an_order_that_cannot_be_read_as_text_is_no_order(file: Path) -> None:
    order_restore(file.parent, file)
    replace_file(file.parent / "keys" / "restore.txt", b"\xff\xfe\x00")
    assert ordered_restore(file.parent) is None
