"""The one door of every text that a person reads, so that a catalogue can be laid over the English.

English stands in the code. Values are named in braces: `_("Reagent {n} of {total}", n=2, total=4)`. What is asked while
a module is being read, as in its tables, is said later: in the language of the moment that it is shown in.
"""

import sys
from collections.abc import Callable
from typing import Any, Protocol


class Catalogue(Protocol):
    """What is laid over the English; the standard library's are."""

    def gettext(self, message: str, /) -> str:
        """This text in the reader's language."""

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """The form of a text that fits a number, in the reader's language."""


class English:
    """The texts as they stand in the code."""

    def gettext(self, message: str, /) -> str:
        """The text itself."""
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """One or more."""
        return msgid1 if n == 1 else msgid2


class _Chosen:
    """The catalogue in use: one a process."""

    catalogue: Catalogue = English()


def lay(catalogue: Catalogue) -> None:
    """Lay this catalogue over the English."""
    _Chosen.catalogue = catalogue


def chosen() -> Catalogue:
    """The catalogue that lies over the English now."""
    return _Chosen.catalogue


def _(text: str, **values: object) -> str:
    """This text in the reader's language, with the named values put in."""
    if getattr(sys._getframe(1).f_globals.get("__spec__"), "_initializing", False) and not values:
        return Later(text)
    said = _Chosen.catalogue.gettext(text)
    return said.format(**values) if values else said


def many(one: str, more: str, n: int, **values: object) -> str:
    """The form of a text that fits the number `n`: `many("{n} record", "{n} records", 3)`."""
    return _Chosen.catalogue.ngettext(one, more, n).format(n=n, **values)


class Later(str):
    """A text of a module's table. As a key it is the English; shown, put together or cut up, it is what is said now.

    Two ways lead past it, since Python reads a text's letters there itself: as a part of `"".join(…)`, and in JSON.
    Ask for `str(text)` there.
    """

    __slots__ = ()

    def __str__(self) -> str:
        return _Chosen.catalogue.gettext(str.__str__(self))

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __add__(self, other: str) -> str:
        return str(self) + other

    def __radd__(self, other: str) -> str:
        return other + str(self)

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        return str, (str(self),)


def _said(name: str) -> Callable[..., Any]:
    plain = getattr(str, name)

    def method(self: Later, *about: Any, **named: Any) -> Any:
        return plain(str(self), *about, **named)

    return method


CHANGED = (
    "capitalize casefold encode endswith format join lower lstrip partition removeprefix removesuffix replace"
    " rpartition rsplit rstrip split splitlines startswith strip title upper"
    " __contains__ __getitem__ __iter__ __len__ __mod__"
)
for _name in CHANGED.split():
    setattr(Later, _name, _said(_name))
