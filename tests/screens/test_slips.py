"""A slip of the pen on the screens: both readings beside the field, one key for each, and which water is sold."""

import re
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reference import load_library
from bench.science.formulas import parse

PLAN = {"target": "CoAl2O4", "product_g": "10", "rows": "2", "formula.1": "Al2O3", "to_c.0": "1200", "hold_min.0": "60"}
PLAN |= {"cooling": "in-furnace", "atmosphere": "oxidising", "name": "Blue"}


def said(answer: Any) -> str:
    return unescape(re.sub(r"<[^>]+>", "", answer.get_data(as_text=True)))


@pytest.mark.parametrize(
    ("typed", "asked", "key"),
    [
        ("CUO", "carbon, uranium and oxygen. Is it CuO?", "take:formula.0=CuO"),
        ("Co304", "Is it Co3O4?", "take:formula.0=Co3O4"),
        ("CoCl2·6H20", "Is it CoCl2*6H2O?", "take:formula.0=CoCl2*6H2O"),
        ("2CuSO4*5H2O", "Then type CuSO4*5H2O", "take:formula.0=CuSO4*2.5H2O"),
        ("aluminium chloride", "yellow-white lumps that fume", "take:formula.0=AlCl3*6H2O"),
        ("PB3O4", "looks like Pb3O4", None),
    ],
)
def test_a_plan_asks_and_offers_a_key(app: Flask, send: Any, typed: str, asked: str, key: str | None) -> None:
    answer = send("/plan/target", {**PLAN, "formula.0": typed, "do": "show"})
    assert answer.status_code == 422
    assert asked in said(answer)
    assert f'value="{typed}"' in unescape(answer.get_data(as_text=True))
    keys = re.findall(r'value="(take:[^"]*)"', answer.get_data(as_text=True))
    assert (key in keys) if key else not keys


def test_the_key_takes_the_other_reading(app: Flask, send: Any) -> None:
    answer = send("/plan/target", {**PLAN, "formula.0": "CO3O4", "do": "take:formula.0=Co3O4"})
    assert answer.status_code == 200
    assert 'value="Co3O4"' in answer.get_data(as_text=True)


@pytest.mark.parametrize("typed", ["1,000", "1.000"])
def test_a_thousands_mark_is_echoed_large(app: Flask, send: Any, typed: str) -> None:
    answer = send("/plan/target", {**PLAN, "formula.0": "Co3O4", "product_g": typed, "do": "show"})
    assert f"{typed} is read as 1 g." in said(answer) and "Read as 1 g" in said(answer)


def test_a_target_is_asked_about_too(app: Flask, send: Any) -> None:
    answer = send("/plan/target", {**PLAN, "formula.0": "Co3O4", "target": "COAL2O4", "do": "show"})
    assert "Is it CoAl2O4?" in said(answer)


def test_an_assay_below_one_is_asked_about(app: Flask, send: Any) -> None:
    answer = send("/plan/target", {**PLAN, "formula.0": "Co3O4", "assay.0": "0.995", "do": "show"})
    assert "Is it 99.5 %?" in said(answer)


def test_a_jars_assay_below_one_is_asked_about(send: Any) -> None:
    answer = send("/shelf/new", reagent="cobalt-ii-oxide", formula="", water="CoO", assay_pct="0.98")
    assert answer.status_code == 422 and "Is it 98 %?" in said(answer)


def test_a_row_of_ones_own_is_asked_about_and_then_never_again(app: Flask, send: Any) -> None:
    row = {"name": "Rock salt", "ground": "from a neighbour"}
    answer = send("/known/own/reagent", {**row, "formula": "NaCI"})
    assert answer.status_code == 422 and "Is it NaCl?" in said(answer)
    assert send("/known/own/reagent", {**row, "formula": "Na1C1I1"}).status_code == 303


def test_the_shelf_asks_and_leads_to_the_other_reading(client: FlaskClient) -> None:
    page = client.get("/shelf/new", query_string={"reagent": "NaCI"})
    assert "Is it NaCl?" in said(page)
    assert 'href="/shelf/new?reagent=NaCl"' in page.get_data(as_text=True)
    assert "Take the formula from the jar’s SDS" not in page.get_data(as_text=True)


def test_a_jar_that_is_sold_with_and_without_water_asks_which(client: FlaskClient, send: Any, app: Flask) -> None:
    page = client.get("/shelf/new", query_string={"reagent": "CoCl2"})
    text = said(page)
    assert "blue powder" in text and "pink-red crystals" in text
    assert "CoCl₂ loses 0 %, CoCl₂·6H₂O loses 45.4 %" in text  # 6 × 18.015 ÷ 237.93
    answer = send("/shelf/new", reagent="CoCl2", formula="CoCl2", net_g="100")
    assert answer.status_code == 422 and not app.extensions["bench"].journal.by("kind", "jar.opened")


def test_a_name_for_two_forms_leads_to_both(client: FlaskClient) -> None:
    page = client.get("/shelf/new", query_string={"reagent": "aluminium chloride"}).get_data(as_text=True)
    assert "reagent=AlCl3*6H2O" in page or "reagent=AlCl3%2A6H2O" in page
    assert "reagent=aluminium+chloride&amp;formula=AlCl3" in page, "the jar keeps the name that it was looked for by"


def test_a_typed_formula_that_is_sold_wet_and_dry_says_how_to_tell(app: Flask, send: Any) -> None:
    answer = send("/plan/grams", {**PLAN, "formula.0": "CoCl2", "g.0": "5", "g.1": "4", "do": "show"})
    assert "Is it CoCl₂ or CoCl₂·6H₂O?" in said(answer) and "45.4 % less metal" in said(answer)


def test_the_figures_of_every_pair_follow_from_its_formulas() -> None:
    """Loss and shortage by molar mass alone, where drying takes nothing but water."""
    for pair in load_library().hydrate_pairs:
        low, high = parse(pair.lower), parse(pair.hydrate)
        key = next(s for s in (*low.counts, *high.counts) if s not in ("H", "O"))
        scale = float(high.counts[key] / low.counts[key])
        short = 100 * (1 - scale * low.molar_mass_g_mol / high.molar_mass_g_mol)
        assert pair.metal_short_pct == pytest.approx(short, abs=0.06), pair.name
        if pair.drying_tells:
            assert pair.loss_lower_pct is not None and pair.loss_hydrate_pct is not None
            assert pair.loss_hydrate_pct > pair.loss_lower_pct
            kept = (100 - pair.loss_hydrate_pct) / (100 - pair.loss_lower_pct)
            assert kept == pytest.approx(1 - short / 100, abs=0.002), pair.name
