"""Bringing a bench and a carrier to hold the same: what each lacks is brought to it, and nothing is ever taken away.

Nothing is remembered between two times but what was refused, so nothing can be remembered wrongly: after a pulled
stick, a kill or a restored copy the next time finds the difference anew. Each part is lasting before the next begins.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from threading import RLock
from typing import NamedTuple

from bench.journal.carrier import Carrier, Counting, Name, Standing, head_of, name_of
from bench.journal.disk import replace_file
from bench.journal.envelopes import read_line
from bench.journal.held import Held
from bench.journal.lines import doc_of, key_of, record_id
from bench.journal.photos import named_file
from bench.journal.receipts import Merged
from bench.journal.sync_photos import Named, SyncPhotos
from bench.journal.sync_words import Clocks, numbers, own_back
from bench.journal.verify import device_of
from bench.records.record import Record

AT_ONCE, GIVEN_AT_ONCE = 500, 5_000
NOT_TAKEN = "not-taken.txt"


@dataclass
class Difference:
    """What each side lacks. `differ`: ids of which both sides hold another record."""

    new_here: set[Name] = field(default_factory=set)
    new_there: set[Name] = field(default_factory=set)
    differ: int = 0
    photos_here: list[Named] = field(default_factory=list)
    photos_there: list[Named] = field(default_factory=list)
    in_common: int = 0
    sentences: list[str] = field(default_factory=list)

    @property
    def strange(self) -> bool:
        """Whether both sides hold records and none in common: it may be another workshop's."""
        return bool(self.new_here and self.new_there) and not self.in_common

    @property
    def nothing(self) -> bool:
        """Whether both hold the same."""
        return not (self.new_here or self.new_there or self.photos_here or self.photos_there)


@dataclass
class Synced:
    """What was brought, each way."""

    new_here: int = 0
    new_there: int = 0
    photos_here: int = 0
    photos_there: int = 0
    sentences: list[str] = field(default_factory=list)

    @property
    def moved(self) -> bool:
        """Whether anything was brought anywhere."""
        return bool(self.new_here or self.new_there or self.photos_here or self.photos_there)

    def say(self, sentences: Iterable[str]) -> None:
        """Adds what was not said yet."""
        self.sentences += [one for one in dict.fromkeys(sentences) if one not in self.sentences]


class Mark(NamedTuple):
    """How far a counting carrier was read, and up to which line of the bench's own file it was given everything."""

    standing: Standing
    given: int


