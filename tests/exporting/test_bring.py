"""Jars and recipes from a table: the columns, what comes of each row, and what is taken in."""

import io
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.cli import main
from bench.exporting.columns import JARS, RECIPES, guess
from bench.journal import Journal
from tests.conftest import TOKEN, Keeper, Send
from tests.screens.making import Making

JAR_FILE = (
    "Product;Formula;Lot;Purity;Weight [g];Price\r\n"
    "zinc oxide;;9;98,7;250;12,50\r\n"
    "Copper vitriol;CuSO4·5H2O;;;500;\r\n"
    "lead chromate;PbCrO4;;;10;\r\n"
    "moon dust;;;;10;\r\n"
    "titania anatase;TiO2;;half;10;\r\n"
).encode()


def post(client: FlaskClient, what: str, data: bytes | None, **fields: str) -> str:
    found = TOKEN.search(client.get("/looks/").get_data(as_text=True))
    assert found
    more = {"file": (io.BytesIO(data), "table.csv")} if data is not None else {}
    answer = client.post(f"/import/{what}", data={"token": found[1], **fields, **more}, follow_redirects=True)
    return answer.get_data(as_text=True)


def test_columns_are_guessed_by_their_heads() -> None:
    assert guess(["Price", "Formula", "Purity", "Product", "Weight [g]", "Lot"], JARS) == {
        "price": 0, "formula": 1, "assay_pct": 2, "reagent": 3, "net_g": 4, "lot": 5,
    }  # fmt: skip
    assert guess(["batch", "formula", "planned [g]", "target"], RECIPES) == {
        "recipe": 0, "reagent": 1, "g": 2, "target": 3,
    }  # fmt: skip
    assert guess(["x", "y"], JARS) == {}


def test_jars_are_looked_at_and_then_taken_in(app: Flask, client: FlaskClient) -> None:
    state = app.extensions["bench"].journal.state
    text = post(client, "jars", JAR_FILE)
    assert "Import 2" in text and text.count("Row ") == 3 and not state.things("jar")
    digest = text.partition('name="digest" value="')[2].partition('"')[0]
    for _twice in range(2):
        post(client, "jars", None, digest=digest, take="1", record_id="01K8Z0000000000000000000AA")
    made = [state.slot(thing, "jar.opened").body for thing in app.extensions["bench"].journal.state.things("jar")]
    assert len(made) == 2
    zinc, copper = made
    assert (zinc.reagent, zinc.formula, zinc.lot) == ("zinc-oxide", "ZnO", "9")
    assert (zinc.assay_pct, zinc.net_g, zinc.price) == (98.7, 250.0, 12.5)
    assert (copper.formula, copper.hydrate_known, copper.net_g) == ("CuSO4·5H2O", True, 500.0)
    assert all(state.code_of(thing) for thing in state.things("jar"))


def test_jars_that_were_taken_along_come_in_as_they_were(app: Flask, client: FlaskClient, keeper: Keeper) -> None:
    make = Making(app, keeper)
    make.jar("ZnO", "zinc-oxide", net_g=250.0, price=10.0, lot="=9", assay_pct=98.5, supplier="a shop")
    make.jar("CoCl2*6H2O", "cobalt-chloride-hexahydrate", net_g=50.0, hydrate_known=False, assay_pct=120.0)
    text = post(client, "jars", client.get("/take/jars.csv").data)
    assert "Import 2" in text
    digest = text.partition('name="digest" value="')[2].partition('"')[0]
    post(client, "jars", None, digest=digest, take="1")
    old_zinc, old_salt, zinc, salt = (make.state.slot(t, "jar.opened").body for t in make.state.things("jar"))
    assert zinc == old_zinc and zinc.lot == "=9"
    assert (salt.reagent, salt.hydrate_known, salt.net_g) == (old_salt.reagent, False, 50.0)


def test_another_column_is_chosen(client: FlaskClient) -> None:
    text = post(client, "jars", b"what,cas\r\nZnO,1314-13-2\r\n")
    assert "Import" not in text.split("actionbar")[1]
    digest = text.partition('name="digest" value="')[2].partition('"')[0]
    assert "Import 1" in post(client, "jars", None, digest=digest, **{"column.reagent": "0"})


def test_recipes_become_plans(app: Flask, client: FlaskClient) -> None:
    table = b"Recipe,Reagent,Grams\r\nTan,ZnO,5\r\nTan,Fe2O3,10\r\nBad,moon dust,1\r\n"
    text = post(client, "recipes", table)
    assert "Import 1" in text
    digest = text.partition('name="digest" value="')[2].partition('"')[0]
    post(client, "recipes", None, digest=digest, take="1")
    state = app.extensions["bench"].journal.state
    [thing] = state.things("batch")
    plan = state.slot(thing, "batch.planned").body
    assert plan.name == "Tan" and [(one.formula, one.target_g) for one in plan.lines] == [("ZnO", 5.0), ("Fe2O3", 10.0)]


def test_nothing_and_no_table_are_refused_beside_the_field(client: FlaskClient, send: Send) -> None:
    assert "Choose a file." in send("/import/jars").get_data(as_text=True)
    assert "UTF-8" in post(client, "jars", b"\xff\xfe\x00\x00")


def test_the_commands_take_in_and_write_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table, data, out = tmp_path / "jars.csv", tmp_path / "data", tmp_path / "all.zip"
    table.write_bytes(JAR_FILE)
    assert main(["import", str(table), "--data", str(data)]) == 1
    assert "2 can be taken in" in capsys.readouterr().out
    assert main(["import", str(table), "--data", str(data), "--column", "colour=Lot"]) == 1
    assert "--column knows" in capsys.readouterr().err
    assert main(["import", str(table), "--data", str(data), "--take"]) == 1
    assert "2 taken in." in capsys.readouterr().out
    assert main(["export", str(out), "--data", str(data)]) == 0
    assert out.read_bytes()[:2] == b"PK" and "6 records are written" in capsys.readouterr().out
    assert main(["export", str(out), "--data", str(data), "--batch", "T5C7HJ"]) == 1
    assert main(["export", str(out), "--data", str(tmp_path / "none")]) == 1
    with Journal.open(data, clock=Keeper()) as journal:
        assert len(journal.state.things("jar")) == 2
