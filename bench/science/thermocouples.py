"""Thermocouples: millivolts and degrees on the ITS-90 functions, cold junction, tolerance, heat limit of the wire.

Reference functions: NIST SRD 60 (NIST Monograph 175, 1993). Tolerances: IEC 60584-1:2013. Wire limits: ASTM E230.
"""

from math import exp
from typing import Any, Final

from bench.science.its90_coefficients import PIECES, Piece
from bench.science.refusal import Refusal
from bench.translation import _

TYPES: Final = tuple(PIECES)
"""The eight letters that have a reference function."""

ROUNDING_MV: Final = 0.0005
"""Printed tables and meters round to 1 µV, so the last printed value of a table may lie this far outside."""

ROUNDING_C: Final = 0.1
"""What a microvolt can be in degrees: a reading of a class's last degree may lie this far outside."""

LOWEST_INVERSE_C: Final = {"B": 50.0}
"""Type B gives the same few microvolts at two temperatures below about 42 °C; from 50 °C on it can be read back."""

ToleranceRow = tuple[float, float, float, float]

TOLERANCES: Final[dict[tuple[str, int], ToleranceRow]] = {
    **{(letter, 1): (-40, 1000, 1.5, 0.004) for letter in "KN"},
    **{(letter, 2): (-40, 1200, 2.5, 0.0075) for letter in "KN"},
    **{(letter, 3): (-200, 40, 2.5, 0.015) for letter in "KNE"},
    ("E", 1): (-40, 800, 1.5, 0.004),
    ("E", 2): (-40, 900, 2.5, 0.0075),
    ("J", 1): (-40, 750, 1.5, 0.004),
    ("J", 2): (-40, 750, 2.5, 0.0075),
    ("T", 1): (-40, 350, 0.5, 0.004),
    ("T", 2): (-40, 350, 1.0, 0.0075),
    ("T", 3): (-200, 40, 1.0, 0.015),
    **{(letter, 1): (0, 1600, 1.0, 0.0) for letter in "RS"},
    **{(letter, 2): (0, 1600, 1.5, 0.0025) for letter in "RS"},
    ("B", 2): (600, 1700, 1.5, 0.0025),
    ("B", 3): (600, 1700, 4.0, 0.005),
}
"""(type, class) → from °C, to °C, ± °C at least, ± per degree: the larger counts.

IEC 60584-1:2013, read in a secondary table.
"""

WIRE_LIMITS_C: Final[dict[str, dict[int, float]]] = {
    **{letter: {8: 1260, 14: 1090, 20: 980, 24: 870, 28: 870, 30: 760} for letter in "KN"},
    "J": {8: 760, 14: 590, 20: 480, 24: 370, 28: 370, 30: 320},
    "E": {8: 870, 14: 650, 20: 540, 24: 430, 28: 430, 30: 370},
    "T": {14: 370, 20: 260, 24: 200, 28: 200, 30: 150},
    **{letter: {24: 1480} for letter in "RS"},
    "B": {24: 1700},
}
"""Highest use of protected wire in °C by type and wire size (AWG). ASTM E230; AWG 14, 28, 30 and type T from memory."""


def range_c(letter: str) -> tuple[float, float]:
    """The published temperature range of a type, in °C."""
    pieces = _pieces(letter)
    return pieces[0].from_c, pieces[-1].to_c


def reference_of(letter: str) -> dict[str, Any]:
    """A type's reference function as plain numbers, for a reader that has no library at hand.

    `pieces` are [from °C, to °C, coefficients in mV/°C**i, bump or None] as in `Piece`; from `readable_c` on it can be
    read backwards, and a table's last value may lie `rounding_mv` outside.
    """
    lowest = LOWEST_INVERSE_C.get(letter, range_c(letter)[0])
    return {"pieces": [list(piece) for piece in _pieces(letter)], "readable_c": lowest, "rounding_mv": ROUNDING_MV}


def reference_mv(letter: str, c: float, field: str = "c") -> float:
    """Millivolts of a type at `c` °C against a reference junction at 0 °C.

    Within 0.5 µV of every point of the NIST tables. Refuses a temperature outside the published range, naming `field`.
    """
    low, high = range_c(letter)
    if not low <= c <= high:
        raise Refusal(
            _(
                "Type {letter} covers {low:g} to {high:g} °C, not {c:g} °C.",
                letter=letter,
                low=low,
                high=high,
                c=c,
            ),
            field,
        )
    return _value(_piece(letter, c), c)


