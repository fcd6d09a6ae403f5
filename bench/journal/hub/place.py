"""The carrier over a hub: one workshop's own shelf, or one of the open shelves that all workshops read."""

import hashlib
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Any

from bench.journal.carrier import RUN, Name, Outline, Run, Standing, line_or_nothing, told_by
from bench.journal.disk import full_sync
from bench.journal.hlc import MOST_AHEAD_MS, span
from bench.journal.hub.link import HubTrouble, Link
from bench.journal.rights import private
from bench.translation import _

VERSION, PIECE, AT_ONCE, MOST_BYTES = 1, 256 * 1024, 500, 64 << 20
OLDER = _("The hub’s tables are from an older Saggar. The hub’s keeper must update them.")
NEWER = _("The hub’s tables are from a newer Saggar. Update Saggar on this computer.")
NOBODY = _("This login belongs to no workshop of the hub. Ask the hub’s keeper.")
ALTERED = _("A photo keeps arriving altered at the hub. Check the network.")


class HubPlace:
    """A shelf of a hub. `opened`: the workshop's open one. `of`: another workshop's, by its number, to read only."""

    def __init__(self, link: Link, opened: bool = False, of: int | None = None) -> None:
        self._link, self._opened, self._of = link, opened, of
        self._shelf: int | None = None

    @property
    def shelf(self) -> int:
        """The shelf's number, asked once; and whether the hub is one that this program knows. HubTrouble."""
        if self._shelf is None:
            version = max((int(row[0]) for row in self._link.ask("select version from saggar.made")), default=0)
            if version != VERSION:
                raise HubTrouble(OLDER if version < VERSION else NEWER)
            own = self._link.ask("select saggar.own_shelf(%s)", (self._opened,))[0][0]
            if own is None:
                raise HubTrouble(NOBODY)
            self._shelf = int(own if self._of is None else self._of)
        return self._shelf

    def outline(self) -> Outline:
        rows = self._link.ask("select device, run, fingerprint from saggar.outline(%s)", (self.shelf,))
        return {(device, run): bytes(seen) for device, run, seen in rows}

    def names(self, runs: Collection[Run]) -> set[Name]:
        if not runs:
            return set()
        devices, numbers = zip(*runs, strict=True)
        rows = self._link.ask(
            "select digest from saggar.record where shelf = %s and (device, seq / %s) in "
            "(select * from unnest(%b::text[], %b::bigint[]))",
            (self.shelf, RUN, list(devices), list(numbers)),
        )
        return {bytes(name) for (name,) in rows}

    def take(self, names: Collection[Name]) -> Iterator[tuple[Name, bytes]]:
        query = "select digest, body from saggar.record where shelf = %s and digest = any(%b) order by position"
        for part in _parts(list(names)):
            yield from map(_named, self._link.ask(query, (self.shelf, part)))

    def give(self, lines: list[bytes]) -> int:
        query, added = "select saggar.give(%s, %b::text[], %b::bigint[], %b::bytea[])", 0
        for part in _parts(lines):
            told = [told_by(line) for line in part]
            values = ([one.head[0] for one in told], [one.head[1] for one in told], [one.body for one in told])
            self._own()
            added += int(self._link.ask(query, (self._opened, *values))[0][0])
        return added

    def standing(self) -> Standing:
        query = "select saggar.life(), last from saggar.shelf where id = %s"
        rows = self._link.ask(query, (self.shelf,))
        if not rows:
            raise HubTrouble(NOBODY)
        return Standing(str(rows[0][0]), int(rows[0][1]))

    def since(self, after: int, upto: int) -> Iterator[tuple[Name, bytes]]:
        query = (
            "select digest, body from saggar.record where shelf = %s and position > %s and position <= %s "
            "order by position"
        )
        for first in range(after, upto, AT_ONCE):
            yield from map(_named, self._link.ask(query, (self.shelf, first, min(first + AT_ONCE, upto))))

    def clock(self, now_ms: int) -> list[str]:
        """A sentence where this computer's clock and the hub's are apart."""
        theirs = int(self._link.ask("select (extract(epoch from clock_timestamp()) * 1000)::bigint")[0][0])
        apart = now_ms - theirs
        if abs(apart) <= MOST_AHEAD_MS:
            return []
        time = span(abs(apart))
        if apart > 0:
            return [_("This computer’s clock is {time} ahead of the hub’s. Set the wrong one right.", time=time)]
        return [_("This computer’s clock is {time} behind the hub’s. Set the wrong one right.", time=time)]

    # Photos -----------------------------------------------------------------------------------------------------

    def photos(self) -> set[str]:
        rows = self._link.ask("select encode(sha256, 'hex') from saggar.photo where shelf = %s", (self.shelf,))
        return {str(sha256) for (sha256,) in rows}

    def take_photo(self, sha256: str, to: Path) -> Path | None:
        """In pieces, from where an earlier try ended."""
        to.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside = to / f"{sha256}.new"
        ending = self._fetch(sha256, beside)
        if ending is None or hashlib.sha256(beside.read_bytes()).hexdigest() != sha256:
            beside.unlink(missing_ok=True)
            return None
        return beside.rename(to / f"{sha256}{ending}")

    def give_photo(self, sha256: str, photo: Path) -> None:
        """In pieces, from where an earlier try ended; the hub looks at the whole before it counts."""
        data, raw = photo.read_bytes(), bytes.fromhex(sha256)
        if not data or len(data) > MOST_BYTES or hashlib.sha256(data).hexdigest() != sha256:
            return  # altered since it was looked at: `saggar verify` tells of it
        self._own()
        query = "select coalesce(sum(length(part)), 0)::int from saggar.photo_part where shelf = %s and sha256 = %b"
        start, failed = int(self._link.ask(query, (self.shelf, raw))[0][0]), 0
        start = 0 if start >= len(data) else start
        while start < len(data):
            values = (self._opened, raw, photo.suffix.lower(), start, len(data), data[start : start + PIECE])
            there = int(self._link.ask("select saggar.give_photo(%s, %b, %s, %s, %s, %b)", values)[0][0])
            failed += there <= start
            if failed > 2:
                raise HubTrouble(ALTERED)
            start = max(there, 0)

    def _fetch(self, sha256: str, beside: Path) -> str | None:
        """Brings what is still lacking of a photo into a file, and tells its ending; None where the hub lacks it."""
        query = "select ending, length(data), substr(data, %s, %s) from saggar.photo where shelf = %s and sha256 = %b"
        with open(beside, "ab", opener=private) as file:
            while True:
                start = file.tell()
                rows = self._link.ask(query, (start + 1, PIECE, self.shelf, bytes.fromhex(sha256)))
                if not rows:
                    return None
                ending, size, piece = rows[0]
                file.write(piece)
                if not piece or file.tell() >= size:
                    file.flush()
                    full_sync(file.fileno())
                    return str(ending)

    def _own(self) -> None:
        if self._of is not None:
            raise HubTrouble(_("Another workshop’s shelf is read-only."))


def others(link: Link) -> dict[str, tuple[int, int]]:
    """Every workshop of the hub: the number of its open shelf, and how many records lie on it."""
    rows = link.ask(
        "select w.name, s.id, s.last from saggar.shelf s join saggar.workshop w on w.id = s.workshop where s.open"
    )
    return {str(name): (int(shelf), int(count)) for name, shelf, count in rows}


def own_name(link: Link) -> str:
    """The name of the workshop whose login this is; empty where it belongs to none."""
    rows = link.ask("select name from saggar.workshop where id = saggar.workshop_of_login()")
    return str(rows[0][0]) if rows else ""


def _named(row: tuple[Any, ...]) -> tuple[Name, bytes]:
    return bytes(row[0]), line_or_nothing(bytes(row[1]))


def _parts(several: list[Any]) -> Iterator[list[Any]]:
    return (several[n : n + AT_ONCE] for n in range(0, len(several), AT_ONCE))
