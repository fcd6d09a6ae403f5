"""Make it again: one screen from the powder, kept with one tap; and the dose that a series suggests."""

import re

from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper, Send
from tests.screens.making import Making
from tests.screens.powders import last, powder
from tests.workshop.builder import lines


def test_one_tap_from_the_powder_to_the_plan(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    old = make.jar("ZnO", "zinc-oxide", net_g=5.5, assay_pct=99.5)
    thing = powder(make)
    batch = next(one for one in make.state.things("batch"))
    make.correct(make.state.slot(batch, "weighed", 1).record, jar=old)  # type: ignore[arg-type]
    make.jar("ZnO", "zinc-oxide", net_g=100.0, assay_pct=98.7, lot="9")
    make.judged(thing)
    assert f"/pigment/{thing}/again" in client.get(f"/pigment/{thing}").get_data(as_text=True)
    text = client.get(f"/pigment/{thing}/again").get_data(as_text=True)
    # By hand: 5.00 · 99.5 / 98.7 = 5.0405.
    assert "5.04" in text and "98.7 % in place of 99.5 %" in text and "New jar, lot 9" in text
    done = send(f"/pigment/{thing}/again", record_id="01K8Z0000000000000000000AA")
    assert done.status_code == 303
    make.jar("ZnO", "zinc-oxide", net_g=100.0, assay_pct=50.0)
    make.closed(make.state.slot(last(done.location), "batch.planned").body.lines[0].jar)
    again = send(f"/pigment/{thing}/again", record_id="01K8Z0000000000000000000AA")
    assert again.location == done.location and len(make.state.things("batch")) == 2
    plan = make.state.slot(last(done.location), "batch.planned").body
    assert (
        make.state.records[last(done.location)].also == {"repeats": batch}
        and plan.name == "tan"
        and plan.lines[0].target_g == 5.04053
    )
    assert make.state.code_of(last(done.location))


def test_the_suggested_dose_is_planned(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    series = make.add("series.planned", {"factor": "zinc oxide", "unit": "g", "levels": [4, 5]}).id
    powders = []
    for level, verdict in ((4.0, "discard"), (5.0, "keep")):
        powders.append(powder(make, ("ZnO", level), ("Fe2O3", 10.0), series=series, level=level))
        make.judged(powders[-1], verdict)
    text = client.get(f"/pigment/{powders[1]}").get_data(as_text=True)
    href = re.search(r'href="(/pigment/[^"]+/again\?level=4\.5)"', text)
    assert href
    shown = client.get(href[1]).get_data(as_text=True)
    assert "The series suggests this dose." in shown and 'name="level" value="4.5"' in shown
    done = send(f"/pigment/{powders[1]}/again", level="4.5")
    plan = make.state.slot(last(done.location), "batch.planned").body
    assert (plan.lines[0].target_g, plan.lines[1].target_g) == (4.5, 10.0)
    assert (plan.series, plan.level) == (series, 4.5)
    assert client.get(f"/pigment/{powders[1]}/again?level=x").status_code == 404
    # Made again without a change, it is one more batch of its own level.
    again = send(f"/pigment/{powders[1]}/again")
    same = make.state.slot(last(again.location), "batch.planned").body
    assert (same.series, same.level) == (series, 5.0)
    text = client.get(f"/series/{series}").get_data(as_text=True)
    assert text.count("5 g") >= 2


def test_a_batch_without_a_powder_is_made_again(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    thing = make.batch(lines(("ZnO", 5.0), ("Fe2O3", 10.0)))
    make.weigh(thing, 5.1, 10.0)
    assert "5.10" in client.get(f"/batch/{thing}/again").get_data(as_text=True)
    done = send(f"/batch/{thing}/again", name="Second try")
    assert done.status_code == 303 and make.state.slot(last(done.location), "batch.planned").body.name == "Second try"
    assert send(f"/batch/{thing}/again", name="x" * 81).status_code == 422
    assert client.get(f"/batch/{'0' * 26}/again").status_code == 404
