"""Templates are laid out for reading: no line that has to be scrolled, no list that is built by assignment."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((*(ROOT / "templates").rglob("*.html"), *(ROOT / "labels").rglob("*.html")))
LONGEST = 160
BUILT = re.compile(r"\.(append|extend|insert|update)\(|\{%-?\s*do\b|set\s+(\w+)\s*=\s*\2\s*[+~]")
"""A list that grows, or a name that is set from itself."""


def test_no_list_is_built_by_assignment() -> None:
    found = [path.relative_to(ROOT).as_posix() for path in FILES if BUILT.search(path.read_text(encoding="utf-8"))]
    assert len(FILES) > 100 and not found


@pytest.mark.parametrize(
    "trick",
    [
        "{% set _k = rows.append(1) %}",
        "{% do rows.extend(more) %}",
        "{% set rows = rows + [1] %}",
        "{%- do rows.pop() %}",
    ],
)
def test_the_reader_of_this_file_sees_what_was_planted(trick: str) -> None:
    assert BUILT.search(trick)


def test_no_line_has_to_be_scrolled() -> None:
    lines = [(path, line) for path in FILES for line in path.read_text(encoding="utf-8").split("\n")]
    long = sorted({path.relative_to(ROOT).as_posix() for path, line in lines if len(line) > LONGEST})
    assert len(lines) > 3_000 and not long
