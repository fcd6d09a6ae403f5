"""The page of a step carries what each of its numbers may be, so that a phone judges them as the laptop does."""

import importlib
import re
from html.parser import HTMLParser
from typing import Any

import pytest
from flask import Flask

from bench.screens.phone.away_words import away_words
from bench.web.numbers import show_number


class Numbers(HTMLParser):
    """The number fields of a page by name."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: dict[str, dict[str, str | None]] = {}
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if tag == "input" and told.get("inputmode") in ("decimal", "numeric") and told.get("name"):
            self.found[str(told["name"])] = told


@pytest.fixture
def pages(app: Flask) -> dict[str, str]:
    """Where numbers are asked far from the laptop."""
    importlib.import_module("bench.demo").fill(app.extensions["bench"])
    state = app.extensions["bench"].state
    batch, fire = state.open_things("batch")[0], state.open_things("firing")[0]
    charge, pigment = state.open_things("charge")[0], state.open_things("pigment")[0]
    return {
        f"/batch/{batch}/weigh/1?late=1": "net_g",
        f"/batch/{batch}/load?late=1": "g",
        f"/batch/{batch}/grind?late=1": "minutes",
        f"/batch/{batch}/dry?late=1": "gross_g",
        f"/firing/{fire}/reading?other=1": "c",
        f"/firing/{fire}/timer": "minutes",
        f"/charge/{charge}/cool": "surface_c",
        f"/charge/{charge}/open": "gross_g",
        f"/pigment/{pigment}/wash": "water_ml",
    }


def test_what_the_page_says_is_what_the_laptop_refuses_by(app: Flask, client: Any, send: Any, pages: Any) -> None:
    for page, name in pages.items():
        fields = Numbers(client.get(page).get_data(as_text=True)).found
        assert fields and all("data-low" in one for one in fields.values()), page
        high, unit = float(str(fields[name]["data-high"])), fields[name].get("data-unit")
        tail = f" {unit}" if unit else ""
        answer = send(page.split("?")[0], {name: show_number(high + 1), "lid": "loose"})
        said = f"At most {show_number(high)}{tail}."
        assert answer.status_code == 422 and said in answer.get_data(as_text=True), page


def test_all_that_is_said_of_a_number_travels_to_the_phones(app: Flask) -> None:
    with app.app_context():
        told = away_words()
    text = (importlib.import_module("pathlib").Path("static/read.js")).read_text(encoding="utf-8")
    names = set(re.findall(r'no: "([a-z-]+)"', text))
    assert names and all(f"no-{name}" in told for name in names)
