"""Other ways to read one compound of a formula: capitals for small letters, 0 for O, 1 or I for l.

Nothing here decides: it says what else the pen may have meant, the likelier (fewer changes) first.
"""

from collections.abc import Iterator
from math import inf
from typing import Final

from bench.science.weights import WEIGHTS

MOST_READINGS: Final = 400
MOST_CHANGES: Final = 8
LONGEST: Final = 60
LIKE_SMALL_L: Final = "I1|"


def second_readings(text: str) -> list[str]:
    """The other readings of one compound without its leading count, by how little has to be changed."""
    if not text or len(text) > LONGEST or any(char.isspace() for char in text):
        return []
    least = _least_changes(text)
    found: dict[str, int] = {}
    for changes, reading in _from(text, 0, 0, least):
        if reading != text:
            found[reading] = min(changes, found.get(reading, changes))
        if len(found) >= MOST_READINGS:
            break
    return sorted(found, key=lambda reading: (found[reading], reading))


def _least_changes(text: str) -> list[float]:
    """For each place, the fewest changes from there to the end; infinite where nothing leads there."""
    least: list[float] = [inf] * len(text) + [0]
    for at in reversed(range(len(text))):
        ways = (cost + least[at + taken] for taken, _written, cost in _next(text, at))
        least[at] = min(ways, default=inf)
    return least


def _from(text: str, at: int, changes: int, least: list[float]) -> Iterator[tuple[int, str]]:
    """Every reading of the text from `at` on, with all changes made so far; no way is tried that leads nowhere."""
    if changes + least[at] > MOST_CHANGES:
        return
    if at == len(text):
        yield changes, ""
        return
    for taken, written, cost in _next(text, at):
        for whole, rest in _from(text, at + taken, changes + cost, least):
            yield whole, written + rest


def _next(text: str, at: int) -> Iterator[tuple[int, str, int]]:
    """What may stand at this place: how many characters it takes, how it is written, what had to be changed."""
    char = text[at]
    if char in "0Oo" or not char.isdigit():
        yield from _symbols(text, at)
    if char.isdigit():
        taken = _decimal(text, at)
        yield taken, text[at : at + taken], 0
    elif not char.isalpha():
        yield 1, char, 0


def _decimal(text: str, at: int) -> int:
    """The length of a number with a decimal point that begins here, which is never taken apart; else 1."""
    end = at
    while end < len(text) and (text[end].isdigit() or text[end] == "."):
        end += 1
    return end - at if "." in text[at:end] else 1


def _symbols(text: str, at: int) -> Iterator[tuple[int, str, int]]:
    char, after = text[at], text[at + 1 : at + 2]
    first = "O" if char == "0" else char.upper()
    cost = int(first != char)
    for small in {after.lower(), "l" if after and after in LIKE_SMALL_L else ""}:
        if small and first + small in WEIGHTS and not (char == "0" and small):
            yield 2, first + small, cost + int(small != after)
    if char == "0" and _decimal(text, at) > 1:
        return
    if first in WEIGHTS:
        yield 1, first, cost
