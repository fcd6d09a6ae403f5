"""Today: an empty bench, and one with work under way."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.app import Bench
from tests.screens.making import Making


def bench_of(app: Flask) -> Bench:
    return app.extensions["bench"]  # type: ignore[no-any-return]


def test_an_empty_bench_says_how_to_begin(client: FlaskClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert "First steps" in page.get_data(as_text=True)
    assert "/shelf/new" in page.get_data(as_text=True)


def test_a_planned_batch_waits_to_be_weighed(app: Flask, client: FlaskClient) -> None:
    journal = bench_of(app).journal
    line = {"line": 1, "formula": "CaCO3", "target_g": 8.07}
    data = {"name": "Yard blue", "from": "grams", "lines": [line]}
    made = journal.write("batch.planned", None, data)
    page = client.get("/").get_data(as_text=True)
    assert "Weigh, 1 of 1" in page
    assert f"/batch/{made.id}/weigh" in page
    journal.write("closed", made.id, {"outcome": "failed"})
    assert f"/batch/{made.id}/weigh" not in client.get("/").get_data(as_text=True)


def test_a_timer_counts_down_to_its_absolute_end(app: Flask, client: FlaskClient, keeper) -> None:  # type: ignore[no-untyped-def]
    journal = bench_of(app).journal
    line = {"line": 1, "formula": "CaCO3", "target_g": 8.07}
    batch = journal.write("batch.planned", None, {"name": "Yard blue", "from": "grams", "lines": [line]})
    journal.write("timer.set", batch.id, {"purpose": "Dry until", "ends_at": "2026-11-12T12:00:00Z"})
    page = client.get("/").get_data(as_text=True)
    assert "Dry until" in page and "12:00" in page and "Rings only while this screen is on" in page
    keeper.turn(60 * 24 * 5)
    assert "Dry until" not in client.get("/").get_data(as_text=True)


def test_a_fire_whose_looks_are_answered_is_unloaded_next(app: Flask, client: FlaskClient, keeper: Any) -> None:
    make = Making(app, keeper)
    fire = make.firing()
    filled = make.charge({"batch": make.ready_batch(), "g": 5.0})
    make.placed(filled, fire)
    make.lit(fire)
    make.off(fire)
    assert "Checks after the fire" in client.get("/").text
    keeper.turn(60)
    for item in ("off-gas", "off-electric", "off-recheck"):
        make.check(fire, item, phase="after-shutdown")
    page = client.get("/").text
    assert "Checks after the fire" not in page and "Unload" in page and f'href="/firing/{fire}"' in page


def test_an_old_fire_is_not_due_for_what_a_later_sitting_asks(app: Flask, client: FlaskClient, keeper) -> None:  # type: ignore[no-untyped-def]
    """Its own looks are answered; the rags of an oil that was used a day later are asked of that day."""
    make = Making(app, keeper)
    fire = make.firing()
    filled = make.charge({"batch": make.ready_batch(), "g": 5.0})
    make.fired(filled, firing=fire)
    powder = make.opened(filled)
    assert f"/firing/{fire}/checks/after-shutdown" in client.get("/").get_data(as_text=True)
    for item in ("off-gas", "off-electric", "off-recheck"):
        make.check(fire, item, phase="after-shutdown")
    assert f"/firing/{fire}/checks/after-shutdown" not in client.get("/").get_data(as_text=True)
    keeper.turn(24 * 60)
    make.swatch(powder)
    assert f"/firing/{fire}/checks/after-shutdown" not in client.get("/").get_data(as_text=True)
