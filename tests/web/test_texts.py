"""The list of texts that a translator begins with: it holds each kind of text once, as gettext's tools read it."""

import re
from pathlib import Path

import pytest

from bench import cli
from bench.web.texts import template, texts


def test_a_text_of_each_kind_of_place_is_listed() -> None:
    found = texts()
    assert found["Which harm"].where.startswith("templates/first_aid/show.html:")
    assert found["Brush the powder off first."].where.startswith("bench/reckoning/rules/first_aid.py:")
    assert found["Stay out; count heads"].where == "bench/reference/data"
    assert found["Net"].where.startswith("bench/")
    assert found["{n:,} record"].more == "{n:,} records"
    assert not any(text.where.startswith("templates/look/") for text in found.values())


def test_the_values_of_both_forms_of_a_text_have_the_same_names() -> None:
    wrong = []
    for text in texts().values():
        one, more = (set(re.findall(r"\{(\w+)", form)) for form in (text.one, text.more))
        if text.more and not one <= more:
            wrong.append(text)
    assert wrong == []


def words_of_its_longest_sentence(text: str) -> int:
    """How many words the longest sentence has; what stands in brackets and after a colon or semicolon is one's own."""
    parts = re.split(r"(?<=[.;:!?])\s+|\n", re.sub(r"\([^)]*\)", "", text))
    return max(len(re.findall(r"[\w%°'’-]+(?:\.\d+)?", part)) for part in parts)


def test_no_sentence_has_more_than_eighteen_words() -> None:
    found = [form for text in texts().values() for form in (text.one, text.more) if form]
    assert [form for form in found if words_of_its_longest_sentence(form) > 18] == []
    assert words_of_its_longest_sentence("Stay. " + "go " * 19) == 19


def test_the_file_has_each_text_once_and_quotes_what_gettext_quotes() -> None:
    said = template()
    ids = re.findall(r"^msgid (.+)$", said, re.M)
    assert len(ids) == len(set(ids)) == len(texts()) + 1
    assert said.startswith('msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n')
    assert 'msgid "{n:,} record"\nmsgid_plural "{n:,} records"\nmsgstr[0] ""\nmsgstr[1] ""\n' in said


def test_the_command_writes_it_and_says_when_it_cannot(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "saggar.pot"
    assert cli.main(["texts", str(file)]) == 0
    assert file.read_text(encoding="utf-8") == template()
    assert cli.main(["texts", str(tmp_path / "none" / "saggar.pot")]) == 1
    assert "saggar.pot cannot be written" in capsys.readouterr().err
