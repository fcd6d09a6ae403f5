"""Every theme by the formula of WCAG 2.2 (relative luminance, contrast ratio): texts 7 : 1, lines that mean 4.5 : 1."""

import re

import pytest
from flask.testing import FlaskClient

from bench.settings import asset_folder
from bench.web.preferences import THEMES

CSS = asset_folder("static") / "css"
BLOCK = re.compile(r":root(?:\[data-theme=\"(\w+)\"\])? \{(.*?)\n *\}", re.DOTALL)
TOKEN = re.compile(r"--([\w-]+): (#[0-9a-f]{3,6});")
GROUNDS = ("paper", "sheet")


def themes() -> dict[str, dict[str, str]]:
    """Each theme's colours; what it does not say is that of the day."""
    found = {
        name or "day": dict(TOKEN.findall(text))
        for name, text in BLOCK.findall((CSS / "tokens.css").read_text("utf-8"))
    }
    return {name: found["day"] | told for name, told in found.items()}


def luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * one for one in colour[1:])
    parts = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_known_ends_and_a_known_grey() -> None:
    assert contrast("#000", "#ffffff") == pytest.approx(21.0) and contrast("#123456", "#123456") == 1.0
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.005)  # the lightest grey that WCAG lets pass at AA


def test_every_theme_that_can_be_chosen_has_its_colours() -> None:
    assert set(themes()) == set(THEMES)
    assert themes()["system"] == themes()["night"]
    sun = themes()["sun"]
    assert {sun[name] for name in GROUNDS} == {"#fff"} and {sun[name] for name in ("ink", "ink-soft", "rule")} == {
        "#000"
    }


@pytest.mark.parametrize("theme", THEMES)
def test_texts_and_lines_that_mean_something_stand_out(theme: str) -> None:
    said = themes()[theme]
    for ground in GROUNDS:
        assert min(contrast(said[text], said[ground]) for text in ("ink", "ink-soft")) >= 7
        assert min(contrast(said[line], said[ground]) for line in ("rule", "mark")) >= 4.5, ground
    assert contrast(said["on-plate"], said["plate"]) >= 7
    for sign in ("danger", "must", "safe", "caution"):
        assert contrast(said[sign], said[f"on-{sign}"]) >= 7


def test_the_band_of_the_tolerance_is_edged_by_a_line_that_means() -> None:
    figures = (CSS / "figures.css").read_text("utf-8")
    assert re.search(r"\.gauge \.band \{[^}]*stroke: var\(--mark\)", figures)
    assert ".curve .grid { stroke: var(--mark)" in (CSS / "curve.css").read_text("utf-8")


def test_the_theme_that_is_chosen_is_worn_and_shown_as_chosen(client: FlaskClient) -> None:
    client.set_cookie("theme", "sun")
    text = client.get("/looks/").get_data(as_text=True)
    assert 'data-theme="sun"' in text and 'value="sun" checked' in text and 'value="right" checked' in text
