"""What was worked out of the records, kept until something changes that was read for it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from bench.records.noticed import Key, Keys, Noticed

Found = TypeVar("Found")
REMEMBERED = 4_000
WORKED = ":worked "
"""What is read of a thing where something was worked out of it; the name of that follows."""


@dataclass
class Noted:
    """What came of a piece of work, what it read, and the revision up to which that is known to be unchanged."""

    value: Any
    reads: Keys
    revision: int


class WorkedOut(Noticed):
    """Keeps what readers worked out: while what they read stays, or with a thing from its own records alone."""

    def __init__(self) -> None:
        super().__init__()
        self.noted: dict[Any, Noted] = {}  # what was worked out, until anything changes that it was worked out from
        self.worked: dict[str, dict[str, Any]] = {}  # thing -> what was worked out from its own records alone
        self.worked_from: dict[str, dict[str, Keys]] = {}  # what that was, as far as it was worked out since the start

    def memoize(self, key: object, work: Callable[[], Found]) -> Found:
        """What `work` gives, worked out once until a record changes what it read of this state.

        It must follow from what it reads of this state alone: what its caller had read before is not noticed.
        """
        known = self.noted.get(key)
        if known is None or not self.is_unchanged(known.reads, known.revision):
            with self.noticing() as reads:
                value = work()
            if len(self.noted) >= REMEMBERED:
                self.noted = dict(list(self.noted.items())[REMEMBERED // 2 :])
            known = self.noted[key] = Noted(value, frozenset(reads), self.revision)
        else:
            known.revision = self.revision
            self.notice_all(known.reads)
        found: Found = known.value
        return found

    def worked_out(self, thing: str, name: str, work: Callable[[], Any]) -> Any:
        """What `work` makes of the records that touch a thing, kept until one of them changes. Plain values only."""
        found = self.worked.setdefault(thing, {})
        if name not in found:
            with self.noticing() as reads:
                value = work()
            found[name] = value
            self.worked_from.setdefault(thing, {})[name] = frozenset(reads)
        self.notice(thing, WORKED + name)
        return found[name]

    def forget(self, thing: str, touched: Iterable[Key] | None = None) -> None:
        """Forgets what was worked out of a thing; with `touched` only what may rest on one of these keys."""
        known = self.worked.pop(thing, None)
        if known is None:
            return
        rests_on = self.worked_from.pop(thing, {})
        kept = {} if touched is None else {n: rests_on[n] for n in known if n in rests_on}
        kept = {name: keys for name, keys in kept.items() if keys.isdisjoint(touched or ())}
        self.touch((thing, WORKED + name) for name in known if name not in kept)
        if kept:  # in a dictionary of its own: an imagined state shares those of the true one
            self.worked[thing], self.worked_from[thing] = {name: known[name] for name in kept}, kept

    def forget_all(self) -> None:
        """Forgets all that was worked out: it may hold texts, and they are to be said in another language."""
        self.worked, self.worked_from, self.noted = {}, {}, {}
