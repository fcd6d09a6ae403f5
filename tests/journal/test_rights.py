"""The data is its owner's alone: what is made is closed, and what an earlier version left open is closed on opening."""

import os
import stat
from pathlib import Path

import pytest

from tests.journal.helpers import assay, open_journal, ulid

JAR = ulid(9_000_000)
pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows keeps rights in another way")


def open_to_others(folder: Path) -> list[str]:
    everything = [folder, *folder.rglob("*")]
    return [str(path.relative_to(folder)) for path in everything if stat.S_IMODE(path.stat().st_mode) & 0o077]


def test_what_is_made_is_closed_to_others(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        with open_journal(tmp_path / "new" / "data") as journal:
            journal.write("jar.assayed", JAR, assay(1))
            journal.backup()
            journal.safe.set_aside()
            journal._keep_snapshot()
        open_journal(tmp_path / "new" / "data").close()
    finally:
        os.umask(before)
    assert open_to_others(tmp_path / "new" / "data") == []
    assert (tmp_path / "new" / "data" / "saggar.snapshot").exists()


def test_what_an_earlier_version_left_open_is_closed_on_opening(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with open_journal(folder) as journal:
        journal.write("jar.assayed", JAR, assay(1))
        journal.backup()
    (folder / "photos").mkdir()
    (folder / "photos" / "a.jpg").write_bytes(b"picture")
    for path in [folder, *folder.rglob("*")]:
        path.chmod(0o755 if path.is_dir() else 0o644)
    open_journal(folder).close()
    assert open_to_others(folder) == []
    assert stat.S_IMODE((folder / "photos" / "a.jpg").stat().st_mode) == 0o600
    assert stat.S_IMODE((folder / "photos").stat().st_mode) == 0o700


def test_what_lies_elsewhere_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("not ours")
    (tmp_path / "elsewhere").chmod(0o644)
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "link").symlink_to(tmp_path / "elsewhere")
    open_journal(tmp_path / "data").close()
    assert stat.S_IMODE((tmp_path / "elsewhere").stat().st_mode) == 0o644
