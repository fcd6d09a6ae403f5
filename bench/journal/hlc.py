"""A hybrid logical clock: marks that follow the wall clock, and keep cause before effect when wall clocks are wrong.

Kulkarni, Demirbas, Madappa, Avva, Leone, "Logical Physical Clocks", OPODIS 2014.
"""

from collections.abc import Callable

from bench.translation import _

MOST_AHEAD_MS = 10 * 60_000
"""A clock further ahead than this is reported and not followed."""

Mark = tuple[int, int]


class HybridClock:
    """Gives out marks (milliseconds, counter), each later than the one before and than every mark it followed.

    `now_ms` reads the wall clock. `floor` is the last mark of this device's own records: it is kept even when the wall
    clock has fallen behind it since, as a computer with an empty clock battery does.
    """

    def __init__(self, now_ms: Callable[[], int], floor: Mark = (0, 0)) -> None:
        self._now_ms = now_ms
        self._floor_ms = floor[0]
        self._last = floor

    def tick(self) -> Mark:
        """The mark of something that happens now."""
        wall = self._now_ms()
        ms, counter = self._last
        self._last = (wall, 0) if wall > ms else (ms, counter + 1)
        return self._last

    def saw(self, mark: Mark) -> int:
        """Takes note of a mark from elsewhere. Answers by how many milliseconds it is too far ahead to be followed."""
        ahead_ms = mark[0] - max(self._now_ms(), self._floor_ms)
        if ahead_ms > MOST_AHEAD_MS:
            return ahead_ms
        self._last = max(self._last, mark)
        return 0

    def follow(self, mark: Mark) -> None:
        """What comes next stands after `mark`, however wrong the clock was that made it: a correction needs that."""
        self._last = max(self._last, mark)

    @property
    def behind_ms(self) -> int:
        """By how much the wall clock has fallen behind this device's own records; 0 when it has not."""
        return max(0, self._floor_ms - self._now_ms())


def span(ms: int) -> str:
    """How far two clocks are apart, in words."""
    minutes = round(ms / 60_000)
    if minutes < 120:
        return _("{minutes} minutes", minutes=minutes)
    return (
        _("{minutes} hours", minutes=minutes // 60)
        if minutes < 48 * 60
        else _("{minutes} days", minutes=minutes // 1440)
    )
