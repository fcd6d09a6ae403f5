"""What takes seconds of the processor is done in a process of its own, kept warm, which ends itself when the bench that
started it is gone: pages are set there, and large pictures unpacked. In the bench's own process every page would wait.
"""

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures import TimeoutError as TooLong
from concurrent.futures.process import BrokenProcessPool
from typing import Any, TypeVar, cast

from bench.science.refusal import Refusal
from bench.translation import Spoken, _, speak, spoken

T = TypeVar("T")
MOST_MB, MOST_S, CALLS = 1500, 60, 200
"""Memory and seconds for one call, and how many calls a process does before it is begun again."""
LOOK_S = 1.0
BUSY = _("The laptop is busy with another page or photo. Try again in a minute.")
TOO_MUCH = _("This page took too long or too much memory. Print fewer at once.")


def _begin(parent: int) -> None:
    def watch() -> None:
        while os.getppid() == parent:
            threading.Event().wait(LOOK_S)
        os._exit(0)

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the bench, which then ends this process
    threading.Thread(target=watch, daemon=True).start()
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MB << 20, MOST_MB << 20))
        os.nice(5)


def _called(function: Callable[..., Any], about: tuple[Any, ...], too_much: str, said: Spoken) -> tuple[Any, str]:
    speak(*said)
    try:
        return function(*about), ""
    except Refusal as refusal:
        return None, refusal.say
    except MemoryError:
        return None, too_much


class Setter:
    """The process, started when it is first wanted, and begun again when it broke or took too long."""

    def __init__(self, most_s: float = MOST_S, too_much: str = TOO_MUCH) -> None:
        self._lock, self._most_s, self._too_much = threading.Lock(), most_s, too_much
        self._turn = threading.Lock()
        self._pool: ProcessPoolExecutor | None = None

    def call(self, function: Callable[..., T], *about: Any) -> T:
        """What the function gives, done in the other process. Refusal where it refuses, or is not done within bounds.

        The function is one of a module's own, and what goes to it and comes back can be pickled. One call is done after
        the other, each with all its time: none pays for the one before it.
        """
        if not self._turn.acquire(timeout=self._most_s):
            raise Refusal(str(BUSY))
        try:
            return self._done(function, about)
        finally:
            self._turn.release()

    def _done(self, function: Callable[..., T], about: tuple[Any, ...]) -> T:
        pool = self._started()
        try:
            made, say = pool.submit(_called, function, about, self._too_much, spoken()).result(self._most_s)
        except (BrokenProcessPool, TooLong):
            self._drop(pool)
            raise Refusal(str(self._too_much)) from None
        if say:
            raise Refusal(say)
        return cast(T, made)

    def _started(self) -> ProcessPoolExecutor:
        with self._lock:
            if self._pool is None:
                spawn = multiprocessing.get_context("spawn")
                self._pool = ProcessPoolExecutor(1, spawn, _begin, (os.getpid(),), max_tasks_per_child=CALLS)
            return self._pool

    def _drop(self, pool: ProcessPoolExecutor) -> None:
        with self._lock:
            if self._pool is pool:
                self._pool = None
        for process in list((pool._processes or {}).values()):
            process.kill()
        pool.shutdown(wait=False, cancel_futures=True)

    @property
    def started(self) -> bool:
        """Whether the process is there."""
        return self._pool is not None

    def close(self) -> None:
        """Ends the process, if there is one."""
        if self._pool is not None:
            self._drop(self._pool)


SETTER = Setter()
