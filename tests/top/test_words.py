"""No text that a person reads holds a phrase of the private tongue that once ran through all of them."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
OUT = (
    r"Leave it(?! in)", "Keep it", "Keep this plan", "Mind this", "So they stand", "It is so", "in spite of it",
    "this very thing", "not to be had", "told apart", "bears this code", "Read on it", "Felt, or read", "Felt or read",
    "Time is up", "goes by this", "in fact", "anew", "[Rr]eckoned dry", "nobody said", "Nobody said",
    "[Tt]eaches m(?:uch|ost)", "laid over the library", "load damp",
)  # fmt: skip
"""Each says less than the trade's word, or what was done in a way that nobody says aloud."""
LAW = "statements.csv"
"""The wording of hazard statements is fixed."""
JINJA_REMARK = re.compile(r"\{#.*?#\}", re.S)


def python_texts(source: str) -> Iterator[tuple[int, str]]:
    """The texts of a file with their lines, without what documents it."""
    tree = ast.parse(source)
    documents = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and node.body
        if isinstance(node.body[0], ast.Expr)
    }
    alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documents | alone:
            yield node.lineno, node.value


def texts() -> Iterator[tuple[str, str]]:
    """Every text of the templates, the labels, the tables and the program, with where it stands."""
    for path in [*(ROOT / "templates").rglob("*.html"), *(ROOT / "labels").rglob("*.html")]:
        yield str(path.relative_to(ROOT)), JINJA_REMARK.sub("", path.read_text(encoding="utf-8"))
    for path in (ROOT / "bench" / "reference" / "data").glob("*.csv"):
        if path.name != LAW:
            yield str(path.relative_to(ROOT)), path.read_text(encoding="utf-8")
    for path in (ROOT / "bench").rglob("*.py"):
        for line, text in python_texts(path.read_text(encoding="utf-8")):
            yield f"{path.relative_to(ROOT)}:{line}", text


def found(text: str) -> list[str]:
    """The phrases that are out and stand in a text."""
    return [one for one in OUT if re.search(rf"\b{one}\b", text)]


def test_no_text_holds_a_phrase_that_is_out() -> None:
    wrong = [f"{where}: {', '.join(phrases)}" for where, text in texts() if (phrases := found(text))]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("source", "seen"),
    [
        ('x = _("Leave it")', ["Leave it(?! in)"]),
        ('x = _("Leave it in the furnace")', []),
        ('"""In fact: Keep it."""\nx = 1', []),
        ('def f():\n    """So they stand."""\n    return "So they stand"', ["So they stand"]),
    ],
)
def test_what_was_planted_is_seen_and_what_documents_is_not(source: str, seen: list[str]) -> None:
    assert [one for _line, text in python_texts(source) for one in found(text)] == seen
