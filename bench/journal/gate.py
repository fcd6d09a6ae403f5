"""Group commit: many threads, one write and one sync for all that wait."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Condition, RLock
from typing import Generic, TypeVar

from bench.journal.trouble import NotKept
from bench.translation import _

T = TypeVar("T")
LINGER_S = 0.0005
INTERRUPTED = _("Not saved: the write was interrupted. Send it again.")


class Batch(Generic[T]):
    """What goes to the disk together."""

    __slots__ = ("done", "entries", "error", "riders")

    def __init__(self) -> None:
        self.entries: list[T] = []
        self.riders = 0  # how many calls put something in
        self.done = False
        self.error: BaseException | None = None


class Gate(Generic[T]):
    """Lets one batch at a time through to `write`; then `landed` or `failed` is called with the lock held.

    When a write fails, what queued behind it fails with it: it was numbered in the belief that the one before is kept.
    """

    def __init__(
        self,
        lock: RLock,
        write: Callable[[list[T]], None],
        landed: Callable[[list[T]], None],
        failed: Callable[[], None],
    ) -> None:
        self._turn = Condition(lock)
        self._more = Condition(lock)
        self._write, self._landed, self._failed = write, landed, failed
        self._next: Batch[T] = Batch()
        self._current: Batch[T] | None = None
        self._riders_before = 0
        self.commits = 0
        self.failures = 0

    def newest(self) -> Batch[T] | None:
        """The batch that holds the newest entry on its way to the disk; None where none is. Hold the lock."""
        return self._next if self._next.entries else self._current

    @property
    def clear(self) -> bool:
        """Whether nothing is queued behind the write under way."""
        return not self._next.entries

    def queue(self, entries: list[T]) -> Batch[T]:
        """Adds to the next batch; the caller holds the lock."""
        if entries:
            self._next.entries += entries
            self._next.riders += 1
            self._more.notify()
        return self._next

    def wait(self, batch: Batch[T]) -> None:
        """Returns when the batch is kept; NotKept when it is not. The thread that led raises what stopped it."""
        led = False
        with self._turn:
            while self._current is not None and not batch.done:
                self._turn.wait()
            if not batch.done:
                led = True
                self._lead(batch)
        error = batch.error
        if error is None:
            return
        if led and not isinstance(error, NotKept):
            raise error
        raise NotKept(error.say if isinstance(error, NotKept) else INTERRUPTED) from error

    @contextmanager
    def quiet(self) -> Iterator[None]:
        """Holds the lock while no write is under way."""
        with self._turn:
            while self._current is not None:
                self._turn.wait()
            yield

    def _lead(self, batch: Batch[T]) -> None:
        self._current = batch
        if self._riders_before > 1:
            # Those who shared the sync before are on their way back; without this moment every second sync is for one.
            self._more.wait_for(lambda: batch.riders >= self._riders_before, LINGER_S)
        self._next, self._riders_before = Batch(), batch.riders
        self._turn.release()
        try:
            if batch.entries:
                self._write(batch.entries)
        except BaseException as error:
            batch.error = error
        finally:
            self._turn.acquire()
        try:
            self._settle(batch)
        finally:
            batch.done, self._current = True, None
            self._turn.notify_all()

    def _settle(self, batch: Batch[T]) -> None:
        if batch.error is None:
            self.commits += bool(batch.entries)
            self._landed(batch.entries)
            return
        self.failures += 1
        behind, self._next = self._next, Batch()
        behind.error, behind.done = batch.error, True
        self._failed()
