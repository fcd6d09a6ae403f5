"""Rules for every template: nothing inline, nothing from elsewhere, every text wrapped, every glyph drawn."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from flask import Flask

from bench.settings import asset_folder
from bench.steps import STEPS

TEMPLATES = asset_folder("templates")
ALL = sorted(TEMPLATES.rglob("*.html"))
FORBIDDEN = {
    "an inline style": re.compile(r"\sstyle\s*=|<style\b"),
    "an inline script": re.compile(r"<script(?![^>]*\bsrc=)"),
    "an event attribute": re.compile(r"\son[a-z]+\s*="),
    "hx-on": re.compile(r"hx-on"),
    "a js: value": re.compile(r"[\"']js:|javascript:"),
    "a trigger filter": re.compile(r"hx-trigger=\"[^\"]*\["),
    "something from elsewhere": re.compile(r"(?:src|href|action)=\"(?:https?:)?//"),
    "an unescaped value": re.compile(r"\|\s*safe\b"),
}
NAMES = re.compile(r"ui\.glyph\(\"([\w-]+)\"")
TEXT = re.compile(r">([^<>{}]*[A-Za-z]{3,}[^<>{}]*)<")


def source(path: Path) -> str:
    """The template without its comments."""
    return re.sub(r"\{#.*?#\}", "", path.read_text(encoding="utf-8"), flags=re.S)


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.relative_to(TEMPLATES).as_posix())
def test_nothing_inline(path: Path) -> None:
    """The strict policy would block it; here it is found before a browser does."""
    for what, pattern in FORBIDDEN.items():
        assert not pattern.search(source(path)), what


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.relative_to(TEMPLATES).as_posix())
def test_every_text_is_wrapped(path: Path) -> None:
    """Plain English between two tags cannot be translated."""
    bare = re.sub(r"\{%.*?%\}|\{\{.*?\}\}", "{}", source(path), flags=re.S)
    found = [text.strip() for text in TEXT.findall(bare)]
    assert not found, found


def test_every_glyph_is_drawn() -> None:
    """A glyph that is asked for by name stands in the sprite."""
    sprite = ElementTree.parse(asset_folder("static") / "icons" / "sprite.svg").getroot()
    drawn = {symbol.get("id") for symbol in sprite}
    asked = {name for path in ALL for name in NAMES.findall(source(path))}
    assert asked and not asked - drawn
    assert not {step.glyph for step in STEPS} - drawn, "a step's glyph stands in static/icons/sprite.svg"


def test_macros_have_one_home(app: Flask) -> None:
    """Every part loads, and no name stands in two of them."""
    with app.test_request_context("/"):
        assert app.jinja_env.globals["ui"].plate


def test_every_template_compiles(app: Flask) -> None:
    """A slip in a template that no test opens is found here."""
    for path in ALL:
        app.jinja_env.get_template(path.relative_to(TEMPLATES).as_posix())
