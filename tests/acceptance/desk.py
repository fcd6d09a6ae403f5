"""The demo's bench to try things on: put back as it was whenever a try has changed it much, and every form it shows."""

import pickle
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from html import unescape
from pathlib import Path
from typing import Any

from filelock import FileLock
from flask import Flask, g, request_finished
from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.test import TestResponse, encode_multipart

from bench.app import create_app
from bench.demo import fill
from bench.journal import Journal
from bench.settings import Settings
from tests.acceptance.addresses import addresses, few
from tests.acceptance.forms_of import PostForm, forms_of
from tests.acceptance.unshown import unshown
from tests.conftest import TOKEN, Keeper, app_of

LINK = re.compile(r'(?:href|src)="(/[^"]*)"')
GALLERY = "/look/"
MOST_NEW = 60
"""So many records may be added before the bench is put back as it was."""

Sent = dict[str, str | FileStorage]


@dataclass
class Desk:
    """The demo's bench, its client, and what the last answer refused, by field."""

    app: Flask
    keeper: Keeper
    folder: Path
    shared: Path
    refused: dict[str, str] = field(default_factory=dict)
    tried: int = 0
    landings: int = 0

    def __post_init__(self) -> None:
        self.client = self.app.test_client()
        found = TOKEN.search(self.client.get("/looks/").get_data(as_text=True))
        assert found
        self.token, self.start_ms, self.first = found[1], self.keeper.ms, self.records

    @property
    def records(self) -> int:
        """How many records are on the disk."""
        return len(self.app.extensions["bench"].state.records)

    @property
    def traces(self) -> tuple[int, int, int]:
        """All that a submit can leave: records, conflicts, photos."""
        here = self.app.extensions["bench"]
        return self.records, len(here.journal.conflicts), sum(1 for _ in here.settings.photos.rglob("*.*"))

    def put_back(self) -> None:
        """The bench as it was, where it was changed much."""
        if self.records - self.first > MOST_NEW:
            self.put_back_now()

    def put_back_now(self) -> None:
        """The bench as it was."""
        here = self.app.extensions["bench"]
        here.journal.close()
        shutil.rmtree(here.settings.data)
        shutil.copytree(self.folder / "as-it-was", here.settings.data)
        self.keeper.ms = self.start_ms
        journal = Journal.open(here.settings.data, clock=self.keeper)
        self.app.extensions["bench"] = replace(here, journal=journal)

    def get(self, path: str) -> TestResponse:
        """A page."""
        return self.client.get(path)

    def post(self, path: str, sent: Sent | MultiDict[str, Any]) -> TestResponse:
        """A form, with the session's token; what it refuses is then in `refused`."""
        self.refused = {}
        data = MultiDict(sent)
        data["token"] = self.token
        with request_finished.connected_to(self._note, self.app):
            if not any(isinstance(value, FileStorage) for value in data.values()):
                return self.client.post(path.partition("#")[0], data=data)
            boundary, body = encode_multipart(data)
            kind = f'multipart/form-data; boundary="{boundary}"'
            return self.client.post(path.partition("#")[0], data=body, content_type=kind)

    def _note(self, _app: Flask, **_more: Any) -> None:
        self.refused = dict(g.get("form_errors") or {})


def desk(folder: Path, shared: Path) -> Iterator[Desk]:
    """A desk over a throwaway folder. The demo is told once for all tests of a run, into `shared`."""
    keeper = Keeper()
    with FileLock(shared / "demo.lock"):
        if not (shared / "demo").exists():
            first = create_app(Settings(data=shared / "told", open_browser=False), keeper=Keeper())
            fill(first.extensions["bench"])
            first.extensions["bench"].journal.close()
            (shared / "told").rename(shared / "demo")
    shutil.copytree(shared / "demo", folder / "as-it-was")
    shutil.copytree(shared / "demo", folder / "data")
    app = app_of(Settings(data=folder / "data", open_browser=False), keeper)
    app.testing = True
    made = Desk(app, keeper, folder, shared)
    yield made
    app.extensions["bench"].journal.close()


def view_of(app: Flask, path: str, method: str = "POST") -> str:
    """The name of the view that answers an address."""
    plain = path.partition("#")[0].partition("?")[0]
    return str(app.url_map.bind("localhost").match(plain, method=method)[0])


def all_forms(desk: Desk) -> dict[str, list[PostForm]]:
    """Every form of the demo's pages by the view that takes it, one of each make; and those that none shows."""
    kept = desk.shared / "forms"
    with FileLock(desk.shared / "forms.lock"):
        if not kept.exists():
            kept.write_bytes(pickle.dumps(_all_forms(desk)))
    found: dict[str, list[PostForm]] = pickle.loads(kept.read_bytes())
    return found


def _all_forms(desk: Desk) -> dict[str, list[PostForm]]:
    found: dict[tuple[str, frozenset[str]], PostForm] = {}
    seen: set[object] = set()
    waiting = [path for paths in addresses(desk.app).values() for path in few(paths, 2)]
    while waiting:
        path = waiting.pop(0)
        answer = desk.get(path)
        if answer.mimetype != "text/html" or answer.status_code != 200 or path.startswith(GALLERY):
            continue
        text = answer.get_data(as_text=True)
        waiting += list(_asking(desk.app, text, seen))
        for form in forms_of(text, path):
            found.setdefault((view_of(desk.app, form.action), frozenset(form.fields)), form)
    by_view: dict[str, list[PostForm]] = {}
    for (view, _), form in found.items():
        by_view.setdefault(view, []).append(form)
    for view, form in unshown(desk.app).items():
        by_view.setdefault(view, [form])
    return by_view


def _asking(app: Flask, text: str, seen: set[object]) -> Iterator[str]:
    """Links of a page that ask for something behind a question mark, one of each make."""
    for link in LINK.findall(text):
        path, mark, asked = unescape(link).partition("?")
        if not mark or path.startswith(("/static/", GALLERY)):
            continue
        make = (view_of(app, path, "GET"), frozenset(part.partition("=")[0] for part in asked.split("&")))
        if make not in seen:
            seen.add(make)
            yield f"{path}?{asked.partition('#')[0]}"
