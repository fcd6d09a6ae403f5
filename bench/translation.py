"""The one door of every text that a person reads, so that a catalogue can be laid over the English.

English stands in the code. Values are named in braces: `_("Reagent {n} of {total}", n=2, total=4)`. What is asked while
a module is being read, as in its tables, is said later: in the language of the moment that it is shown in.

A catalogue is `<language>/LC_MESSAGES/saggar.mo` in the folder that is handed in, as the standard library's `gettext`
reads it.
"""

import gettext
import html
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any, Protocol


class Catalogue(Protocol):
    """What is laid over the English; the standard library's are."""

    def gettext(self, message: str, /) -> str:
        """This text in the reader's language."""

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """The form of a text that fits a number, in the reader's language."""

    def __hash__(self) -> int:
        """What is kept by it is kept by which one it is."""


class English:
    """The texts as they stand in the code."""

    def gettext(self, message: str, /) -> str:
        """The text itself."""
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """One or more."""
        return msgid1 if n == 1 else msgid2


ENGLISH = "en"
Spoken = tuple[Path | None, str]
"""A folder of catalogues and a language, which is all that another process needs to say the same."""


class _Chosen:
    """The catalogue in use: one a process."""

    catalogue: Catalogue = English()
    spoken: Spoken = None, ENGLISH
    kept: bool = False


def speak(folder: Path | None, language: str) -> None:
    """Lay the catalogue of this language over the English."""
    _Chosen.catalogue, _Chosen.spoken = catalogue(folder, language), (folder, language)


def spoken() -> Spoken:
    """What `speak` was told last."""
    return _Chosen.spoken


def in_use() -> Catalogue:
    """The catalogue that is spoken from: what a kept text is kept by, since it alone tells how texts were said."""
    return _Chosen.catalogue


def language() -> str:
    """The language that is spoken."""
    return _Chosen.spoken[1]


@cache
def catalogue(folder: Path | None, language: str) -> Catalogue:
    """The catalogue of a language in a folder; English as it stands in the code where there is none."""
    found = gettext.find("saggar", folder, [language]) if folder is not None else None
    return English() if found is None else gettext.translation("saggar", folder, [language])


@contextmanager
def kept() -> Iterator[None]:
    """What is asked in here is said later: it is found out before the language is known, as on opening a bench."""
    before, _Chosen.kept = _Chosen.kept, True
    try:
        yield
    finally:
        _Chosen.kept = before


def _(text: str, /, **values: object) -> str:
    """This text in the reader's language, with the named values put in."""
    if _Chosen.kept or getattr(sys._getframe(1).f_globals.get("__spec__"), "_initializing", False):
        return Later(text, **values)
    said = _Chosen.catalogue.gettext(text) if text else ""  # a catalogue's own head stands under no text at all
    return said.format(**values) if values else said


def many(one: str, more: str, n: int, /, **values: object) -> str:
    """The form of a text that fits the number `n`: `many("{n} record", "{n} records", 3)`."""
    if _Chosen.kept:
        return Later(one, more, n=n, **values)
    return _Chosen.catalogue.ngettext(one, more, n).format(n=n, **values)


def as_said(value: Any) -> Any:
    """What is put into JSON, which reads the letters of a text: every text that is said later as it is said now."""
    if isinstance(value, dict):
        return {key: as_said(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_said(one) for one in value]
    return str(value) if isinstance(value, Later) else value


def together(texts: Iterable[str], between: str = ", ") -> str:
    """Texts in one, each as it is said: what is kept says each of its parts later."""
    parts = {f"part{n}": text for n, text in enumerate(texts)}
    joined = between.join(f"{{{name}}}" for name in parts)
    return _Joined(joined, **parts) if _Chosen.kept else joined.format(**parts)


class Later(str):
    """A text of a module's table. As a key it is the English; shown, put together or cut up, it is what is said now.

    Three ways lead past it, since Python reads a text's letters there itself: as a part of `"".join(…)`, in a regular
    expression, and in JSON. Ask for `str(text)` there.
    """

    text: str
    more: str
    values: dict[str, Any]

    def __new__(cls, text: str, more: str = "", /, **values: Any) -> "Later":
        """The text with these values, which is its English; with `more` the form that fits the value `n`."""
        english = {name: str.__str__(value) if isinstance(value, Later) else value for name, value in values.items()}
        form = more if more and values["n"] != 1 else text
        made = super().__new__(cls, form.format(**english) if values else form)
        made.text, made.more, made.values = text, more, values
        return made

    def __str__(self) -> str:
        if self.more:
            said = _Chosen.catalogue.ngettext(self.text, self.more, self.values["n"])
        else:
            said = _Chosen.catalogue.gettext(self.text) if self.text else ""
        return said.format(**self.values) if self.values else said

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __add__(self, other: str) -> str:
        return str(self) + other

    def __radd__(self, other: str) -> str:
        return other + str(self)

    def __html__(self) -> str:
        """For a page, which puts texts together by their letters unless they say this."""
        return html.escape(str(self))

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        return str, (str(self),)


class _Joined(Later):
    """Texts side by side; only its parts are in a catalogue."""

    def __str__(self) -> str:
        return self.text.format(**self.values)


def _said(name: str) -> Callable[..., Any]:
    plain = getattr(str, name)

    def method(self: Later, *about: Any, **named: Any) -> Any:
        return plain(str(self), *about, **named)

    return method


CHANGED = (
    "capitalize casefold encode endswith format format_map join lower lstrip partition removeprefix removesuffix"
    " replace rpartition rsplit rstrip split splitlines startswith strip title upper"
    " __contains__ __getitem__ __iter__ __len__ __mod__"
)
for _name in CHANGED.split():
    setattr(Later, _name, _said(_name))
