"""Wrong input on every form of the bench: a plain sentence beside the field, which has the focus, what was typed kept,
nothing doubled.

The forms are read from the pages themselves, so a new form is tried as soon as a page shows it.
"""

from collections.abc import Callable, Iterable, Iterator
from copy import deepcopy
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from bench.demo import fill
from bench.web.ids import fresh
from tests.acceptance.addresses import addresses, few
from tests.acceptance.forms_of import Field, PostForm, forms_of
from tests.conftest import TOKEN
from tests.screens.powders import a_photo

Post = Callable[[str, dict[str, str]], TestResponse]
NUMBERS = ("decimal", "whole")
TYPED = (*NUMBERS, "code", "time", "words")
GALLERY = "/look/"
LOOKS = {("", ""), ("look", "1"), ("again", "1"), ("do", "look"), ("do", "show")}
"""What Enter in a field may press: the key that sends a form as it stands, or one that only looks."""
LAST = "/undo"
"""Tried last: a step that was undone takes the other forms of its thing with it."""
UNKNOWN_CODE = "M2G9XY"
FIELD_MAX = 4
RUN = "<script>alert"

WRONG: dict[str, dict[str, str]] = {
    "letters": dict.fromkeys(NUMBERS, "seven") | {"code": "??", "time": "noon"},
    "huge": dict.fromkeys((*NUMBERS, "code", "time"), "9" * 30),
    "more than one mark": dict.fromkeys((*NUMBERS, "code", "time"), "1,2.3"),
    "a unit with it": dict.fromkeys(NUMBERS, "5 mg"),
    "not a number": dict.fromkeys(NUMBERS, "NaN"),
    "a control character": dict.fromkeys(TYPED, "5\x07"),
    "a note of 100 kB": {"words": "n" * 100_000},
    "a slip in the code": {"code": "T5C7HK"},
    "an unknown code": {"code": UNKNOWN_CODE},
}
"""What no field of that sort can take. Each must be refused beside the field."""
DOUBTFUL: dict[str, dict[str, str]] = {
    "empty": dict.fromkeys(TYPED, ""),
    "negative": dict.fromkeys(NUMBERS, "-1"),
    "a comma": dict.fromkeys(NUMBERS, "1,5"),
    "nothing": dict.fromkeys(NUMBERS, "0"),
    "markup": dict.fromkeys(("words", "code", "time"), "<script>alert(1)</script>"),
    "a formula": {"words": "=2+5"},
    "another alphabet": {"words": "окись цинка 氧化锌 🜂", "code": "ТЅС7НЈ"},
}
"""What some fields take and others do not. Nothing may fail, be lost or be doubled."""


@pytest.fixture(scope="module")
def known() -> dict[str, list[PostForm]]:
    """The forms once they are found: the demo has the same things with the same names each time."""
    return {}


@pytest.fixture
def forms(app: Flask, client: FlaskClient, known: dict[str, list[PostForm]]) -> list[PostForm]:
    """Every form of the demo's pages, one of each make."""
    fill(app.extensions["bench"])
    if "forms" not in known:
        known["forms"] = sorted(shown(app, client), key=lambda form: form.action == LAST)
    return deepcopy(known["forms"])


def shown(app: Flask, client: FlaskClient) -> Iterable[PostForm]:
    """The forms on the pages of a bench."""
    found: dict[tuple[str, frozenset[str]], PostForm] = {}
    for endpoint, paths in addresses(app).items():
        for path in few(paths, 4):
            answer = client.get(path)
            if answer.mimetype != "text/html" or answer.status_code != 200 or path.startswith(GALLERY):
                continue
            for form in forms_of(answer.get_data(as_text=True), path):
                found.setdefault((endpoint if form.action == path else form.action, frozenset(form.fields)), form)
    return found.values()


@pytest.fixture
def post(client: FlaskClient) -> Post:
    """Sends a form with the session's token, which is asked for once."""
    token = TOKEN.search(client.get("/looks/").get_data(as_text=True))
    assert token
    return lambda path, sent: client.post(path, data={"token": token[1], **sent})


def records(app: Flask) -> int:
    return len(app.extensions["bench"].state.records)


