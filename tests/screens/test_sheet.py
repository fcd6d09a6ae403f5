"""Enter run sheet: rows entered in their printed order, each with the time it happened."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reference import load_library
from bench.workshop.flags import flags_of
from bench.workshop.sheets import firing_sheet
from tests.screens.making import Making

Made = dict[str, str]


def prepare(app: Flask) -> Made:
    """A batch of two lines, a crucible with a code, and a firing with one charge placed in it."""
    journal = app.extensions["bench"].journal
    jar = journal.write("jar.opened", None, {"reagent": "Chalk", "formula": "CaCO3"}).id
    lines = [
        {"line": 1, "formula": "CaCO3", "target_g": 8.07, "jar": jar},
        {"line": 2, "formula": "SiO2", "target_g": 19.27},
    ]
    batch = journal.write("batch.planned", None, {"name": "Yard blue", "from": "grams", "lines": lines}).id
    pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 30}).id
    journal.write("code.assigned", pot, {"code": "T5C7HJ", "thing": pot})
    furnace = journal.write("furnace.described", None, {"name": "Yard ring", "fuel": "gas"}).id
    segments = [{"to_c": 900.0, "hold_min": 60}]
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
    return {"batch": batch, "pot": pot, "firing": firing}


def rows(app: Flask, thing: str, kind: str) -> list[Any]:
    return app.extensions["bench"].state.rows(thing, kind)  # type: ignore[no-any-return]


def test_a_batch_sheet_becomes_late_records_at_their_times(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    filled = {
        "day": "2026-11-11",
        "r1.1.g": "8,07",
        "r1.1.at": "09:12",
        "r1.2.g": "19.31",
        "r2.1.medium": "water",
        "r2.1.minutes": "15",
        "r2.1.at": "09:40",
        "r4.1.code": "t5c7h-j",
        "r4.1.g": "27.3",
        "r4.1.wet_g": "33",
        "r4.1.lid": "loose",
        "r4.1.at": "10:05",
    }
    answer = send(f"/sheet/batch/{made['batch']}", filled)
    assert answer.status_code == 303 and answer.location == f"/batch/{made['batch']}"
    weighed = rows(app, made["batch"], "weighed")
    assert [r.body.net_g for r in weighed] == [8.07, 19.31]
    assert {r.how for r in weighed} == {"late"}
    assert [r.happened_at[:16] for r in weighed] == ["2026-11-11T09:12", "2026-11-11T09:12"]
    charged = rows(app, made["pot"], "charged")[0]
    assert charged.body.sources[0].g == 27.3 and charged.body.lid == "loose"
    assert charged.happened_at.startswith("2026-11-11T10:05")


def test_a_firing_sheet_runs_past_midnight(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    filled = {
        "day": "2026-11-10",
        "r2.1.lit": "1",
        "r2.1.at": "20:00",
        "r3.1.c": "300",
        "r3.1.at": "21:30",
        "r3.2.c": "880",
        "r3.2.at": "00:20",
        "r6.1.reason": "stalled",
        "r6.1.at": "01:00",
    }
    assert send(f"/sheet/firing/{made['firing']}", filled).status_code == 303
    read = rows(app, made["firing"], "reading")
    assert [(r.body.c, r.happened_at[:16]) for r in read] == [(300, "2026-11-10T21:30"), (880, "2026-11-11T00:20")]
    assert rows(app, made["firing"], "fire.off")[0].happened_at.startswith("2026-11-11T01:00")


@pytest.mark.parametrize(("fuel", "lit"), [("gas", True), ("electric", False)])
def test_the_sheet_of_an_electric_furnace_speaks_of_no_flame(app: Flask, keeper: Any, fuel: str, lit: bool) -> None:
    make = Making(app, keeper)
    firing = make.firing(make.furnace(fuel=fuel))
    sheet = firing_sheet(make.state, firing, load_library())
    titles = [one.title for one in sheet]
    assert ("Lit" in titles and "Before lighting" in titles) is lit
    assert ("Switched on" in titles and "Before switching on" in titles) is not lit
    seen = next(one for one in sheet if one.rows and one.rows[0].no == "4.1").rows[0].blanks[0].options
    assert ({"flame", "burner-change", "gas-change"} <= set(seen)) is lit and "lid" in seen


def test_wrong_rows_say_so_beside_their_fields_and_nothing_is_kept(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    before = len(app.extensions["bench"].state.records)
    filled = {"day": "2026-11-11", "r1.1.g": "8,07.1", "r1.1.at": "25:00", "r4.1.code": "T5C7HK", "r5.2.value": "dusty"}
    answer = send(f"/sheet/batch/{made['batch']}", filled)
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'value="8,07.1"' in text and 'value="25:00"' in text and "dusty" in text
    assert text.count('class="complaint"') >= 3
    assert len(app.extensions["bench"].state.records) == before


def test_the_same_sheet_sent_twice_is_kept_once(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    path = f"/sheet/batch/{made['batch']}"
    found = re.search(r'name="record_id" value="(\w{26})"', client.get(path).get_data(as_text=True))
    assert found
    filled = {"day": "2026-11-11", "record_id": found[1], "r5.2.value": "a little dust", "r5.2.at": "09:00"}
    for _ in range(3):
        assert send(path, filled).status_code == 303
    assert len(rows(app, made["batch"], "noted")) == 1


def test_a_row_that_stands_is_shown_and_typing_it_again_corrects_it(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    path = f"/sheet/batch/{made['batch']}"
    send(path, {"day": "2026-11-11", "r1.1.g": "8.70", "r1.1.at": "09:00"})
    assert "8.70 g" in client.get(path).get_data(as_text=True)
    send(path, {"day": "2026-11-11", "r1.1.g": "8.07", "r1.1.at": "09:00"})
    assert [r.body.net_g for r in rows(app, made["batch"], "weighed")] == [8.07]
    assert not app.extensions["bench"].state.disagreements(made["batch"])


def test_an_empty_sheet_and_an_unknown_thing(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    assert send(f"/sheet/batch/{made['batch']}", {"day": "2026-11-11"}).status_code == 422
    assert client.get("/sheet/batch/01ZZZZZZZZZZZZZZZZZZZZZZZZ").status_code == 404
    assert client.get("/sheet/firing/nothing").status_code == 404


def test_a_stop_is_signed_with_time_and_initials_and_a_blank_one_is_flagged(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    made, here = prepare(app), app.extensions["bench"]
    path = f"/sheet/firing/{made['firing']}"
    signed = {"check.light-zone.fine": "1", "check.light-zone.by": "KL", "check.light-zone.at": "07:50"}
    fire = {"r2.1.lit": "1", "r2.1.at": "08:00", "r6.1.reason": "reached", "r6.1.at": "11:00"}
    assert send(path, {"day": "2026-11-10", **signed, **fire}).status_code == 303
    [kept] = rows(app, made["firing"], "check.answered")
    assert (kept.body.item, kept.body.answer, kept.body.by) == ("light-zone", "done", "KL")
    assert kept.happened_at.startswith("2026-11-10T07:50")

    def blank() -> list[str]:
        found = flags_of(here.state, made["firing"], here.library)
        return [flag.say for flag in found if flag.say.startswith("Blank on the run sheet")]

    said, count = " ".join(blank()), len(blank())
    assert "Cylinder and regulator" in said and "cylinder valve" in said
    assert "Nobody else" not in said and "60 minutes after" not in said
    late = {"check.off-gas.fine": "1", "check.off-gas.at": "11:20"}
    assert send(path, {"day": "2026-11-10", **late}).status_code == 303
    assert len(blank()) == count - 1


def test_initials_without_a_tick_sign_nothing(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    filled = {"day": "2026-11-10", "check.light-zone.by": "KL", "check.light-zone.at": "07:50"}
    answer = send(f"/sheet/firing/{made['firing']}", filled)
    assert answer.status_code == 422 and "Tick what was signed" in answer.get_data(as_text=True)


def test_the_time_comes_first_as_on_the_paper(app: Flask, client: FlaskClient) -> None:
    """Of a hard stop the box comes before it: there time and initials sign what was ticked."""
    made = prepare(app)
    page = client.get(f"/sheet/firing/{made['firing']}").text
    asked = re.findall(r'<(?:input|select) id="r3\.1\.(\w+)"', page)
    hard = re.findall(r'name="([^"]+)\.by"', page)[0]
    signed = re.findall(rf'name="{re.escape(hard)}\.(\w+)"', page)
    assert asked == ["at", "c"] and signed == ["fine", "at", "by"]
