"""Out of the fire: opened, washed, ground, weighed, brushed out, judged; and the waste."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.lineage import firings_of, origin, weighed_lines
from bench.workshop.things.pigments import pigment
from tests.screens.powders import a_photo
from tests.screens.test_firing import prepare


def state_of(app: Flask) -> Any:
    return app.extensions["bench"].state


def fired(app: Flask, send: Any, keeper: Any) -> str:
    """A charge that was fired, came out, and was read cold."""
    made = prepare(app)
    keeper.turn(5)
    send(f"/firing/{made['firing']}/light", {"in_fact": "1"})
    keeper.turn(120)
    send(f"/firing/{made['firing']}/off", {"reason": "reached"})
    keeper.turn(300)
    send(f"/firing/{made['firing']}/out", {"charge": made["charge"], "rest_place": "brick", "in_fact": "1"})
    send(f"/charge/{made['charge']}/cool", {"surface_c": "24"})
    return made["charge"]


def opened(app: Flask, send: Any, keeper: Any, **more: Any) -> str:
    charge = fired(app, send, keeper)
    answer = send(f"/charge/{charge}/open", {"gross_g": "53,1", "tare_after_g": "48.2", "fate": "clean", **more})
    assert answer.status_code == 303, answer.get_data(as_text=True)
    return str(answer.headers["Location"].rsplit("/", 1)[1])


def test_what_comes_out_is_a_powder_with_a_code_and_its_crucible_is_free(
    app: Flask, client: FlaskClient, send, keeper
) -> None:  # type: ignore[no-untyped-def]
    powder = opened(app, send, keeper, photo=a_photo())
    view = pigment(state_of(app), powder)
    assert view is not None and view.raw_g == pytest.approx(4.9) and view.code and view.state == "raw"
    page = client.get(f"/pigment/{powder}")
    assert page.status_code == 200 and "/photo/" in page.get_data(as_text=True)


def test_the_whole_way_to_a_judged_swatch(app: Flask, client: FlaskClient, send, keeper) -> None:  # type: ignore[no-untyped-def]
    powder = opened(app, send, keeper)
    bin_ = send("/waste/new", {"contents": "rinses with zinc"}).headers["Location"].rsplit("/", 1)[1]
    base = f"/pigment/{powder}"
    fields = {"round": "1", "water_ml": "200", "acid": "none", "test": "pH", "result": "7", "waste": bin_}
    assert send(base + "/wash", fields).status_code == 303
    assert send(base + "/grind", {"medium": "water", "minutes": "10", "sieve_um": "45"}).status_code == 303
    assert send(base + "/dry", {"net_g": "4,8"}).status_code == 303
    made = send(base + "/swatch", {"binder": "linseed oil", "oil_g": "0.4", "photo": a_photo()})
    assert made.status_code == 303, made.get_data(as_text=True)
    assert made.headers["Location"] == f"{base}/judge"
    [swatch] = state_of(app).things("swatch")
    measured = send(f"/swatch/{swatch}/measure", {"l": "60", "a": "-3", "b": "-20", "method": "by eye"})
    assert measured.status_code == 303
    judged = send(base + "/judge", {"verdict": "keep", "words": "clean", "guess.underfired": "1"})
    assert judged.status_code == 303
    state = state_of(app)
    view = pigment(state, powder)
    assert view is not None and view.state == "kept" and view.dry_g == 4.8
    tree = origin(state, swatch)
    assert tree is not None and len(firings_of(tree)) == 1
    assert weighed_lines(tree) == [("ZnO", pytest.approx(5.0))]
    for path in (base, f"/swatch/{swatch}", "/swatches", f"/waste/{bin_}", "/waste", f"/thing/{swatch}", "/"):
        assert client.get(path).status_code == 200, path
    assert "200 mL" in client.get(f"/waste/{bin_}").get_data(as_text=True)


def test_two_swatches_side_by_side_say_what_differed(app: Flask, client: FlaskClient) -> None:
    from bench.demo import fill

    bench = app.extensions["bench"]
    fill(bench)
    first, second = bench.state.things("swatch")[-2:]  # two of a series that differ in their titanium
    page = client.get(f"/swatches?pick.{first}=1&pick.{second}=1").get_data(as_text=True)
    assert "ΔE₀₀" in page and "What differed" in page and "TiO₂" in page


def test_what_is_left_after_a_breakage_is_gathered(app: Flask, client: FlaskClient, send, keeper) -> None:  # type: ignore[no-untyped-def]
    powder = opened(app, send, keeper)
    code = state_of(app).code_of(powder)
    assert client.get("/gather").status_code == 200
    for wrong in ({}, {"code.0": code}, {"g.0": "3"}, {"code.0": "7K3MQX", "g.0": "1"}, {"code.0": code, "g.0": "-1"}):
        assert send("/gather", wrong).status_code == 422
    answer = send("/gather", {"code.0": code, "g.0": "3,5"})
    assert answer.status_code == 303
    made = pigment(state_of(app), answer.headers["Location"].rsplit("/", 1)[1])
    assert made is not None and made.raw_g == 3.5 and made.code
