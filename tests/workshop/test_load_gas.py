"""The gas of a load, summed over its crucibles, held against stoichiometry and the room model of the exposure notes."""

import pytest
from flask import Flask

from bench.workshop.gates import gate_light
from bench.workshop.load_gas import load_gas


def a_load(app: Flask, **furnace: object) -> tuple[str, list[str]]:
    """Two crucibles of one batch that holds 10 g CoCl2·6H2O, in a furnace as told."""
    journal = app.extensions["bench"].journal
    line = {"line": 1, "formula": "CoCl2*6H2O", "target_g": 10.0}
    batch = journal.write("batch.planned", None, {"name": "Rose", "from": "grams", "lines": [line]}).id
    journal.write("weighed", batch, {"line": 1, "net_g": 10.0})
    told = {"name": "Box", "fuel": "electric", **furnace}
    box = journal.write("furnace.described", None, told).id
    firing = journal.write("firing.planned", None, {"furnace": box, "segments": [{"to_c": 900.0}]}).id
    charges = []
    for n in range(2):
        pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 30, "rated_c": 1650}).id
        data = {"crucible": pot, "sources": [{"batch": batch, "g": 5.0}], "lid": "loose"}
        charge = journal.write("charged", None, data).id
        journal.write("placed", charge, {"firing": firing, "row": 1, "column": n + 1})
        charges.append(charge)
    return firing, charges


def test_the_gas_of_two_crucibles_is_that_of_all_their_grams(app: Flask) -> None:
    bench = app.extensions["bench"]
    _, charges = a_load(app)
    found = load_gas(bench.state, charges, bench.library)
    # 10 g CoCl2·6H2O gives 3.065 g HCl: stoichiometry, as in the worked example of the exposure method.
    assert found.grams["HCl"] == pytest.approx(3.065, abs=0.002)
    assert found.harmful.keys() == {"HCl"}


def test_indoors_the_estimate_stops_the_light_and_names_the_rule(app: Flask) -> None:
    bench = app.extensions["bench"]
    firing, _ = a_load(app, place="indoors", room_m3=40.0, air_changes_per_h=1.0)
    found = {f.rule: f for f in gate_light(bench.state, firing, bench.library)}
    assert found["exposure-screen"].effect == "block"
    assert found["chloride-indoors"].effect == "block"


def test_outdoors_gives_no_figure(app: Flask) -> None:
    bench = app.extensions["bench"]
    firing, _ = a_load(app, place="outdoors")
    rules = {f.rule for f in gate_light(bench.state, firing, bench.library)}
    assert not rules & {"exposure-screen", "chloride-indoors", "ventilation-unknown"}


def test_an_unknown_room_is_the_worse(app: Flask) -> None:
    bench = app.extensions["bench"]
    firing, _ = a_load(app, place="indoors")
    rules = {f.rule for f in gate_light(bench.state, firing, bench.library)}
    assert {"ventilation-unknown", "exposure-screen"} <= rules
