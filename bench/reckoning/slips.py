"""Slips of the pen in a typed formula: asks which of two readings is meant, and never picks one.

`CUO` is carbon, uranium and oxygen as typed; it may be meant for CuO. A formula of the library is never questioned, nor
one with every count written, such as C1U1O1: that is how a maker says that the odd reading is meant.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from bench.reckoning.known_compounds import HEAD, PLAIN_DIGITS, SEPARATORS, known_compounds
from bench.reckoning.typed import shown
from bench.reference import Library
from bench.science.element_names import ELEMENT_NAMES
from bench.science.formulas import Formula, parse, parsed
from bench.science.refusal import Refusal
from bench.science.second_readings import second_readings
from bench.science.usual_charges import CHARGES, balances
from bench.translation import _

EVERY_COUNT: Final = re.compile(r"(?=.*[A-Za-z]1(?![0-9]))(?:[A-Z][a-z]?[0-9.]+|[()\[\]]|(?<=[)\]])[0-9.]+)+")
LETTER_FOR_ZERO: Final = re.compile(r"([1-9])[Oo](H2[O0])")
NEW_ONE: Final = re.compile(r"[A-Za-z)\]]1(?![0-9.])")
LOOK_ALIKE: Final = {
    ("0", "O"): _(" The 0 is then the letter O."),
    ("O", "0"): _(" The O is then a zero."),
    ("I", "l"): _(" The I is then a small L."),
    ("1", "l"): _(" The 1 is then a small L."),
}
TWICE: Final = re.compile(r"O[0-9]*O(?!H)")
SELDOM: Final = frozenset({"Os", "Re", "Pa", "Ir", "Ru", "Rh", "He", "Ne", "Ar", "Kr", "Xe"})
MOST_NAMED: Final = 3


@dataclass(frozen=True)
class Slip:
    """A formula with a likely slip: as typed, and the readings that may be meant, the likeliest first."""

    typed: str
    meant: tuple[str, ...]
    readable: bool
    pieces: tuple[tuple[str, bool], ...]
    """The compounds between the dots, each with whether it is the questioned one."""

    @property
    def because(self) -> str:
        """Which sign was taken for which, where that is hard to see."""
        if len(self.meant[0]) != len(self.typed):
            return ""
        changed = set(zip(self.typed, self.meant[0], strict=True))
        return "".join(say for (old, new), say in LOOK_ALIKE.items() if (old, new) in changed)

    @property
    def say(self) -> str:
        """Both readings, and how either is typed."""
        which = _(" or ").join(self.meant)
        if not self.readable:
            return _(
                "{typed} cannot be read as typed. Is it {which}?{because}",
                typed=shown(self.typed),
                which=which,
                because=self.because,
            )
        return _(
            "As typed, {typed} is {elements}. Is it {which}?{because} Then type that.",
            typed=self.typed,
            elements=_elements(self.typed),
            which=which,
            because=self.because,
        )


def slip_in(typed: str, library: Library) -> Slip | None:
    """The slip in a typed formula, or None where it reads as it should; a name of the library is no formula."""
    text = typed.strip().translate(PLAIN_DIGITS)
    if text in library.reagents or text in library.targets or len(text) > 120:
        return None
    formula = parsed(text)
    if formula is None and _is_name(text, library):
        return None
    pieces = SEPARATORS.split(text)
    options = [_meant(piece, known_compounds(library)) for piece in pieces]
    if not any(options):
        return None
    whole = tuple(_joined(pieces, options))
    asked = tuple((piece, bool(found)) for piece, found in zip(pieces, options, strict=True))
    return Slip(text, whole, formula is not None, asked) if whole else None


def refuse_slip(typed: str, library: Library, field: str | None = None) -> None:
    """Refuses a typed formula with a likely slip, with both readings; where one of them is refused here, it says so."""
    slip = slip_in(typed, library)
    if slip is not None:
        keep = _keep(slip, library)
        refused = refused_because(slip.meant[0], library)
        if refused is None:
            raise Refusal(f"{slip.say}{keep}", field, slip.meant)
        as_typed = _(" As typed, it is {typed}.", typed=_elements(slip.typed)) if slip.readable else ""
        raise Refusal(
            _(
                "{typed} looks like {meant}. {refused}{as_typed}{keep}",
                typed=shown(slip.typed),
                meant=slip.meant[0],
                refused=refused,
                as_typed=as_typed,
                keep=keep,
            ),
            field,
        )


def _keep(slip: Slip, library: Library) -> str:
    """How the odd reading is typed, where it can be used at all."""
    written = odd(slip) if slip.readable and refused_because(slip.typed, library) is None else None
    return _(" To keep it as typed, write {written}.", written=written) if written else ""


def odd(slip: Slip) -> str | None:
    """The formula with every count written, so that it reads in one way only; None where that is not enough."""
    pieces = [_counted(piece) if asked else piece for piece, asked in slip.pieces]
    found = "*".join(pieces)
    before, after = parsed(slip.typed), parsed(found)
    return found if before is not None and after is not None and before.counts == after.counts else None


def _counted(piece: str) -> str:
    head = HEAD.match(piece)
    at = head.end() if head else 0
    body = re.sub(r"([A-Z][a-z]?)(?![a-z0-9])", r"\g<1>1", piece[at:])
    return piece[:at] + (body if EVERY_COUNT.fullmatch(body) else re.sub(r"([0-9]+)", r"\1.0", body))


def _elements(text: str) -> str:
    return _listed(ELEMENT_NAMES[symbol] for symbol in parse(text).counts)


def _listed(names: Iterable[str]) -> str:
    *first, last = names
    return _("{first} and {last}", first=", ".join(first), last=last) if first else last


def _joined(pieces: list[str], options: list[tuple[str, ...]]) -> Iterator[str]:
    """The whole formulas: the likeliest reading of each compound, then the next ones of the first that has several."""
    best = [found[0] if found else piece for piece, found in zip(pieces, options, strict=True)]
    seen: list[str] = []
    for at, found in enumerate(options):
        for other in found[:MOST_NAMED]:
            whole = "*".join(piece.strip() for piece in [*best[:at], other, *best[at + 1 :]])
            if whole not in seen and parsed(whole) is not None and len(seen) < MOST_NAMED:
                seen.append(whole)
                yield whole


def _meant(piece: str, known: frozenset[str]) -> tuple[str, ...]:
    """The compounds that may be meant by one piece between dots, with its count before it; none where it is fine."""
    zero = LETTER_FOR_ZERO.fullmatch(piece.strip())
    if zero:
        return (f"{zero[1]}0{zero[2].replace('0', 'O')}",)
    head = HEAD.match(piece)
    at = head.end() if head else 0
    found = _compounds(piece[at:].strip(), known)
    return tuple(piece[:at] + text for text in found)


@lru_cache(maxsize=1024)
def _compounds(text: str, known: frozenset[str]) -> tuple[str, ...]:
    """What one compound may be meant for, the likeliest first; nothing where it reads as it should."""
    if not text or text in known or EVERY_COUNT.fullmatch(text):
        return ()
    typed = parsed(text)
    capitals = not any(char.islower() for char in text)
    unsound = typed is None or not balances(text, typed.counts)
    metal = capitals and text.isalpha() and len(text) == 2
    readings = [other for other in second_readings(text) if typed is None or _keeps_small_letters(text, other)]
    found = [
        other
        for other in readings
        if _may_be(other, typed, known, unsound or (capitals and other.upper() == text), metal)
    ]
    if typed is None and text.isalpha() and text.islower():
        found = [other for other in found if other in known]
    if any(other in known for other in found):
        found = [other for other in found if other in known]
    return tuple(sorted(found, key=_unlikely)[:MOST_NAMED])


def _keeps_small_letters(text: str, other: str) -> bool:
    """Whether no small letter that was typed becomes a capital, but for Co3 that is meant for a carbonate: a finger
    that held the shift key too long or not at all is likely, one that let it go for a single letter is not.
    """
    raised = [at for at, (old, new) in enumerate(zip(text, other, strict=True)) if old.islower() and new.isupper()]
    return all(text[at - 1 : at + 2] == "Co3" for at in raised)


def _may_be(other: str, typed: Formula | None, known: frozenset[str], doubtful: bool, metal: bool) -> bool:
    """Whether another reading is other matter, and such as occurs: `doubtful` what was typed, it need only balance."""
    read = parsed(other)
    if read is None or NEW_ONE.search(other) or (typed is not None and read.counts == typed.counts):
        return False
    if other in known or (metal and len(read.counts) == 1):
        return True
    return doubtful and not TWICE.search(other) and _is_compound(read) and balances(other, read.counts)


def _unlikely(text: str) -> tuple[bool, bool]:
    counts = parse(text).counts
    return bool(SELDOM & set(counts)), len(counts) > 1 and "O" not in counts


def _is_compound(read: Formula) -> bool:
    return len(read.counts) > 1 and any(symbol in CHARGES for symbol in read.counts)


def _is_name(text: str, library: Library) -> bool:
    """Whether the library knows this text as a name, and not only as a formula in other letters."""
    row = library.reagent(text) or library.target(text)
    return row is not None and "".join(text.split()).casefold() != row.formula.casefold()


def refused_because(text: str, library: Library) -> str | None:
    """Why this formula is refused here, or None."""
    from bench.reckoning.rules import Part, refuse_if_dangerous

    try:
        refuse_if_dangerous([Part(text, text)], library)
    except Refusal as refusal:
        return refusal.say
    return None
