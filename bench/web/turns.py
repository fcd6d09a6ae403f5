"""The turn of a request, around the whole app: take it, give it on, wait for the disk, answer.

A record is folded when it is queued for the disk, so two submits share one sync; the answer waits until all that it has
read is on the disk. An answer whose state was not kept is thrown away, and the same request is done again, writing at
once: it then says what the disk said. What was sent is in memory or in a file by then, so it can be read twice.
"""

import io
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from flask import request

from bench.translation import _

App = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]
KEY, ONCE = "bench.turn", "bench.once"
TRIES = 3
NOT_KEPT = _("The disk did not save this. Open the page again.")


def in_turns(app: App, journal: Any) -> App:
    """The app, each request of it in a turn of its own."""

    def entered(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        sent = _again(environ)
        for attempt in range(TRIES):
            sent.seek(0)
            turn = journal.turn(at_once=attempt > 0)
            told: list[Any] = []
            inner = {**environ, "wsgi.input": sent, KEY: turn}
            try:
                body = app(inner, _keeper(told))
            finally:
                turn.leave()
            if not turn.failed or ONCE in inner:
                start(*told)
                return body
            _close(body)
        start("503 Service Unavailable", [("Content-Type", "text/plain; charset=utf-8")])
        return [NOT_KEPT.encode()]

    return entered


@contextmanager
def out_of_turn() -> Iterator[None]:
    """For what takes long and reads nothing of the bench: others have their turns inside the block.

    Afterwards the state may be another one: what was read before is to be read again.
    """
    turn = request.environ.get(KEY)
    if turn is None:
        yield
        return
    turn.leave()
    try:
        yield
    finally:
        turn.begin()


def act_once() -> None:
    """This request does what cannot be done twice, and shows no records: it is never done again."""
    request.environ[ONCE] = True


def _again(environ: dict[str, Any]) -> Any:
    """What was sent, as a file that can be read again."""
    sent = environ["wsgi.input"]
    if getattr(sent, "seekable", None) is not None and sent.seekable():
        return sent
    return io.BytesIO(sent.read(int(environ.get("CONTENT_LENGTH") or 0)))


def _keeper(told: list[Any]) -> Callable[..., Callable[[bytes], Any]]:
    def keep(*about: Any) -> Callable[[bytes], Any]:
        told[:] = about
        return _no_write

    return keep


def _no_write(_: bytes) -> None:
    raise TypeError("this app gives its answers back")


def _close(body: Iterable[bytes]) -> None:
    close = getattr(body, "close", None)
    if close is not None:
        close()
