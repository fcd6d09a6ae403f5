"""What stands before every view: host, sender, size; and the headers of every answer."""

import io
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.exceptions import RequestTimeout

from bench.science.refusal import Refusal
from bench.web.guard import host_is_ours
from bench.web.own_paths import own_path


@pytest.fixture
def token(client: FlaskClient) -> str:
    """The token of this browser's session, as a page carries it."""
    page = client.get("/looks/").get_data(as_text=True)
    return page.split('name="bench-token" content="')[1].split('"')[0]


def test_headers(client: FlaskClient) -> None:
    """The policy allows nothing inline and nothing from elsewhere; pages are not kept; files with a hash are."""
    page = client.get("/looks/")
    policy = page.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "frame-ancestors 'none'" in policy
    assert page.headers["X-Content-Type-Options"] == "nosniff"
    assert page.headers["Cache-Control"] == "no-store" and "HX-Request" in page.headers["Vary"]
    assert page.headers["Referrer-Policy"] == "same-origin"
    cookie = page.headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Lax" in cookie


@pytest.mark.parametrize(
    ("path", "kept"),
    [("css/type.css?v=1", "immutable"), ("css/type.css", "no-cache"), ("none.css?v=1", "no-store")],
)
def test_static_files_are_kept_by_their_hash(client: FlaskClient, path: str, kept: str) -> None:
    """An address with the content's hash never changes; one without is asked about again; a fault is never kept."""
    with client.get(f"/static/{path}") as answer:
        assert kept in answer.headers["Cache-Control"]


@pytest.mark.parametrize(
    ("host", "ours"),
    [
        ("localhost:8440", True),
        ("127.0.0.1:8440", True),
        ("[::1]:8440", True),
        ("192.168.1.7", True),
        ("bench.local:8443", True),
        ("evil.example", False),
        ("localhost.evil.example", False),
        ("127.0.0.1.evil.example", False),
        ("", False),
        ("[::1", False),
    ],
)
def test_hosts(host: str, ours: bool) -> None:
    """Our names and bare addresses; never a foreign name that points here."""
    assert host_is_ours(host, ()) is ours


def test_a_foreign_host_is_turned_away(client: FlaskClient) -> None:
    """DNS rebinding gets a page with nothing of the bench in it."""
    assert client.get("/looks/", headers={"Host": "evil.example"}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://["},
        {"Origin": "http://localhost:9999"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_other_sites_change_nothing(client: FlaskClient, token: str, headers: dict[str, str]) -> None:
    """A form on another site is turned away, even with a right token."""
    answer = client.post("/looks/", data={"theme": "night", "token": token}, headers=headers)
    assert answer.status_code == 403 and client.get_cookie("theme") is None


def test_own_pages_with_the_token(client: FlaskClient, token: str) -> None:
    """Our own form is taken, as browsers send it: with the origin."""
    headers = {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}
    answer = client.post("/looks/", data={"theme": "night", "token": token, "back": "/looks/"}, headers=headers)
    assert answer.status_code == 303 and client.get_cookie("theme").value == "night"
    assert client.post("/looks/", data={"theme": "day"}, headers={"X-Bench-Token": token}).status_code == 303


def test_the_token_outlives_the_page(client: FlaskClient, token: str) -> None:
    """A page that was stored yesterday carries a token that is still right."""
    client.get("/looks/")
    assert client.post("/looks/", data={"theme": "day", "token": token}).status_code == 303


@pytest.mark.parametrize("wrong", ["", "x", "0" * 64, "ÿ"])
def test_a_wrong_token_keeps_what_was_typed(client: FlaskClient, wrong: str) -> None:
    """A page of another session: nothing is done, everything is shown, one key sends it again."""
    answer = client.post("/looks/", data={"theme": "night", "note": "<b>long</b>", "token": wrong})
    said = answer.get_data(as_text=True)
    assert answer.status_code == 403 and client.get_cookie("theme") is None
    assert "&lt;b&gt;long&lt;/b&gt;" in said and 'name="theme"' in said and "Send again" in said


def test_too_large_a_form(client: FlaskClient, token: str) -> None:
    """Megabytes of text are turned away calmly."""
    answer = client.post("/looks/", data={"token": token, "note": "x" * 3_000_000})
    assert answer.status_code == 413 and "This is too large" in answer.get_data(as_text=True)


def test_a_form_of_another_session_whose_rest_never_comes_is_told_so(client: FlaskClient) -> None:
    """It is judged by its head; what would be shown again is not there."""

    class Late(io.RawIOBase):
        def readable(self) -> bool:
            return True

        def seekable(self) -> bool:
            return True

        def seek(self, offset: int, whence: int = 0) -> int:
            return offset

        def readinto(self, _buffer: Any) -> int:
            raise RequestTimeout

    head = {"X-Bench-Token": "x", "Content-Type": "application/x-www-form-urlencoded"}
    answer = client.post("/looks/", headers=head, input_stream=Late(), environ_overrides={"CONTENT_LENGTH": "9"})
    assert answer.status_code == 408 and "Send it again" in answer.get_data(as_text=True)


def test_what_cannot_be_had_is_a_sentence_and_no_fault(app: Flask) -> None:
    """A page that takes too long to set, say."""

    def refuses() -> str:
        raise Refusal("Print fewer at once.")

    app.add_url_rule("/refuses", view_func=refuses)
    answer = app.test_client().get("/refuses")
    assert answer.status_code == 422 and "Print fewer at once." in answer.get_data(as_text=True)


@pytest.mark.parametrize(
    "path", ["//[", "//evil.example/", "https://evil.example", "/\\evil.example", "javascript:1", "", "x"]
)
def test_ways_back_stay_here(path: str) -> None:
    """A way back that leads elsewhere leads to Today."""
    assert own_path(path) == "/"


def test_a_way_back_with_a_query() -> None:
    """A way back of our own is followed as it is."""
    assert own_path("/swatches?by=soda&page=2") == "/swatches?by=soda&page=2"


def test_faults_are_calm(app: Flask, client: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    """A fault of ours says so, says that nothing was lost, and leaves its story in the log."""

    def broken() -> str:
        raise ZeroDivisionError("mortar")

    app.add_url_rule("/broken", view_func=broken)
    answer = client.get("/broken", headers={"Referer": "http://localhost/looks/"})
    said = answer.get_data(as_text=True)
    assert answer.status_code == 500 and "still there" in said and 'href="/looks/"' in said
    assert "mortar" in caplog.text and "ZeroDivisionError" not in said


def test_unknown_pages_and_ways(client: FlaskClient, token: str) -> None:
    """No such page; no such way of asking for it."""
    assert client.get("/nowhere").status_code == 404
    answer = client.post("/look/", data={"token": token})
    assert answer.status_code == 405 and "GET" in answer.headers["Allow"]


@pytest.mark.parametrize("host", ["", "localhost:80@elsewhere.example", "[", "a b"])
def test_a_host_that_cannot_be_read_is_turned_away_in_words(client: FlaskClient, host: str) -> None:
    answer = client.get("/", headers={"Host": host, "Referer": "http://localhost/shelf"})
    assert answer.status_code == 400
