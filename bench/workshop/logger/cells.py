"""Single cells of a logger's file: temperatures and times in the ways that they are written."""

import re
from datetime import datetime, timedelta, timezone

from bench.science.refusal import Refusal
from bench.translation import _

MISSING = frozenset(
    ("", "-", "--", "---", "----", "nan", "null", "none", "n/a", "#n/a", "na", "ol", "o.l", "open", "err", "error",
     "fault", "over", "under", "inf", "-inf", "or", "ur", "*", "?")
)  # fmt: skip
"""What loggers write where the probe gave nothing."""
NUMBER = re.compile(r"[+\-−]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
GROUPED_POINT = re.compile(r"[+\-−]?\d{1,3}(,\d{3})+(\.\d+)?")
GROUPED_COMMA = re.compile(r"[+\-−]?\d{1,3}([.’' ]\d{3})+(,\d+)?")
UNIT = re.compile(r"\s*(°|º|deg(rees)?\.?\s*)?\s*(C|F|Celsius|Fahrenheit)\.?$", re.IGNORECASE)
SPAN = re.compile(r"(?:(\d+)[ dD.]+)?(\d{1,4}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?")
CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2})(?:[.,](\d+))?)?\s*([aApP])?\.?(?:[mM]\.?)?")
YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})")
YEAR_LAST = re.compile(r"(\d{1,2})([-./])(\d{1,2})\2(\d{4}|\d{2})")
COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})")
ZONE = re.compile(r"\s*(Z|UTC|[+-]\d{2}:?\d{2})$")


def is_missing(cell: str) -> bool:
    """Whether a cell says that there was no reading."""
    return cell.strip().lower() in MISSING


def number(cell: str, comma: bool) -> float:
    """A number; `comma` says that a comma is the decimal mark. Refusal where it is none or has two readings."""
    said = cell.strip().replace("\u00a0", " ").strip()
    if GROUPED_POINT.fullmatch(said) and not comma:
        said = said.replace(",", "")
    elif GROUPED_COMMA.fullmatch(said) and comma:
        said = re.sub(r"[.’' ]", "", said)
    if not NUMBER.fullmatch(said):
        raise Refusal(_("“{said}” is not a number.", said=said[:40]))
    if ("," in said) != comma and ("," in said or ("." in said and comma)):
        raise Refusal(_("“{said}” has a different decimal mark from the rest.", said=said[:40]))
    return float(said.replace(",", ".").replace("−", "-"))


def temperature(cell: str, comma: bool) -> float:
    """A temperature as written, its unit left away; Refusal where it is none."""
    said = cell.strip()
    bare = UNIT.sub("", said)
    return number(bare if bare else said, comma)


def unit_in(text: str) -> str | None:
    """C or F where words or a cell name one, else None."""
    if re.search(r"(°|º|deg\.?\s?|\(|\[|_|\s|^)F(\b|\)|\]|ahrenheit)", text):
        return "F"
    if re.search(r"(°|º|deg\.?\s?|\(|\[|_|\s|^)C(\b|\)|\]|elsius)", text):
        return "C"
    return None


def date_parts(cell: str, order: str) -> tuple[int, int, int]:
    """Year, month and day; `order` is dmy or mdy for what has its year last. Refusal for no date."""
    said = cell.strip()
    match = YEAR_FIRST.fullmatch(said) or COMPACT.fullmatch(said)
    if match:
        return int(match[1]), int(match[2]), int(match[3])
    match = YEAR_LAST.fullmatch(said)
    if not match:
        raise Refusal(_("“{said}” is not a date.", said=said[:40]))
    one, two, year = int(match[1]), int(match[3]), int(match[4])
    year += 2000 if year < 100 else 0
    return (year, two, one) if order == "dmy" else (year, one, two)


def could_be(cell: str) -> set[str]:
    """The orders in which a date with its year last can be read: dmy, mdy, or both; empty where the year is first."""
    match = YEAR_LAST.fullmatch(cell.strip())
    if not match:
        return set()
    one, two = int(match[1]), int(match[3])
    return ({"dmy"} if one <= 31 and two <= 12 else set()) | ({"mdy"} if one <= 12 and two <= 31 else set())


def clock_s(cell: str) -> float:
    """A time of the clock in seconds since midnight, 12-hour marks understood; Refusal for none."""
    said = cell.strip()
    match = CLOCK.fullmatch(said)
    if not match:
        raise Refusal(_("“{said}” is not a clock time.", said=said[:40]))
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    half = (match[5] or "").lower()
    if half:
        if not 1 <= hour <= 12:
            raise Refusal(_("“{said}” is not a clock time.", said=said[:40]))
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59 or second > 59:
        raise Refusal(_("“{said}” is not a clock time.", said=said[:40]))
    return hour * 3600 + minute * 60 + second + float(f"0.{match[4]}" if match[4] else 0)


def span_s(cell: str) -> float:
    """A time since the start as h:mm, h:mm:ss or d h:mm:ss, in seconds; Refusal for none."""
    match = SPAN.fullmatch(cell.strip())
    if not match:
        raise Refusal(_("“{cell}” is not a time since the start.", cell=cell.strip()[:40]))
    days, hours, minutes, seconds = int(match[1] or 0), int(match[2]), int(match[3]), int(match[4] or 0)
    if minutes > 59 or seconds > 59:
        raise Refusal(_("“{cell}” is not a time since the start.", cell=cell.strip()[:40]))
    return days * 86_400 + hours * 3600 + minutes * 60 + seconds + float(f"0.{match[5]}" if match[5] else 0)


def moment(date: str, clock: str, order: str, zone_min: int) -> datetime:
    """A date and a time of the clock in a zone; Refusal for no such moment."""
    year, month, day = date_parts(date, order)
    try:
        start = datetime(year, month, day, tzinfo=timezone(timedelta(minutes=zone_min)))
    except ValueError:
        raise Refusal(_("There is no day {cell}.", cell=date.strip()[:40])) from None
    return start + timedelta(seconds=clock_s(clock))


def split_moment(cell: str) -> tuple[str, str, int | None]:
    """A cell that holds date and time, as (date, time, zone in minutes or None); Refusal where it is none."""
    said = cell.strip()
    zone: int | None = None
    match = ZONE.search(said)
    if match and len(said) > 12:
        word = match[1]
        if word in ("Z", "UTC"):
            zone = 0
        else:
            digits = word[1:].replace(":", "")
            zone = (int(digits[:2]) * 60 + int(digits[2:])) * (-1 if word[0] == "-" else 1)
        said = said[: match.start()]
    parts = re.split(r"[T ,]+", said.strip(), maxsplit=1)
    if len(parts) != 2:
        raise Refusal(_("“{cell}” is not a date with a time.", cell=cell.strip()[:40]))
    return parts[0], parts[1], zone
