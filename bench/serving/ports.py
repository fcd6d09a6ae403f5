"""The serial ports of this computer: which there are, one opened for one owner, and the lines that come out of it."""

import errno
import re
import threading
from collections.abc import Iterator
from typing import Protocol

from bench.science.refusal import Refusal
from bench.translation import _

LACKING = _("The package pyserial is missing. In Saggar's folder, run {python} -m pip install pyserial")
LONGEST_LINE = 400
WAIT_S = 0.5
ENDS = re.compile(rb"[\r\n]+")


class Port(Protocol):
    """An open serial port."""

    @property
    def in_waiting(self) -> int: ...

    def read(self, size: int = 1, /) -> bytes: ...

    def close(self) -> None: ...


def open_port(port: str, baud: int) -> Port:
    """Open a port of this computer, for nobody else meanwhile. Refusal where it cannot be, or pyserial is missing."""
    try:
        import serial
    except ImportError as error:
        import sys

        raise Refusal(LACKING.format(python=sys.executable)) from error
    try:
        opened: Port = serial.Serial(port, baudrate=baud, timeout=WAIT_S, exclusive=True)
        return opened
    except (serial.SerialException, OSError, ValueError) as error:
        raise Refusal(_why_not(port, error), "port") from error


def _why_not(port: str, error: Exception) -> str:
    number = getattr(error, "errno", None)
    if number == errno.ENOENT:
        return _("{port} cannot be opened: there is no such port. Check the cable.", port=port)
    if number in (errno.EACCES, errno.EPERM):
        return _(
            "{port} cannot be opened: this account has no permission. On Linux, add it to the group dialout.", port=port
        )
    if number in (errno.EBUSY, errno.EAGAIN):
        return _("{port} cannot be opened: another program uses it. Close that first.", port=port)
    return _("{port} cannot be opened: {error}.", port=port, error=error)


def ports() -> list[tuple[str, str]]:
    """The serial ports of this computer: name, and what the system says of it; none where pyserial is missing."""
    try:
        from serial.tools import list_ports
    except ImportError:
        return []
    return [(one.device, one.description or one.device) for one in sorted(list_ports.comports())]


def lines_of(port: Port, stop: threading.Event) -> Iterator[bytes | None]:
    """Each line of a port until it is stopped, whatever ends it; None where nothing came for half a second."""
    rest = b""
    while not stop.is_set():
        got = port.read(max(1, min(port.in_waiting, LONGEST_LINE)))
        *whole, rest = ENDS.split(rest + got)
        if rest and (not got or len(rest) >= LONGEST_LINE):  # a line that nothing ends, or that never ends
            whole, rest = [*whole, rest], b""
        yield from (one for one in whole if one.strip())
        if not got:
            yield None
