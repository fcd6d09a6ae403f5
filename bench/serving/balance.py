"""Listens to a balance on a serial port of this computer while anybody asks what it shows. It records nothing.

The port is opened when it is first asked for, tried again every other second while it is not there, and let go when
nobody has asked for two minutes. What stands on the balance is a value of the moment: it is told with its age.
"""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from bench.science.refusal import Refusal
from bench.serving.ports import WAIT_S, Port, lines_of, open_port, ports
from bench.translation import _
from bench.workshop.balance import Cabled, Heard, Line
from bench.workshop.logger.balance_lines import Printing, read_line

TRY_S = 2.0
UNASKED_S = 120.0
SAME_LINES = 3
"""So many equal lines one after the other count as steady where the balance has no mark for it (our own default)."""
KEPT_LINES = 8


class Balance:
    """At most one balance. Asking keeps it listening."""

    def __init__(self, tick_s: Callable[[], float]) -> None:
        self._tick_s = tick_s
        self._lock = threading.Lock()
        self._wanted: Cabled | None = None
        self._asked_s = 0.0
        self._heard = Heard()
        self._same = 0
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def ports(self) -> list[tuple[str, str]]:
        """The serial ports of this computer."""
        return ports()

    def heed(self, wanted: Cabled | None) -> tuple[Heard, float]:
        """What this balance shows, and how many seconds ago it said so; begins to listen, or to another one."""
        with self._lock:
            now = self._asked_s = self._tick_s()
            if wanted != self._wanted or (self._thread is not None and not self._thread.is_alive()):
                self._end()
                self._wanted, self._heard, self._same = wanted, Heard(), 0
            if wanted is not None and self._thread is None:
                self._begin(wanted)
            return self._heard, max(0.0, now - self._heard.at_s)

    def stop(self) -> None:
        """End it and wait until the port is shut."""
        with self._lock:
            thread = self._thread
            self._end()
            self._wanted = None
        if thread is not None:
            thread.join(timeout=10 * WAIT_S)

    def _begin(self, wanted: Cabled) -> None:
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._listen, args=(wanted, self._stop), daemon=True)
        self._thread.start()

    def _end(self) -> None:
        self._stop.set()
        self._thread = None

    def _say(self, stop: threading.Event, **changes: Any) -> None:
        if not stop.is_set():  # another balance is listened to by now
            self._heard = replace(self._heard, **changes)

    def _unasked(self) -> bool:
        return self._tick_s() - self._asked_s > UNASKED_S

    def _listen(self, wanted: Cabled, stop: threading.Event) -> None:
        while not stop.is_set() and not self._unasked():
            try:
                port = open_port(wanted.port, wanted.baud)
            except Refusal as refusal:
                self._say(stop, is_open=False, trouble=refusal.say, shown="", say="")
                stop.wait(TRY_S)
                continue
            try:
                self._hear(port, wanted, stop)
            except Exception:  # a cable pulled out has many names
                lost = _("The balance was lost. Check its cable.")
                self._say(stop, is_open=False, trouble=lost, shown="", say="")
                stop.wait(TRY_S)
            finally:
                port.close()

    def _hear(self, port: Port, wanted: Cabled, stop: threading.Event) -> None:
        self._say(stop, is_open=True, trouble="")
        for raw in lines_of(port, stop):
            if raw is not None:
                self._read(raw.decode("utf-8", "replace").strip(), wanted.printing, stop)
            elif self._unasked():
                return

    def _read(self, text: str, how: Printing, stop: threading.Event) -> None:
        if stop.is_set():
            return
        was = self._heard
        try:
            weight = read_line(text, how)
        except Refusal as refusal:
            self._same = 0
            line = Line(text, say=refusal.say)
            self._say(stop, shown="", steady=False, say=refusal.say, at_s=self._tick_s(), lines=_kept(was, line))
            return
        self._same = self._same + 1 if weight.shown == was.shown else 1
        steady = self._same >= SAME_LINES if weight.steady is None else weight.steady
        self._say(
            stop,
            count=was.count + 1,
            shown=weight.shown,
            steady=steady,
            say="",
            at_s=self._tick_s(),
            lines=_kept(was, Line(text, weight.shown)),
        )


def _kept(was: Heard, line: Line) -> tuple[Line, ...]:
    return tuple(deque((*was.lines, line), maxlen=KEPT_LINES))
