"""The cost of a batch in one's own currency, the elements on the shelf, what to buy."""

from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper, Send
from tests.screens.making import Making
from tests.workshop.builder import lines


def test_cost_stock_and_what_to_buy(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    zinc = make.jar("ZnO", "zinc-oxide", net_g=4.0, price=2.0)
    free = make.batch(lines(("ZnO", 5.0)))
    assert "no jar has a price" in client.get(f"/batch/{free}").get_data(as_text=True)
    thing = make.batch([dict(one, jar=zinc) for one in lines(("ZnO", 5.0))])
    assert send("/settings", currency="EUR").status_code == 303
    assert "2.50 EUR" in client.get(f"/batch/{thing}").get_data(as_text=True)
    bought = client.get(f"/known/choose/shopping/batch/{thing}").get_data(as_text=True)
    assert "1.00" in bought and "0.50 EUR" in bought
    shown = client.get("/shelf/elements").get_data(as_text=True)
    # ZnO is 80.34 % zinc (65.38 / 81.379): 3.21 g of 4 g.
    assert "zinc" in shown and "3.21 g" in shown and f"/jar/{zinc}" in shown
    assert "/shelf/elements" in client.get("/shelf").get_data(as_text=True)
