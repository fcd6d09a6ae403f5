"""What is in the mortar, typed in one line: rows from jars where there are any, and slips asked back."""

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper, Send
from tests.screens.making import Making, errors


@pytest.mark.parametrize(
    "typed", ["ZnO 8; Fe2O3 16", "ZnO 8 g, Fe2O3 16 g", "8 zinc oxide + 16,0 g Fe2O3", "zinc oxide 8.0;Fe2O3  16;"]
)
def test_a_line_becomes_rows(app: Flask, send: Send, keeper: Keeper, typed: str) -> None:
    jar = Making(app, keeper).jar("ZnO", "zinc-oxide", assay_pct=99.0)
    text = send("/plan/grams", mixture=typed, do="show").get_data(as_text=True)
    assert errors(text) == []
    # 8 g of ZnO at 99 % and 16 g of Fe2O3: 97.3 and 200.4 mmol of the metals, 1 to 2.059 (CIAAW weights, by hand).
    assert "Zn 1 : Fe 2.0" in text or "Fe 2.06" in text
    assert f'value="{jar}" selected' in text and 'value="Fe2O3"' in text


@pytest.mark.parametrize(
    ("typed", "say"),
    [("ZnO", "type reagent and grams"), ("ZnO 8 mg; Fe2O3 16", "type reagent"), ("Zn0 8", "ZnO"),
     ("; ".join(["ZnO 1"] * 30), "more than 24"), ("ZnO 8.1.2", "one decimal mark")],
)  # fmt: skip
def test_slips_are_asked_back(client: FlaskClient, send: Send, typed: str, say: str) -> None:
    text = send("/plan/grams", mixture=typed, do="show").get_data(as_text=True)
    assert any(say in one for one in errors(text)), errors(text)
    assert "In one line" in client.get("/plan/grams").get_data(as_text=True)


def test_it_comes_after_rows_that_are_filled_in(send: Send) -> None:
    fields = {"formula.0": "TiO2", "g.0": "1", "mixture": "ZnO 8", "do": "show"}
    text = send("/plan/grams", fields).get_data(as_text=True)
    assert errors(text) == [] and 'name="g.0"' in text and 'name="formula.1"' in text and 'value="ZnO"' in text
