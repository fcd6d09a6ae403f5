"""Swatches: painted, measured, laid side by side, compared."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.science.colour import srgb_to_lab
from bench.workshop.things.swatches import swatch
from tests.screens.making import Making, errors
from tests.screens.powders import TAN, a_photo, last, powder

PAINTED = {"binder": "linseed oil", "oil_g": "0,42", "film_um": "120"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_a_swatch_is_painted_with_its_code_photo_and_words(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make)
    answer = send(f"/pigment/{thing}/swatch", {**PAINTED, "words": "warm, a little pale", "photo": a_photo()})
    made = last(answer.headers["Location"])
    view = swatch(make.state, made)
    assert view is not None and view.code and len(view.photos) == 1
    assert (view.made.binder, view.made.oil_g, view.made.film_um) == ("linseed oil", 0.42, 120)
    page = client.get(f"/swatch/{made}").get_data(as_text=True)
    assert "warm, a little pale" in page and "full strength" in page and f"/photo/{view.photos[0]}" in page
    assert client.get(f"/photo/{view.photos[0]}").status_code == 200


def test_the_next_one_begins_like_the_last(make: Making, client: FlaskClient) -> None:
    thing = powder(make)
    make.swatch(thing, binder="gum arabic", film_um=150)
    page = client.get(f"/pigment/{thing}/swatch").get_data(as_text=True)
    assert 'value="gum arabic"' in page and 'value="150"' in page


def test_oily_rags_are_warned_of_where_the_oil_dries(make: Making, client: FlaskClient) -> None:
    thing = powder(make)
    assert "Oily rags" in client.get(f"/pigment/{thing}/swatch").get_data(as_text=True)


@pytest.mark.parametrize(
    "wrong",
    [
        {"binder": ""},
        {"binder": "x" * 200},
        {"oil_g": "much"},
        {"white_per_pigment": "-1"},
        {"film_um": "1e9"},
        {"words": "y" * 100_000},
    ],
)
def test_what_is_wrong_stands_beside_its_field(make: Making, send: Any, wrong: dict[str, str]) -> None:
    thing = powder(make)
    answer = send(f"/pigment/{thing}/swatch", PAINTED | wrong)
    assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert not make.state.things("swatch")


def measured(make: Making, thing: str, lab: list[float], se: list[float] | None = None, **made: Any) -> str:
    swatch = make.swatch(thing, **made)
    make.add("swatch.measured", {"lab": lab, "method": "camera"} | ({"se": se} if se else {}), swatch)
    return swatch


def test_a_colour_is_measured_with_all_errors_or_none(make: Making, client: FlaskClient, send: Any) -> None:
    made = make.swatch(powder(make))
    path = f"/swatch/{made}/measure"
    colour = {"l": "44,7", "a": "-3.6", "b": "-27.4", "method": "camera"}
    half = send(path, colour | {"se_l": "0.4"})
    assert half.status_code == 422 and errors(half.get_data(as_text=True)) == ["Type all three errors, or none."] * 2
    for wrong in ({"l": "120"}, {"a": ""}, {"b": "blue"}, {"method": ""}, {"se_l": "-1", "se_a": "1", "se_b": "1"}):
        assert send(path, colour | wrong).status_code == 422
    assert not make.state.own(made, "swatch.measured")
    assert send(path, colour | {"se_l": "0.4", "se_a": "0.3", "se_b": "0.5"}).status_code == 303
    body = make.state.own(made, "swatch.measured")[0].body
    assert body.lab == (44.7, -3.6, -27.4) and body.se == (0.4, 0.3, 0.5)
    assert re.search(r'fill="#[0-9a-f]{6}"', client.get(f"/swatch/{made}").get_data(as_text=True))
    # The red of sRGB: (54.291, 80.805, 69.891) for D50 is (53.237, 80.090, 67.203) for D65.
    assert send(path, l="54.291", a="80.805", b="69.891", method="meter", illuminant="D50").status_code == 303
    adapted = make.state.own(made, "swatch.measured")[1].body
    assert adapted.lab == pytest.approx((53.237, 80.090, 67.203), abs=0.02) and adapted.illuminant == "D50"


def test_two_measured_swatches_show_their_difference(make: Making, client: FlaskClient) -> None:
    # Pair 1 of Sharma, Wu and Dalal (2005): ΔE00 2.0425.
    one = measured(make, powder(make), [50.0, 2.6772, -79.7751])
    two = measured(make, powder(make, *TAN, ("NaCl", 1.0, "stays")), [50.0, 0.0, -82.7485])
    page = client.get(f"/swatches?pick.{one}=1&pick.{two}=1").get_data(as_text=True)
    assert '<span class="figure">2.0</span>' in page and "ΔE₀₀" in page and "±" not in page
    assert "Without a standard error" in page and "bluer" in page and "greener" in page
    assert "Only NaCl, % of what reacts." in page


def test_what_was_painted_otherwise_is_said_first(make: Making, client: FlaskClient) -> None:
    thing = powder(make)
    one = measured(make, thing, [50, 0, 0], [0.3, 0.3, 0.3], film_um=100)
    two = measured(make, thing, [50.1, 0, 0], [0.3, 0.3, 0.3], film_um=200)
    page = client.get(f"/swatches?pick.{one}=1&pick.{two}=1").get_data(as_text=True)
    assert "They were not painted alike" in page and "No visible difference is shown" in page
    assert "Nothing that was recorded." in page


def test_the_mat_lies_in_the_order_of_the_series_with_its_tints(make: Making, client: FlaskClient) -> None:
    series = make.add("series.planned", {"factor": "soda", "levels": [0, 2], "unit": "%"}).id
    two, none = powder(make, series=series, level=2), powder(make, series=series, level=0)
    first, second = measured(make, two, [40, 0, -30]), measured(make, none, [60, 0, -10])
    tint = measured(make, two, [75, 0, -15], white_per_pigment=10)
    alone = make.swatch(powder(make))
    page = client.get("/swatches").get_data(as_text=True)
    assert page.index(f"pick.{second}") < page.index(f"pick.{first}") < page.index(f"pick.{alone}")
    assert f"pick.{tint}" not in page and page.count("<rect") >= 4
    assert "soda" in page and "By themselves" in page and "not measured yet" in page
    assert page.count('class="no-colour"') == 1
    assert client.get(f"/swatches?pick.{tint}=1&pick.{first}=1").status_code == 200


def test_one_or_three_picked_are_asked_to_be_two(make: Making, client: FlaskClient) -> None:
    thing = powder(make)
    made = [make.swatch(thing) for _ in range(3)]
    for n in (1, 3):
        page = client.get("/swatches?" + "&".join(f"pick.{one}=1" for one in made[:n])).get_data(as_text=True)
        assert "Pick two to compare" in page and f"{n} picked." in page
    assert client.get("/swatches?pick.nobody=1&pick.=2").status_code == 200


def test_an_empty_mat_says_so_and_strangers_are_404(client: FlaskClient, send: Any) -> None:
    assert "No swatch yet" in client.get("/swatches").get_data(as_text=True)
    for path in ("/swatch/x", "/swatch/x/measure", "/pigment/x/swatch"):
        assert client.get(path).status_code == 404
    assert send("/swatch/x/measure", {"l": "1"}).status_code == 404


def test_a_measured_swatch_has_its_nearest_name(make: Making, client: FlaskClient) -> None:
    """NBS SP 440: brilliant blue is #4997d0."""
    page = client.get(f"/swatch/{measured(make, powder(make), [*srgb_to_lab([0x49, 0x97, 0xD0])])}").text
    assert "Nearest name: brilliant blue, 0.0" in page and "Kelly and Judd" in page
