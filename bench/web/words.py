"""The door of the texts (`bench/translation.py`) as the screens use it, and the languages that the bench can speak.

A catalogue is `bench/locale/<language>/LC_MESSAGES/saggar.mo`; which one is used is a setting of the bench. The text
"English" is translated as the name of the catalogue's own language.
"""

from functools import cache
from pathlib import Path

from flask import Flask

from bench import settings, translation
from bench.translation import ENGLISH, _, many
from bench.web.current import bench

__all__ = ["LANGUAGE", "_", "follow", "language", "languages", "many"]
LANGUAGE = "language"
"""The name of the setting."""
FILE = "*/LC_MESSAGES/saggar.mo"


def follow(app: Flask) -> None:
    """Let every request be answered in the language that the bench is set to."""

    def speak() -> None:
        if translation.language() != language():
            bench().journal.state.forget_all()
        translation.speak(settings.LOCALE, language())

    app.before_request(speak)
    app.jinja_env.globals[LANGUAGE] = translation.language


def language() -> str:
    """The language that the bench was opened in, or is set to; English where there is no catalogue of it."""
    here = bench()
    asked = here.settings.language or here.state.setting(LANGUAGE)
    return asked if asked in languages() else ENGLISH


def languages() -> dict[str, str]:
    """The languages that this bench can speak, each with its own name for itself."""
    return _languages(settings.LOCALE)


@cache
def _languages(folder: Path) -> dict[str, str]:
    there = sorted(path.parent.parent.name for path in folder.glob(FILE))
    return {ENGLISH: "English"} | {name: translation.catalogue(folder, name).gettext("English") for name in there}
