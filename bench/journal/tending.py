"""Does what falls due while the bench is open, beside everything else: backups, the shared folder, the hub."""

import logging
from threading import Event, Thread

from bench.journal.journal import Journal
from bench.journal.trouble import Trouble

EVERY_S, CLOSING_S = 60.0, 2.0
log = logging.getLogger("bench")


class Tending:
    """Looks once a minute, from a thread of its own, until it is stopped; then makes the last backup."""

    def __init__(self, journal: Journal, every_s: float = EVERY_S) -> None:
        self._journal, self._every_s = journal, every_s
        self._stopped = Event()
        self._thread = Thread(target=self._run, name="bench-tending", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Makes the last backup. A backup under way is waited for; a shared folder that does not answer is not.

        What it did not get goes over the next time: a closed journal takes nothing, and each part is whole.
        """
        self._stopped.set()
        self._thread.join(CLOSING_S)
        self._journal.safe.tend(closing=True)

    def _run(self) -> None:
        while True:
            self._journal.safe.tend()
            self._share()
            self._journal.hub.tend()
            if self._stopped.wait(self._every_s):
                return

    def _share(self) -> None:
        try:
            done = self._journal.sync_shared()
        except (OSError, Trouble) as error:
            log.warning("the shared folder could not be read or written", exc_info=error)
            return
        if done is not None and (done.new_here or done.new_there):
            log.info("shared: %d records came, %d went", done.new_here, done.new_there)
