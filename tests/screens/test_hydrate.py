"""Which hydrate is in the jar, by the screens: a jar with records, a reagent as a sum, and what is refused."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import errors

GYPSUM_LOST = 2 * 18.015 / 172.17  # published molar masses


def jar(app: Flask, reagent: str = "calcium-sulfate-dihydrate", formula: str = "CaSO4*2H2O") -> str:
    data = {"reagent": reagent, "formula": formula, "hydrate_known": False, "net_g": 100.0}
    return str(app.extensions["bench"].journal.write("jar.opened", None, data).id)


def test_weigh_dry_weigh_again(app: Flask, client: FlaskClient, send: Any) -> None:
    thing = jar(app)
    assert f"/jar/{thing}/hydrate" in client.get(f"/jar/{thing}").text
    page = client.get(f"/jar/{thing}/hydrate").text
    assert "20.9 %" in page and "6.2 %" in page and "the SDS of your jar" in page
    after = f"{2 * (1 - GYPSUM_LOST):.2f}".replace(".", ",")
    answer = send(f"/jar/{thing}/hydrate", {"before_g": "2,00", "after_g": after, "at_c": "200"})
    assert answer.status_code == 303 and answer.location == f"/jar/{thing}/hydrate"
    [kept] = app.extensions["bench"].state.own(thing, "jar.assayed")
    assert (kept.body.before_g, kept.body.at_c) == (2.0, 200.0)
    page = client.get(f"/jar/{thing}/hydrate").text
    assert "That fits CaSO₄·2H₂O" in page and "standard deviation" in page


def test_a_repeat_is_one_record(app: Flask, send: Any) -> None:
    thing = jar(app)
    fields = {"record_id": "01K9V0000000000000000000B1", "before_g": "2", "after_g": "1.58", "at_c": "200"}
    for _ in range(2):
        assert send(f"/jar/{thing}/hydrate", fields).status_code == 303
    assert len(app.extensions["bench"].state.own(thing, "jar.assayed")) == 1


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"before_g": "", "after_g": "1", "at_c": "200"}, "number"),
        ({"before_g": "two", "after_g": "1", "at_c": "200"}, "number"),
        ({"before_g": "1", "after_g": "9", "at_c": "200"}, "is not possible"),
        ({"before_g": "1", "after_g": "0.9", "at_c": "9000"}, "1800"),
        ({"before_g": "1", "after_g": "-1", "at_c": "200"}, "Enter 0 or more"),
    ],
)
def test_wrong_input_stands_beside_its_field(app: Flask, send: Any, fields: dict[str, str], words: str) -> None:
    thing = jar(app)
    answer = send(f"/jar/{thing}/hydrate", fields)
    assert answer.status_code == 422 and any(words in one for one in errors(answer.text)), errors(answer.text)
    assert all(f'value="{typed}"' in answer.text for typed in fields.values() if typed)
    assert not app.extensions["bench"].state.own(thing, "jar.assayed")


def test_unknown_jar_reagent_and_method(client: FlaskClient, send: Any) -> None:
    assert client.get("/jar/01K9V0000000000000000000ZZ/hydrate").status_code == 404
    assert client.get("/known/reagent/no-such/hydrate").status_code == 404
    assert send("/known/reagent/calcium-sulfate-dihydrate/hydrate").status_code == 405


def test_a_jar_that_no_row_knows_is_asked_all_the_same(app: Flask, client: FlaskClient, send: Any) -> None:
    thing = jar(app, "my own salt", "Rb2SO4")
    assert "No forms of it are on record" in client.get(f"/jar/{thing}/hydrate").text
    assert send(f"/jar/{thing}/hydrate", {"before_g": "2", "after_g": "1", "at_c": "300"}).status_code == 303
    assert client.get(f"/jar/{thing}/hydrate").status_code == 200


def test_as_a_sum_for_a_reagent(app: Flask, client: FlaskClient) -> None:
    path = "/known/reagent/copper-sulfate-pentahydrate/hydrate"
    assert path in client.get("/known/reagent/copper-sulfate-pentahydrate").text
    before = len(app.extensions["bench"].state.records)
    page = client.get(path, query_string={"before_g": "2", "after_g": "1,278", "at_c": "250"})
    assert page.status_code == 200 and "That fits CuSO₄·5H₂O" in page.text
    wrong = client.get(path, query_string={"before_g": "x", "after_g": "1", "at_c": "250"})
    assert wrong.status_code == 422 and errors(wrong.text)
    assert len(app.extensions["bench"].state.records) == before


def test_every_reagent_has_the_page(app: Flask, client: FlaskClient) -> None:
    for slug in app.extensions["bench"].library.reagents:
        assert client.get(f"/known/reagent/{slug}/hydrate").status_code == 200, slug
