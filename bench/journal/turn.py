"""One request's turn at the state: what it reads and writes is one step; its answer waits for the disk."""

from contextlib import AbstractContextManager, suppress
from threading import local

from bench.journal.storage import AppendStorage
from bench.journal.trouble import NotKept
from bench.journal.view import View
from bench.records.state import State


class Turns:
    """Hands out the turns at one journal, and knows which one a thread has."""

    def __init__(self, storage: AppendStorage, view: View) -> None:
        self.storage, self.view = storage, view
        self._local = local()

    @property
    def mine(self) -> "Turn | None":
        """The turn that this thread has, where its answer waits for the disk."""
        turn = self._here
        return None if turn is None or turn.at_once else turn

    def told(self) -> None:
        """What the disk just refused has been told to whoever has the turn: what is read from now on holds."""
        if (turn := self._here) is not None:
            turn.failures = self.storage.failures

    @property
    def _here(self) -> "Turn | None":
        return getattr(self._local, "turn", None)

    def take(self, turn: "Turn | None") -> None:
        """This thread has this turn now, or none."""
        self._local.turn = turn


class Turn:
    """The state stands still from `begin` to `leave`; then whoever had the turn waits for the disk.

    `failed` afterwards: something that was read or written in it was not kept, so its answer must not be given. With
    `at_once` each write waits for the disk inside the turn, and raises NotKept there; that failure has then been told.
    """

    def __init__(self, turns: Turns, at_once: bool = False) -> None:
        self._turns, self._storage, self.at_once = turns, turns.storage, at_once
        self._reading: AbstractContextManager[State] | None = None
        self.failed = False
        self.failures = 0

    def begin(self) -> None:
        """Waits for the turn and takes it."""
        reading = self._turns.view.reading()
        with self._storage.pen:
            self.failures = self._storage.failures  # before anything is filed: what fails later has a higher number
        reading.__enter__()
        self._reading = reading
        self._turns.take(self)

    def leave(self) -> None:
        """Gives the turn to the next, then returns when all that was read is on the disk, or was refused by it."""
        if self._reading is None:
            return
        self._turns.take(None)
        with self._storage.pen:
            batch = self._storage.newest()
            self.failed |= self.failures != self._storage.failures
        reading, self._reading = self._reading, None
        reading.__exit__(None, None, None)
        if batch is not None:
            with suppress(NotKept):
                self._storage.wait(batch)
            self.failed |= batch.error is not None
