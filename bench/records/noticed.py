"""What a piece of work read of the state, so that it is known when it has to be done again.

A key is a thing with the kind of the records that were read of it, or the name of a list or an index. Filing a record
touches the keys that it changes, each at a revision of its own; what read none of them is as true as before.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import takewhile

Key = tuple[str, str]
Keys = frozenset[Key]
MANY_TOUCHED = 20
"""A record touches about so many keys, or fewer."""


class Noticed:
    """Which keys are read now, and when each of them was touched last."""

    def __init__(self) -> None:
        self.revision = 0  # how many records were filed
        self.touched_at: dict[Key, int] = {}  # key -> revision at which a record last changed what is read by it
        self.anew_at = 0  # the revision at which all was folded anew
        self.is_heeded = False  # whether anybody noticed anything yet: until then nothing needs to be touched
        self._readers: list[set[Key]] = []

    @contextmanager
    def noticing(self) -> Iterator[set[Key]]:
        """What is read of the state inside the block."""
        seen: set[Key] = set()
        self.is_heeded = True
        self._readers.append(seen)
        try:
            yield seen
        finally:
            self._readers[:] = [one for one in self._readers if one is not seen]
            self.notice_all(seen)

    @contextmanager
    def unnoticed(self) -> Iterator[None]:
        """What is read inside the block is nobody's: for an answer that its asker depends on as a whole."""
        apart: set[Key] = set()
        self._readers.append(apart)
        try:
            yield
        finally:
            self._readers[:] = [one for one in self._readers if one is not apart]

    def notice(self, thing: str, what: str) -> None:
        """Somebody reads this now."""
        if self._readers:
            self._readers[-1].add((thing, what))

    def notice_all(self, keys: Iterable[Key]) -> None:
        """Somebody goes on with what was read before."""
        if self._readers:
            self._readers[-1].update(keys)

    def touch(self, keys: Iterable[Key]) -> None:
        """What is read by these keys is changed by the record that is being filed."""
        if self.is_heeded:
            for key in keys:
                self.touched_at.pop(key, None)  # so that what was touched last stands last
                self.touched_at[key] = self.revision + 1

    def notice_with(self, other: "Noticed") -> None:
        """Whoever notices what is read of the other one notices what is read of this one too."""
        self._readers, self.is_heeded = other._readers, other.is_heeded

    def goes_on_from(self, before: "Noticed") -> None:
        """All is folded anew in the place of another one: nothing that was noticed there counts any more."""
        self.revision = self.anew_at = before.revision + 1  # no number stands for two states
        self.notice_with(before)

    def newest(self, keys: Iterable[Key]) -> int:
        """The revision at which any of these keys was touched last."""
        touched = self.touched_at
        return max((touched.get(key, 0) for key in keys), default=0)

    def is_unchanged(self, keys: Keys, revision: int) -> bool:
        """Whether none of these keys was touched since a revision."""
        if revision == self.revision:
            return True
        if revision < self.anew_at:
            return False
        if (self.revision - revision) * MANY_TOUCHED > len(keys):
            return self.newest(keys) <= revision
        # Some read thousands of keys, and a record touches a few: those are looked through, the last ones first.
        since = takewhile(lambda one: one[1] > revision, reversed(self.touched_at.items()))
        return all(key not in keys for key, _at in since)
