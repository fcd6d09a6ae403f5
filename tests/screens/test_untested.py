"""A new lot: a trial of one gram is offered, a large plan with it asks first, and a batch is made in another amount."""

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper, Send
from tests.screens.making import Making
from tests.screens.powders import last
from tests.workshop.builder import lines


def test_a_new_lot_is_tried_first(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    old = make.jar("ZnO", "zinc-oxide", net_g=100.0)
    iron = make.jar("Fe2O3", "iron-iii-oxide", net_g=500.0)
    planned = lines(("ZnO", 5.0), ("Fe2O3", 10.0))
    batch = make.batch([dict(planned[0], jar=old), dict(planned[1], jar=iron)])
    make.weigh(batch, 5.0, jar=old)
    make.weigh(batch, 10.0, first=2, jar=iron)
    assert "Plan the trial" not in client.get(f"/jar/{old}").get_data(as_text=True)
    new = make.jar("ZnO", "zinc-oxide", net_g=100.0, lot="9", assay_pct=98.0)
    path = f"/batch/{batch}/again?g=1&amp;jar={new}"
    assert path in client.get(f"/jar/{new}").get_data(as_text=True)
    shown = client.get(path.replace("&amp;", "&")).get_data(as_text=True)
    assert "New lot, not tried yet" in shown and "series suggests" not in shown
    done = send(f"/batch/{batch}/again", g="1", jar=new)
    plan = make.state.slot(last(done.location), "batch.planned").body
    # By hand: 5 / 0.98 = 5.10204 g to 10 g, made up to 1 g in all.
    assert [one.target_g for one in plan.lines] == pytest.approx([5.10204 / 15.10204, 10 / 15.10204], abs=1e-5)
    assert plan.lines[0].jar == new
    fields = {"jar.0": new, "g.0": "20", "jar.1": iron, "g.1": "39", "heat_for": "-", "do": "keep"}
    asked = send("/plan/grams", fields).get_data(as_text=True)
    assert "this lot is new" in asked
    assert send("/plan/grams", fields, sure="1").status_code == 303
    small = send("/plan/grams", fields | {"g.0": "2", "g.1": "3.9"})
    assert small.status_code == 303


def test_a_jar_tells_where_it_came_from(client: FlaskClient, send: Send) -> None:
    more = {"supplier": "a shop", "received": "2026-03-01", "water": "ZnO"}
    done = send("/shelf/new", reagent="zinc-oxide", formula="", **more)
    assert done.status_code == 303
    text = client.get(done.location).get_data(as_text=True)
    assert "a shop" in text and "2026-03-01" in text
    assert "Type the date" in send("/shelf/new", reagent="zinc-oxide", **(more | {"received": "soon"})).get_data(
        as_text=True
    )
