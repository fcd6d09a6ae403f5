"""Who speaks with the hub while the bench is open: one thread of its own, so that a hub that is silent holds nobody."""

import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from threading import Condition, Thread

from bench.journal.disk import replace_file
from bench.journal.hub.address import Address, forget_address, keep_address, kept_address
from bench.journal.hub.borrowed import Borrowed, Reading
from bench.journal.hub.link import DEADLINE_S, HubTrouble, Link
from bench.journal.hub.place import HubPlace, others, own_name
from bench.journal.syncing import Difference, Mark, Synced, Syncing
from bench.journal.trouble import Trouble
from bench.translation import _

log = logging.getLogger("bench")
NO_WORKSHOP = "The hub has no workshop of this name now. Compare with the hub again."
JOINED = "hub-joined.txt"
"""The note that this bench and its hub belong together: from then on they are brought together by themselves."""


@dataclass(frozen=True)
class Told:
    """What is known of the hub: whether it is being asked now, what was found or brought last, and what went wrong."""

    working: bool = False
    seen: Difference | None = None
    done: Synced | None = None
    trouble: str | None = None
    at_ms: int | None = None
    sentences: tuple[str, ...] = ()
    shared: int | None = None
    others: Mapping[str, int] = field(default_factory=dict)
    """What all workshops share, by their names, as it was seen when both sides were compared."""
    own: str = ""
    """The bench's own workshop among them."""
    reading: Reading | None = None
    """What was read last of another workshop. This and the two before stay when something else is asked."""


