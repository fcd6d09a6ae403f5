"""Plain HTTP on this computer alone: the port, the server, the browser, and a clean stop."""

import logging
import os
import signal
import socket
import ssl
import sys
import threading
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any
from wsgiref.types import WSGIApplication

from cheroot.wsgi import Server

from bench.science.refusal import Refusal
from bench.serving.bodies import BodyGateway
from bench.translation import _

HOST = "127.0.0.1"
PORTS_TRIED = 20
THREADS = 16
WAITING_AT_THE_DOOR = 128
"""So many may knock in one moment. Of those beyond, a system tries again only after a second."""
# A request's head and body at most; the screens bound each form far more closely, with a sentence.
HEAD_MAX = 64 * 1024
BODY_MAX = 40 * 1024 * 1024

GONE = (ConnectionError, TimeoutError, ssl.SSLError)
Handler = signal.Handlers | int | Callable[[int, FrameType | None], object] | None

log = logging.getLogger("bench")


class QuietServer(Server):
    """The server, with its own complaints in the log instead of over the address that a person reads."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.request_queue_size = WAITING_AT_THE_DOOR
        self.gateway = BodyGateway

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        """Keep what the server complains about. A phone that goes out of reach in the middle of a page is no fault."""
        if isinstance(sys.exc_info()[1], GONE):
            level, traceback = logging.INFO, False
        log.log(level, "%s", msg, exc_info=traceback)


def free_port(first: int, only: bool = False) -> int:
    """The first free port on localhost from `first` on; when `first` is 0, one that the system chooses.

    With `only` set, no other port will do. Errors: Refusal on `port` where none is free or allowed.
    """
    tried = 1 if only else PORTS_TRIED
    for port in range(first, min(first + tried, 65_536)):
        bound = try_port(port)
        if bound:
            return bound
    if only:
        raise Refusal(
            _(
                "Port {first} is in use or reserved. Leave out --port, or choose one from 1024 to 65535.",
                first=first,
            ),
            "port",
        )
    raise Refusal(
        _(
            "No port from {first} to {last} is free. Choose another with --port.",
            first=first,
            last=first + tried - 1,
        ),
        "port",
    )


def try_port(port: int) -> int | None:
    """The port of localhost that a server may listen on now: this one, or for 0 any; None when it is taken."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name != "nt":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
            probe.listen(1)
        except OSError:
            return None
        bound: int = probe.getsockname()[1]
        return bound


def make_server(app: WSGIApplication, port: int) -> Server:
    """A server for the app that already listens on localhost; `server.bind_addr` tells the port.

    Errors: OSError when the port was taken in the meantime.
    """
    server = QuietServer((HOST, port), app, numthreads=THREADS, server_name="bench")
    server.max_request_header_size = HEAD_MAX
    server.max_request_body_size = BODY_MAX
    server.prepare()
    return server


def address_of(server: Server) -> str:
    """The address to open. By name, since a browser keeps what waits to be sent under this name."""
    return f"http://localhost:{server.bind_addr[1]}/"


def serve(server: Server, opened: Callable[[str], None]) -> None:
    """Serve until Ctrl-C or a request to end; `opened` is called with the address once pages can be had."""
    with until_asked(), serving(server) as served:
        opened(address_of(server))
        wait(served)


@contextmanager
def until_asked() -> Iterator[None]:
    """Ctrl-C or a request to end leaves the block."""
    stopped = stop_on_signals()
    try:
        yield
    except KeyboardInterrupt:
        log.info("asked to stop")
    finally:
        for number, handler in stopped.items():
            signal.signal(number, handler)


@contextmanager
def serving(server: Server) -> Iterator[threading.Thread]:
    """Pages can be had while the block runs."""
    served = threading.Thread(target=server.serve, name="bench-local", daemon=True)
    served.start()
    try:
        yield served
    finally:
        server.stop()
        served.join(10)


def wait(served: threading.Thread) -> None:
    """Until the server ends, or a signal comes: one that waits without end hears none on Windows."""
    while served.is_alive():
        served.join(0.5)


def stop_on_signals() -> dict[int, Handler]:
    """Let a request to end stop the server as Ctrl-C does; gives what was set before. Only the main thread can."""
    if threading.current_thread() is not threading.main_thread():
        return {}

    def stop(number: int, frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    numbers = [signal.SIGTERM, signal.SIGINT] + ([signal.SIGHUP] if hasattr(signal, "SIGHUP") else [])
    return {number: signal.signal(number, stop) for number in numbers}


def show_in_browser(address: str) -> bool:
    """Open the address in the person's browser, where there is a screen to show one on."""
    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return False
    try:
        return webbrowser.open(address)
    except webbrowser.Error:
        return False
