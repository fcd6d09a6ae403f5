"""Which column of a logger's table is what: guessed from its names and values, and open to being said otherwise."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.logger import cells
from bench.workshop.logger.table import Table

ELAPSED = {"ms": 0.001, "s": 1.0, "min": 60.0, "h": 3600.0}
TIME_NAME = re.compile(r"time|date|stamp|zeit|uhr|datum|heure|hora|elapsed|clock", re.IGNORECASE)
HEAT_NAME = re.compile(
    r"temp|°|probe|thermo|tc\b|channel|ch\s?\d|furnace|kiln|ofen|celsius|fahrenheit|pv\b", re.IGNORECASE
)
NOT_HEAT = re.compile(r"ambient|cold|set|sp\b|soll|humid|room|battery|index|sample|no\.?$|#", re.IGNORECASE)
EPOCH_FROM, EPOCH_TO = 9e8, 4e9


@dataclass(frozen=True)
class Columns:
    """How to read a table. Columns are counted from 0.

    `how` is how the time stands: moment (date and time in one cell), date-clock (in two), clock (no date), elapsed (a
    number of `elapsed_unit`), span (h:mm:ss since the start), epoch (seconds or ms since 1970). `order` is dmy or mdy
    where the year stands last, empty where that cannot be told or does not matter. `comma`: the decimal mark.
    """

    time: int
    heat: int
    how: str
    date: int | None = None
    elapsed_unit: str = "s"
    order: str = ""
    unit: str = "C"
    comma: bool = False

    @property
    def asks(self) -> tuple[str, ...]:
        """What has to be said before it can be read: `order` where a date has two readings."""
        return ("order",) if self.order == "?" else ()


def guess(found: Table) -> Columns:
    """The columns as they most probably are. Refusal where no column holds temperatures or none holds times."""
    times = [(at, how) for at in range(found.width) if (how := _how(found, at))]
    heats = [at for at in range(found.width) if _numbers(found, at)]
    timed = _time_of(found, times)
    if timed is None:
        raise Refusal(
            _("No column of times was found. Line {n} reads: {row}", n=found.rows[0][0], row=_row(found)),
            "file",
        )
    at, how, date = timed
    left = [one for one in heats if one not in (at, date)]
    if not left:
        raise Refusal(
            _(
                "No column of temperatures was found. Line {n} reads: {row}",
                n=found.rows[0][0],
                row=_row(found),
            ),
            "file",
        )
    heat = max(left, key=lambda one: _heat_score(found, one))
    said = found.name(heat) + " " + " ".join(found.column(heat, 3))
    return Columns(
        time=at,
        heat=heat,
        how=how,
        date=date,
        elapsed_unit=_elapsed_unit(found, at) if how == "elapsed" else "s",
        order=_order(found, date if date is not None else at) if how in ("moment", "date-clock") else "",
        unit=cells.unit_in(said) or cells.unit_in(" ".join(found.head)) or "C",
        comma=_comma(found, heat),
    )


def _row(found: Table) -> str:
    return " | ".join(cell.strip()[:20] for cell in found.rows[0][1])[:80]


def _fits(values: list[str], read: Callable[[str], object]) -> bool:
    good = 0
    for value in values:
        try:
            read(value)
        except Refusal:
            continue
        good += 1
    return bool(values) and good >= 0.9 * len(values)


def _how(found: Table, at: int) -> str:
    """How a column could be a time: moment, date, clock, span, epoch, elapsed, or empty."""
    values = [v for v in found.column(at) if not cells.is_missing(v)]
    if not values:
        return ""
    if _fits(values, _read_moment):
        return "moment"
    if _fits(values, lambda v: cells.date_parts(v, "dmy")):
        return "date"
    clocks = _fits(values, cells.clock_s) and all(":" in v for v in values)
    if clocks or (_fits(values, cells.span_s) and all(":" in v for v in values)):
        return "span" if _is_span(found, at, values, clocks) else "clock"
    numbers = _column_numbers(found, at)
    if not numbers or any(two < one for one, two in pairwise(numbers)):
        return ""
    if EPOCH_FROM < numbers[0] < EPOCH_TO or EPOCH_FROM * 1000 < numbers[0] < EPOCH_TO * 1000:
        return "epoch"
    return "elapsed" if TIME_NAME.search(found.name(at)) or (numbers[0] < numbers[-1] and at == 0) else ""


def _read_moment(value: str) -> object:
    date, clock, _zone = cells.split_moment(value)
    return cells.date_parts(date, "dmy"), cells.clock_s(clock)


def _is_span(found: Table, at: int, values: list[str], clocks: bool) -> bool:
    """Whether h:mm:ss is a time since the start: named so, beyond a day, or beginning at nothing."""
    if not clocks or re.search(r"elapsed|duration|since|run", found.name(at), re.IGNORECASE):
        return True
    try:
        return cells.span_s(values[0]) == 0
    except Refusal:
        return False


def _time_of(found: Table, times: list[tuple[int, str]]) -> tuple[int, str, int | None] | None:
    by_how: dict[str, list[int]] = {}
    for at, how in times:
        by_how.setdefault(how, []).append(at)
    if by_how.get("moment"):
        return by_how["moment"][0], "moment", None
    if by_how.get("date") and by_how.get("clock"):
        return by_how["clock"][0], "date-clock", by_how["date"][0]
    for how in ("epoch", "clock", "span"):
        if by_how.get(how):
            return by_how[how][0], how, None
    named = [at for at in by_how.get("elapsed", []) if TIME_NAME.search(found.name(at))]
    plain = [at for at in by_how.get("elapsed", []) if not NOT_HEAT.search(found.name(at))]
    chosen = named or plain or by_how.get("elapsed", [])
    return (chosen[0], "elapsed", None) if chosen else None


def _column_numbers(found: Table, at: int) -> list[float]:
    values = [v for v in found.column(at) if not cells.is_missing(v)]
    comma = _comma(found, at)
    numbers = []
    for value in values:
        try:
            numbers.append(cells.temperature(value, comma))
        except Refusal:
            continue
    return numbers if len(numbers) >= 0.8 * max(1, len(values)) else []


def _numbers(found: Table, at: int) -> bool:
    return bool(_column_numbers(found, at))


def _heat_score(found: Table, at: int) -> tuple[int, float, int]:
    """A column is the likelier the furnace's the more its name says so, and the hotter it gets."""
    name = found.name(at)
    named = 2 * bool(HEAT_NAME.search(name)) - 3 * bool(NOT_HEAT.search(name))
    return named, max(_column_numbers(found, at)), -at


