"""One line of a balance that talks over a cable: the weight in it, whether it is steady, or why it is not taken.

How a balance prints is told by a pattern such as `# g`: `#` stands for the number, a space for any space or none, all
else for itself. A weight is taken in g alone, and only where the line holds nothing that says otherwise.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from bench.science.refusal import Refusal
from bench.translation import _

PLAIN = "# g"
PATTERN_MAX, MARK_MAX = 40, 12
MOST_G = 100_000.0
NUMBER = r"(?:[-+\u2212]\s*)?(?<![\d.])(?<!\d,)(?<!\d[A-Za-z])(?P<number>\d+(?:[.,]\d+)?)(?![\d.,])"
BELOW = re.compile(r"[-\u2212]\s*$")
"""A minus before a number, however far: a balance pads what it prints."""
GROUPED = re.compile(r"(?<![\d.,:])\d{1,3}\s+\d{3}(?!\d)")
"""Digits in groups, as in `1 234.5`: nothing says whether it is one number or two."""
WITH_UNIT = re.compile(NUMBER + r"\s*(?P<unit>[A-Za-z]+|%)")
TARE = {"T", "TR", "TARE", "PT"}
FAULT = {"OL", "OVER", "OVERLOAD", "UL", "UNDER", "UNDERLOAD", "ERR", "ERROR", "E", "H", "L"}
SURE_FAULT = FAULT - {"E", "H", "L"}
"""Words that tell of a fault beside a number too; one letter does so only where no number stands."""
DASHES = re.compile(r"[-_=^]{3,}")
UNITS = {"kg", "mg", "ug", "t", "oz", "ozt", "lb", "lbs", "ct", "gn", "dwt", "tl", "mom", "pcs", "pc", "n", "%"}


@dataclass(frozen=True)
class Printing:
    """How a balance prints. `steady` stands in a line whose weight is steady, `moving` in one whose weight is not.

    Where neither is known, its lines are compared, unless it sends steady weights alone.
    """

    pattern: str = PLAIN
    steady: str = ""
    moving: str = ""
    steady_only: bool = False


@dataclass(frozen=True)
class Weight:
    """A weight as the balance showed it, with all its digits; `steady` None where the line does not tell."""

    shown: str
    steady: bool | None

    @property
    def g(self) -> float:
        """The weight in g."""
        return float(self.shown)


def check_pattern(pattern: str) -> str:
    """A pattern as typed, or the plain one where it is empty. Errors: Refusal."""
    pattern = pattern.strip() or PLAIN
    if pattern.count("#") != 1:
        raise Refusal(_("Put one # in the pattern, where the number is."), "pattern")
    if not re.search(r"#\s*g(?![A-Za-z])", pattern):
        raise Refusal(_("Put g after the #. A number without its unit is not used."), "pattern")
    return pattern


@lru_cache(maxsize=32)
def _compiled(pattern: str) -> re.Pattern[str]:
    before, after = pattern.split("#")
    return re.compile(_loose(before) + NUMBER + _loose(after) + r"(?![A-Za-z])")


def _loose(words: str) -> str:
    return "".join(rf"\s*{re.escape(part)}" for part in words.split()) + r"\s*"


def read_line(line: str, how: Printing) -> Weight:
    """The weight in a line. Errors: Refusal, with what to do about it."""
    found = _compiled(how.pattern).search(line)
    if found is None or GROUPED.search(line):
        raise Refusal(_why_not(line))
    words = re.findall(r"[A-Za-z]+", line.upper())
    if SURE_FAULT & set(words) - set(how.steady.upper().split()):
        raise Refusal(_OVERLOAD)
    if TARE & set(re.findall(r"[A-Za-z]+", line[: found.start("number")].upper())) - _marks(how):
        raise Refusal(_("This is a tare, not a weight. It is not used."))
    number = found["number"].replace(",", ".")
    if float(number) > MOST_G:
        raise Refusal(_("{number} g is not a possible weight.", number=number))
    if BELOW.search(line[: found.start("number")]) and float(number) > 0:
        raise Refusal(_("The balance shows less than zero. Tare it, then weigh again."))
    return Weight(number, _steady(line, how))


_OVERLOAD = _("The balance shows an overload or a fault. Take the load off and check.")


def _marks(how: Printing) -> set[str]:
    """Words of the maker's own pattern and marks: they are no tare."""
    return set(re.findall(r"[A-Za-z]+", f"{how.pattern.split('#')[0]} {how.steady} {how.moving}".upper()))


def _steady(line: str, how: Printing) -> bool | None:
    text = " ".join(line.split())
    if how.moving and " ".join(how.moving.split()) in text:
        return False
    if how.steady:
        return " ".join(how.steady.split()) in text
    return True if how.moving or how.steady_only else None


def _why_not(line: str) -> str:
    """What is wrong with a line that holds no weight by the pattern."""
    if any(char == "\ufffd" or not (char.isprintable() or char.isspace()) for char in line):
        return _("The line cannot be read. Set the same baud here as on the balance.")
    words = set(re.findall(r"[A-Za-z]+", line.upper()))
    has_digit = any(char.isdigit() for char in line)
    if words & SURE_FAULT or (not has_digit and (words & FAULT or DASHES.search(line))):
        return _OVERLOAD
    if GROUPED.search(line):
        return _("Two numbers are side by side, so neither is used. Check the pattern.")
    units = [found["unit"] for found in WITH_UNIT.finditer(line)]
    other = next((unit for unit in units if unit.lower() in UNITS), None)
    if other is not None:
        return _("The balance shows {other}. Switch it to g.", other=other)
    if not has_digit:
        return _("There is no number in this line.")
    if not re.search(r"\d\s*g(?![A-Za-z])", line):
        return _("No g follows the number. Switch the balance to g, or set it to send its unit.")
    return _("The line does not fit the pattern. Compare the two in the settings.")
