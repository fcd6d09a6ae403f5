"""Moments as the records write them: UTC text, and milliseconds since 1970."""

import re
from datetime import UTC, datetime, timedelta

from bench.science.refusal import Refusal
from bench.translation import _

WHEN = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z")
FIRST_YEAR, LAST_YEAR = 1971, 2199
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def instant(text: object, name: str = "at") -> datetime:
    """The UTC moment that `2026-03-01T12:00:00Z` names; Refusal for anything else."""
    if not isinstance(text, str) or not WHEN.fullmatch(text):
        raise Refusal(_("A time should look like 2026-03-01T12:00:00Z."), name)
    try:
        moment = datetime.fromisoformat(text[:-1] + "+00:00")
    except ValueError:
        raise Refusal(_("There is no such date or time."), name) from None
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise Refusal(
            _("The year should be from {first_year} to {last_year}.", first_year=FIRST_YEAR, last_year=LAST_YEAR), name
        )
    return moment


def utc_text(ms: int) -> str:
    """Milliseconds since 1970 as UTC text with milliseconds."""
    moment = EPOCH + timedelta(milliseconds=ms)
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


def to_ms(moment: datetime) -> int:
    """Milliseconds since 1970 of a moment."""
    return (moment - EPOCH) // timedelta(milliseconds=1)
