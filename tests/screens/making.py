"""Puts records into an open bench the way earlier steps would have, for tests of the screens that come after them."""

from collections.abc import Mapping, Sequence
from typing import Any

from flask import Flask

from bench.records.moments import utc_text
from bench.records.record import Record
from bench.records.state import State
from bench.workshop.asked import DUST, LOADING
from tests.workshop.builder import Builder


class Making(Builder):
    """A builder that writes through the journal of an app. `wait` turns the clock that the app reads."""

    def __init__(self, app: Flask, keeper: Any) -> None:
        super().__init__()
        self.journal = app.extensions["bench"].journal
        self.keeper = keeper

    @property
    def state(self) -> State:
        found: State = self.journal.state
        return found

    def wait(self, minutes: float) -> None:
        self.keeper.turn(minutes)

    def add(
        self,
        kind: str,
        data: Mapping[str, Any],
        subject: str | None = None,
        *,
        happened: float | None = None,
        also: Mapping[str, str] | None = None,
        corrects: Sequence[str] = (),
        device: str | None = None,
    ) -> Record:
        """One record. `happened` is minutes before now."""
        when = None if happened is None else utc_text(self.keeper.ms - round(happened * 60_000))
        receipt = self.journal.write(
            kind,
            subject,
            data,
            also=also,
            corrects=list(corrects),
            happened_at=when,
            how="live" if when is None else "late",
        )
        assert receipt.status == "new", receipt.say
        self.keeper.ms += 1000
        record: Record = receipt.record
        return record

    def checked(self, thing: str, phase: str, answer: str = "done") -> None:
        """All items of a list answered alike for a thing."""
        from bench.reference import load_library

        library = load_library()
        dusty = [library.items_by_slug[slug] for slug in DUST] if phase == LOADING else []
        for item in (*dusty, *library.asked_items(phase)):
            self.check(thing, item.slug, answer, item.phase)


def errors(text: str) -> list[str]:
    """The sentences that a page shows beside its fields."""
    import re

    return re.findall(r'class="complaint"[^>]*>.*?<span>(.*?)</span>', text, re.S)
