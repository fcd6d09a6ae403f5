"""A *why* beside the figures of the library and of the cooling: its working, or the ground that it stands on."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reference import Library, load_library
from bench.screens.known.whys import flux_working, loss_working, mass_working
from tests.screens.making import Making


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def test_a_molar_mass_is_shown_element_by_element(library: Library) -> None:
    """Al(OH)3: 26.982 + 3 × (15.999 + 1.008) g/mol (IUPAC 2021)."""
    row = next(one for one in library.reagents.values() if one.formula == "Al(OH)3")
    says = {step["say"]: step["value"] for step in mass_working(row, library)}
    assert says["Al: 1 × 26.9815 g/mol"] == pytest.approx(26.982, abs=1e-3)
    assert says["The sum of these is the molar mass."] == pytest.approx(78.003, abs=2e-3)


def test_a_loss_that_the_formula_makes_shows_how(library: Library) -> None:
    """CaCO3 100.086 leaves CaO 56.077 g/mol: it loses 43.97 %."""
    steps = loss_working(library.reagents["calcium-carbonate"])
    assert steps[-1]["value"] == pytest.approx(43.97, abs=0.01)
    told = [row for row in library.reagents.values() if loss_working(row)]
    assert len(told) > 20
    assert all(loss_working(row)[-1]["value"] == pytest.approx(row.loss_on_ignition_pct, abs=0.06) for row in told)


def test_every_flux_says_what_it_counts_and_how_sure_it_is(library: Library) -> None:
    for row in library.targets.values():
        if row.flux_options:
            steps = flux_working(row)
            assert "for 100 g of product" in steps[0]["say"]
            assert {step["value"] for step in steps[1:] if step["unit"] == "%"} == {
                one.wt_pct_high for one in row.flux_options
            }


def test_the_pages_carry_them(client: FlaskClient, library: Library) -> None:
    page = client.get("/known/reagent/calcium-carbonate").get_data(as_text=True)
    assert "The sum of these is the molar mass." in page and "What leaves, of the whole" in page
    target = next(row for row in library.targets.values() if row.flux_options)
    assert "Grams of flux for 100 g" in client.get(f"/known/target/{target.slug}").get_data(as_text=True)


def test_the_figures_of_a_cooling_say_how_sure_they_are(app: Flask, keeper: Any, client: FlaskClient) -> None:
    make = Making(app, keeper)
    charge = make.charge({"batch": make.batch(cooling_mode="in-furnace"), "g": 5.0})
    page = client.get(f"/charge/{charge}/cool").get_data(as_text=True)
    assert "why these figures" in page
    assert "50 to 150 °C an hour. From memory: no source of it was read." in page
