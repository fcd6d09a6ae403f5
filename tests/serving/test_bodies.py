"""Bodies that come slowly: whoever sends one waits alone, a stranger not long, and nobody else notices."""

import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Any

import pytest

from bench.serving import bodies
from bench.web import guard


@contextmanager
def dribble(port: int, head: str, every_s: float = 0.05) -> Iterator[socket.socket]:
    """A connection over which a body comes byte by byte until the block ends or the server has enough."""
    stop = threading.Event()
    with closing(socket.create_connection(("127.0.0.1", port), timeout=20)) as raw:
        raw.sendall(head.replace("\n", "\r\n").encode() + b"\r\n\r\n")

        def drip() -> None:
            try:
                while not stop.wait(every_s):
                    raw.sendall(b"x")
            except OSError:
                pass

        thread = threading.Thread(target=drip)
        thread.start()
        try:
            yield raw
        finally:
            stop.set()
            thread.join()


def status(raw: socket.socket) -> int:
    """The status of the answer on a connection."""
    got = b""
    while b"\r\n" not in got:
        piece = raw.recv(4096)
        assert piece, got
        got += piece
    return int(got.split(b" ", 2)[1])


def head(opened: Any, visitor: Any, path: str, length: int, **more: str) -> str:
    """The head of a post, as a page's own script sends it: the token is in it, so none need be read."""
    cookie = "; ".join(f"{name}={value}" for name, value in visitor.jar.items())
    lines = {"Host": f"{visitor.host}:{visitor.port}", "Cookie": cookie, "X-Bench-Token": visitor.token()}
    lines |= {"Content-Type": "application/x-www-form-urlencoded", "Content-Length": str(length)} | more
    return f"POST {path} HTTP/1.1\n" + "\n".join(f"{name}: {value}" for name, value in lines.items())


def test_a_stranger_who_dribbles_is_cut_off_and_stops_nobody(opened: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "STRANGER_S", 1.5)
    stranger = opened.visitor("yard")
    stranger.ask("/pair")
    with dribble(stranger.port, head(opened, stranger, "/pair", 9_000)) as raw:
        raw.settimeout(0.2)
        for _ in range(3):
            assert opened.visitor("yard").ask("/pair").status == 200
        with pytest.raises(TimeoutError):
            raw.recv(1)  # others were answered while it still dribbled
        raw.settimeout(20)
        assert status(raw) == 408


def test_a_strangers_large_body_is_refused_by_its_head(opened: Any) -> None:
    stranger = opened.visitor("yard")
    stranger.ask("/pair")
    with dribble(stranger.port, head(opened, stranger, "/pair", 200_000)) as raw:
        assert status(raw) == 413


def test_what_a_stranger_may_not_ask_for_is_answered_unread(opened: Any) -> None:
    stranger = opened.visitor("yard")
    stranger.ask("/pair")
    with dribble(stranger.port, head(opened, stranger, "/undo", 1_000_000)) as raw:
        assert status(raw) == 403


def test_a_paired_phones_slow_photo_stops_no_page(opened: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bodies, "BODY_S", 2.0)
    phone, other = opened.visitor("yard"), opened.visitor("yard")
    for visitor, name in ((phone, "kiln"), (other, "shed")):
        assert visitor.pair(opened.app, name).status in (200, 303)
    with dribble(phone.port, head(opened, phone, "/undo", 100_000)) as raw:
        raw.settimeout(0.2)
        for _ in range(3):
            assert other.ask("/").status == 200
        with pytest.raises(TimeoutError):
            raw.recv(1)
        raw.settimeout(20)
        assert status(raw) == 408


def test_a_body_without_a_length_is_refused(opened: Any) -> None:
    phone = opened.visitor("yard")
    phone.pair(opened.app)
    lines = head(opened, phone, "/undo", 5).replace("Content-Length: 5", "Transfer-Encoding: chunked")
    with closing(socket.create_connection(("127.0.0.1", phone.port), timeout=20)) as raw:
        raw.sendall(lines.replace("\n", "\r\n").encode() + b"\r\n\r\n5\r\nhello\r\n0\r\n\r\n")
        assert status(raw) in (400, 411)
