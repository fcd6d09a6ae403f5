"""Dated checks of what measures: a probe against a second one, a cone or a melt, the balance against a check weight.

Each is a setting of the bench, so that no kind of record is new: its name says what was checked, its value how, and
what it showed against what it should have. The date is the record's own.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from bench.records.record import BENCH
from bench.records.state import State

BALANCE: Final = "balance_check"
BALANCE_DAYS: Final = 30
PROBE_DAYS: Final = 90
"""How long a check counts (our own defaults; a probe that stands over 1000 °C drifts faster)."""


@dataclass(frozen=True)
class Checked:
    """One check: when, how, what was true and what was shown, in °C or g."""

    when: datetime
    how: str
    true: float
    shown: float

    @property
    def off(self) -> float:
        """By how much it shows too much."""
        return self.shown - self.true


@dataclass(frozen=True)
class Due:
    """A check that is overdue: days since the last one, None where there never was one."""

    days: int | None


def probe_name(furnace: str) -> str:
    """The name of the setting that holds the checks of a furnace's probe."""
    return f"probe_check.{furnace}"


def checked(state: State, name: str) -> Checked | None:
    """The newest check of this name by the time when it was done, or None."""
    found = [r for r in state.by_time(BENCH, "setting.changed") if r.body.name == name]
    return _read(found[-1].when, found[-1].body.value) if found else None


def _read(when: datetime, value: Any) -> Checked | None:
    try:
        return Checked(when, str(value["how"]), float(value["true"]), float(value["shown"]))
    except (KeyError, TypeError, ValueError):  # written by another version
        return None


def balance_due(state: State, now: datetime) -> Due | None:
    """Whether the balance's check is overdue."""
    return _due(checked(state, BALANCE), BALANCE_DAYS, now)


def probe_due(state: State, furnace: str, now: datetime) -> Due | None:
    """Whether the check of a furnace's probe is overdue; None too where it has none."""
    described = state.slot(furnace, "furnace.described").body
    if described is None or described.probe_type == "none":
        return None
    return _due(checked(state, probe_name(furnace)), PROBE_DAYS, now)


def _due(last: Checked | None, most_days: int, now: datetime) -> Due | None:
    if last is None:
        return Due(None)
    days = (now - last.when).days
    return Due(days) if days >= most_days else None
