"""A file of a layout to come is left alone and said so, by everything that opens files."""

from pathlib import Path

import pytest

from bench.cli import main
from bench.journal import Unusable
from bench.journal.lines import newer_layout
from tests.journal.helpers import assay, open_journal, ulid

NEXT = b'{"saggar":2,"records":{\n"01J":{"what":"a later program knows"}\n}}\n'
SAYS = r"was written by a newer Saggar \(layout 2; this one knows 1\)\. Update Saggar, then open it again\. Nothing was"


def test_it_is_not_opened_and_not_touched(tmp_path: Path) -> None:
    (tmp_path / "saggar.json").write_bytes(NEXT)
    for _ in range(2):
        with pytest.raises(Unusable, match=SAYS):
            open_journal(tmp_path)
    assert (tmp_path / "saggar.json").read_bytes() == NEXT
    assert not list((tmp_path / "backups").glob("*.damaged"))


def test_it_is_not_brought_in_put_back_or_repaired(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, other = tmp_path / "data", tmp_path / "other.backup"
    with open_journal(data) as journal:
        journal.write("jar.assayed", ulid(9_000_000), assay(1))
    before = (data / "saggar.json").read_bytes()
    other.write_bytes(NEXT)
    for words in (["merge", "--data", str(data), "--yes"], ["restore", "--data", str(data), "--yes"], ["repair"]):
        assert main([words[0], str(other), *words[1:]]) in (1, 2)
        assert "was written by a newer Saggar" in capsys.readouterr().err
    assert (data / "saggar.json").read_bytes() == before and other.read_bytes() == NEXT


@pytest.mark.parametrize("raw", [b"", b'{"records":{\n}}\n', b'{"saggar":1,', b'{"saggar":"two"', b"\xff\xfe{"])
def test_nothing_else_is_taken_for_one(raw: bytes) -> None:
    assert newer_layout(raw) is None
