"""Every text on every page and paper of a full bench comes through the door of texts, but for what is data.

A catalogue that puts each text between marks is laid over the English; what then stands outside marks never asked.
Data are the library's rows, what records hold or take word for word, formulas, numbers, units and codes. Rooms that
still speak English alone are listed here; what their code says is known by its words, so that no other room joins them.
"""

import ast
import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from bench import translation
from bench.printing.setter import Setter
from bench.science.element_names import ELEMENT_NAMES
from bench.screens.phone import steps_file
from bench.screens.powders.opening import COMMON_SIGNS
from bench.workshop.trying import CAUSES
from tests.acceptance.addresses import addresses, few
from tests.acceptance.desk import GALLERY, Desk
from tests.acceptance.machine_words import shown

BENCH = Path(translation.__file__).parent
STILL_ENGLISH: tuple[str, ...] = ()
"""What a calculation says and shows as its working, and what is taken along."""

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
    """A catalogue that puts every text between marks."""

    def gettext(self, message: str, /) -> str:
        """The text between marks."""
        return f"{BEGIN}{message}{END}"

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        """One or more, between marks."""
        return self.gettext(msgid1 if n == 1 else msgid2)


def outside(text: str) -> str:
    """What stands outside all marks."""
    found, depth = [], 0
    for letter in text:
        depth = max(0, depth + (letter == BEGIN) - (letter == END))
        found.append(" " if letter in (BEGIN, END) else letter if depth == 0 else "")
    return "".join(found)


def strings(value: Any, seen: set[int]) -> Iterator[str]:
    """Every text in a value."""
    if isinstance(value, str):
        yield value
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
        texts |= {piece for text in texts for piece in re.split(r"; | · |, |: |[.] |\n|\{[^}]*\}", text)} | set(
            sentences()
        )
        texts |= {text[:1].upper() + text[1:] for text in texts}
        self.whole = {one.strip(" .") for one in texts} | {*COMMON_SIGNS, *CAUSES, *ELEMENT_NAMES.values()}
        self.tails = {text.strip(" .,:") for text in sentences(ast.JoinedStr) if text.islower()}
        self.inside = by_first_word(one for one in self.whole if not (one.isalpha() and one.islower()))

    def words_in(self, run: str) -> list[str]:
        """The words of a run that came through no door and are no data."""
        left = " ".join(outside(run).split())
        left = without(self.inside, left)
        pieces = re.split(r"[·:;,+/()] ?|[.] |$", left)
        left = " ".join(piece for piece in pieces if piece.strip(" .,") not in self.whole)
        left = FORMULA.sub(" ", CODE.sub(" ", left))
        return [word for word in WORD.findall(left) if len(word) > 2 and word not in UNITS | MONTHS | self.tails]


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


def sentences(kind: type[ast.expr] = ast.expr) -> Iterator[str]:
    """What the code of the rooms that speak English alone says, in pieces where values are put in."""
    for file in (file for room in STILL_ENGLISH for file in sorted((BENCH / room).rglob("*.py"))):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            for part in ast.walk(node) if isinstance(node, kind) else ():
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    yield from (piece.strip() for piece in re.split(r"\{[^}]*\}", part.value))


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Every text stands between marks, on paper too."""
    monkeypatch.setattr(translation, "catalogue", lambda *_about: Marked())
    monkeypatch.setattr(Setter, "call", lambda _setter, function, *about: function(*about))
    steps_file._text.cache_clear()  # it is kept by the language's name, which is English for the marked texts too
    yield
    monkeypatch.undo()
    steps_file._text.cache_clear()
    translation.speak(None, translation.ENGLISH)


def test_no_text_of_any_page_or_paper_passes_the_door_by(here: Desk, marked: None) -> None:
    data, found, looked, seen = Data(here), dict[str, str](), 0, set[str]()
    here.app.extensions["bench"].state.forget_all()
    for paths in addresses(here.app).values():
        for path in few(paths, 2):
            answer = here.get(path)
            if answer.status_code == 303 or answer.mimetype != "text/html" or path.startswith(GALLERY):
                continue
            looked += 1
            for run in shown(answer.get_data(as_text=True)):
                if run not in seen and (words := data.words_in(run)):
                    found[run] = f"{path}: {outside(run)} ({' '.join(words)})"
                seen.add(run)
    assert looked > 150
    assert not found, "\n".join([str(len(found)), *found.values()])


def test_a_text_that_passes_the_door_by_would_be_seen(here: Desk, marked: None) -> None:
    data = Data(here)
    assert data.words_in("⟦Dry it⟧ 3.5 g ZnFe2O4, 25 °C, K7R2Q-T") == []
    assert data.words_in("⟦Dry it⟧ or frobnicate it") == ["frobnicate"]
    assert data.words_in("Frobnicators hum") == ["Frobnicators", "hum"]
