"""Numbers as people type them. One comma alone is the decimal mark; a comma and a full stop are asked about."""

import re
import unicodedata

from bench.science.refusal import Refusal
from bench.steps.named import NEAR
from bench.web.words import _

LONGEST = 20
MINUS = "-−–"
THOUSANDS = re.compile(r"(\d{1,3})[.,](\d{3})")
PLAIN = re.compile(r"\d*\.?\d*")
SAID = {
    "empty": _("Type a number here."),
    "empty-whole": _("Type a whole number here."),
    "invisible": _("The number has an invisible character. Delete it all and type it again."),
    "long": _("That is too long for a number. Type the digits alone."),
    "minuses": _("More than one minus sign. Type one or none."),
    "two-marks": _("Both a comma and a point. Type one decimal mark only, such as {so}."),
    "marks": _("More than one decimal mark. Type one or none."),
    "space": _("There is a space in the number. Remove it."),
    "plus": _("Leave the plus sign out."),
    "no-number": _("“{typed}” is not a number. Type digits only, without the unit."),
    "no-digit": _("There is no digit here. Type the number."),
    "below-nothing": _("Enter 0 or more. Leave the minus sign out."),
    "least": _("At least {low}."),
    "most": _("At most {high}."),
    "not-whole": _("Type a whole number."),
}
"""What is said of a number that cannot be used, by name. The phones say the same of it while the laptop is away."""


def read_number(text: str, *, low: float, high: float, unit: str = "", whole: bool = False) -> float:
    """The number that was typed, between `low` and `high` in `unit`.

    Raises Refusal with a sentence that says what to type instead. Nothing is guessed: a mark that has two readings is
    asked about, and a unit typed with the number is refused, so that milligrams never pass for grams.
    """
    typed = text.strip()
    if any(unicodedata.category(c) in ("Cc", "Cf", "Cs", "Co") for c in typed):
        raise Refusal(_(SAID["invisible"]))
    if len(typed) > LONGEST:
        raise Refusal(_(SAID["long"]))
    negative, digits = typed[:1] in tuple(MINUS), typed.lstrip(MINUS)
    if len(typed) - len(digits) > 1:
        raise Refusal(_(SAID["minuses"]))
    value = _value(_with_point(digits), typed)
    return _within(-value if negative and value else value, low, high, unit, whole)


def _with_point(digits: str) -> str:
    """The digits with a full stop as the decimal mark, or Refusal where the marks have two readings."""
    commas, stops = digits.count(","), digits.count(".")
    if commas and stops:
        last = max(digits.rfind(","), digits.rfind("."))
        joined = re.sub(r"[.,]", "", digits[:last]) + "." + re.sub(r"[.,]", "", digits[last:])
        raise Refusal(_(SAID["two-marks"], so=joined))
    if commas + stops > 1:
        raise Refusal(_(SAID["marks"]))
    return digits.replace(",", ".")


def _value(point: str, typed: str) -> float:
    if re.search(r"\s", point) and re.search("[0-9]", point) and not any(c.isalpha() for c in point):
        raise Refusal(_(SAID["space"]))
    if typed.startswith("+"):
        raise Refusal(_(SAID["plus"]))
    if not PLAIN.fullmatch(point) or not point.isascii():
        raise Refusal(_(SAID["no-number"], typed=typed))
    if point in ("", "."):
        raise Refusal(_(SAID["no-digit"]))
    return float(point)


def _within(value: float, low: float, high: float, unit: str, whole: bool) -> float:
    tail = f" {unit}" if unit else ""
    if value < low:
        if value < 0 <= low:
            raise Refusal(_(SAID["below-nothing"]))
        raise Refusal(_(SAID["least"], low=show_number(low) + tail))
    if value > high:
        raise Refusal(_(SAID["most"], high=show_number(high) + tail))
    if whole and value != int(value):
        raise Refusal(_(SAID["not-whole"]))
    return value


def show_number(value: float) -> str:
    """A number as it is said in a sentence: no exponent, no needless zeros."""
    return f"{value:.10f}".rstrip("0").rstrip(".")


def thousands_mark(typed: str) -> float | None:
    """The number behind a mark that some take for one of thousands: 1,000 and 1.000 are read as 1; else None."""
    found = THOUSANDS.fullmatch(typed.strip())
    return float(f"{found[1]}.{found[2]}") if found else None


def whole_digits(like: float | None) -> int | None:
    """How many digits a figure has before its point; None where one that is a little off this one may have another."""
    if not isinstance(like, int | float) or like <= 0:
        return None
    low, high = (len(str(int(like * (1 + by)))) for by in (-2 * NEAR, 2 * NEAR))
    return low if low == high else None
