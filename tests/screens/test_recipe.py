"""Another bench's recipe: scanned, photographed or pasted, shown, and planned with the jars that stand here."""

import io
from typing import Any

import pytest
import qrcode
from flask import Flask
from flask.testing import FlaskClient

from bench.exporting.recipe_code import Recipe, RecipeDose, RecipeHeat, pack, packed
from tests.conftest import Keeper, Send
from tests.screens.making import Making, errors
from tests.screens.powders import last

BLUE = Recipe(
    name="Sky",
    doses=(RecipeDose("Al2O3", 60, 99.0), RecipeDose("CoSO4·7H2O", 40)),
    target="CoAl2O4",
    fire=(RecipeHeat(1200, 200, 180),),
    air="oxidising",
    cool="in-furnace",
    note="Grind it twice.",
)


def test_it_is_planned_with_the_jars_of_this_bench(app: Flask, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    alumina = make.jar("Al2O3", "alumina", assay_pct=90.0, lot="7")
    cobalt = make.jar("CoSO4·H2O", "cobalt-sulfate", assay_pct=100.0)
    text = pack(BLUE)
    shown = send("/recipe", text=text).get_data(as_text=True)
    assert "Sky" in shown and "Your jar, lot 7: 90 %." in shown and "Grind it twice." in shown
    assert not make.state.things("batch")
    done = send("/recipe", text=text, to_weigh_g="10", do="keep")
    assert done.status_code == 303
    plan = make.state.slot(last(done.location), "batch.planned").body
    # By hand: 6 g · 99/90 = 6.6 g; CoSO4·7H2O 281.10, CoSO4·H2O 173.01 g/mol: 4 g · 0.61548 = 2.4619 g.
    assert [line.target_g for line in plan.lines] == pytest.approx([6.6, 2.4619], abs=2e-4)
    assert [line.jar for line in plan.lines] == [alumina, cobalt]
    assert (plan.name, plan.target_formula, plan.cooling_mode, plan.hot_pull) == ("Sky", "CoAl2O4", "in-furnace", False)
    assert [(s.to_c, s.rate_c_per_h, s.hold_min) for s in plan.schedule] == [(1200, 200, 180)]
    assert plan.scanned == text and make.state.code_of(last(done.location))


def test_without_a_jar_the_grams_of_the_recipe_stand(app: Flask, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    assert "No jar here holds it" in send("/recipe", text=pack(BLUE)).get_data(as_text=True)
    done = send("/recipe", text=pack(BLUE), to_weigh_g="20", do="keep")
    plan = make.state.slot(last(done.location), "batch.planned").body
    assert [(line.target_g, line.assay_pct, line.jar) for line in plan.lines] == [
        (12.0, 99.0, None),
        (8.0, 100.0, None),
    ]


@pytest.mark.parametrize(
    ("told", "say"),
    [
        ({"mix": [["PbO", 1]]}, "highly poisonous"),
        ({"mix": [["Zn0", 1]]}, "Shown only"),
        ({"mix": [["ZnO", 1]], "target": "Moon"}, "Shown only"),
        ({"mix": [["ZnO", 1]], "press": 1, "needs": ["press"]}, "does not know press"),
        ({"mix": [["KNO3", 1], ["C", 1]]}, "Not planned"),
    ],
)
def test_its_own_gates_stand(app: Flask, send: Send, keeper: Keeper, told: dict[str, Any], say: str) -> None:
    answer = send("/recipe", text=packed({"v": 1, "name": "x"} | told), to_weigh_g="10", do="keep")
    assert say in answer.get_data(as_text=True) and not Making(app, keeper).state.things("batch")


def test_slips_stand_beside_their_fields(client: FlaskClient, send: Send) -> None:
    assert "SAGGAR1:" in client.get("/recipe").get_data(as_text=True)
    assert any("not a recipe code" in one for one in errors(send("/recipe", text="T5C7HJ").get_data(as_text=True)))
    assert send("/recipe", text=pack(BLUE), to_weigh_g="1 kg", do="keep").status_code == 422


def test_what_is_found_leads_to_it(client: FlaskClient, send: Send) -> None:
    text = pack(BLUE)
    answer = client.get("/find", query_string={"code": text}, follow_redirects=True)
    assert answer.request.path == "/recipe" and "Sky" in answer.text
    picture = io.BytesIO()
    qrcode.make(text).get_image().save(picture, "PNG")
    picture.seek(0)
    answer = send("/find", photo=(picture, "sheet.png"), follow=True)
    assert answer.request.path == "/recipe" and "Save the plan" in answer.text
