"""A logger's table as readings: moments and °C, with every line that could not be read named."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from bench.records.moments import to_ms
from bench.science.refusal import Refusal
from bench.science.thermocouples import c_from_f
from bench.translation import _
from bench.workshop.logger import cells
from bench.workshop.logger.columns import ELAPSED, Columns
from bench.workshop.logger.table import Table

COLDEST_C, HOTTEST_C = -50.0, 2000.0
DAY_MS, MINUTE_MS = 86_400_000, 60_000
MS_FROM = 1e11
"""A time since 1970 over this is in milliseconds."""
MOST_TOLD = 8
GAP_TIMES, GAP_LEAST_S = 5.0, 300.0

Reading = tuple[int, float, float]
"""(ms since 1970, °C, as it stood in the file)."""


@dataclass(frozen=True)
class Log:
    """What a file says: readings in the order of time, and what became of the other lines.

    `bad` are lines that cannot be read, with why; `missing` counts those where the probe gave nothing, `repeated` those
    that say again what stands before, `unsorted` those that stood before their time. `gap_s` is the longest pause, 0
    where the readings are even.
    """

    readings: list[Reading]
    bad: list[tuple[int, str]]
    missing: int
    repeated: int
    unsorted: int
    gap_s: float
    step_s: float

    @property
    def told(self) -> list[tuple[int, str]]:
        """The first of the bad lines."""
        return self.bad[:MOST_TOLD]


def read_log(found: Table, columns: Columns, *, zone_min: int, start_ms: int, now_ms: int) -> Log:
    """The readings of a table. `start_ms` is when it begins, for times without a date or since the start.

    Refusal where a date has two readings, where nothing can be read, or where it ends in the future.
    """
    if columns.asks:
        raise Refusal(_("Every date can be read two ways. Choose whether day or month comes first."), "order")
    clock = _Clock(columns, zone_min, start_ms)
    bad = list(found.odd)
    readings: list[Reading] = []
    missing = 0
    for line, row in found.rows:
        try:
            at = clock.ms(row)  # also where the probe gave nothing: the clock goes on
            if cells.is_missing(row[columns.heat]):
                missing += 1
                continue
            raw = cells.temperature(row[columns.heat], columns.comma)
            c = round(c_from_f(raw), 2) if columns.unit == "F" else raw
            if not COLDEST_C <= c <= HOTTEST_C:
                raise Refusal(_("{c:g} °C is not a possible furnace temperature.", c=c))
            readings.append((at, c, raw))
        except Refusal as refusal:
            bad.append((line, refusal.say))
    if not readings:
        line, say = min(bad, default=(found.rows[0][0], _("the probe gave nothing in any line")))
        raise Refusal(_("Nothing could be read. Line {line}: {say}", line=line, say=say), "file")
    unsorted = sum(two[0] < one[0] for one, two in pairwise(readings))
    ordered = sorted(dict.fromkeys(readings))
    if ordered[-1][0] > now_ms + 60_000:
        raise Refusal(_("It ends in the future. Check the date order, the zone or the start."), "start")
    steps = [(two[0] - one[0]) / 1000 for one, two in pairwise(ordered)]
    usual = median(steps) if steps else 0.0
    longest = max(steps, default=0.0)
    gap = longest if longest > max(GAP_TIMES * usual, GAP_LEAST_S) else 0.0
    return Log(ordered, sorted(bad), missing, len(readings) - len(ordered), unsorted, gap, usual)


class _Clock:
    """Reads the time of each row in turn; a clock without a date goes on into the next day at midnight."""

    def __init__(self, columns: Columns, zone_min: int, start_ms: int) -> None:
        self.columns, self.zone_min, self.start_ms = columns, zone_min, start_ms
        since_midnight_ms = (start_ms + zone_min * MINUTE_MS) % DAY_MS
        self.midnight_ms = start_ms - since_midnight_ms
        self.day_s, self.before_s = 0.0, since_midnight_ms / 1000
        self.fresh = True

    def ms(self, row: Sequence[str]) -> int:
        """The moment of a row, in ms since 1970; Refusal where it names none."""
        columns = self.columns
        cell = row[columns.time]
        match columns.how:
            case "moment":
                date, clock, zone = cells.split_moment(cell)
                return to_ms(cells.moment(date, clock, columns.order, self.zone_min if zone is None else zone))
            case "date-clock":
                return to_ms(cells.moment(row[columns.date or 0], cell, columns.order, self.zone_min))
            case "clock":
                return self.midnight_ms + round(1000 * self._running(cells.clock_s(cell)))
            case "span":
                return self.start_ms + round(1000 * cells.span_s(cell))
            case "epoch":
                seconds = cells.number(cell, "," in cell)
                return round(seconds * (1 if seconds > MS_FROM else 1000))
        return self.start_ms + round(1000 * cells.number(cell, "," in cell) * ELAPSED[columns.elapsed_unit])

    def _running(self, seconds: float) -> float:
        # The first one may lie across midnight on either side of the start.
        if self.before_s - seconds > DAY_MS / 2000:
            self.day_s += DAY_MS / 1000
        elif self.fresh and seconds - self.before_s > DAY_MS / 2000:
            self.day_s -= DAY_MS / 1000
        self.fresh = False
        self.before_s = seconds
        return self.day_s + seconds


def spread_out(readings: Sequence[Reading], every_s: float) -> list[Reading]:
    """One stretch of `every_s` seconds after another: of each its lowest and highest reading, so no peak is lost."""
    if every_s <= 0 or not readings:
        return list(readings)
    groups: dict[int, list[Reading]] = {}
    for one in readings:
        groups.setdefault(int(one[0] // (1000 * every_s)), []).append(one)
    kept = []
    for group in groups.values():
        kept += sorted({min(group, key=lambda r: r[1]), max(group, key=lambda r: r[1])})
    return kept if kept[-1] == readings[-1] else [*kept, readings[-1]]
