"""The fire off: the end that the readings support stands first, and one that they contradict is asked about."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making

LOW = "Highest reading 431 of 920 °C."


def fire(make: Making, *read: float) -> str:
    """A fire to 920 °C with readings half an hour apart."""
    thing = make.firing(make.furnace(), peak_c=920.0)
    make.lit(thing)
    for c in read:
        make.wait(30)
        make.reading(thing, c)
    return thing


def first(page: str) -> bool:
    """Whether *Finished as planned* stands before all other ways to end."""
    return page.index('value="reached"') < page.index('value="stalled"')


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_an_end_that_was_never_reached_is_asked_about(make: Making, client: FlaskClient, send: Any) -> None:
    path = f"/firing/{fire(make, 300, 431, 425)}/off"
    page = client.get(path).text
    assert not first(page) and LOW in page and " checked" not in page
    asked = send(path, reason="reached")
    assert asked.status_code == 422 and f"Not recorded: {LOW}" in asked.get_data(as_text=True)
    assert "Record it as finished as planned" in asked.get_data(as_text=True)
    assert not make.state.has_any("fire.off")
    assert send(path, reason="reached", in_fact="1").status_code == 303


@pytest.mark.parametrize(("read", "reason"), [((), "reached"), ((500, 910), "reached"), ((500,), "stalled")])
def test_an_end_that_is_not_contradicted_is_recorded(
    make: Making, client: FlaskClient, send: Any, read: tuple[float, ...], reason: str
) -> None:
    """10 °C below its peak is its peak, and without a reading nothing contradicts anything."""
    path = f"/firing/{fire(make, *read)}/off"
    make.wait(60)  # as long as it was planned to hold
    assert first(client.get(path).text) is (reason == "reached")
    assert send(path, reason=reason).status_code == 303


def test_a_hold_that_was_not_read_is_said_and_one_that_cannot_have_been_is_asked(
    make: Making, client: FlaskClient, send: Any
) -> None:
    """The plan holds 60 min: after one reading at heat it may have been held, ten minutes after 500 °C it cannot."""
    thing = fire(make, 500, 921)
    make.wait(20)  # 50 min since it was at 500
    page = client.get(f"/firing/{thing}/off").text
    assert not first(page) and "At heat for at most 50 of 60 min." in page
    assert send(f"/firing/{thing}/off", reason="reached").status_code == 422
    make.wait(11)  # 61 min since
    page = client.get(f"/firing/{thing}/off").text
    assert first(page) and "At heat by readings: 0 of 60 min." in page and "at most" not in page
    make.reading(thing, 919)
    assert "At heat by readings: 31 of 60 min." in client.get(f"/firing/{thing}/off").text
    make.wait(29)
    make.reading(thing, 918)
    assert "At heat" not in client.get(f"/firing/{thing}/off").text
    assert send(f"/firing/{thing}/off", reason="reached").status_code == 303


def test_the_key_at_the_planned_end_says_what_it_records(make: Making, client: FlaskClient) -> None:
    """One reading at heat, and its hold over by the clock: nothing shows that it was held."""
    thing = fire(make, 921)
    make.wait(75)
    said = "At heat by readings: 0 of 60 min. The key records: finished as planned."
    page = client.get(f"/firing/{thing}").text
    assert 'id="offnow"' in page and said in page
    make.reading(thing, 919)
    page = client.get(f"/firing/{thing}").text
    assert 'id="offnow"' in page and "At heat by readings" not in page


def test_a_soak_has_one_end_on_its_page(make: Making, client: FlaskClient) -> None:
    """The clock at the crucible is the soak's own, with the time by which a charge lags behind."""
    thing = make.firing(make.furnace(), peak_c=920.0)
    make.placed(make.charge({"batch": make.ready_batch(), "g": 5.0}), thing)
    make.lit(thing)
    for wait, c in ((30, 700), (30, 915), (20, 921)):
        make.wait(wait)
        make.reading(thing, c)
    make.wait(3)
    page = client.get(f"/firing/{thing}").text
    ends = re.findall(r"ends (\d\d:\d\d)", page)
    assert len(ends) == 2 and len(set(ends)) == 1, ends


def test_an_electric_furnace_is_switched_on_and_not_lit(make: Making, client: FlaskClient, send: Any) -> None:
    """On its own page, its checks, the list of firings and the start page."""
    thing = make.firing(make.furnace(fuel="electric", place="outdoors"), peak_c=920.0)
    make.placed(make.charge({"batch": make.ready_batch(), "g": 5.0}), thing)
    before = [client.get(f"/firing/{thing}").text, client.get(f"/firing/{thing}/checks/before-lighting").text]
    assert "Before switching on" in before[0] and "Before switching on" in before[1]
    assert "Check, then switch on" in client.get("/").text
    assert send(f"/firing/{thing}/light", in_fact="1").status_code == 303
    after = [client.get(path).text for path in ("/", "/firings", f"/firing/{thing}")]
    assert all("witched on" in page for page in after)
    words = re.compile(r">[^<]*\b([Ll]it|[Ll]ight|burner|igniter|blower|flame)\b[^<]*<")
    assert not [found[0] for page in (*before, *after) for found in words.finditer(page)]