def temperature_c(letter: str, mv: float, cold_junction_c: float = 0.0) -> float:
    """Temperature of the tip in °C, from the meter's millivolts and the temperature of its clamps.

    Millivolts are added before the table is read backwards: T = E⁻¹(mv + E(cold junction)). By bisection, exact to
    1e-9 °C. Refuses what lies outside the published range, and type B below 50 °C, where one voltage has two readings.
    """
    low, high = range_c(letter)
    low = LOWEST_INVERSE_C.get(letter, low)
    total = mv + reference_mv(letter, cold_junction_c, "cold_junction_c")
    lowest, highest = reference_mv(letter, low), reference_mv(letter, high)
    if total < lowest - ROUNDING_MV and letter in LOWEST_INVERSE_C:
        raise Refusal(
            _(
                "Type {letter} cannot be read below {low:g} °C: one voltage means two temperatures.",
                letter=letter,
                low=low,
            ),
            "mv",
        )
    if not lowest - ROUNDING_MV <= total <= highest + ROUNDING_MV:
        raise Refusal(
            _(
                "Type {letter} covers {lowest:.3f} to {highest:.3f} mV ({low:g} to {high:g} °C), not "
                "{total:.3f} mV against 0 °C.",
                letter=letter,
                lowest=lowest,
                low=low,
                highest=highest,
                high=high,
                total=total,
            ),
            "mv",
        )
    return _bisect(letter, total, low, high)


def class_range_c(letter: str, tolerance_class: int) -> tuple[float, float]:
    """The temperatures in °C for which the standard gives this class's tolerance; refuses a class that it lacks."""
    return _tolerance_row(letter, tolerance_class)[:2]


def _tolerance_row(letter: str, tolerance_class: int) -> ToleranceRow:
    _pieces(letter)
    row = TOLERANCES.get((letter, tolerance_class))
    if row is None:
        known = ", ".join(str(each) for each in (1, 2, 3) if (letter, each) in TOLERANCES)
        raise Refusal(
            _(
                "IEC 60584-1 has no class {tolerance_class} for type {letter}; it has {known}.",
                tolerance_class=tolerance_class,
                letter=letter,
                known=known,
            ),
            "class",
        )
    return row


def in_class_range(letter: str, tolerance_class: int, c: float) -> bool:
    """Whether the standard gives this class a tolerance at `c` °C."""
    low, high = class_range_c(letter, tolerance_class)
    return low - ROUNDING_C <= c <= high + ROUNDING_C


def tolerance_c(letter: str, tolerance_class: int, c: float) -> float:
    """Largest error in ± °C that a new thermocouple of this class may have at `c` °C; used wire drifts beyond it.

    Refuses a class that the standard does not give for the type, and a temperature outside the range of the class.
    """
    low, high, least, per_degree = _tolerance_row(letter, tolerance_class)
    if not in_class_range(letter, tolerance_class, c):
        raise Refusal(
            _(
                "Class {tolerance_class} of type {letter} covers {low:g} to {high:g} °C, not {c:.6g} °C. No "
                "tolerance is known.",
                tolerance_class=tolerance_class,
                letter=letter,
                low=low,
                high=high,
                c=c,
            ),
            "class",
        )
    if letter in "RS" and tolerance_class == 1:
        return max(least, least + 0.003 * (c - 1100))
    return max(least, per_degree * abs(c))


def wire_limit_c(letter: str, awg: int) -> float:
    """Highest temperature in °C for protected wire of a type and a wire size (AWG), by ASTM E230."""
    sizes = WIRE_LIMITS_C[_letter(letter)]
    if awg not in sizes:
        raise Refusal(
            _("For type {letter} the limit is known for AWG {sizes}.", letter=letter, sizes=", ".join(map(str, sizes))),
            "wire_awg",
        )
    return sizes[awg]


def c_from_f(fahrenheit: float) -> float:
    """°C from °F."""
    return (fahrenheit - 32) * 5 / 9


def f_from_c(celsius: float) -> float:
    """°F from °C."""
    return celsius * 9 / 5 + 32


def _letter(letter: str) -> str:
    if letter not in PIECES:
        raise Refusal(_("The type must be one of {types}.", types=", ".join(TYPES)), "type")
    return letter


def _pieces(letter: str) -> tuple[Piece, ...]:
    return PIECES[_letter(letter)]


def _piece(letter: str, c: float) -> Piece:
    return next(piece for piece in _pieces(letter) if c <= piece.to_c)


def _value(piece: Piece, c: float) -> float:
    mv = 0.0
    for power in reversed(piece.powers):
        mv = mv * c + power
    if piece.bump is not None:
        height, width, centre = piece.bump
        mv += height * exp(width * (c - centre) ** 2)
    return mv


def _bisect(letter: str, total_mv: float, low: float, high: float) -> float:
    for _halving in range(60):
        middle = (low + high) / 2
        if _value(_piece(letter, middle), middle) < total_mv:
            low = middle
        else:
            high = middle
    return (low + high) / 2
