"""The door of the texts: a table speaks the language of the moment; a catalogue lies where it says."""

import pickle
import struct
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from jinja2 import Environment
from markupsafe import escape

from bench import clock, settings, translation
from bench.journal.journal import Journal
from bench.records.kinds import KINDS
from bench.records.schema import json_name
from bench.screens.kit.field_words import KIND_WORDS, field_words
from bench.screens.phone.away_words import away_words
from bench.screens.phone.steps_file import steps_text
from bench.translation import Later, _, as_said, kept, many, together
from bench.web import words

TEXTS = {"English": "Anders", "Settings": "Einstellungen", "Weighed": "Gewogen", "Fill a crucible": "Tiegel füllen"}


class Marked:
    """A catalogue in which every text stands between marks, so that what did not come through it is seen."""

    def gettext(self, message: str, /) -> str:
        """The text between marks."""
        return f"«{message}»"

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """One or more, between marks."""
        return f"«{msgid1 if n == 1 else msgid2}»"


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """All texts between marks."""
    with monkeypatch.context() as patched:
        patched.setattr(translation, "catalogue", lambda *_about: Marked())
        translation.speak(None, "xx")
        yield
    translation.speak(None, translation.ENGLISH)


def test_what_is_kept_is_not_said_in_another_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where both call themselves English."""
    plain = steps_text()
    with monkeypatch.context() as patched:
        patched.setattr(translation, "catalogue", lambda *_about: Marked())
        translation.speak(None, translation.ENGLISH)
        assert steps_text() != plain
    translation.speak(None, translation.ENGLISH)
    assert steps_text() == plain


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of catalogues with one of a language that is called xx."""
    file = tmp_path / "xx" / "LC_MESSAGES" / "saggar.mo"
    file.parent.mkdir(parents=True)
    file.write_bytes(catalogue({"": "Content-Type: text/plain; charset=UTF-8\n"} | TEXTS))
    monkeypatch.setattr(settings, "LOCALE", tmp_path)
    return tmp_path


def catalogue(texts: dict[str, str]) -> bytes:
    """A catalogue as gettext's own tools write it: two tables of lengths and places, then the texts."""
    pairs = sorted((one.encode(), other.encode()) for one, other in texts.items())
    columns = [[pair[0] for pair in pairs], [pair[1] for pair in pairs]]
    at = 28 + 16 * len(pairs)
    tables, body = b"", b""
    for column in columns:
        for text in column:
            tables += struct.pack("<II", len(text), at + len(body))
            body += text + b"\0"
    head = struct.pack("<7I", 0x950412DE, 0, len(pairs), 28, 28 + 8 * len(pairs), 0, at)
    return head + tables + body


def test_a_text_of_a_table_is_said_in_the_language_of_the_moment(marked: None) -> None:
    text, said = Later("Dry it"), "«Dry it»"
    assert [str(text), f"{text}", "{}".format(text), "%s" % text] == [said] * 4  # noqa: UP031, UP032
    assert [f"{text:>10}", text + ".", "· " + text] == [f"  {said}", f"{said}.", f"· {said}"]
    assert [text.upper(), text.replace("Dry", "Wet"), text[:4], len(text)] == ["«DRY IT»", "«Wet it»", "«Dry", 8]
    assert str(escape(text)) == said == Environment(autoescape=True).from_string("{{ t }}").render(t=text)
    assert pickle.loads(pickle.dumps(text)) == said, "what is set in another process says the same"


def test_a_text_of_a_table_with_values_in_it_is_said_later_too(marked: None) -> None:
    text = Later("{n} of {what}", n=2, what=Later("ten"))
    assert text == "2 of ten" and f"{text}" == "«2 of «ten»»"


def test_what_is_found_before_the_language_is_known_is_said_in_it_later(monkeypatch: pytest.MonkeyPatch) -> None:
    with kept():
        text = _("{where}: {n}.", where=together([_("line {n}", n=2), "x"]), n=many("{n} jar", "{n} jars", 1))
    assert f"{text}" == "line 2, x: 1 jar." == text
    monkeypatch.setattr(translation, "catalogue", lambda *_about: Marked())
    translation.speak(None, "xx")
    assert f"{text}" == "««line 2», x: «1 jar».»"
    assert together([_("Dry it"), "x"], "; ") == "«Dry it»; x" and together([]) == ""
    translation.speak(None, translation.ENGLISH)


