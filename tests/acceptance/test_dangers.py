"""Dangerous steps meet what stands against them on their own screen, before the act; the plan has its own tests."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.records.moments import utc_text


def stage(app: Flask, *, formula: str = "CaCO3", ware: str = "alumina-99", rated: float = 1650, peak: float = 900,
          dry: bool = True, **plan: Any) -> dict[str, str]:  # fmt: skip
    """A weighed batch, a crucible with a code, and a firing in a gas ring outdoors."""
    journal = app.extensions["bench"].journal
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    line = {"line": 1, "formula": formula, "target_g": 5.0}
    told = {"name": "Trial", "from": "grams", "lines": [line], "schedule": [{"to_c": peak, "hold_min": 60}]}
    batch = journal.write("batch.planned", None, told | plan).id
    journal.write("weighed", batch, {"line": 1, "net_g": 5.0})
    ago = {hours: utc_text(app.extensions["bench"].now_ms() - hours * 3_600_000) for hours in (1, 2, 3)}
    journal.write("mixed", batch, {"medium": "water", "streak": "even"}, happened_at=ago[3])
    for hours in (2, 1) if dry else ():
        journal.write("dried", batch, {"where": "dish", "mass_g": 5.0}, happened_at=ago[hours])
    pot = journal.write("crucible.added", None, {"ware": ware, "volume_ml": 40, "rated_c": rated}).id
    journal.write("crucible.seen", pot, {"condition": "clean", "tare_g": 50.0})
    journal.write("code.assigned", pot, {"code": "T5C7HJ", "thing": pot})
    for item in app.extensions["bench"].library.asked_items("before-loading"):
        journal.write("check.answered", batch, {"list": "before-loading", "item": item.slug, "answer": "done"})
    ring = {"name": "Ring", "fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors", "lining_rated_c": 1400}
    furnace = journal.write("furnace.described", None, ring).id
    segments = [{"to_c": peak, "hold_min": 60}]
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
    return {"batch": batch, "pot": pot, "firing": firing}


def charged(app: Flask, made: dict[str, str], g: float = 5.0, wet: bool = False) -> str:
    journal = app.extensions["bench"].journal
    data = {"crucible": made["pot"], "sources": [{"batch": made["batch"], "g": g}], "lid": "loose"}
    charge = journal.write("charged", None, data | ({"wet_g": 8.0} if wet else {})).id
    journal.write("placed", charge, {"firing": made["firing"], "clock": 12})
    return str(charge)


def tick_all(app: Flask, firing: str) -> None:
    for item in app.extensions["bench"].library.asked_items("before-lighting", "gas"):
        data = {"list": "before-lighting", "item": item.slug, "answer": "done"}
        app.extensions["bench"].journal.write("check.answered", firing, data)


def test_a_sealed_lid_on_a_gassing_charge_is_not_loaded(app: Flask, send: Any) -> None:
    made = stage(app)
    answer = send(f"/batch/{made['batch']}/load", {"code": "T5C7HJ", "g": "5", "lid": "sealed"})
    assert answer.status_code == 422 and "Vent the lid" in answer.get_data(as_text=True)


def test_an_occupied_crucible_is_not_filled(app: Flask, send: Any) -> None:
    made = stage(app)
    charged(app, made, g=2.0)
    before = len(app.extensions["bench"].state.things("charge"))
    answer = send(f"/batch/{made['batch']}/load", {"code": "T5C7HJ", "g": "1", "lid": "loose"})
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422 and "still holds a charge" in text
    assert len(app.extensions["bench"].state.things("charge")) == before


def test_damp_paste_loads_but_does_not_light(app: Flask, send: Any, client: FlaskClient) -> None:
    made = stage(app, dry=False)
    charged(app, made, wet=True)
    tick_all(app, made["firing"])
    answer = send(f"/firing/{made['firing']}/light")
    assert answer.status_code == 422 and "Damp powder bursts into steam" in answer.get_data(as_text=True)


def test_porcelain_does_not_go_to_1250(app: Flask, send: Any) -> None:
    made = stage(app, ware="glazed-porcelain", rated=1000, peak=1250)
    charged(app, made)
    tick_all(app, made["firing"])
    answer = send(f"/firing/{made['firing']}/light")
    assert answer.status_code == 422 and "Peak 1250 °C exceeds this crucible’s 1000 °C" in answer.get_data(as_text=True)


def test_no_lighting_without_checks_or_without_an_emergency_number(app: Flask, send: Any) -> None:
    made = stage(app)
    charged(app, made)
    answer = send(f"/firing/{made['firing']}/light").get_data(as_text=True)
    assert "Answer them first" in answer and "CO alarm" in answer
    app.extensions["bench"].journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": ""})
    tick_all(app, made["firing"])
    assert "emergency number" in send(f"/firing/{made['firing']}/light").get_data(as_text=True)


def test_a_glazed_pot_is_not_quenched(app: Flask, send: Any, client: FlaskClient) -> None:
    made = stage(app, ware="glazed-porcelain", rated=1000, cooling_mode="quench-water", cooling_basis="planned")
    charge = charged(app, made)
    tick_all(app, made["firing"])
    send(f"/firing/{made['firing']}/light", {"in_fact": "1"})
    send(f"/firing/{made['firing']}/reading", {"c": "850", "unit": "C"})
    text = client.get(f"/firing/{made['firing']}/out?charge={charge}").get_data(as_text=True)
    assert "Glazed porcelain shatters in water" in text and "Water bursts hot charges" in text


@pytest.mark.parametrize("way", ["target", "grams", "parts"])
def test_a_dichromate_by_name_is_refused_on_every_way(app: Flask, send: Any, way: str) -> None:
    fields = {"rows": "1", "formula.0": "ammonium dichromate", "g.0": "1", "parts.0": "1", "total_g": "1", "by": "mass"}
    fields |= {"target": "Cr2O3", "product_g": "1"} if way == "target" else {}
    answer = send(f"/plan/{way}", {**fields, "do": "keep"})
    assert answer.status_code == 422 and "hromium(VI)" in answer.get_data(as_text=True)