def filled(form: PostForm, by_sort: dict[str, str], now_ms: int) -> tuple[dict[str, str], dict[str, str]]:
    """What is sent, and which of it is wrong."""
    wrong = {one.name: by_sort[one.sort] for one in form.typed if one.sort in by_sort}
    if any(len(value) > 10_000 for value in wrong.values()):
        wrong = dict(list(wrong.items())[:FIELD_MAX])
    sent = form.usual() | wrong | {"record_id": fresh(now_ms)}
    sent.pop("token", None)
    return sent | dict(form.buttons[-1:]), wrong


def unanswered(fields: list[Field], wrong: dict[str, str], text: str) -> Iterator[str]:
    """The wrong fields without a sentence beside them. A row of a sheet is one answer: its first slip speaks."""
    for name in wrong:
        row = name.rpartition(".")[0]
        beside = [one.name for one in fields if one.name == name or (row.startswith("r") and one.name.startswith(row))]
        if not any(f'id="{one}-no"' in text for one in beside):
            yield name


def test_what_no_field_takes_is_refused_beside_it(app: Flask, post: Post, keeper: Any, forms: list[PostForm]) -> None:
    found: list[tuple[object, ...]] = []
    assert len(forms) >= 50
    answering = [(form.action, form.enter) for form in forms if form.typed and form.enter and form.enter not in LOOKS]
    assert not answering, f"Enter in a field answers: {answering}"
    for form in forms:
        for name, by_sort in WRONG.items():
            sent, wrong = filled(form, by_sort, keeper.ms)
            if not wrong:
                continue
            before = records(app)
            answer = post(form.action, sent)
            text = answer.get_data(as_text=True)
            bare = list(unanswered(list(form.fields.values()), wrong, text))
            lost = [one for one, value in wrong.items() if value.replace("\x07", "") not in unescape(text)]
            kept, begins = records(app) - before, text.count(" autofocus")
            if answer.status_code != 422 or kept or bare or lost or begins != 1:
                said = (kept, "no sentence", bare, "lost", lost, "asks for the focus", begins)
                found.append((form.action, name, answer.status_code, *said))
    assert not found, "\n".join(map(str, found))


def test_the_chosen_photo_is_kept_by_every_form_that_was_refused(
    client: Any, keeper: Any, forms: list[PostForm]
) -> None:
    """Nobody takes a picture again because of a slip beside it."""
    lost, tried = [], []
    token = TOKEN.search(client.get("/looks/").text)
    assert token
    for form in forms:
        sent, wrong = filled(form, WRONG["a control character"], keeper.ms)
        if not wrong or "photo" not in form.fields or form.fields["photo"].sort != "file":
            continue
        tried.append(form.action)
        answer = client.post(form.action, data={"token": token[1], **sent, "photo": a_photo()})
        if answer.status_code != 422 or 'name="photo_held"' not in answer.text:
            lost.append((form.action, answer.status_code))
    assert len(tried) >= 4 and not lost, (tried, lost)


def test_what_is_doubtful_never_fails_and_is_never_doubled(
    app: Flask, client: FlaskClient, post: Post, keeper: Any, forms: list[PostForm]
) -> None:
    found: list[tuple[object, ...]] = []
    for form in forms:
        for name, by_sort in DOUBTFUL.items():
            sent, wrong = filled(form, by_sort, keeper.ms)
            if not wrong:
                continue
            before = records(app)
            answer = post(form.action, sent)
            kept, text, said = records(app) - before, answer.get_data(as_text=True), (form.action, name)
            if answer.status_code not in (200, 303, 422) or (kept and answer.status_code != 303) or RUN in text:
                found.append((*said, answer.status_code, kept))
            if answer.status_code == 422:
                lost = [one for one, value in wrong.items() if value not in unescape(text)]
                found += [(*said, "lost", lost)] if lost else []
            if answer.status_code == 303:
                keeper.turn(1)  # the same submit, sent again a minute later because its answer was lost on the way
                again = post(form.action, sent)
                doubled = records(app) - before - kept
                found += [(*said, "again", again.status_code, doubled)] if again.status_code != 303 or doubled else []
                landed = client.get(answer.headers["Location"])
                calm = landed.status_code == 200 and RUN not in landed.get_data(as_text=True)
                found += [] if calm else [(*said, "then", landed.status_code)]
    assert not found, "\n".join(map(str, found))
