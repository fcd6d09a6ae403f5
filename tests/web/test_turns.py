"""Requests over a disk that is slow or refuses: nobody is shown, or told, what the disk did not keep."""

import errno
import os
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

from flask import Flask, g
from flask.testing import FlaskClient

from bench.journal.disk import full_sync
from bench.web.turns import act_once, out_of_turn

ID = "01K9V0000000000000000000A1"
CRUCIBLE = {"record_id": ID, "ware": "alumina-99", "volume_ml": "30"}


def disk_of(app: Flask) -> Any:
    """The storage under the app."""
    return app.extensions["bench"].journal._base.file


def with_sync(app: Flask, sync: Any) -> None:
    """Stand another sync in the place of the disk's."""
    storage = disk_of(app)
    storage._disk = replace(storage._disk, sync=sync)


def failing(_fd: int) -> None:
    """A disk that does not confirm."""
    raise OSError(errno.EIO, os.strerror(errno.EIO))


def test_a_form_that_the_disk_refuses_comes_back_with_all_that_was_typed(app: Flask, send: Any) -> None:
    with_sync(app, failing)
    answer = send("/crucibles/new", CRUCIBLE)
    assert answer.status_code == 422
    assert "Not saved" in answer.text and 'value="30"' in answer.text
    assert not app.extensions["bench"].journal.by("kind", "crucible.added")


def test_a_full_disk_refuses_once_and_takes_the_same_form_later(app: Flask, send: Any) -> None:
    refuse = [True]
    storage = disk_of(app)
    put = storage._disk.put

    def full(fd: int, data: bytes, at: int) -> int:
        if refuse[0] and len(data) > 4:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return put(fd, data, at)

    storage._disk = replace(storage._disk, put=full)
    assert "No space left on device" in send("/crucibles/new", CRUCIBLE).text
    refuse[0] = False
    assert [send("/crucibles/new", CRUCIBLE).status_code for _ in range(2)] == [303, 303]
    assert len(app.extensions["bench"].journal.by("kind", "crucible.added")) == 1


def test_a_page_that_saw_a_record_waits_until_it_is_on_the_disk(app: Flask, client: FlaskClient, send: Any) -> None:
    go, entered = threading.Event(), threading.Event()
    answers: list[str] = []
    client.get("/crucibles")  # all that is made once is made
    token_page = send  # the session exists before the threads share it
    token_page("/crucibles/new", CRUCIBLE | {"record_id": "01K9V0000000000000000000B1"})

    def slow(fd: int) -> None:
        entered.set()
        assert go.wait(20)
        full_sync(fd)

    with_sync(app, slow)
    with ThreadPoolExecutor(2) as pool:
        writer = pool.submit(send, "/crucibles/new", CRUCIBLE)
        assert entered.wait(20)
        reader = pool.submit(lambda: answers.append(app.test_client().get("/crucibles").text))
        threading.Event().wait(0.1)
        assert not writer.done() and not answers
        go.set()
        assert writer.result().status_code == 303
        reader.result()
    assert len(answers) == 1


def test_a_request_that_cannot_be_done_twice_is_done_once(app: Flask) -> None:
    calls: list[str] = []

    def act() -> str:
        calls.append("once" if g.get("careful") else "plain")
        if len(calls) < 3:
            disk_of(app)._gate.failures += 1  # as when another write fails meanwhile
        return "done"

    def careful() -> str:
        g.careful = True
        act_once()
        return act()

    app.add_url_rule("/plain-act", view_func=act)
    app.add_url_rule("/careful-act", view_func=careful)
    client = app.test_client()
    assert client.get("/careful-act").text == "done" and calls == ["once"]
    assert client.get("/plain-act").text == "done" and calls == ["once", "plain", "plain"]


def test_others_are_answered_while_a_page_is_set_for_the_printer(app: Flask) -> None:
    inside, go = threading.Event(), threading.Event()

    def setting() -> str:
        with out_of_turn():
            inside.set()
            assert go.wait(20)
        return "set"

    app.add_url_rule("/setting", view_func=setting)
    with ThreadPoolExecutor(1) as pool:
        slow = pool.submit(lambda: app.test_client().get("/setting").text)
        assert inside.wait(20)
        assert app.test_client().get("/").status_code == 200
        assert not slow.done()
        go.set()
        assert slow.result() == "set"
