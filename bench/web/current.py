"""What the app joined, in reach of every view: `current_bench().library`, `.journal`, `.state`, `.now_ms()`."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, cast

from flask import Flask, current_app, g, request

from bench.journal import Journal
from bench.records.state import State
from bench.reference import Library, over
from bench.settings import Settings
from bench.web.turns import KEY, in_turns


@dataclass(frozen=True)
class Bench:
    """The joined bench. `now_ms` and `zone_min` are handed in, so that tests turn the clock.

    `files` is the library as its files say; every screen reads `library`, with the maker's own rows over it.
    """

    files: Library
    journal: Journal
    settings: Settings
    now_ms: Callable[[], int]
    zone_min: Callable[[], int]
    _laid: dict[str, tuple[Any, Library]] = field(default_factory=dict, repr=False, compare=False)

    def now(self) -> datetime:
        """The moment now, as records have it."""
        return datetime.fromtimestamp(self.now_ms() / 1000, UTC)

    @property
    def state(self) -> State:
        """What all records fold to, as of the last one that is on the disk."""
        return self.journal.state

    @property
    def library(self) -> Library:
        """What is known, with the maker's own rows laid over the files; laid anew only when one of them changed."""
        state = self.state
        own = state.lined_up("card")
        slots = [state.slot(thing, "card.changed").record for thing in sorted(own)] if own else []
        stand = tuple(record.id for record in slots if record is not None)
        found = self._laid.get("over")
        if found is None or found[0] != stand:
            found = stand, over(self.files, state.cards())
            self._laid["over"] = found
        return found[1]


def current_bench() -> Bench:
    """The bench of the app that answers this request."""
    return cast(Bench, current_app.extensions["bench"])


def hold_still(app: Flask) -> None:
    """Let each view read one state that stands still until it is done, so that a gate and its record are one step.

    The body of the request has been read before (`guard.take_body`), so nobody waits here for a slow phone.
    """

    def hold() -> None:
        turn = request.environ.get(KEY)
        if request.endpoint != "static" and turn is not None:
            turn.begin()
        elif request.endpoint != "static":
            reading = current_bench().journal.reading()
            reading.__enter__()
            g.reading = reading

    def release(_error: BaseException | None) -> None:
        reading = g.pop("reading", None)
        if reading is not None:
            reading.__exit__(None, None, None)

    inner: Any = app.wsgi_app
    app.wsgi_app = in_turns(inner, app.extensions["bench"].journal)  # type: ignore[method-assign,assignment]
    app.before_request(hold)
    app.teardown_request(release)
