"""The balance that the bench listens to, as the settings say: its port, and how it prints.

It is one setting of the bench, so that no kind of record is new. A weight that came over the cable is recorded like a
typed one: the maker saw it and tapped.
"""

from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from bench.records.state import State
from bench.science.refusal import Refusal
from bench.workshop.logger.balance_lines import Printing, check_pattern

SETTING: Final = "balance_line"
BAUDS: Final = ("9600", "19200", "38400", "57600", "115200", "4800", "2400", "1200", "600")


class Cabled(NamedTuple):
    """A balance on a serial port. `port` is empty where there is none."""

    port: str
    baud: int
    printing: Printing


@dataclass(frozen=True)
class Line:
    """One line as it came, with the weight that was read in it or what was wrong with it."""

    text: str
    shown: str = ""
    say: str = ""


@dataclass(frozen=True)
class Heard:
    """What the balance shows. `count` goes up with each weight; `shown` is empty where the last line holds none."""

    is_open: bool = False
    count: int = 0
    shown: str = ""
    steady: bool = False
    at_s: float = 0.0
    trouble: str = ""
    say: str = ""
    lines: tuple[Line, ...] = ()


def cabled(state: State) -> Cabled | None:
    """The balance on a cable as set; None where there is none, or where another version set it."""
    value = state.setting(SETTING)
    if not isinstance(value, dict) or not value.get("port"):
        return None
    try:
        how = Printing(
            check_pattern(str(value.get("pattern", ""))),
            str(value.get("steady", "")),
            str(value.get("moving", "")),
            bool(value.get("steady_only", False)),
        )
        return Cabled(str(value["port"]), int(value["baud"]), how)
    except (Refusal, KeyError, TypeError, ValueError):
        return None


def as_setting(port: str, baud: int, how: Printing) -> dict[str, Any]:
    """What is kept of it."""
    return {
        "port": port,
        "baud": baud,
        "pattern": how.pattern,
        "steady": how.steady,
        "moving": how.moving,
        "steady_only": how.steady_only,
    }
