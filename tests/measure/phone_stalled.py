"""Whether phones that walk out of range in the middle of a greeting delay the others."""

import socket
import ssl
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from statistics import median

from bench.clock import tick_s
from bench.serving.authority import NAME
from tests.measure.figure import Figure

STALLED = 8
ROUNDS = 5
A_ROUND = 12


def stalled_figure(port: int, certificate: Path) -> Figure:
    """New encrypted connections with one page each, with and without stalled ones; the rounds take turns."""
    trusts = ssl.create_default_context(cafile=str(certificate))
    alone: list[float] = []
    beside: list[float] = []
    for _ in range(ROUNDS):
        alone += [_page(port, trusts) for _ in range(A_ROUND)]
        with _stalled(port):
            beside += [_page(port, trusts) for _ in range(A_ROUND)]
    ratio = median(beside) / median(alone)
    note = f"{median(beside) * 1000:.1f} ms against {median(alone) * 1000:.1f} ms for a connection and a page"
    return Figure(f"a page with {STALLED} stalled TLS clients", ratio, "×", "at most 1.5", ratio <= 1.5, note)


@contextmanager
def _stalled(port: int) -> Iterator[None]:
    with ExitStack() as held:
        for _ in range(STALLED):
            held.enter_context(closing(socket.create_connection(("127.0.0.1", port), timeout=20)))
        yield


def _page(port: int, trusts: ssl.SSLContext) -> float:
    began = tick_s()
    with (
        closing(socket.create_connection(("127.0.0.1", port), timeout=20)) as raw,
        trusts.wrap_socket(raw, server_hostname=NAME) as line,
    ):
        line.sendall(f"GET /pair HTTP/1.1\r\nHost: {NAME}:{port}\r\nConnection: close\r\n\r\n".encode())
        while line.recv(65_536):
            pass
    return tick_s() - began
