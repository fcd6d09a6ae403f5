"""What a form offers and nobody reads is recorded as assumed, said so, and proves nothing; what is touched is read."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.records.record import Record
from bench.science.refusal import Refusal
from bench.web.forms import Form
from bench.workshop.comparing import facts
from bench.workshop.expectation import LIGHTER, gap
from tests.screens.making import Making
from tests.workshop.builder import lines

PLAN = {"schedule": [{"to_c": 1000.0, "hold_min": 60.0}], "cooling_mode": "in-furnace"}
ZINC = (("ZnO", 5.7), ("Fe2O3", 4.3))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def test_an_offer_that_is_left_alone_is_unread_and_a_typed_one_is_not() -> None:
    assert Form({"g": "5", "offered.g": "5"}).unread() == {"g"}
    assert Form({"g": "5.1", "offered.g": "5"}).unread() == set()
    assert Form({"g": "5"}).unread() == set()
    fresh = Form(start={"lid": "vented"}).offer(lid="loose", minutes=20.0)
    assert fresh.typed == {"lid": "vented", "minutes": "20"} and fresh.unread() == {"minutes"}


def test_only_fields_of_the_data_can_be_assumed(make: Making) -> None:
    made = make.add("reading", {"c": 20.0}, subject=make.firing(make.furnace())).to_dict()
    assert Record.from_dict(made | {"assumed": ["c"]}).read("c") is None
    assert Record.from_dict(made).read("c") == 20.0 and "assumed" not in made
    with pytest.raises(Refusal):
        Record.from_dict(made | {"assumed": ["f"]})


def test_habits_of_the_last_time_are_offered_and_kept_as_assumed(make: Making, client: FlaskClient, send: Any) -> None:
    """Minutes are; what a liquid is never is, nor what the streak shows."""
    first, second = (make.batch(lines(*ZINC), name="tan") for _ in range(2))
    for thing in (first, second):
        make.weigh(thing, *(g for _, g in ZINC))
    make.add("mixed", {"medium": "water", "minutes": 20.0, "streak": "even"}, first)
    page = client.get(f"/batch/{second}/grind").text
    assert 'name="offered.minutes" value="20"' in page
    assert 'name="offered.medium"' not in page and 'name="offered.streak"' not in page
    send(f"/batch/{second}/grind", {"medium": "water", "minutes": "20", "offered.minutes": "20"})
    kept = make.state.own(second, "mixed")[0]
    assert kept.body.minutes == 20.0 and kept.assumed == ("minutes",)
    assert "20 min, assumed" in client.get(f"/thing/{second}").text
    charges = [make.charge({"batch": thing, "g": 10.0}) for thing in (first, second)]
    make.fired(*charges)
    powders = [make.opened(one) for one in charges]
    assert ["ground before" in facts(make.state, one) for one in powders] == [True, False]


@pytest.mark.parametrize(("said", "assumed"), [({}, True), ({"all_of_it": "1"}, False), ({"g": "9.99"}, False)])
def test_a_filling_that_nobody_weighed_proves_no_loss(
    make: Making, app: Flask, client: FlaskClient, send: Any, said: dict[str, str], assumed: bool
) -> None:
    """10 g of oxides that lose nothing, 9 g come out: a loss, unless what went in was only offered."""
    pot = make.crucible(40.0)
    thing = make.ready_batch(lines(*ZINC), name="tan", target_formula="ZnFe2O4", fired_g=10.0, **PLAN)
    make.checked(thing, "before-loading")
    assert 'name="offered.g" value="10"' in client.get(f"/batch/{thing}/load").text
    sent = {"crucible": pot, "g": "10", "offered.g": "10", "lid": "loose", "offered.lid": "loose"} | said
    answer = send(f"/batch/{thing}/load", sent)
    charge = answer.location.split("/")[2]
    kept = make.state.records[charge]
    assert ("sources" in kept.assumed) is assumed and "lid" in kept.assumed
    page = client.get(f"/charge/{charge}").text
    assert ('class="assumed">10.00 g, assumed<' in page) is assumed and 'class="assumed">loose, assumed<' in page
    make.opened(charge, gross_g=49.0, tare_after_g=40.0)
    found = gap(make.state, charge, app.extensions["bench"].library)
    assert found is not None and found.found_g == pytest.approx(9.0) and found.expected_g is not None
    assert found.meaning == (None if assumed else LIGHTER) and not found.inside
