"""Clock times and dates as a form brings them, and as a screen shows them. The time now is handed in."""

import re
from datetime import UTC, datetime, timedelta, timezone

from bench.science.refusal import Refusal
from bench.web.words import _

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
CLOCK = re.compile(r"(\d{1,2})[:.h ]?(\d{2})(?::\d\d)?")
EARLIEST_YEAR = 1971
SLACK_MS = 60_000


def local(ms: int, zone_min: int) -> datetime:
    """Milliseconds since 1970 as a moment in the zone that is `zone_min` minutes ahead of UTC."""
    return (EPOCH + timedelta(milliseconds=ms)).astimezone(timezone(timedelta(minutes=zone_min)))


def clock_text(ms: int, zone_min: int) -> str:
    """A clock time, always with a colon: `16:04`."""
    return local(ms, zone_min).strftime("%H:%M")


def date_text(ms: int, zone_min: int) -> str:
    """A date for a form field: `2026-03-01`."""
    return local(ms, zone_min).strftime("%Y-%m-%d")


def span_parts(minutes: float) -> tuple[int, int]:
    """A duration as whole hours and minutes, rounded to the minute; never negative."""
    whole = max(0, round(minutes))
    return whole // 60, whole % 60


def read_moment(clock: str, date: str, *, now_ms: int, zone_min: int) -> int:
    """Milliseconds since 1970 of a clock time and a date that were typed; today where the date is empty.

    Raises Refusal for what is no time, for what has not come yet, and for years that no record of ours can have.
    """
    match = CLOCK.fullmatch(clock.strip())
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        raise Refusal(_("Type the time as hours and minutes, such as 16:04."))
    day = _day(date.strip() or date_text(now_ms, zone_min))
    zone = timezone(timedelta(minutes=zone_min))
    moment = day.replace(hour=int(match[1]), minute=int(match[2]), tzinfo=zone)
    ms = (moment - EPOCH) // timedelta(milliseconds=1)
    if ms > now_ms + SLACK_MS:
        raise Refusal(_("That time is in the future. Was it yesterday? Set the date too."))
    return ms


def is_date(text: str) -> bool:
    """Whether this is empty or a date as a browser's own date field gives it."""
    try:
        return not text or datetime.strptime(text, "%Y-%m-%d").strftime("%Y-%m-%d") == text
    except ValueError:
        return False


def _day(text: str) -> datetime:
    try:
        day = datetime.strptime(text, "%Y-%m-%d")
    except ValueError:
        raise Refusal(_("Type the date as year, month and day, such as 2026-03-01.")) from None
    if day.year < EARLIEST_YEAR:
        raise Refusal(_("That year cannot be right."))
    return day
