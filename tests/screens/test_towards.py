"""Towards a colour: one's own swatches by ΔE00, with the step that is left."""

import re

from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper
from tests.screens.making import Making
from tests.screens.powders import powder
from tests.screens.test_series import grown


def test_the_nearest_stands_first_with_its_step(app: Flask, client: FlaskClient, keeper: Keeper) -> None:
    make = Making(app, keeper)
    pigment = powder(make)
    far, near = make.swatch(pigment), make.swatch(pigment)
    # Sharma, Wu and Dalal (2005), pair 7: (50, 0, 0) and (50, -1, 2) lie 2.3669 apart.
    make.add("swatch.measured", {"lab": [50.0, -1.0, 2.0], "se": [0.1, 0.1, 0.1]}, near)
    make.add("swatch.measured", {"lab": [80.0, 40.0, 2.0]}, far)
    text = client.get("/swatches/towards?l=50&a=0&b=0").get_data(as_text=True)
    assert text.index(near) < text.index(far) and "ΔE₀₀ 2.4 ± 0.2" in text
    assert f"/swatch/{near}" not in client.get(f"/swatches/towards?from={near}").get_data(as_text=True)
    wide = client.get("/swatches/towards?l=50&a=0&b=0&se_l=1&se_a=1&se_b=1").get_data(as_text=True)
    assert "ΔE₀₀ 2.4 ± 0.2" not in wide and "ΔE₀₀ 2.4 ± " in wide
    assert client.get("/swatches/towards?l=x&a=0&b=0").status_code == 422
    assert client.get("/swatches/towards").status_code == 200
    make.add("swatch.measured", {"lab": [52.0, -1.0, 2.0]}, near)
    # The standard deviation of 50 and 52 is √2.
    [row] = [line for line in client.get("/take/swatches.csv").get_data(as_text=True).splitlines() if near in line]
    assert ",51," in row or ",51.0," in row  # the mean of both
    assert "Measured so 2 times, with a spread of L* 1.4" in client.get(f"/swatch/{near}").get_data(as_text=True)
    assert f"/swatches/towards?from={near}" in client.get(f"/swatch/{near}").get_data(as_text=True)


def test_a_level_that_may_come_nearer_is_guessed_and_planned_by_a_key(
    app: Flask, client: FlaskClient, keeper: Keeper
) -> None:
    make = Making(app, keeper)
    told = {"factor": "zinc oxide", "unit": "g", "levels": [4, 8], "control": 4}
    grown(make, make.add("series.planned", told).id, (4.0, 40.0), (8.0, 60.0))
    text = client.get("/swatches/towards?l=55&a=10&b=20").get_data(as_text=True)
    assert "zinc oxide 7 g" in text and "Only a new batch proves it." in text
    [path] = re.findall(r'href="(/batch/\w+/again\?level=7)"', text)
    assert "The series suggests this dose." in client.get(path).get_data(as_text=True)
    assert "may come nearer" not in client.get("/swatches/towards?l=40&a=10&b=20").get_data(as_text=True)
