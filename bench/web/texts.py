"""Every text that a catalogue can translate, as the template (.pot) that a translator begins with.

The texts stand between `_("…")` in the code and the templates, in the declarations of the steps, and as the sentences
of the library. A text is said in whole where it can be: what stands in braces is put in afterwards.
"""

import ast
import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args, get_origin, get_type_hints

from jinja2 import Environment
from jinja2.ext import extract_from_ast

import bench
from bench.printing.sheets import load_sheets
from bench.records.kinds import KINDS
from bench.reference import load_library
from bench.settings import asset_folder
from bench.steps import SORTS, STEPS
from bench.steps.published import TEXTS
from bench.translation import Later
from bench.workshop.things.charges import ChargeState

DOORS = ("_", "many", "Later")
GALLERY = "look"
"""The folder of the pages that only those who change Saggar open."""
DECLARED = TEXTS | {"unit", "row", "kind_words", "sheet", "missing"}
"""The attributes of a declared step that are said on a screen or on paper."""


class Text(NamedTuple):
    """One text in English, its form for more than one where it has one, and where it stands first."""

    one: str
    more: str
    where: str


@cache
def texts() -> dict[str, Text]:
    """Every text by its English; where it is said with a number too, that form goes along."""
    found: dict[str, Text] = {}
    for text in (*_of_code(), *_of_pages(), *_of_tables()):
        if text.one.strip() and (text.one not in found or (text.more and not found[text.one].more)):
            found[text.one] = text
    return found


def template() -> str:
    """The template of a catalogue, as gettext's tools and their editors read it."""
    blocks = ['msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n']
    for text in texts().values():
        plural = f'msgid_plural {_quoted(text.more)}\nmsgstr[0] ""\nmsgstr[1] ""\n' if text.more else 'msgstr ""\n'
        braces = "#, python-brace-format\n" if "{" in text.one else ""
        blocks.append(f"#: {text.where}\n{braces}msgid {_quoted(text.one)}\n{plural}")
    return "\n".join(blocks)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _text(said: list[Any], where: str) -> Text:
    return Text(said[0], said[1] if len(said) > 1 else "", where)


def _of_code() -> Iterator[Text]:
    room = Path(bench.__file__).parent
    for path in sorted(room.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in DOORS:
                said = [one.value for one in node.args[:2] if isinstance(one, ast.Constant)]
                if said and all(isinstance(one, str) for one in said):
                    yield _text(said, f"bench/{path.relative_to(room).as_posix()}:{node.lineno}")


def _of_pages() -> Iterator[Text]:
    reader = Environment(autoescape=True)
    for name in ("templates", "labels"):
        folder = asset_folder(name)
        for path in sorted(folder.rglob("*.html")):
            if path.parent.name == GALLERY:
                continue
            tree = reader.parse(path.read_text(encoding="utf-8"))
            for line, _door, said in extract_from_ast(tree, DOORS):
                pair = [one for one in ([said] if isinstance(said, str) else said or ()) if one is not None]
                if pair:
                    yield _text(pair, f"{name}/{path.relative_to(folder).as_posix()}:{line}")


def _of_tables() -> Iterator[Text]:
    for step in (*STEPS, *SORTS):
        for said in _declared(step):
            yield Text(said, "", "bench/steps")
    for said in (sheet.words for sheet in load_sheets(asset_folder("labels")).values()):
        yield Text(said, "", "labels/sizes.toml")
    for value in sorted({*_chosen(), *get_args(ChargeState)}):
        yield Text(value.replace("-", " "), "", "bench/records/kinds.py")
    for said in _later(load_library(), set()):
        yield Text(said, "", "bench/reference/data")


def _chosen() -> Iterator[str]:
    """The words among which a field of a record chooses, which stand for themselves on a screen."""
    open_ones: list[Any] = [hint for kind in KINDS.values() for hint in get_type_hints(kind.data).values()]
    while open_ones:
        hint = open_ones.pop()
        if get_origin(hint) is Literal:
            yield from (value for value in get_args(hint) if isinstance(value, str) and value.strip("0123456789"))
        elif is_dataclass(hint):
            open_ones += get_type_hints(hint).values()
        else:
            open_ones += get_args(hint)


def _declared(one: Any) -> Iterator[str]:
    """Every text of a declaration."""
    if is_dataclass(one):
        for each in fields(one):
            value = getattr(one, each.name)
            yield from [value] if isinstance(value, str) and each.name in DECLARED else _declared(value)
    elif isinstance(one, dict | list | tuple):
        for inner in one.values() if isinstance(one, dict) else one:
            yield from _declared(inner)


def _later(one: Any, seen: set[int]) -> Iterator[str]:
    """Every text of a table that is said later."""
    if isinstance(one, Later):
        yield one.text
    elif id(one) not in seen and (is_dataclass(one) or isinstance(one, dict | list | tuple)):
        seen.add(id(one))
        inner = [getattr(one, each.name) for each in fields(one)] if is_dataclass(one) else []
        inner += [*one.values()] if isinstance(one, dict) else [*one] if isinstance(one, list | tuple) else []
        for each in inner:
            yield from _later(each, seen)
