"""Heads that come in pieces: however many strangers dribble, phones are answered, and no dribbler stays for ever."""

import socket
import ssl
from collections.abc import Iterator
from contextlib import ExitStack, closing
from typing import Any

import pytest

from bench.serving import heads, tls

STRANGERS = 2 * tls.THREADS
HALF = b"GET /pair HTTP/1.1\r\nHost: bench.local\r\nX-Slow: "


@pytest.fixture
def strangers() -> Iterator[Any]:
    """Connections that began to speak and stopped in the middle."""
    with ExitStack() as stack:

        def come(port: int, first: bytes, count: int = STRANGERS) -> list[socket.socket]:
            made = [socket.create_connection(("127.0.0.1", port), timeout=20) for _ in range(count)]
            for raw in made:
                stack.enter_context(closing(raw))
                raw.sendall(first)
            return made

        yield come


def server_of(opened: Any, door: str) -> Any:
    return next(one for one in opened.workshop._servers if (one.ssl_adapter is not None) == (door == "tls"))


def until(true: Any) -> None:
    """Waits for what another thread does."""
    from threading import Event

    for _ in range(400):
        if true():
            return
        Event().wait(0.05)
    raise AssertionError("it did not happen in 20 s")


@pytest.mark.parametrize("door", ["yard", "tls"])
def test_twice_as_many_dribblers_as_threads_hold_nobody_up(opened: Any, door: str, strangers: Any) -> None:
    phone = opened.visitor(door)
    first = HALF if door == "yard" else bytes.fromhex("1603010200010001fc0303")  # the start of a ClientHello
    slow = strangers(phone.port, first)
    until(lambda: [raw.sendall(b"x") for raw in slow] and server_of(opened, door).begun >= STRANGERS)
    for _ in range(3):
        assert phone.ask("/trust/ping.svg").status == 200
    assert server_of(opened, door).begun >= STRANGERS, "they are all still there, and hold no thread"


def test_a_head_that_dribbles_is_cut_off_at_its_time(
    opened: Any, strangers: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(heads, "HEAD_S", 0.4)
    (raw,) = strangers(opened.workshop.network.yard_port, HALF, 1)
    until(lambda: _is_ended(raw))


def _is_ended(raw: socket.socket) -> bool:
    try:
        raw.sendall(b"x")
        raw.settimeout(0.05)
        return raw.recv(1) == b""
    except TimeoutError:
        return False
    except OSError:
        return True


def test_a_head_in_many_pieces_is_read_as_one(opened: Any, strangers: Any) -> None:
    (raw,) = strangers(opened.workshop.network.yard_port, b"", 1)
    raw.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    for byte in b"GET /pair HTTP/1.1\r\nHost: bench.local\r\n\r":
        raw.sendall(bytes([byte]))
    raw.sendall(b"\nGET /trust HTTP/1.1\r\nHo")  # the next one begins in the same piece
    assert _answered(raw) == 200
    raw.sendall(b"st: bench.local\r\n\r\n")
    assert _answered(raw) in (200, 302, 303)


def _answered(raw: socket.socket) -> int:
    reader = raw.makefile("rb")
    status = int(reader.readline().split()[1])
    length = 0
    while (line := reader.readline()) != b"\r\n":
        name, _, value = line.decode().partition(":")
        length = int(value) if name.lower() == "content-length" else length
    reader.read(length)
    return status


def test_too_many_at_once_end_the_oldest(opened: Any, strangers: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(heads, "MOST_WAITING", 10)
    slow = strangers(opened.workshop.network.yard_port, HALF, 30)
    for raw in slow:
        raw.sendall(b"x")
    until(lambda: sum(map(_is_ended, slow)) >= 20)
    assert server_of(opened, "yard").begun <= 10
    assert opened.visitor("yard").ask("/pair").status == 200


def test_a_head_without_an_end_is_refused(opened: Any, strangers: Any) -> None:
    (raw,) = strangers(opened.workshop.network.yard_port, HALF, 1)
    with pytest.raises((OSError, AssertionError)):
        raw.sendall(b"y" * 200_000)
        assert raw.recv(4096).split()[1] in (b"400", b"413")
        raise AssertionError


def test_many_requests_on_one_encrypted_connection(opened: Any) -> None:
    port = opened.workshop.network.tls_port
    with (
        socket.create_connection(("127.0.0.1", port), timeout=20) as raw,
        opened.trusting().wrap_socket(raw, server_hostname="bench.local") as line,
    ):
        assert isinstance(line, ssl.SSLSocket)
        for _ in range(5):
            line.sendall(b"GET /pair HTTP/1.1\r\nHost: bench.local\r\n\r\n")
            assert _answered(line) == 200
