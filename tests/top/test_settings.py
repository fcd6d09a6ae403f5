"""Where things are kept: the folder, its rights, the secret that signs cookies, and the assets."""

import os
import stat
from pathlib import Path

import pytest

from bench.settings import Settings, asset_folder, default_data_folder, make_folders, session_key, write_secret

POSIX = pytest.mark.skipif(os.name == "nt", reason="Windows has other rights")


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings over a folder that is not there yet."""
    made = Settings(data=tmp_path / "a" / "b")
    make_folders(made)
    return made


def test_the_folder_holds_what_the_readme_says(settings: Settings) -> None:
    assert settings.file.name == "saggar.json"
    assert {path.name for path in settings.data.iterdir()} == {"photos", "keys", "backups"}
    make_folders(settings)


@POSIX
def test_secrets_are_their_owners_alone(settings: Settings) -> None:
    session_key(settings)
    assert stat.S_IMODE(settings.keys.stat().st_mode) == 0o700
    assert [stat.S_IMODE(path.stat().st_mode) for path in settings.keys.iterdir()] == [0o600]


def test_the_secret_is_made_once_and_differs_between_benches(settings: Settings, tmp_path: Path) -> None:
    other = Settings(data=tmp_path / "other")
    make_folders(other)
    key = session_key(settings)
    assert len(key) == 32
    assert session_key(settings) == key != session_key(other)


def test_a_torn_secret_is_made_anew(settings: Settings) -> None:
    key = session_key(settings)
    (settings.keys / "session.key").write_bytes(key[:7])
    assert len(session_key(settings)) == 32


def test_a_secret_that_cannot_be_written_leaves_nothing_behind(settings: Settings) -> None:
    (settings.keys / "taken").mkdir()
    with pytest.raises(OSError):
        write_secret(settings.keys / "taken", b"x")
    assert [path.name for path in settings.keys.iterdir()] == ["taken"]


@POSIX
def test_a_secret_and_its_name_are_on_the_disk(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[bool] = []
    monkeypatch.setattr(os, "fsync", lambda fd: synced.append(stat.S_ISDIR(os.fstat(fd).st_mode)))
    write_secret(settings.keys / "secret", b"x")
    assert synced == [False, True], "the file, then its folder"


def test_the_default_folder_is_the_persons_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    folder = default_data_folder()
    assert folder.is_absolute()
    assert "saggar" in folder.parts


@pytest.mark.parametrize("name", ["templates", "static", "labels"])
def test_the_assets_are_found(name: str) -> None:
    assert asset_folder(name).is_dir()


def test_other_names_are_no_assets() -> None:
    with pytest.raises(ValueError, match="no such folder"):
        asset_folder("tests")
