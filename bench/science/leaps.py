"""Readings that no bench furnace can make: one that falls, or rises, faster than heat leaves or enters it.

What is above the room leaves by Newton's law of cooling: in equal times an equal share of it. A probe that slipped
out, one that broke, another probe or a wrong digit is likelier than such a furnace. Readings are (minute, °C) in the
order of time. Plain arithmetic on lists: the phone runs a twin of it on its own.
"""

from collections.abc import Sequence
from typing import Final

ROOM_C: Final = 20.0
HALVES_MIN: Final = 3.0
"""Even an open gas furnace that was just shut needs so long to lose half of its heat (common practice, from memory)."""
RISES_C_MIN: Final = {"gas": 150.0, "electric": 60.0, "any": 150.0}
"""No bench furnace of its fuel climbs faster, a probe beside the flame included (common practice, from memory)."""
SLACK_C: Final = 25.0
"""So far two readings of one moment may lie apart: the scatter, or a probe that was moved (project default)."""
CONFIRMS_MIN: Final = 5.0
"""A second reading confirms a sudden fall when it is taken so long after it (project default)."""
REACH_MIN: Final = 20.0
"""By then 2,000 °C has fallen to within the slack of the room: no fall from before that is sudden."""

LEFT_SHARE: Final = 0.5
"""A fire that burns keeps this share of its heat above the room, door open or stalled (project default)."""
MANY_TIMES: Final = 5.0
"""So many times what is read and planned is a digit too many, or a point left out (project default)."""
LEAST_EXPECTED_C: Final = 100.0
"""Below this a burner is far over its plan soon: no reading counts as many times it (project default)."""

Pair = tuple[float, float]


def lowest_c(c: float, minutes: float) -> float:
    """The lowest that may be read so many minutes after `c` was."""
    left: float = 0.5 ** (max(minutes, 0.0) / HALVES_MIN)
    return min(c, ROOM_C + (c - ROOM_C) * left) - SLACK_C


def highest_c(c: float, minutes: float, fuel: str = "any") -> float:
    """The highest that may be read so many minutes after `c` was, in a furnace of this fuel."""
    return max(c, ROOM_C) + RISES_C_MIN.get(fuel, RISES_C_MIN["any"]) * max(minutes, 0.0) + SLACK_C


def leaps(c: float, before_c: float, minutes: float, fuel: str = "any") -> bool:
    """Whether no furnace reads `c` so many minutes after it read `before_c`."""
    return not lowest_c(before_c, minutes) <= c <= highest_c(before_c, minutes, fuel)


def fell_from(readings: Sequence[Pair]) -> Pair | None:
    """The hotter reading that the last one cannot have come from so soon; None where it can, or is confirmed by now.

    A second low reading confirms it. So does time: what was read long enough before is no bar to any reading.
    """
    if not readings:
        return None
    until, c = readings[-1]
    low = None  # the earliest of the readings since the hot one
    for minute, earlier in reversed(readings[:-1]):
        if until - minute > REACH_MIN:
            break
        if c < lowest_c(earlier, until - minute):
            confirmed = low is not None and until - low >= CONFIRMS_MIN
            return None if confirmed else (minute, earlier)
        low = minute
    return None


def leaps_after(readings: Sequence[Pair], minute: float, c: float, fuel: str = "any") -> bool:
    """Whether no furnace reads `c` then, after these; one that comes back to what a sudden fall came from is none."""
    if not readings:
        return False
    at, before_c = readings[-1]
    hot = fell_from(readings)
    back = hot is not None and not leaps(c, hot[1], minute - hot[0], fuel)
    return leaps(c, before_c, minute - at, fuel) and not back


def slips(c: float, before_c: float, planned_c: float) -> bool:
    """Whether a reading of a fire that burns by its plan looks like a digit left out, or one too many.

    Left out: far below what was read last and what is planned now. Where the plan cools, the lower of both counts.

    >>> slips(38, 88, 380), slips(3800, 300, 380), slips(250, 420, 430), slips(480, 900, 500)
    (True, True, False, False)
    """
    low, high = min(before_c, planned_c), max(before_c, planned_c, LEAST_EXPECTED_C)
    return (c < ROOM_C + LEFT_SHARE * (low - ROOM_C) and c < low - SLACK_C) or c > MANY_TIMES * high


def proved_c(readings: Sequence[Pair]) -> float | None:
    """The temperature that hot ware is judged by: the last reading, or what it fell from while nothing confirms it."""
    if not readings:
        return None
    hot = fell_from(readings)
    return readings[-1][1] if hot is None else hot[1]