def _comma(found: Table, at: int) -> bool:
    """Whether the decimal mark of a column is a comma: some values have one alone, and none a point alone."""
    values = found.column(at)
    commas = [v for v in values if "," in v]
    if not commas:
        return False
    if all(cells.GROUPED_POINT.fullmatch(cells.UNIT.sub("", v)) for v in commas):
        # 998 and then 1,002: the comma parts the thousands. 1,002 and nothing under a thousand without one: a decimal.
        return not any("." in v or re.fullmatch(r"[1-9]\d\d", cells.UNIT.sub("", v)) for v in values)
    return all("." not in v or v.rfind(".") < v.rfind(",") for v in values)


def _elapsed_unit(found: Table, at: int) -> str:
    name = found.name(at).lower()
    words = {"ms": r"\bms\b|milli", "min": r"\bmin", "h": r"\bh\b|\bhours?\b|\bstd\b", "s": r"\bs\b|sec"}
    return next((unit for unit, word in words.items() if re.search(word, name.replace("_", " "))), "s")


def _order(found: Table, at: int) -> str:
    """dmy or mdy, by the values that allow only one; ? where every value allows both; empty where the year is first."""
    left = {"dmy", "mdy"}
    seen = False
    # Every row counts: the day that settles it may stand far down.
    for _line, row in found.rows:
        value = row[at].strip()
        date = re.split(r"[T ,]+", value, maxsplit=1)[0]
        known = cells.could_be(date)
        if known:
            seen = True
            left &= known
            if len(left) < 2:
                break
    if not seen:
        return ""
    first = re.split(r"[T ,]+", found.rows[0][1][at].strip(), maxsplit=1)[0]
    if len(left) == 2 and "." in first:
        return "dmy"  # with full stops the day stands first wherever that is written
    return next(iter(left)) if len(left) == 1 else "?" if left else "dmy"
