"""The door while the bench reads its records: how far it has come, nothing kept, and then the bench itself."""

from typing import Any

import pytest

from bench.serving.waiting import LONG, STYLE, Waiting


def asked(waiting: Waiting, method: str = "GET", path: str = "/batches", mode: str = "navigate") -> tuple[str, str]:
    """The status and the answer."""
    told: list[Any] = []
    environ = {"REQUEST_METHOD": method, "PATH_INFO": path, "HTTP_SEC_FETCH_MODE": mode}
    body = b"".join(waiting(environ, lambda *about: told.extend(about)))
    assert dict(told[1])["Cache-Control"] != "" and "script-src" not in str(told)
    return told[0], body.decode()


def test_a_person_sees_how_far_it_has_come_and_comes_back_by_itself() -> None:
    waiting = Waiting()
    status, page = asked(waiting)
    assert status == "200 OK" and "is opening" in page and 'http-equiv="refresh"' in page
    waiting.heard("checked", 30_000_000, 120_000_000)
    assert "Checking the data file: 25 %." in asked(waiting)[1]
    waiting.heard("read", 340_000, 1_000_000)
    page = asked(waiting)[1]
    assert "340,000 of 1,000,000 records read." in page and 'max="1000000" value="340000"' in page


@pytest.mark.parametrize(("method", "mode"), [("POST", "navigate"), ("GET", "cors"), ("GET", ""), ("HEAD", "navigate")])
def test_whatever_would_be_kept_or_recorded_is_told_to_come_again(method: str, mode: str) -> None:
    assert asked(Waiting(), method, "/outbox/hello", mode)[0].startswith("503 ")


def test_its_style_is_there_and_the_bench_takes_over() -> None:
    waiting = Waiting()
    assert "--ink:" in asked(waiting, path=STYLE)[1]
    waiting.ready(lambda environ, start: start("204 No Content", [("Cache-Control", "no-store")]) or [b"the bench"])
    assert asked(waiting) == ("204 No Content", "the bench")


@pytest.mark.parametrize("what", LONG)
def test_only_where_it_takes_long_somebody_is_told_once(what: str) -> None:
    told: list[bool] = []
    waiting = Waiting(lambda: told.append(True))
    waiting.heard(what, 0, LONG[what] - 1)
    assert not told and not waiting.is_long
    waiting.heard(what, 0, LONG[what])
    waiting.heard(what, 1, LONG[what])
    assert told == [True] and waiting.is_long