class Syncing:
    """One open bench, ready to be brought together with carriers, one at a time. `own` is the name it writes under."""

    def __init__(
        self,
        folder: Path,
        held: Held,
        merge: Callable[[Iterable[object]], Merged],
        by: Callable[[str, str], list[Record]],
        own: Callable[[], str],
    ) -> None:
        self._folder, self._held, self._merge, self._own = folder, held, merge, own
        self._photos = SyncPhotos(folder / "photos", by)
        self._turn = RLock()

    def preview(self, carrier: Carrier) -> Difference:
        """What bringing both together would do. Nothing is moved."""
        with self._turn:
            found = self._compared(carrier)
            devices, named = Counter[str](), list[Named]()
            for line in _sound(carrier.take(found.new_here)):
                found.differ += self._held.lines.line(record_id(key_of(line))) is not None
                devices[head_of(line)[0]] += 1
                named += _named_in(line)
            found.photos_here, found.photos_there = self._photos.lacking(carrier, named)
            found.sentences = own_back(self._own(), devices[self._own()])
            return found

    def sync(self, carrier: Carrier) -> Synced:
        """Brings both to hold the same, both ways, photos after records. OSError, Trouble as far as it came."""
        return self._synced(carrier)[0]

    def fetch(self, carrier: Carrier) -> Synced:
        """Brings here what the bench lacks; the carrier is given nothing. What it lacks itself is not told."""
        with self._turn:
            done = Synced()
            self._take(carrier.take(self._compared(carrier).new_here), done, whole=False)
            done.photos_here = self._photos.fetch(carrier)
            return done

    def share(self, carrier: Carrier, ids: Iterable[str]) -> int:
        """Gives a carrier these records and the photos that they name, and tells how many photos. OSError, Trouble."""
        with self._turn:
            lines = [line for one in dict.fromkeys(ids) if (line := self._held.lines.line(one)) is not None]
            carrier.give(lines)
            return self._photos.give(carrier, [named for line in lines for named in _named_in(line)])

    def follow(self, carrier: Counting, mark: Mark | None) -> tuple[Synced, Mark]:
        """As `sync`, by what is new since a mark alone; without one, or after another life, everything is compared."""
        with self._turn:
            now = carrier.standing()  # read first: what comes meanwhile is behind it, and comes next time
            if mark is None or mark.standing.life != now.life or mark.standing.position > now.position:
                before = self._held.look()
                done, came = self._synced(carrier)
                count = self._held.look()
                return done, Mark(now, before if self._own_between(before, count, came) else count)
            done = Synced()
            came = self._take(carrier.since(mark.standing.position, now.position), done)
            count = self._held.look()
            self._give(carrier, self._own_between(mark.given, count, came), done)
            if done.moved:
                done.photos_here, done.photos_there = self._photos.bring(carrier)
            return done, Mark(now, count)

    def _synced(self, carrier: Carrier) -> tuple[Synced, set[Name]]:
        """As `sync`, and what came."""
        with self._turn:
            before, done = self._compared(carrier), Synced()
            came = self._take(carrier.take(before.new_here), done)
            self._give(carrier, self._held.in_order(before.new_there), done)
            done.photos_here, done.photos_there = self._photos.bring(carrier)
            return done, came

    def _own_between(self, start: int, stop: int, came: set[Name]) -> list[int]:
        """Where in a stretch of the file records stand that did not come just now."""
        theirs = set(self._held.in_order(came - self._held.lacking(came)))
        return [spot for spot in range(start, stop) if spot not in theirs]

    # Records ----------------------------------------------------------------------------------------------------

    def _compared(self, carrier: Carrier) -> Difference:
        mine, theirs = self._held.outline(), carrier.outline()
        apart = {run for run in mine.keys() | theirs.keys() if mine.get(run) != theirs.get(run)}
        here, there = self._held.names(apart), carrier.names(apart) if apart else set()
        found = Difference(there - here - self._not_taken(), here - there)
        found.in_common = len(self._held) - len(found.new_there)
        return found

    def _take(self, coming: Iterator[tuple[Name, bytes]], done: Synced, whole: bool = True) -> set[Name]:
        """Takes records in, and tells which were handed over. `whole`: all of the devices ought to come."""
        own, handed, devices, clocks = self._own(), set[Name](), Counter[str](), Clocks(self._record)
        while part := list(islice(coming, AT_ONCE)):
            sound = list(_sound(part))
            merged = self._merge({"id": record_id(key_of(line)), **doc_of(line)} for line in sound)
            done.new_here += merged.new + merged.conflicts
            done.say(merged.sentences)
            devices.update(head_of(line)[0] for line in sound)
            handed.update(name for name, _ in part)
            for line in sound:
                with suppress(ValueError):
                    clocks.saw(read_line(key_of(line), line))
        self._note_not_taken(self._held.lacking(handed))
        if not whole:
            return handed
        done.say(own_back(own, devices[own]))
        done.say(numbers(device_of(name, self._held.numbers(name)) for name in sorted(devices)))
        done.say(clocks.sentences)
        return handed

    def _give(self, carrier: Carrier, spots: list[int], done: Synced) -> None:
        going = map(self._held.lines.at, spots)
        while part := list(islice(going, GIVEN_AT_ONCE)):
            done.new_there += carrier.give(part)

    def _record(self, identity: str) -> Record | None:
        line = self._held.lines.line(identity)
        try:
            return None if line is None else read_line(identity, line)
        except ValueError:
            return None

    def _not_taken(self) -> set[Name]:
        """What this bench refused or reads otherwise: another may understand it, so it is left where it lies."""
        try:
            return {bytes.fromhex(row) for row in self._note().read_text("ascii").split()}
        except (OSError, ValueError):
            return set()

    def _note_not_taken(self, names: set[Name]) -> None:
        if names:
            everything = sorted(self._not_taken() | names)
            with suppress(OSError):
                replace_file(self._note(), "".join(f"{name.hex()}\n" for name in everything).encode())

    def _note(self) -> Path:
        return self._folder / "keys" / NOT_TAKEN


def _sound(coming: Iterable[tuple[Name, bytes]]) -> Iterator[bytes]:
    """The lines that are what they were asked for as: nothing else is taken in."""
    return (line for name, line in coming if line and name_of(line) == name)


def _named_in(line: bytes) -> list[Named]:
    doc = doc_of(line)
    data = doc.get("data")
    named = named_file(str(doc.get("kind")), data) if isinstance(data, dict) else None
    return [named] if named is not None else []
