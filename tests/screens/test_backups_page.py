"""Backups on the screen: the question on the first page, a look before anything is done, and the way back."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.settings import Settings
from tests.conftest import TOKEN, Keeper, app_of

JAR = {"reagent": "ZnO", "formula": "ZnO", "hydrate_known": True, "lot": "1", "net_g": 100.0}


@pytest.fixture
def opened(settings: Settings, keeper: Keeper) -> Iterator[Any]:
    """Opens the bench on the same folder, as often as asked; the one before is closed."""
    before: list[Flask] = []

    def again() -> FlaskClient:
        close()
        before.append(app_of(settings, keeper))
        before[-1].testing = True
        return before[-1].test_client()

    def close() -> None:
        for app in before:
            app.extensions["listening"].stop()
            app.extensions["bench"].journal.close()
        before.clear()

    again.close = close  # type: ignore[attr-defined]
    again.journal = lambda: before[-1].extensions["bench"].journal  # type: ignore[attr-defined]
    yield again
    close()


def jars(opened: Any, count: int) -> list[str]:
    return [opened.journal().write("jar.opened", None, JAR).id for _ in range(count)]


def post(client: FlaskClient, path: str, **fields: str) -> str:
    token = TOKEN.search(client.get("/looks/").text)
    assert token
    answer = client.post(path, data={"token": token[1], **fields}, follow_redirects=True)
    assert answer.status_code == 200
    return answer.text


def lost(opened: Any, settings: Settings, count: int) -> FlaskClient:
    """A bench whose file went missing after a backup of so many records."""
    opened()
    jars(opened, count)
    opened.journal().backup()
    opened.close()
    settings.file.unlink()
    client: FlaskClient = opened()
    return client


def test_a_missing_file_is_asked_about_on_the_first_page_until_it_is_settled(opened: Any, settings: Settings) -> None:
    client = lost(opened, settings, 12)
    for _ in range(2):
        page = client.get("/").text
        assert "Records are missing" in page and "holds 12 records" in page
        assert "Use the backup of 2026-11-12 with 12 records" in page and "Start empty" in page
        client = opened()
    copy = str(settings.backups / "saggar-2026-11-12.backup")
    assert "12 records imported" in post(client, "/backups/take", copy=copy)
    assert "Records are missing" not in client.get("/").text
    assert len(opened.journal().state.records) == 12


def test_to_start_empty_is_one_key_and_removes_no_copy(opened: Any, settings: Settings) -> None:
    client = lost(opened, settings, 3)
    assert "backups/left" in post(client, "/backups/without")
    assert "Records are missing" not in client.get("/").text
    assert [path.name for path in (settings.backups / "left").iterdir()] == ["saggar-2026-11-12.backup"]
    assert "saggar-2026-11-12.backup" in client.get("/backups").text, "it is still shown among the copies"


def test_a_look_says_what_is_new_on_both_sides_before_anything_is_done(
    opened: Any, settings: Settings, tmp_path: Path
) -> None:
    client = opened()
    jars(opened, 4)
    opened.close()
    shutil.copytree(settings.data, tmp_path / "other")
    client = opened()
    jars(opened, 2)
    page = client.get("/backups/look", query_string={"copy": str(tmp_path / "other")}).text
    assert "Import 0 records" in page and "This removes 2 records from the bench" in page
    assert len(opened.journal().state.records) == 6


def test_going_back_is_done_at_the_next_opening_and_can_itself_be_undone(opened: Any, settings: Settings) -> None:
    client = opened()
    jars(opened, 5)
    copy = opened.journal().backup()
    jars(opened, 3)
    assert "At the next start the bench goes back to" in post(client, "/backups/back", copy=str(copy))
    assert "stays as it is" in post(client, "/backups/back")
    post(client, "/backups/back", copy=str(copy))
    client = opened()
    assert len(opened.journal().state.records) == 5
    assert "was restored with 5 records" in client.get("/").text
    assert "Records are missing" not in client.get("/").text, "going back was the maker's own will"
    (before,) = settings.backups.glob("*.before")
    assert "3 records imported" in post(client, "/backups/take", copy=str(before))
    assert len(opened.journal().state.records) == 8


def test_a_second_folder_must_be_there_when_it_is_set(opened: Any, tmp_path: Path) -> None:
    client = opened()
    token = TOKEN.search(client.get("/looks/").text)
    assert token
    for wrong, say in (("stick", "Type the whole path"), (str(tmp_path / "no"), "There is no such folder now")):
        answer = client.post("/backups/folder", data={"token": token[1], "folder": wrong})
        assert answer.status_code == 422 and say in answer.text and f'value="{wrong}"' in answer.text
    (tmp_path / "stick").mkdir()
    assert "Second folder saved" in post(client, "/backups/folder", folder=str(tmp_path / "stick"))
    opened.journal().safe.tend()
    assert "1 of 1 records are there" in client.get("/backups").text
    assert "backup_folder" not in client.get("/backups").text


@pytest.mark.parametrize(
    ("copy", "say"),
    [("", "Name the file first"), ("x.json", "There is no such file"), ("/dev/null", "is empty")],
)
def test_what_is_no_copy_is_refused_beside_the_field(opened: Any, copy: str, say: str) -> None:
    answer = opened().get("/backups/look", query_string={"copy": copy})
    assert say in answer.text and answer.status_code in (200, 422)


def test_a_phone_reads_but_takes_nothing_in(opened: Any, settings: Settings) -> None:
    client = lost(opened, settings, 2)
    away = {"bench.door": "yard"}
    assert client.post("/backups/without", environ_overrides=away).status_code == 403
    assert opened.journal().safe.shortfall is not None


def test_two_laptops_come_together_over_a_folder_after_a_look(opened: Any, settings: Settings, tmp_path: Path) -> None:
    from bench.journal.shared_folder import SharedFolder
    from tests.journal.helpers import open_journal

    (tmp_path / "stick").mkdir()
    with open_journal(tmp_path / "other", device="other") as other:
        other.write("jar.opened", None, JAR)
        other.syncing.sync(SharedFolder(tmp_path / "stick", "other"))
    client = opened()
    jars(opened, 2)
    assert "Shared folder saved" in post(client, "/backups/shared", folder=str(tmp_path / "stick"))
    page = client.get("/backups/shared").text
    assert "another workshop" in page and len(opened.journal().state.records) == 3
    assert opened.journal().sync_shared() is None, "a stranger's folder is not taken in by itself"
    page = post(client, "/backups/shared/now")
    assert "Copied here: 1 records, 0 photos or files. Copied there: 3 records, 0 photos or files." in page
    assert "Both sides hold the same" in page and len(opened.journal().state.records) == 4
    with open_journal(tmp_path / "other", device="other") as other:
        assert other.syncing.sync(SharedFolder(tmp_path / "stick", "other")).new_here == 3
    assert client.get("/backups/shared", environ_overrides={"bench.door": "yard"}).status_code in (302, 403)
