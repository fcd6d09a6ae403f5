"""Every text on every page and paper of a full bench comes through the door of texts, but for what is data.

A catalogue that puts each text between marks is laid over the English; what then stands outside marks never asked.
Data are names, figures and descriptions in the library's rows, what records hold or take word for word, formulas,
numbers, units and codes. The sentences of the library that warn, ask or advise are texts, and come through the door.
What is taken along (the heads of tables, the schema, a crate) and the command line are English in every language.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from bench import translation
from bench.printing.setter import Setter
from bench.science.element_names import ELEMENT_NAMES
from bench.screens.powders.opening import COMMON_SIGNS
from bench.web.texts import texts
from bench.workshop.trying import CAUSES
from tests.acceptance.addresses import addresses, few
from tests.acceptance.desk import GALLERY, Desk
from tests.acceptance.machine_words import shown

BEGIN, END = "⟦", "⟧"
CODE = re.compile(r"\b[0-9A-Z]{5}-?[0-9A-Z]\b|\b[0-9A-HJKMNP-TV-Z]{26}\b")
FORMULA = re.compile(r"(?<![A-Za-z])(?:[A-Z][a-z]?[₀-₉0-9.]*|[()·*.+\[\]])+(?![A-Za-z])")
WORD = re.compile(r"[A-Za-zµ][A-Za-z/'’-]*")
UNITS = frozenset(
    [
        "min",
        "mol",
        "mmol",
        "g/mol",
        "L/mol",
        "kJ/mol",
        "ppm",
        "mg",
        "mL",
        "µm",
        "nm",
        "cm",
        "mm",
        "kW",
        "kg",
        "hPa",
        "json",
        "csv",
        "pdf",
        "saggar",
        "backup",
        "Saggar",
    ]
)
MONTHS = frozenset(["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"])


class Marked:
    """A catalogue that puts every text between marks, and remembers what it was asked for."""

    def __init__(self) -> None:
        self.asked: set[str] = set()

    def gettext(self, message: str, /) -> str:
        """The text between marks."""
        self.asked.add(str.__str__(message))
        return f"{BEGIN}{message}{END}"

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """One or more, between marks."""
        return self.gettext(msgid1 if n == 1 else msgid2)


def outside(text: str) -> str:
    """What stands outside all marks; before an end without its beginning stands the rest of a text that was cut."""
    found, depth = list[str](), 0
    for letter in text:
        if letter == END and depth == 0:
            found.clear()
        depth = max(0, depth + (letter == BEGIN) - (letter == END))
        found.append(" " if letter in (BEGIN, END) else letter if depth == 0 else "")
    return "".join(found)


def strings(value: Any, seen: set[int]) -> Iterator[str]:
    """Every text in a value that is not said later."""
    if isinstance(value, str):
        yield from () if isinstance(value, translation.Later) else (value,)
    elif id(value) not in seen:
        seen.add(id(value))
        inner = [getattr(value, one.name) for one in fields(value)] if is_dataclass(value) else []
        inner += [*value, *value.values()] if isinstance(value, dict) else []
        inner += value if isinstance(value, list | tuple | set | frozenset) else []
        for one in inner:
            yield from strings(one, seen)


class Data:
    """What is data on this bench, and no text of ours."""

    def __init__(self, here: Desk) -> None:
        bench = here.app.extensions["bench"]
        texts = set(strings([bench.library, [dict(record.data) for record in bench.state.records.values()]], set()))
        texts |= {str(bench.settings.data), *(path.name for path in bench.journal.backups.iterdir())}
        texts |= {bench.journal.device, *(record.device for record in bench.state.records.values())}
        texts |= {text.replace("_", " ") for text in texts} | {text.replace("-", " ") for text in texts}
        texts |= {piece for text in texts for piece in re.split(r"; | · |, |: |[.] |\n|\{[^}]*\}", text)}
        texts |= {text[:1].upper() + text[1:] for text in texts}
        self.whole = {one.strip(" .") for one in texts} | {*COMMON_SIGNS, *CAUSES, *ELEMENT_NAMES.values()}
        self.inside = by_first_word(one for one in self.whole if not (one.isalpha() and one.islower()))

    def words_in(self, run: str) -> list[str]:
        """The words of a run that came through no door and are no data."""
        left = " ".join(outside(run).split())
        left = without(self.inside, left)
        pieces = re.split(r"[·:;,+/()] ?|[.] |$", left)
        left = " ".join(piece for piece in pieces if piece.strip(" .,") not in self.whole)
        left = FORMULA.sub(" ", CODE.sub(" ", left))
        return [word for word in WORD.findall(left) if len(word) > 2 and word not in UNITS | MONTHS]


def by_first_word(texts: Iterable[str]) -> dict[str, list[str]]:
    """Texts of more than three letters by the word that they begin with."""
    found: dict[str, list[str]] = {}
    for text in texts:
        if len(text) > 3 and (first := WORD.search(text)):
            found.setdefault(first[0], []).append(text)
    return found


def without(known: dict[str, list[str]], text: str) -> str:
    """A text less what is known in it, the longest first."""
    here = [one for word in dict.fromkeys(WORD.findall(text)) for one in known.get(word, ()) if one in text]
    for one in sorted(here, key=len, reverse=True):
        before, behind = (r"(?<![A-Za-z])" if one[0].isalpha() else "", r"(?![A-Za-z])" if one[-1].isalpha() else "")
        text = re.sub(f"{before}{re.escape(one)}{behind}", " ", text)
    return text


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[Marked]:
    """Every text stands between marks, on paper too."""
    catalogue = Marked()
    monkeypatch.setattr(translation, "catalogue", lambda *_about: catalogue)
    monkeypatch.setattr(Setter, "call", lambda _setter, function, *about: function(*about))
    yield catalogue
    monkeypatch.undo()
    translation.speak(None, translation.ENGLISH)


def test_no_text_of_any_page_or_paper_passes_the_door_by(here: Desk, marked: Marked) -> None:
    data, found, looked, seen = Data(here), dict[str, str](), 0, set[str]()
    here.app.extensions["bench"].state.forget_all()
    for paths in addresses(here.app).values():
        for path in few(paths, 2):
            if (
                path.startswith(GALLERY)
                or (answer := here.get(path)).status_code == 303
                or answer.mimetype != "text/html"
            ):
                continue
            looked += 1
            for run in shown(answer.get_data(as_text=True)):
                if run not in seen and (words := data.words_in(run)):
                    found[run] = f"{path}: {outside(run)} ({' '.join(words)})"
                seen.add(run)
    assert looked > 150
    assert not found, "\n".join([str(len(found)), *found.values()])
    listed = {form for text in texts().values() for form in (text.one, text.more)}
    unlisted = {one for one in marked.asked if BEGIN not in one} - listed
    assert not unlisted, f"no translator is given these: {sorted(unlisted)}"


def test_a_text_that_passes_the_door_by_would_be_seen(here: Desk, marked: Marked) -> None:
    data = Data(here)
    assert data.words_in("⟦Dry it⟧ 3.5 g ZnFe2O4, 25 °C, K7R2Q-T") == []
    assert data.words_in("⟦Dry it⟧ or frobnicate it") == ["frobnicate"]
    assert data.words_in("Frobnicators hum") == ["Frobnicators", "hum"]
    assert data.words_in("hum of a text⟧ frobnicate") == ["frobnicate"]
