"""Listens to a meter on a serial port of this computer, and keeps a reading of a firing at each interval.

A meter that says nothing, or nothing that can be read, brings a plain sentence and no reading: a gap is a gap. The
middle one of the lines of an interval is kept, so that one garbled line does no harm.
"""

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from statistics import median_low
from typing import Any

from bench.science.refusal import Refusal
from bench.serving.ports import WAIT_S, Port, lines_of, open_port, ports
from bench.translation import _
from bench.workshop.logger.lines import line_temperature

SILENT_S = 60.0

Reading = tuple[float, float]
"""(°C, the number as it was sent)."""


@dataclass(frozen=True)
class Asked:
    """What to listen to. `at` counts the numbers of a line from 1, `unit` is C or F, `every_s` the interval."""

    firing: str
    port: str
    baud: int
    at: int
    unit: str
    every_s: float


@dataclass(frozen=True)
class Heard:
    """How it goes: the last line, what it was read as, how many were kept, and the trouble there is."""

    asked: Asked
    running: bool = True
    line: str = ""
    c: float | None = None
    kept: int = 0
    unread: int = 0
    trouble: str = ""


class Listening:
    """At most one port at a time. `keep(firing, c, raw, unit)` writes a reading, and says whether the fire goes on."""

    def __init__(self, keep: Callable[[str, float, float, str], bool], tick_s: Callable[[], float]) -> None:
        self._keep = keep
        self._tick_s = tick_s
        self._lock = threading.Lock()
        self._heard: Heard | None = None
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    @property
    def heard(self) -> Heard | None:
        """How it goes, or went; None where nothing was ever listened to."""
        return self._heard

    def ports(self) -> list[tuple[str, str]]:
        """The serial ports of this computer."""
        return ports()

    def start(self, firing: str, port_name: str, baud: int, at: int, unit: str, every_s: float) -> None:
        """Open the port and listen, ending what was listened to before. Refusal where it cannot be opened."""
        self.stop()
        asked = Asked(firing, port_name, baud, at, unit, every_s)
        port = open_port(asked.port, asked.baud)
        self._stop = threading.Event()
        self._heard = Heard(asked)
        self._thread = threading.Thread(target=self._listen, args=(port, asked, self._stop), daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it and wait until the port is shut."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(timeout=10 * WAIT_S)
            self._thread = None

    def _say(self, **changes: Any) -> None:
        with self._lock:
            if self._heard is not None:
                self._heard = replace(self._heard, **changes)

    def _listen(self, port: Port, asked: Asked, stop: threading.Event) -> None:
        trouble = ""
        try:
            self._hear(port, asked, stop)
        except Exception as error:  # a cable pulled out has many names
            trouble = _("The port was lost: {error}. Check the cable, then start again.", error=error)
        finally:
            port.close()
            self._say(running=False, **({"trouble": trouble} if trouble else {}))

    def _hear(self, port: Port, asked: Asked, stop: threading.Event) -> None:
        since, quiet_since = self._tick_s(), self._tick_s()
        found = list[Reading]()
        first = True
        for line in lines_of(port, stop):
            now = self._tick_s()
            one = None if line is None else self._read(line, asked)
            if one is not None:
                found.append(one)
                quiet_since = now
            if now - quiet_since > SILENT_S:
                self._say(trouble=_("The meter has sent no readable line for a minute."))
            if found and (first or now - since >= asked.every_s):
                c, raw = median_low(found)
                if not self._keep(asked.firing, c, raw, asked.unit):
                    return
                first, since, found = False, now, []
                self._say(kept=(self._heard.kept if self._heard else 0) + 1)

    def _read(self, line: bytes, asked: Asked) -> Reading | None:
        text = line.decode("ascii", "replace").strip()
        if not text:
            return None
        try:
            c, raw = line_temperature(text, asked.at, asked.unit)
        except Refusal as refusal:
            self._say(line=text, unread=(self._heard.unread if self._heard else 0) + 1, trouble=refusal.say)
            return None
        self._say(line=text, c=c, trouble="")
        return c, raw
