"""The door of the texts (`bench/translation.py`) as the screens use it, and the languages that the bench can speak.

A catalogue is `bench/locale/<language>/LC_MESSAGES/saggar.mo`; which one is used is a setting of the bench. The text
"English" is translated as the name of the catalogue's own language.
"""

from functools import cache
from pathlib import Path
from typing import Any

from flask import Flask
from flask.json.provider import DefaultJSONProvider

from bench import settings, translation
from bench.translation import ENGLISH, _, as_said, many
from bench.web.current import current_bench

__all__ = ["LANGUAGE", "_", "follow", "language", "languages", "many"]
LANGUAGE = "language"
"""The name of the setting."""
FILE = "*/LC_MESSAGES/saggar.mo"


class SaidNow(DefaultJSONProvider):
    """JSON with the texts of tables in the language of the moment."""

    def dumps(self, obj: Any, **kwargs: Any) -> str:
        """The JSON of a value."""
        return super().dumps(as_said(obj), **kwargs)


def follow(app: Flask) -> None:
    """Let every request be answered in the language that the bench is set to."""
    app.json = SaidNow(app)

    def speak() -> None:
        if translation.language() != language():
            current_bench().journal.state.forget_all()
        translation.speak(settings.LOCALE, language())

    app.before_request(speak)
    app.jinja_env.globals[LANGUAGE] = translation.language


def language() -> str:
    """The language that the bench was opened in, or is set to; English where there is no catalogue of it."""
    here = current_bench()
    asked = here.settings.language or here.state.setting(LANGUAGE)
    return asked if asked in languages() else ENGLISH


def languages() -> dict[str, str]:
    """The languages that this bench can speak, each with its own name for itself."""
    return _languages(settings.LOCALE)


@cache
def _languages(folder: Path) -> dict[str, str]:
    there = sorted(path.parent.parent.name for path in folder.glob(FILE))
    return {ENGLISH: "English"} | {name: translation.catalogue(folder, name).gettext("English") for name in there}
