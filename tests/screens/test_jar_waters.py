"""A jar whose water nobody knows, through the screens: what was asked for is planned, and a faultless batch is no loss.

The masses are those of tests/workshop/test_jar_water.py, worked out by hand from the IUPAC abridged atomic weights.
"""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.records.record import BENCH
from tests.screens.making import Making
from tests.workshop.test_jar_water import (
    OXIDE_G,
    PRODUCT_G,
    SALT_G,
    fired,
    left_g,
    salt_jar,
    titanate,
)

WETTEST_G, DRIEST_G = 3.73, 5.02


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def words(page: str) -> str:
    """What a page says, without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_the_plan_is_of_what_was_asked_for_and_shows_what_the_jar_allows(make: Making, send: Any) -> None:
    jar = salt_jar(make)
    fields = {"rows": "2", "target": "CoTiO3", "product_g": f"{PRODUCT_G:.4f}", "jar.0": jar, "formula.1": "TiO2"}
    said = words(send("/plan/target", {**fields, "do": "show"}).get_data(as_text=True))
    assert "4.78" in said and "3.67 to 6.85" in said  # the grams, and all that may be right
    assert f"Fired, unwashed {PRODUCT_G:.2f} g ({WETTEST_G} to {DRIEST_G})" in said
    assert "±0.0 %" not in said


def test_the_batch_and_its_weighing_show_the_range(make: Making, client: FlaskClient) -> None:
    thing = titanate(make, salt_jar(make))
    batch = words(client.get(f"/batch/{thing}").get_data(as_text=True))
    assert f"Fired, in theory {PRODUCT_G:.2f} g ({WETTEST_G} to {DRIEST_G})" in batch
    assert "why these masses in theory" in batch and "why these grams" in batch
    weigh = words(client.get(f"/batch/{thing}/weigh/1?late=1").get_data(as_text=True))
    assert "The water of this jar is not known: 3.67 to 6.85" in weigh


def test_a_faultless_batch_is_no_loss_on_any_page(make: Making, client: FlaskClient) -> None:
    jar = salt_jar(make)
    thing = titanate(make, jar)
    charge, powder = fired(make, thing, PRODUCT_G)
    make.judged(powder, "keep")
    said = words(client.get(f"/pigment/{powder}").get_data(as_text=True))
    assert "The mass agrees with theory" in said
    assert "against theory" not in said and "Lighter than theory" not in said
    assert "This jar looks like a 2.2-hydrate of CoCl₂ (1.9 to 2.5)" in said and "CoCl₂·2H₂O fits" in said
    on_jar = words(client.get(f"/jar/{jar}").get_data(as_text=True))
    assert "This jar looks like a 2.2-hydrate" in on_jar and "By the mass of one batch" in on_jar
    assert f"({WETTEST_G} to {DRIEST_G})" in words(client.get(f"/charge/{charge}").get_data(as_text=True))


def test_a_mass_inside_the_range_is_said_to_be(make: Making, client: FlaskClient) -> None:
    _, powder = fired(make, titanate(make, salt_jar(make)), left_g(5.0))
    said = words(client.get(f"/pigment/{powder}").get_data(as_text=True))
    assert "Explained by the jar’s water" in said and "against theory" not in said


def test_every_mass_follows_the_digits_of_the_balance(make: Making, client: FlaskClient) -> None:
    thing = titanate(make, salt_jar(make))
    make.add("setting.changed", {"name": "balance_d_g", "value": 0.001}, BENCH)
    said = words(client.get(f"/batch/{thing}").get_data(as_text=True))
    assert f"{SALT_G:.3f} {SALT_G:.3f}" in said and f"{OXIDE_G:.3f}" in said and f"{PRODUCT_G:.3f} g" in said
    make.add("setting.changed", {"name": "balance_d_g", "value": 0.1}, BENCH)
    said = words(client.get(f"/batch/{thing}").get_data(as_text=True))
    together = sum(float(f"{g:.1f}") for g in (SALT_G, OXIDE_G))  # as the lines above it are shown
    assert f"Together {together:.1f}" in said and f"{PRODUCT_G:.1f} g" in said


def test_what_is_more_than_water_is_said_so(make: Making, send: Any) -> None:
    jar = make.jar("Zn5(CO3)2(OH)6", "zinc-carbonate-basic", hydrate_known=False, assay_pct=94.2, assay_sd_pct=3.8)
    fields = {"rows": "2", "target": "ZnFe2O4", "product_g": "10", "jar.0": jar, "formula.1": "Fe2O3", "do": "show"}
    said = words(send("/plan/target", fields).get_data(as_text=True))
    assert "more than its water is unknown. The rest beside the assay counts as staying." in said
