"""What can I make: from the shelf, with what is missing, and the shopping of a series."""

import html
import re

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.choosing import shopping, ways


def shelf(app: Flask, *rows: tuple[str, str, float, float | None]) -> list[str]:
    journal = app.extensions["bench"].journal
    made = []
    for slug, formula, net, price in rows:
        data = {"reagent": slug, "formula": formula, "net_g": net}
        made.append(journal.write("jar.opened", None, data | ({"price": price} if price else {})).id)
    return made


def test_three_jars_make_the_blue(app: Flask, client: FlaskClient) -> None:
    bench = app.extensions["bench"]
    shelf(
        app,
        ("calcium-carbonate", "CaCO3", 500, None),
        ("copper-carbonate-basic", "Cu2CO3(OH)2", 250, None),
        ("quartz-silica", "SiO2", 900, None),
    )
    best = ways(bench.state, bench.library, 0.5)[0]
    assert best.target == "egyptian-blue" and best.ready
    # Grams of a published batch of 0.5 g, as remembered from a protocol of 2014 (memory; agrees to 0.1 %).
    assert best.grams["calcium-carbonate"] == pytest.approx(0.1331, rel=2e-3)
    assert best.grams["copper-carbonate-basic"] == pytest.approx(0.1469, rel=2e-3)
    assert best.grams["quartz-silica"] == pytest.approx(0.3198, rel=2e-3)
    page = client.get("/known/choose").get_data(as_text=True)
    assert page.index("Ready") < page.index("Egyptian blue")


def test_a_jar_that_holds_too_little_is_not_ready(app: Flask) -> None:
    bench = app.extensions["bench"]
    shelf(
        app,
        ("calcium-carbonate", "CaCO3", 1, None),
        ("copper-carbonate-basic", "Cu2CO3(OH)2", 250, None),
        ("quartz-silica", "SiO2", 900, None),
    )
    way = next(w for w in ways(bench.state, bench.library, 100, "egyptian-blue") if not w.missing)
    assert not way.ready and way.short == ("calcium-carbonate",)


def test_shopping_for_a_series(app: Flask, client: FlaskClient) -> None:
    bench = app.extensions["bench"]
    jars = shelf(app, ("zinc-oxide", "ZnO", 10, 2.0))
    series = bench.journal.write("series.planned", None, {"factor": "zinc", "levels": [1, 2]}).id
    for g in (6.0, 9.0):
        line = {"line": 1, "formula": "ZnO", "target_g": g, "jar": jars[0]}
        bench.journal.write("batch.planned", None, {"name": "x", "from": "grams", "lines": [line], "series": series})
    bought = shopping(bench.state, series, bench.library)
    assert [(p.slug, p.needed_g, p.buy_g) for p in bought] == [("zinc-oxide", 15.0, 5.0)]
    assert bought[0].cost == pytest.approx(1.0)
    assert "5.00" in client.get(f"/known/choose/shopping/{series}").get_data(as_text=True)


@pytest.mark.parametrize("typed", ["", "x", "-1", "1,2.3", "1e9", "nan"])
def test_wrong_grams_say_so(client: FlaskClient, typed: str) -> None:
    answer = client.get("/known/choose", query_string={"g": typed})
    assert answer.status_code == 422
    assert 'class="complaint"' in answer.get_data(as_text=True)


def test_an_empty_shelf_and_an_unknown_series(client: FlaskClient) -> None:
    assert "No jar is on the shelf" in client.get("/known/choose").get_data(as_text=True)
    assert client.get("/known/choose/shopping/x").status_code == 404


def test_any_jar_that_brings_the_metal_counts_and_is_marked(app: Flask, client: FlaskClient) -> None:
    bench = app.extensions["bench"]
    shelf(app, ("zinc-carbonate-basic", "Zn5(CO3)2(OH)6", 200, None), ("iron-iii-oxide", "Fe2O3", 200, None))
    [way] = [one for one in ways(bench.state, bench.library, 10, "zinc-iron-tan") if one.ready][:1]
    assert ("zinc-oxide", "zinc-carbonate-basic") in way.instead
    # By hand: 10 g ZnFe2O4 (241.07 g/mol) want 41.48 mmol Zn, which are 4.555 g of Zn5(CO3)2(OH)6 (549.0 g/mol).
    assert way.grams["zinc-carbonate-basic"] == pytest.approx(4.555, abs=0.01)
    text = client.get("/known/choose").get_data(as_text=True)
    assert "not a published route" in text
    path = re.search(r"/plan/target\?target=zinc-iron-tan[^\"]+", text)
    assert path and "zinc-iron" in client.get(html.unescape(path[0])).get_data(as_text=True)
