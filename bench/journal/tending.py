"""Makes the backups that fall due while the bench is open, beside everything else."""

from threading import Event, Thread

from bench.journal.safekeeping import Safekeeping

EVERY_S = 60.0


class Tending:
    """Looks once a minute, from a thread of its own, until it is stopped; then once more."""

    def __init__(self, safe: Safekeeping, every_s: float = EVERY_S) -> None:
        self._safe, self._every_s = safe, every_s
        self._stopped = Event()
        self._thread = Thread(target=self._run, name="bench-backups", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Waits for a backup under way, and makes the last one."""
        self._stopped.set()
        self._thread.join()
        self._safe.tend(closing=True)

    def _run(self) -> None:
        self._safe.tend()
        while not self._stopped.wait(self._every_s):
            self._safe.tend()
