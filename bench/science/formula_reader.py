"""Reads one compound of a formula, character by character; what does not fit breaks off with its place."""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from bench.science.weights import WEIGHTS, WITHOUT_WEIGHT
from bench.translation import _

Places = list[tuple[str, int]]
"""Characters, each with its place in the text as typed, counted from 1."""

LONGEST: Final = 200
DEEPEST: Final = 6
MOST: Final = 9_999
MOST_DECIMALS: Final = 9
SEPARATOR: Final = "*"
STOP: Final = "."
SEPARATORS: Final = frozenset("*·•+∙⋅∗×\u0387\u2027\u30fb")
SUBSCRIPTS: Final = {chr(0x2080 + digit): str(digit) for digit in range(10)}
VULGAR: Final = {"½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4)}
CLOSING: Final = {"(": ")", "[": "]", "{": "}"}
NUMBER: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?")
HEAD: Final = re.compile(r"[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?|[½¼¾]")


class Broken(ValueError):
    """A text that is no formula: what is wrong, and at which character, counted from 1."""

    def __init__(self, say: str, place: int | None = None) -> None:
        super().__init__(f"{say}." if place is None else _("{say} (character {place}).", say=say, place=place))


@dataclass(frozen=True)
class Part:
    """One compound: how often it stands, and its runs of symbols, each with how often it stands in the compound."""

    count: Fraction
    runs: tuple[tuple[Fraction, tuple[tuple[str, Fraction], ...]], ...]


def cleaned(text: str) -> Places:
    """The characters of a formula with one sign for every separator, plain digits, and no blanks beside a separator."""
    if not text.strip():
        raise Broken(_("Give a formula, such as CoAl2O4"))
    if len(text) > LONGEST:
        raise Broken(_("This formula is too long: {longest} characters at most", longest=LONGEST))
    places: Places = []
    for place, char in enumerate(text, start=1):
        places.append((SEPARATOR if char in SEPARATORS else SUBSCRIPTS.get(char, char), place))
    return _without_blanks(places)


def _without_blanks(places: Places) -> Places:
    """Drops blanks at the ends, beside separators and after a count before a compound; refuses any other blank."""
    kept: Places = []
    for i, (char, place) in enumerate(places):
        if not char.isspace():
            kept.append((char, place))
            continue
        after = next((c for c, _ in places[i + 1 :] if not c.isspace()), SEPARATOR)
        if not kept or kept[-1][0] == SEPARATOR or after == SEPARATOR or _only_a_count(kept):
            continue
        raise Broken(_("Remove the space, or write * between a compound and its water"), place)
    return kept


def _only_a_count(kept: Places) -> bool:
    """True when nothing but a count stands since the last separator."""
    tail: list[str] = []
    for char, _place in reversed(kept):
        if char == SEPARATOR:
            break
        tail.append(char)
    return all(char.isdigit() or char in "./" or char in VULGAR for char in tail)


def read_part(places: Places) -> Part:
    """One compound, with an optional count before it; every full stop in it is a decimal point."""
    return _Reader(places).part()


class _Reader:
    def __init__(self, places: Places) -> None:
        self._text = "".join(char for char, _ in places)
        self._place = [place for _, place in places]
        self._at = 0

    def _broken(self, say: str, at: int | None = None) -> Broken:
        at = self._at if at is None else at
        return Broken(say, self._place[min(at, len(self._place) - 1)])

    def part(self) -> Part:
        count = self._head()
        runs = self._group(0)
        if self._at < len(self._text):
            raise self._unexpected()
        if not runs:
            raise self._broken(_("A count is here without a compound"))
        return Part(count, tuple(runs))

    def _head(self) -> Fraction:
        found = HEAD.match(self._text)
        if not found:
            return Fraction(1)
        self._at = found.end()
        text = found.group()
        if text in VULGAR:
            return VULGAR[text]
        if "/" in text:
            over, under = text.split("/")
            return self._counted(over, 0) / self._counted(under, len(over) + 1)
        return self._counted(text, 0)

    def _group(self, depth: int) -> list[tuple[Fraction, tuple[tuple[str, Fraction], ...]]]:
        """Symbols and brackets up to the closing bracket or the end, as runs in written order."""
        runs: list[tuple[Fraction, tuple[tuple[str, Fraction], ...]]] = []
        run: list[tuple[str, Fraction]] = []
        while self._at < len(self._text):
            char = self._text[self._at]
            if char in CLOSING:
                if run:
                    runs.append((Fraction(1), tuple(run)))
                    run = []
                runs.extend(self._bracket(depth))
            elif "A" <= char <= "Z":
                run.append((self._symbol(), self._count()))
            else:
                break
        if run:
            runs.append((Fraction(1), tuple(run)))
        return runs

    def _bracket(self, depth: int) -> list[tuple[Fraction, tuple[tuple[str, Fraction], ...]]]:
        opened = self._at
        if depth >= DEEPEST:
            raise self._broken(_("Brackets are nested more than {deepest} deep", deepest=DEEPEST))
        self._at += 1
        runs = self._group(depth + 1)
        closing = CLOSING[self._text[opened]]
        if self._at >= len(self._text):
            raise self._broken(_("The bracket {bracket} is not closed", bracket=self._text[opened]), opened)
        if self._text[self._at] != closing:
            raise self._unexpected()
        if not runs:
            raise self._broken(_("These brackets are empty"), opened)
        self._at += 1
        count = self._count()
        return [(count * times, piece) for times, piece in runs]

    def _symbol(self) -> str:
        two = self._text[self._at : self._at + 2]
        lower = len(two) == 2 and "a" <= two[1] <= "z"
        symbol = two if lower else two[0]
        if symbol in WITHOUT_WEIGHT:
            raise self._broken(_("{symbol} is radioactive and is refused here: take it out", symbol=symbol))
        if symbol not in WEIGHTS:
            raise self._broken(_("{symbol} is not the symbol of an element", symbol=symbol))
        self._at += len(symbol)
        return symbol

    def _count(self) -> Fraction:
        found = NUMBER.match(self._text, self._at)
        if not found:
            return Fraction(1)
        start, self._at = self._at, found.end()
        return self._counted(found.group(), start)

    def _counted(self, text: str, start: int) -> Fraction:
        whole, _stop, decimals = text.partition(STOP)
        if len(whole) > len(str(MOST)) or len(decimals) > MOST_DECIMALS:
            raise self._broken(_("The number {text} is too long", text=text[:20]), start)
        if whole[0] == "0" and len(whole) > 1:
            raise self._broken(_("The number {text} begins with 0: is a decimal point missing?", text=text), start)
        count = Fraction(text)
        if count == 0:
            if self._text[self._at : self._at + 1] == ",":
                raise self._unexpected()
            raise self._broken(_("A count of 0 makes no sense here"), start)
        return count

    def _unexpected(self) -> Broken:
        """Says what is wrong with the character that does not fit here."""
        char = self._text[self._at]
        if char in ")]}":
            return self._broken(_("The bracket {char} closes nothing that is open", char=char))
        if char == ",":
            return self._broken(
                _("A comma is a varying composition or a decimal here. Use a decimal point, such as (Zr0.95Pr0.05)SiO4")
            )
        if char in "^⁺⁻-−–" or char in "⁰¹²³⁴⁵⁶⁷⁸⁹":
            return self._broken(_("A formula has no charges or differences: give the counts as numbers"))
        if char in "xynδ":
            return self._broken(_("The amount {char} is not a number: give one", char=char))
        if "a" <= char <= "z":
            return self._broken(_("An element's symbol begins with a capital letter; {char} does not", char=char))
        if char == STOP:
            return self._broken(_("A number has one decimal point, with a digit on both sides"))
        if char.isalpha():
            name = unicodedata.name(char, _("no known letter")).lower()
            return self._broken(_("“{char}” is not a Latin letter ({name})", char=char, name=name))
        shown = char if char.isprintable() else f"U+{ord(char):04X}"
        return self._broken(_("“{shown}” does not belong in a formula", shown=shown))
