"""What the app joined, in reach of every view: `bench().library`, `.journal`, `.state`, `.now_ms()`."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

from flask import Flask, current_app, g, request


@dataclass(frozen=True)
class Bench:
    """The joined bench. `now_ms` and `zone_min` are handed in, so that tests turn the clock."""

    library: Any
    journal: Any
    settings: Any
    now_ms: Callable[[], int]
    zone_min: Callable[[], int]

    @property
    def state(self) -> Any:
        """What all records fold to, as of the last one that is on the disk."""
        return self.journal.state


def bench() -> Bench:
    """The bench of the app that answers this request."""
    return cast(Bench, current_app.extensions["bench"])


def hold_still(app: Flask) -> None:
    """Let each view read one state that stands still until it is done, so that a gate and its record are one step.

    The body of the request has been read before, so nobody waits here for a slow phone.
    """

    def hold() -> None:
        if request.endpoint != "static":
            reading = bench().journal.reading()
            reading.__enter__()
            g.reading = reading

    def release(_error: BaseException | None) -> None:
        reading = g.pop("reading", None)
        if reading is not None:
            reading.__exit__(None, None, None)

    app.before_request(hold)
    app.teardown_request(release)