def test_what_was_found_wrong_on_opening_is_said_in_the_language_of_the_moment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "saggar.json").write_bytes(b"")
    with Journal.open(tmp_path, clock=clock) as journal:
        assert "saggar.json is empty: no byte is left." in journal.report
        monkeypatch.setattr(translation, "catalogue", lambda *_about: Marked())
        translation.speak(None, "xx")
        assert "«saggar.json is empty: no byte is left.»" in [f"{text}" for text in journal.report]
    translation.speak(None, translation.ENGLISH)


def test_as_a_key_a_text_of_a_table_stays_what_it_is(marked: None) -> None:
    assert Later("Dry it") == "Dry it" and hash(Later("Dry it")) == hash("Dry it")
    assert {"Dry it": 1}[Later("Dry it")] == 1


def test_values_and_numbers_are_put_in_after_the_text_is_found(marked: None) -> None:
    assert _("{g:.1f} g left", g=2.04) == "«2.0 g left»"
    assert many("{n} jar", "{n} jars", 1) == "«1 jar»" and many("{n} jar", "{n} jars", 2) == "«2 jars»"


def test_the_tables_of_the_screens_are_said_later(marked: None) -> None:
    """They are made when their module is read, before anybody has chosen a language."""
    assert isinstance(KIND_WORDS["setting.changed"], Later)
    assert f"{KIND_WORDS['setting.changed']}".startswith("«")


def test_every_field_of_every_record_has_words_that_can_be_translated(marked: None) -> None:
    named = [(json_name(one.name), kind) for kind, known in KINDS.items() for one in fields(known.data)]
    assert [pair for pair in named if not f"{field_words(*pair)}".startswith("«")] == []


def test_no_text_at_all_is_not_the_head_of_the_catalogue(folder: Path) -> None:
    translation.speak(folder, "xx")
    assert [_("Settings"), _(""), str(Later(""))] == ["Einstellungen", "", ""]
    translation.speak(None, translation.ENGLISH)


def test_what_phones_are_told_of_the_steps_is_in_the_language_of_the_moment(folder: Path) -> None:
    translation.speak(folder, "xx")
    assert "Tiegel f" in steps_text() and "Fill a crucible" not in steps_text()
    translation.speak(None, translation.ENGLISH)
    assert "Fill a crucible" in steps_text()


def test_in_json_a_text_of_a_table_is_in_the_language_of_the_moment(marked: None, app: Flask) -> None:
    table = {"Dry it": [Later("Dry it"), (1, Later("Wet it"))], "no": None}
    assert as_said(table) == {"Dry it": ["«Dry it»", [1, "«Wet it»"]], "no": None}
    assert app.json.loads(app.json.dumps(table)) == as_said(table)


def test_no_word_that_a_phone_says_itself_is_left_english(marked: None, app: Flask) -> None:
    with app.test_request_context():
        words = as_said(away_words())
    assert [name for name, text in words.items() if not text.startswith("«")] == []


def test_the_folder_of_the_catalogues_is_the_one_that_is_told() -> None:
    assert Path(settings.__file__).parent / "locale" == settings.LOCALE
    assert "`bench/locale/<language>/LC_MESSAGES/saggar.mo`" in str(words.__doc__)


def test_a_catalogue_in_the_folder_is_offered_and_used(
    folder: Path, app: Flask, client: FlaskClient, send: Any
) -> None:
    assert 'value="xx"' in client.get("/settings").text
    assert "Anders" in client.get("/settings").text
    assert "<title>Settings" in client.get("/settings").text
    assert send("/settings", {"language": "xx"}).status_code == 303
    said = client.get("/settings").text
    assert "<title>Einstellungen" in said and '<html lang="xx"' in said
    assert 'value="xx" checked' in said
    assert send("/settings", {"language": "en"}).status_code == 303
    assert "<title>Settings" in client.get("/settings").text
    assert send("/settings", {"language": "../xx"}).status_code == 422


def test_without_a_catalogue_no_language_is_asked_for(client: FlaskClient) -> None:
    said = client.get("/settings").text
    assert 'name="language"' not in said and '<html lang="en"' in said


def test_a_language_whose_catalogue_is_gone_is_english(folder: Path, app: Flask, client: FlaskClient) -> None:
    app.extensions["bench"].journal.write("setting.changed", None, {"name": "language", "value": "yy"})
    assert "<title>Settings" in client.get("/settings").text
