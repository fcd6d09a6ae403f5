"""The gas of a load on the firing's page: summed over crucibles, with limits, and never reassuring.

Stoichiometry from published molar masses: 1 g of CoCl2·6H2O (237.93 g/mol) gives 2 × 36.458 ÷ 237.93 = 0.3065 g HCl;
1 g of CaCO3 (100.09) gives 44.009 ÷ 100.09 = 0.4397 g CO2.
"""

from typing import Any

import pytest
from flask import Flask, render_template_string
from flask.testing import FlaskClient

from bench.screens.furnace.load_air import LoadAir, load_air
from bench.workshop.things.firings import firing
from tests.screens.making import Making
from tests.workshop.builder import lines
from tests.workshop.dangers import LIBRARY, Dangers

OUT = {"fuel": "electric", "place": "outdoors"}
ROOM = {"fuel": "electric", "place": "indoors", "room_m3": 40.0, "air_changes_per_h": 1.0}
PINK = (("CoCl2*6H2O", 10.0), ("CaCO3", 2.0))


def air(*parts: tuple[str, float], furnace: dict[str, Any], pots: int = 2) -> LoadAir:
    bench = Dangers()
    thing = bench.loaded(*parts, furnace=furnace, pots=pots)
    fire = firing(bench.state, thing)
    assert fire is not None
    return load_air(bench.state, fire, LIBRARY)


def shown(app: Flask, found: LoadAir) -> str:
    with app.test_request_context("/"):
        return render_template_string("{{ ui.load_gas(air) }}", air=found)


def test_the_sum_over_two_crucibles(app: Flask) -> None:
    found = air(*PINK, furnace=OUT)
    grams = {one.gas: one.g for one in found.lines}
    assert grams["HCl"] == pytest.approx(3.065, abs=0.003)
    assert grams["CO2"] == pytest.approx(2 * 0.4397, abs=0.002)
    page = shown(app, found)
    assert "Hydrogen chloride" in page and "3.06 g" in page and "why" in page


def test_outdoors_no_figure_is_given_and_the_limits_stand_with_body(app: Flask) -> None:
    found = air(*PINK, furnace=OUT)
    assert not found.stop and "Outdoors there is no figure" in found.say
    assert all(not one.say for one in found.harmful)
    assert "UK WEL" in shown(app, found)


def test_bounds_fumes_and_what_comes_instead(app: Flask) -> None:
    """0.2 g NaF give 0.0953 g HF at most; 10 g of the chloride give HCl, or 2.98 g chlorine in its place, or vapour."""
    page = shown(app, air(("NaF", 0.2), ("CoCl2*6H2O", 10.0), furnace=OUT))
    assert "up to 0.10 g" in page and "from 800 °C ◦" in page and "calcium gluconate" in page
    assert "In place of these, never beside them: Chlorine up to 2.98 g" in page
    assert "CoCl₂ vapour, from 700 °C ◦" in page and "No particle mask stops a gas." in page


def test_in_a_room_the_estimate_says_do_not(app: Flask) -> None:
    found = air(*PINK, furnace=ROOM)
    hcl = next(one for one in found.lines if one.gas == "HCl")
    assert found.stop and hcl.stop and "do not do this indoors" in hcl.say
    assert hcl.working and "Do not fire this load here" in found.say and "proves nothing" in found.say
    assert "do not do this indoors" in shown(app, found)


def test_an_unknown_room_is_not_reassuring(app: Flask) -> None:
    found = air(*PINK, furnace={"fuel": "electric", "place": "unknown"})
    assert found.stop and "Do not do this indoors" in found.say
    assert "Do not do this indoors" in shown(app, found)


def test_nothing_found_is_never_called_safe(app: Flask) -> None:
    found = air(("Fe2O3", 5.0), ("Al(OH)3", 5.0), furnace=ROOM)
    assert not found.harmful and "cannot show" in found.say and not found.stop
    assert "safe" not in shown(app, found) and "harmless" in shown(app, found)


def test_what_cannot_be_reckoned_is_named(app: Flask) -> None:
    found = air(("alkaline frit", 5.0), ("Fe2O3", 5.0), furnace=ROOM | {"room_m3": None})
    assert found.not_reckoned == ("alkaline frit",) and found.stop
    assert "Gas not known of: alkaline frit" in shown(app, found)


def test_an_empty_firing_shows_nothing(app: Flask) -> None:
    bench = Dangers()
    thing = bench.firing()
    fire = firing(bench.state, thing)
    assert fire is not None
    assert shown(app, load_air(bench.state, fire, LIBRARY)).strip() == ""


def test_the_page_of_a_firing(app: Flask, keeper: Any, client: FlaskClient, send: Any) -> None:
    """By its address: what is placed, nothing placed, an unknown id, a wrong method."""
    make = Making(app, keeper)
    furnace = make.furnace(**ROOM)
    batch = make.ready_batch(lines(*PINK))
    full, empty = make.firing(furnace), make.firing(furnace)
    make.placed(make.charge({"batch": batch, "g": 12.0}, lid="vented"), full)
    page = client.get(f"/firing/{full}/gas")
    assert page.status_code == 200 and "Hydrogen chloride" in page.text and "do not do this indoors" in page.text
    assert "so there is no sum" in client.get(f"/firing/{empty}/gas").text
    assert client.get("/firing/01K9V0000000000000000000ZZ/gas").status_code == 404
    assert send(f"/firing/{full}/gas").status_code == 405
