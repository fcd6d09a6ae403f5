"""The pages *Did it repeat?*, *Made from it* and *What went wrong*, from the pages that lead there."""

from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper
from tests.screens.making import Making
from tests.screens.powders import cold_charge
from tests.workshop.builder import lines


def test_the_pages_are_reached_and_say_what_is_not_known(app: Flask, client: FlaskClient, keeper: Keeper) -> None:
    make = Making(app, keeper)
    jar = make.jar("ZnO", "zinc-oxide", net_g=100.0)
    batch = make.batch([dict(one, jar=jar) for one in lines(("ZnO", 5.0))])
    make.weigh(batch, 5.0, jar=jar)
    assert f"/batch/{batch}/repeats" in client.get(f"/batch/{batch}").get_data(as_text=True)
    assert "Not known yet" in client.get(f"/batch/{batch}/repeats").get_data(as_text=True)
    assert f"/jar/{jar}/out" in client.get(f"/jar/{jar}").get_data(as_text=True)
    assert "5.00 g of it" in client.get(f"/jar/{jar}/out").get_data(as_text=True)
    assert "No sign was recorded yet" in client.get("/signs").get_data(as_text=True)
    thing = make.opened(cold_charge(make), 49.9, tare_after_g=40.0, signs=["grey"])
    assert "/signs?sign=grey" in client.get(f"/pigment/{thing}").get_data(as_text=True)
    assert "Cannot tell yet" in client.get("/signs?sign=grey").get_data(as_text=True)