class HubDesk:
    """The hub of one open bench. `ask` returns at once; `told` is what is known so far. Safe from many threads."""

    def __init__(
        self,
        folder: Path,
        syncing: Syncing,
        now_ms: Callable[[], int],
        moved: Callable[[], None],
        borrowed: Borrowed,
        deadline_s: float = DEADLINE_S,
    ) -> None:
        self._keys, self._syncing, self._now_ms, self._moved = folder / "keys", syncing, now_ms, moved
        self.borrowed, self._deadline_s = borrowed, deadline_s
        self._turn = Condition()
        self._told = Told()
        self._wanted: str | None = None
        self._sharing: tuple[str, ...] = ()
        self._reading: tuple[str, str] | None = None
        self._link: Link | None = None
        self._thread: Thread | None = None
        self._stopped = False
        self._mark: Mark | None = None

    @property
    def address(self) -> Address | None:
        """The hub of this bench, where it has one."""
        return kept_address(self._keys)

    @property
    def told(self) -> Told:
        """What is known so far."""
        with self._turn:
            return self._told

    def connect(self, address: Address, certificate: str | None = None) -> None:
        """Keeps a hub, in place of any earlier one. OSError when the disk refuses."""
        self.disconnect()
        keep_address(self._keys, address, certificate)

    def disconnect(self) -> None:
        """Forgets the hub. What was brought here and there stays."""
        with self._turn:
            if self._link is not None:
                self._link.abort()
            self._wanted, self._sharing, self._reading, self._mark, self._told = None, (), None, None, Told()
        forget_address(self._keys)
        (self._keys / JOINED).unlink(missing_ok=True)

    def belongs(self) -> None:
        """Notes that the bench and its hub were brought together. OSError when the disk refuses."""
        if not (self._keys / JOINED).exists():
            replace_file(self._keys / JOINED, b"")

    def ask(self, what: str, ids: Iterable[str] = ()) -> None:
        """Lets the thread `look` at what each side lacks, `bring` it, or `share` records. Returns at once.

        `peek` and `read` are about what another workshop shares, named as the one of `ids`.
        """
        with self._turn:
            if self._stopped or self.address is None:
                return
            if what == "share":
                self._sharing = (*self._sharing, *ids)
            elif what in ("peek", "read"):
                self._reading = (what, next(iter(ids)))
            else:
                self._wanted = "bring" if "bring" in (what, self._wanted) else what
            self._told = replace(self._told, working=True)
            if self._thread is None:
                self._thread = Thread(target=self._run, name="bench-hub", daemon=True)
                self._thread.start()
            self._turn.notify_all()

    def tend(self) -> None:
        """Asks for what is new, where the two were brought together before: to be called every minute."""
        if (self._keys / JOINED).exists():
            self.ask("bring")

    def wait(self, seconds: float) -> Told:
        """What is known when the work under way is done, or when so many seconds have passed."""
        with self._turn:
            self._turn.wait_for(lambda: not self._told.working, seconds)
            return self._told

    def stop(self) -> None:
        """Breaks off what is under way, and waits for nothing: to be called before the journal closes.

        A closed journal takes nothing more, and each part that came before is whole, so the next opening goes on there.
        """
        with self._turn:
            self._stopped = True
            if self._link is not None:
                self._link.abort()
            self._turn.notify_all()

    def _run(self) -> None:
        while True:
            with self._turn:
                self._turn.wait_for(lambda: self._stopped or self._waiting)
                address = self.address
                if self._stopped or address is None:
                    self._thread = None
                    self._told = replace(self._told, working=False)
                    self._turn.notify_all()
                    return
                what, ids = self._next()
                self._link = Link(address.options(), self._deadline_s)
            told = self._answer(what, self._link, ids)
            with self._turn:
                gone = self.address != address
                self._told = Told() if gone else self._with_earlier(told)
                self._turn.notify_all()

    @property
    def _waiting(self) -> bool:
        return bool(self._wanted or self._sharing or self._reading)

    def _next(self) -> tuple[str, tuple[str, ...]]:
        """What is done next, and about which records or which workshop."""
        if self._sharing:
            ids, self._sharing = self._sharing, ()
            return "share", ids
        if self._reading is not None:
            (what, workshop), self._reading = self._reading, None
            return what, (workshop,)
        wanted, self._wanted = self._wanted or "look", None
        return wanted, ()

    def _with_earlier(self, told: Told) -> Told:
        last = self._told
        others, own, reading = told.others or last.others, told.own or last.own, told.reading or last.reading
        return replace(told, working=self._waiting, others=others, own=own, reading=reading)

    def _answer(self, what: str, link: Link, ids: Iterable[str] = ()) -> Told:
        now = self._now_ms()
        try:
            place = HubPlace(link)
            clock = tuple(place.clock(now))
            if what == "share":
                several = tuple(ids)
                self._syncing.share(HubPlace(link, opened=True), several)
                return Told(shared=len(several), at_ms=now, sentences=clock)
            if what == "look":
                shared = {name: count for name, (_, count) in sorted(others(link).items()) if count}
                seen, own = self._syncing.preview(place), own_name(link)
                return Told(seen=seen, at_ms=now, sentences=clock, others=shared, own=own)
            if what in ("peek", "read"):
                (workshop,) = ids
                return Told(reading=self._read(what, workshop, link), at_ms=now, sentences=clock)
            return Told(done=self._bring(place), at_ms=now, sentences=clock)
        except Trouble as trouble:
            if isinstance(trouble, HubTrouble) and not self._stopped:
                log.warning("the hub could not be used")
            return Told(trouble=trouble.say, at_ms=now)
        except OSError as error:
            return Told(trouble=_("The disk refused: {value}.", value=error.strerror or error), at_ms=now)
        except Exception as error:
            if not self._stopped:  # else the journal was closed under it
                log.exception("the hub could not be used")
            return Told(trouble=_("Something broke off: {what}. Try again.", what=type(error).__name__), at_ms=now)
        finally:
            link.close()

    def _read(self, what: str, workshop: str, link: Link) -> Reading:
        shelves = others(link)
        if workshop not in shelves:
            raise HubTrouble(NO_WORKSHOP)
        place = HubPlace(link, of=shelves[workshop][0])
        if what == "peek":
            return Reading(workshop, seen=self.borrowed.preview(workshop, place))
        return Reading(workshop, done=self.borrowed.take(workshop, place))

    def _bring(self, place: HubPlace) -> Synced:
        done, self._mark = self._syncing.follow(place, self._mark)
        self.belongs()
        if done.new_here:
            self._moved()
        if done.moved:
            log.info("hub: %d records came, %d went", done.new_here, done.new_there)
        return done
