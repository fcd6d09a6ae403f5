"""The verdict on a powder with its suspected causes, what follows from it, and what it lacks."""

from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.next_steps import pigment_step
from bench.workshop.things.pigments import pigment
from bench.workshop.things.swatches import swatch
from tests.screens.making import Making, errors
from tests.screens.powders import last, powder

BLUE = {"target": "cobalt-aluminate-blue", "target_formula": "CoAl2O4"}
SHORT = (("Co3O4", 8.0), ("Al(OH)3", 12.0))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_a_verdict_keeps_its_words_and_its_causes_sure_or_guessed(
    make: Making, client: FlaskClient, send: Any, keeper: Any
) -> None:
    thing = powder(make, *SHORT, **BLUE)
    keeper.turn(1)
    fields = {"verdict": "refire", "words": "grey\nand soft", "guess.underfired": "1", "guess.flux-wrong": "1"}
    fields |= {"sure.underfired": "1", "cause": "the door stood open"}
    assert send(f"/pigment/{thing}/judge", fields).status_code == 303
    body = make.state.own(thing, "judged")[0].body
    found = [(one.cause, one.certainty) for one in body.suspected]
    assert found == [("underfired", "sure"), ("flux wrong", "guess"), ("the door stood open", "guess")]
    page = client.get(f"/pigment/{thing}").get_data(as_text=True)
    assert "To be fired again." in page and "grind again and fire once more" in page
    assert "common practice" in page and f"/pigment/{thing}/refire" in page


def test_the_causes_of_its_target_stand_there_those_seen_first(make: Making, client: FlaskClient) -> None:
    charge = make.charge({"batch": make.ready_batch(**BLUE), "g": 10.0})
    make.fired(charge)
    thing = make.opened(charge, 49.0, signs=["black specks"])
    page = client.get(f"/pigment/{thing}/judge").get_data(as_text=True)
    assert page.index("coarse Co3O4 or poor mixing") < page.index("<b>underfired</b>")
    assert "lens shows specks in good blue" in page


def test_the_swatches_it_is_judged_by_are_judged_with_it(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make)
    made = make.swatch(thing)
    assert f'name="by.{made}" value="1" checked' in client.get(f"/pigment/{thing}/judge").get_data(as_text=True)
    send(f"/pigment/{thing}/judge", {"verdict": "keep", "words": "warm", f"by.{made}": "1"})
    view = swatch(make.state, made)
    assert view is not None and view.judged is not None and view.judged.words == "warm"


@pytest.mark.parametrize(
    ("verdict", "state", "path"),
    [
        ("keep", "kept", None),
        ("refire", "refire", "/refire"),
        ("make-up", "make-up", "/make-up"),
        ("tint", "tint", None),
        ("discard", "waste", None),
    ],
)
def test_each_verdict_leads_on(
    make: Making, client: FlaskClient, send: Any, keeper: Any, verdict: str, state: str, path: str | None
) -> None:
    thing = powder(make)
    keeper.turn(1)
    assert send(f"/pigment/{thing}/judge", {"verdict": verdict}).status_code == 303
    view = pigment(make.state, thing)
    assert view is not None and view.state == state
    page = client.get(f"/pigment/{thing}").get_data(as_text=True)
    foot = page[page.index("<footer") :]
    assert (path in foot) if path else (pigment_step(make.state, thing) is None)
    assert client.get(f"/pigment/{thing}{path or ''}").status_code == 200


def test_what_is_thrown_away_goes_into_a_container(make: Making, send: Any, keeper: Any) -> None:
    thing = powder(make)
    bin_ = last(send("/waste/new", {"contents": "solids"}).headers["Location"])
    keeper.turn(1)
    kept = send(f"/pigment/{thing}/judge", {"verdict": "keep", "waste": bin_})
    assert kept.status_code == 422 and errors(kept.get_data(as_text=True))
    assert send(f"/pigment/{thing}/judge", {"verdict": "discard", "waste": bin_}).status_code == 303
    added = make.state.rows(bin_, "waste.added")[-1].body
    assert added.mass_g == pytest.approx(9.9) and added.from_ == thing


@pytest.mark.parametrize(
    "wrong",
    [{}, {"verdict": "perhaps"}, {"verdict": "keep", "words": "w" * 100_000}, {"verdict": "keep", "waste": "x"}],
)
def test_wrong_verdicts_stand_beside_their_field(make: Making, send: Any, wrong: dict[str, str]) -> None:
    thing = powder(make)
    answer = send(f"/pigment/{thing}/judge", wrong)
    assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert not make.state.own(thing, "judged")


def test_one_verdict_sent_ten_times_is_one(make: Making, send: Any) -> None:
    thing = powder(make)
    same = {"verdict": "tint", "record_id": "01KJM6JM00000000000000ABCD"}
    assert {send(f"/pigment/{thing}/judge", same).status_code for _ in range(10)} == {303}
    assert len(make.state.own(thing, "judged")) == 1


def test_what_it_lacks_is_planned_with_its_grams_and_its_fire(make: Making, client: FlaskClient) -> None:
    # 8 g Co3O4 ask for 8 · 156.006 / 80.265 = 15.549 g Al(OH)3 (abridged atomic weights, IUPAC 2021); half was filled.
    thing = powder(make, *SHORT, **BLUE, schedule=[{"to_c": 1250, "hold_min": 60}])
    page = client.get(f"/pigment/{thing}/make-up").get_data(as_text=True)
    assert "1.77" in page and "Plan make-up" in page
    path = page.split('class="plate" href="')[1].split('"')[0].replace("&amp;", "&")
    asked = parse_qs(urlsplit(path).query)
    assert asked["formula.0"] == ["Al(OH)3"] and float(asked["g.0"][0]) == pytest.approx(3.549 / 2, rel=1e-3)
    assert asked["to_c.0"] == ["1250"] and "pigment" in asked["notes"][0]
    plan = client.get(path).get_data(as_text=True)
    assert 'value="Al(OH)3"' in plan and 'value="1250"' in plan and "Make-up for tan" in plan


def test_what_cannot_be_reckoned_says_why(make: Making, client: FlaskClient) -> None:
    page = client.get(f"/pigment/{powder(make)}/make-up").get_data(as_text=True)
    assert "names no target" in page and "/plan/grams?" in page


def test_strangers_are_404(client: FlaskClient, send: Any) -> None:
    for step in ("judge", "make-up"):
        assert client.get(f"/pigment/x/{step}").status_code == 404
    assert send("/pigment/x/judge", {"verdict": "keep"}).status_code == 404
