"""Opened and weighed out: the powder, its code and photo, the crucible's fate, losses, and the mass against theory."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.pigments import pigment
from tests.screens.making import Making, errors
from tests.screens.powders import a_photo, cold_charge, last


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


FIELDS = {"gross_g": "49,9", "tare_after_g": "40", "fate": "clean"}


def test_what_is_seen_is_recorded_in_the_words_of_its_target(make: Making, client: FlaskClient, send: Any) -> None:
    thing = cold_charge(make, target="egyptian-blue", target_formula="CaCuSi4O10")
    page = client.get(f"/charge/{thing}/open").get_data(as_text=True)
    assert "stuck to crucible" in page and "flux too high" in page
    answer = send(f"/charge/{thing}/open", {**FIELDS, "signs.stuck-to-crucible": "1", "more_signs": "smells of salt"})
    found = make.state.own(thing, "opened")[0].body
    assert found.signs == ("stuck to crucible", "smells of salt") and found.gross_g == 49.9
    assert pigment(make.state, last(answer.headers["Location"])).code  # type: ignore[union-attr]


def test_mass_against_theory_opens_its_working(make: Making, client: FlaskClient, send: Any) -> None:
    # ZnO and Fe2O3 lose nothing in air: 10 g in, 10 g out.
    thing = cold_charge(make, fired_g=15.0)
    ask = client.get(f"/charge/{thing}/open").get_data(as_text=True)
    assert "10.00" in ask and "in theory, unwashed" in ask and "Heavier than theory" in ask
    answer = send(f"/charge/{thing}/open", FIELDS | {"gross_g": "49"})
    page = client.get(answer.headers["Location"]).get_data(as_text=True)
    assert "-1.00 g against theory" in page and "Lighter than theory" in page
    assert "of which the plan leaves 100.0 %" in page and "Weighed, minus theory" in page


@pytest.mark.parametrize(
    ("fate", "lost", "condition", "how"),
    [("broken", "2", "broken", "breakage"), ("cracked", "1", "cracked", "breakage"), ("clean", "1", "clean", "spill")],
)
def test_the_crucible_remembers_and_what_was_lost_is_kept(
    make: Making, send: Any, fate: str, lost: str, condition: str, how: str
) -> None:
    thing = cold_charge(make)
    assert send(f"/charge/{thing}/open", FIELDS | {"fate": fate, "lost_g": lost}).status_code == 303
    view = charge(make.state, thing)
    assert view is not None and view.lost_g == float(lost)
    vessel = crucible(make.state, view.crucible)
    assert vessel is not None and vessel.condition == condition
    assert make.state.own(thing, "lost")[0].body.how == how


def test_with_a_broken_crucible_it_is_asked_what_was_lost(make: Making, send: Any) -> None:
    thing = cold_charge(make)
    answer = send(f"/charge/{thing}/open", FIELDS | {"fate": "broken"})
    assert answer.status_code == 422
    assert errors(answer.get_data(as_text=True)) == ["How much was lost with it? 0 if nothing was."]
    assert send(f"/charge/{thing}/open", FIELDS | {"fate": "broken", "lost_g": "0"}).status_code == 303
    assert not make.state.own(thing, "lost")


def test_one_submit_sent_ten_times_is_one_opening_with_one_photo(make: Making, send: Any) -> None:
    thing = cold_charge(make)
    same = FIELDS | {"record_id": "01KJM6JM00000000000000ABCD"}
    ways = {send(f"/charge/{thing}/open", {**same, "photo": a_photo()}).headers["Location"] for _ in range(10)}
    assert len(ways) == 1
    assert len(make.state.own(thing, "opened")) == 1
    made = last(ways.pop())
    assert len(make.state.own(made, "photo.kept")) == 1 and len(make.state.own(made, "code.assigned")) == 1


def test_a_stopped_opening_hides_its_plate_but_a_fact_is_kept(make: Making, client: FlaskClient, send: Any) -> None:
    thing = make.charge({"batch": make.ready_batch(), "g": 5.0})
    firing = make.firing()
    make.placed(thing, firing)
    make.lit(firing)
    make.reading(firing, 900)
    page = client.get(f"/charge/{thing}/open").get_data(as_text=True)
    foot = page[page.index("<footer") :]
    assert "Too hot to touch." in page and "Record what came out" not in foot and "Measure it first" in foot
    assert send(f"/charge/{thing}/open", FIELDS).status_code == 422
    assert send(f"/charge/{thing}/open", FIELDS | {"in_fact": "1"}).status_code == 303
    assert len(make.state.own(thing, "opened")) == 1


def test_what_is_no_picture_is_refused_beside_it_and_the_rest_is_kept(make: Making, send: Any) -> None:
    import io

    thing = cold_charge(make)
    answer = send(f"/charge/{thing}/open", {**FIELDS, "photo": (io.BytesIO(b"not a picture"), "x.jpg")})
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422 and 'value="49,9"' in text and "cannot keep this picture" in errors(text)[0]
    assert not make.state.own(thing, "opened")


def test_a_refused_opening_keeps_its_photo_until_it_is_recorded_or_dropped(
    app: Flask, make: Making, send: Any, keeper: Any
) -> None:
    """Broken, and no loss named: refused. The photo goes with the next try, is dropped, or waited too long."""
    for say, photos in (({}, 1), ({"photo_dropped": "1"}, 0), (None, 0)):
        thing = cold_charge(make)
        refused = send(f"/charge/{thing}/open", {**FIELDS, "fate": "broken", "photo": (a_photo()[0], "pot.jpg")})
        text = refused.get_data(as_text=True)
        assert refused.status_code == 422 and "Photo kept: pot.jpg" in text
        mark = text.split('name="photo_held" value="')[1].split('"')[0]
        if say is None:
            keeper.turn(31)
        sent = {**FIELDS, "fate": "broken", "lost_g": "0", "photo_held": mark, **(say or {})}
        made = last(send(f"/charge/{thing}/open", sent).headers["Location"])
        assert len(make.state.own(made, "photo.kept")) == photos
    assert not app.extensions["held_photos"]


def test_strangers_and_wrong_methods(client: FlaskClient, send: Any) -> None:
    assert client.get("/charge/01KJM6JM00000000000000ABCD/open").status_code == 404
    assert send("/charge/nobody/open", FIELDS).status_code == 404
    assert client.put("/charge/nobody/open").status_code in (400, 403, 405)
