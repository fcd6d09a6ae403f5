"""The folded state: every record in its place, so that no screen walks them all.

`filing.py` puts them there. What a thing *is* now is worked out from its own few records when somebody asks.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from bench.records.kinds import KINDS, MAKERS, SINGLE
from bench.records.record import BENCH
from bench.records.store import ALL_OF, OPEN, RecordStore, Slot

__all__ = ["Slot", "State"]

FEW = 30
TIMERS, CODE, ISSUED = ":timers", ":code", ":issued"


class State(RecordStore):
    """What all records come to. Only `fold` of `filing.py` adds to it."""

    def things(self, what: str) -> list[str]:
        """All things of a sort whose making still stands, oldest first."""

        def standing() -> list[str]:
            self.notice(what, ALL_OF)
            return [t for t in self.lined.get(what, ()) if self.exists(t)]

        return list(self.memoize(("things", what), standing))

    def open_things(self, what: str) -> list[str]:
        """The things of a sort that are not closed, oldest first by the record that made them."""

        def standing() -> list[str]:
            self.notice(what, OPEN)
            found = self.open.get(what, set())
            if len(found) < FEW:
                return sorted((t for t in found if self.exists(t)), key=self.made_at)
            return [t for t in self.lined[what] if t in found and self.exists(t)]

        return list(self.memoize(("open", what), standing))

    def made_at(self, thing: str) -> Any:
        """The key by which things stand in the order in which they were made."""
        record = self.record(thing)
        return record.order if record else ((0, 0, ""), thing)

    def lined_up(self, what: str) -> list[str]:
        """All things that were ever of a sort, oldest first, also those whose making does not stand."""
        self.notice(what, ALL_OF)
        return self.lined.get(what, [])

    def has_any(self, what: str) -> bool:
        """Whether there ever was a thing of a sort."""
        self.notice(what, ALL_OF)
        return bool(self.of_kind.get(what))

    def is_open(self, what: str | None, thing: str) -> bool:
        """Whether a thing of a sort is not closed."""
        self.notice(what or "", OPEN)
        return thing in self.open.get(what or "", ())

    def timed_things(self, what: str) -> list[str]:
        """The open things of a sort that ever had a timer."""
        self.notice(what, OPEN)
        self.notice("", TIMERS)
        return [t for t in sorted(self.open.get(what, set()) & self.with_timer) if self.exists(t)]

    def code_of(self, thing: str) -> str | None:
        """The code that stands for a thing, or None."""
        body = self.slot(thing, "code.assigned").body
        return None if body is None else body.code

    def things_with(self, code: str) -> list[str]:
        """The things that bear a code now; more than one is a disagreement to settle."""
        self.notice(code, CODE)
        return sorted(t for t in self.codes.get(code, ()) if code in self._codes_on(t))

    def _codes_on(self, thing: str) -> list[str]:
        def read() -> list[str]:
            return [r.data["code"] for r in self.own(thing, "code.assigned")]

        found: list[str] = self.worked_out(thing, "codes", read)
        return found

    def all_issued(self) -> set[str]:
        """Every code that was ever given out."""
        self.notice("", ISSUED)
        return self.issued

    def settings(self) -> dict[str, Any]:
        """Every setting's newest value."""

        def read() -> dict[str, Any]:
            return {r.data["name"]: r.data["value"] for r in self.rows(BENCH, "setting.changed")}

        return dict(self.worked_out(BENCH, "settings", read))  # a page asks for some a dozen times

    def setting(self, name: str, default: Any = None) -> Any:
        return self.settings().get(name, default)

    def cards(self) -> list[Mapping[str, Any]]:
        """The maker's own reagents, targets and limits that stand, for laying over the Library."""
        self.notice("card", ALL_OF)
        found = (self.slot(thing, "card.changed").record for thing in sorted(self.of_kind.get("card", ())))
        return [record.data for record in found if record is not None]

    def disagreements(self, thing: str) -> list[Slot]:
        """Every slot of a thing in which standing records differ."""
        return [slot for slot in self._single_slots(thing) if slot.disagrees]

    def _single_slots(self, thing: str) -> Iterator[Slot]:
        """The slots of a thing that may hold more than one record."""
        what = self.sort_of(thing)
        for kind in sorted(self.kinds_about(thing)):
            known = KINDS.get(kind)
            if known is None or known.slot != SINGLE or self.how_many(thing, kind) < 2:
                continue
            if what is not None and kind != "opened" and MAKERS.get(kind, what) != what:
                continue  # it makes a thing of another sort, which has it on a page of its own: a furnace's firings
            if known.key is None:
                yield self.slot(thing, kind)
                continue
            found = Counter(r.data.get(known.key) for r in self.own(thing, kind))
            for key in (key for key, count in found.items() if count > 1):
                yield self.slot(thing, kind, key)
