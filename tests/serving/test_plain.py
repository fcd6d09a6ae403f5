"""Plain HTTP on localhost: the port, real requests against a real server, and a clean stop."""

import errno
import http.client
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from typing import Any

import pytest

from bench.science.refusal import Refusal
from bench.serving import plain


def hello(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
    """An app that counts what was sent to it."""
    body = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    if environ["PATH_INFO"] == "/slow":
        time.sleep(0.3)
    start("200 OK", [("Content-Type", "text/plain")])
    return [str(len(body)).encode()]


@pytest.fixture
def taken() -> Iterator[int]:
    """A port of localhost that another program listens on."""
    with closing(socket.socket()) as other:
        other.bind((plain.HOST, 0))
        other.listen(1)
        yield other.getsockname()[1]


def test_a_taken_port_is_passed_over(taken: int) -> None:
    port = plain.free_port(taken)
    assert taken < port < taken + plain.PORTS_TRIED


def test_a_taken_port_that_was_asked_for_by_number_is_refused_in_words(taken: int) -> None:
    with pytest.raises(Refusal, match=f"Port {taken} is in use") as refused:
        plain.free_port(taken, only=True)
    assert refused.value.field == "port"


def test_port_nought_lets_the_system_choose() -> None:
    assert 1024 <= plain.free_port(0, only=True) <= 65_535


def test_the_last_port_is_not_passed() -> None:
    with closing(socket.socket()) as other:
        try:
            other.bind((plain.HOST, 65_535))
        except OSError:
            pytest.skip("another program has the last port")
        other.listen(1)
        with pytest.raises(Refusal):
            plain.free_port(65_535)


@pytest.fixture
def port() -> Iterator[int]:
    """The port of a server that serves the app above until the test ends."""
    server = plain.make_server(hello, plain.free_port(0))
    opened = threading.Event()
    thread = threading.Thread(target=plain.serve, args=(server, lambda address: opened.set()))
    thread.start()
    assert opened.wait(10)
    yield server.bind_addr[1]
    server.stop()
    thread.join(20)
    assert not thread.is_alive()


def ask(port: int, method: str = "GET", path: str = "/", body: bytes | None = None) -> tuple[int, bytes]:
    """One request; its status and its answer."""
    with closing(http.client.HTTPConnection(plain.HOST, port, timeout=10)) as connection:
        connection.request(method, path, body)
        answer = connection.getresponse()
        return answer.status, answer.read()


def test_it_answers_and_hands_over_what_was_sent(port: int) -> None:
    assert ask(port) == (200, b"0")
    assert ask(port, "POST", "/", b"x" * 100_000) == (200, b"100000")


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux answers on all of 127.0.0.0/8")
def test_it_listens_on_its_own_address_alone(port: int) -> None:
    with closing(socket.socket()) as probe:
        probe.settimeout(5)
        assert probe.connect_ex(("127.0.0.2", port)) == errno.ECONNREFUSED
    with closing(socket.socket()) as probe:
        probe.settimeout(5)
        assert probe.connect_ex((plain.HOST, port)) == 0


def test_slow_answers_do_not_wait_for_each_other(port: int) -> None:
    started = time.perf_counter()
    threads = [threading.Thread(target=ask, args=(port, "GET", "/slow")) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert time.perf_counter() - started < 8 * 0.3


def test_more_than_the_bench_takes_is_refused_and_the_next_is_served(port: int) -> None:
    with closing(http.client.HTTPConnection(plain.HOST, port, timeout=10)) as connection:
        connection.putrequest("POST", "/")
        connection.putheader("Content-Length", str(plain.BODY_MAX + 1))
        connection.endheaders()
        assert connection.getresponse().status == 413
    with closing(http.client.HTTPConnection(plain.HOST, port, timeout=10)) as connection:
        connection.request("GET", "/", headers={"X-Long": "x" * (plain.HEAD_MAX + 1)})
        assert connection.getresponse().status in (413, 414, 431)
    assert ask(port) == (200, b"0")


@pytest.mark.skipif(os.name == "nt", reason="Windows sends no such signal to itself")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_request_to_end_ends_it_cleanly_and_leaves_the_signals_as_they_were(number: signal.Signals) -> None:
    before = signal.getsignal(number)
    server = plain.make_server(hello, plain.free_port(0))
    answered = []

    def then_end(address: str) -> None:
        def end() -> None:
            answered.append(ask(server.bind_addr[1]))
            os.kill(os.getpid(), number)

        threading.Thread(target=end).start()

    plain.serve(server, then_end)
    assert answered == [(200, b"0")]
    assert not server.ready
    assert signal.getsignal(number) is before


def test_no_browser_is_opened_where_there_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setattr("webbrowser.open", lambda address: opened.append(address) or True)
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not plain.show_in_browser("http://localhost:1/")
    assert opened == []
    monkeypatch.setenv("DISPLAY", ":0")
    assert plain.show_in_browser("http://localhost:1/")
    assert opened == ["http://localhost:1/"]
