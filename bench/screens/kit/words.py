"""Every text on a screen goes through here, so that a translation has one door.

English stands in the code. A catalogue `bench/locale/<language>/LC_MESSAGES/saggar.mo` is laid over it where it exists.
Values are named in braces: `_("Reagent {n} of {total}", n=2, total=4)`.
"""

import gettext
from pathlib import Path

LOCALE = Path(__file__).resolve().parent.parent / "locale"


class _Chosen:
    """The catalogue in use; one a process, set by `speak` when the app is made."""

    catalogue: gettext.NullTranslations = gettext.NullTranslations()


def speak(language: str) -> None:
    """Lay the catalogue of this language over the English; English stays where there is none."""
    _Chosen.catalogue = gettext.translation("saggar", LOCALE, [language], fallback=True)


def _(text: str, **values: object) -> str:
    """This text in the reader's language, with the named values put in."""
    said = _Chosen.catalogue.gettext(text)
    return said.format(**values) if values else said


def many(one: str, more: str, n: int, **values: object) -> str:
    """The form of a text that fits the number `n`: `many("{n} record", "{n} records", 3)`."""
    return _Chosen.catalogue.ngettext(one, more, n).format(n=n, **values)
