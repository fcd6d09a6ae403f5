"""A reading that no furnace makes: it is asked about, and alone it opens no hot furnace."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines

ASKED = "31 °C? Last: 420 °C, 1 min ago."


class Fire:
    """A fire at 420 °C with one crucible that is to cool in the furnace."""

    def __init__(self, make: Making) -> None:
        self.make, self.id = make, make.firing(make.furnace())
        plan = {"schedule": [{"to_c": 920.0, "hold_min": 60.0}], "cooling_mode": "in-furnace"}
        batch = make.ready_batch(lines(("ZnO", 5.7), ("Fe2O3", 4.3)), **plan)
        self.charge = make.charge({"batch": batch, "g": 10.0})
        make.placed(self.charge, self.id)
        make.lit(self.id)
        make.wait(60)
        make.reading(self.id, 420.0)
        make.wait(1)

    @property
    def read(self) -> list[float]:
        return [one.body.c for one in self.make.state.own(self.id, "reading")]


@pytest.fixture
def fire(app: Flask, keeper: Any) -> Fire:
    return Fire(Making(app, keeper))


@pytest.mark.parametrize("typed", [{"c": "31", "unit": "C"}, {"tens": "3", "digit": "1"}, {"c": "87.8", "unit": "F"}])
def test_it_is_asked_before_it_is_recorded(fire: Fire, send: Any, client: FlaskClient, typed: dict[str, str]) -> None:
    path = f"/firing/{fire.id}/reading"
    asked = send(path, typed)
    said = asked.get_data(as_text=True).replace("</b>", "")
    assert asked.status_code == 422 and ASKED in said and "A loose probe" in said and fire.read == [420.0]
    assert all(f'name="{name}" value="{value}"' in said for name, value in typed.items()), "it goes along"
    assert send(path, typed | {"in_fact": "1"}).status_code == 303
    assert fire.read[1] == pytest.approx(31)
    assert "came 1 min after 420 °C. Read the probe again." in client.get(f"/firing/{fire.id}").text


def test_what_a_furnace_can_do_is_not_asked(fire: Fire, send: Any) -> None:
    """After 19 min more 400 °C over the room may have halved six times and more, where the fire is off."""
    fire.make.off(fire.id)
    fire.make.wait(19)
    assert send(f"/firing/{fire.id}/reading", c="31", unit="C").status_code == 303


@pytest.mark.parametrize(
    ("after_min", "c", "asked"),
    [(29, "38", True), (29, "3500", True), (29, "300", False), (29, "455", False), (239, "38", False)],
)
def test_a_digit_left_out_is_asked_while_it_burns_by_plan(
    fire: Fire, send: Any, after_min: int, c: str, asked: bool
) -> None:
    """Half an hour on, the plan has 20 + 300 × 1.5 = 470 °C. A stall, an opened door, the end are not asked."""
    fire.make.wait(after_min)
    answer = send(f"/firing/{fire.id}/reading", c=c, unit="C")
    assert (answer.status_code == 422) is asked
    assert not asked or "The plan has 470 °C now." in answer.get_data(as_text=True)
    assert not asked or send(f"/firing/{fire.id}/reading", c=c, unit="C", in_fact="1").status_code == 303


def test_a_probe_that_was_put_back_is_not_asked_about(fire: Fire, send: Any) -> None:
    """Half a minute after 31 °C it reads about what it read before that."""
    assert send(f"/firing/{fire.id}/reading", c="31", unit="C", in_fact="1").status_code == 303
    fire.make.wait(0.5)
    assert send(f"/firing/{fire.id}/reading", c="418", unit="C").status_code == 303
    assert fire.read == [420.0, 31.0, 418.0]


@pytest.mark.parametrize("off", [False, True])
def test_one_cold_reading_opens_nothing(fire: Fire, send: Any, client: FlaskClient, off: bool) -> None:
    """Neither while it burns nor after the fire; a second one, five minutes later, does."""
    out, read = f"/firing/{fire.id}/out", {"c": "31", "unit": "C", "in_fact": "1"}
    if off:
        fire.make.off(fire.id)
    assert send(f"/firing/{fire.id}/reading", read).location == f"/firing/{fire.id}"
    page = client.get(f"{out}?charge={fire.charge}").text
    assert "An unplanned hot pull burns" in page and "The probe may be loose" in page
    assert "31 °C inside" not in page and ("420 °C inside" in page) is not off
    assert send(out, charge=fire.charge, rest_place="brick").status_code == 422
    fire.make.wait(5)
    # The cold one before it stands by it: it is not asked about.
    answer = send(f"/firing/{fire.id}/reading", c="31", unit="C")
    assert answer.location == (out if off else f"/firing/{fire.id}")
    page = client.get(f"{out}?charge={fire.charge}").text
    assert "An unplanned hot pull burns" not in page and "The probe may be loose" not in page


def test_a_file_of_readings_is_taken_in_as_it_is(fire: Fire, client: FlaskClient) -> None:
    """What a logger read is a fact: it is recorded, and the firing says what is odd about it."""
    for c in (424.0, 32.0):
        fire.make.journal.write("reading", fire.id, {"c": c}, how="import")
        fire.make.wait(0.5)
    assert "came 1 min after 424 °C" in client.get(f"/firing/{fire.id}").text
    assert "An unplanned hot pull burns" in client.get(f"/firing/{fire.id}/out?charge={fire.charge}").text


@pytest.mark.parametrize(
    ("off", "read", "order", "way"),
    [
        (False, (), "Leave it in: the fire is on.", "too few readings to tell"),
        (True, (431.0,), "Leave it in until the furnace reads 100 °C.", "too few readings to tell"),
        (True, (425.0, 430.0, 436.0, 441.0), "Leave it in until the furnace reads 100 °C.", "rising"),
        (True, (420.0, 421.0, 419.0, 420.0), "Leave it in until the furnace reads 100 °C.", "steady"),
        (True, (340.0, 260.0, 170.0, 95.0), "Take it out now.", "falling"),
    ],
)
def test_the_page_of_cooling_says_what_to_do_now(
    fire: Fire, client: FlaskClient, off: bool, read: tuple[float, ...], order: str, way: str
) -> None:
    """And which way the furnace goes, where five readings tell it; no fact in it contradicts another."""
    if off:
        fire.make.off(fire.id)
    for c in read:
        fire.make.wait(10)
        fire.make.reading(fire.id, c)
    page = client.get(f"/charge/{fire.charge}/cool").text
    assert f"<h2>{order}</h2>" in page and way in page
    assert "Planned cooling: Leave in the furnace to cool." in page
    if "Leave" in order:
        assert "Plan a hot pull and check its protection before the fire." in page
        assert page.index("why, and source") < page.index("Hot pull planned: no.")


def test_what_was_read_before_the_fire_went_off_tells_nothing_of_how_it_cools(fire: Fire, client: FlaskClient) -> None:
    """Readings that climb until the end of the fire, and none in the five hours since."""
    for c in (480.0, 540.0, 600.0, 660.0):
        fire.make.wait(10)
        fire.make.reading(fire.id, c)
    assert "rising" in client.get(f"/charge/{fire.charge}/cool").text
    fire.make.off(fire.id)
    fire.make.wait(300)
    page = client.get(f"/charge/{fire.charge}/cool").text
    assert "not read since the fire is off" in page and "660 °C when last read." in page
    assert "rising" not in page and "°C inside" not in page


def test_what_waits_for_a_reading_of_the_furnace_says_so_and_leads_there(fire: Fire, client: FlaskClient) -> None:
    """Long after the fire, its own surface read cold in there: the furnace was last read hot, so that is read first."""
    fire.make.off(fire.id)
    fire.make.wait(20 * 60)
    fire.make.add("touched", {"thing": fire.charge, "surface_c": 21.0}, fire.charge)
    path = f"/firing/{fire.id}/out?charge={fire.charge}"
    page = client.get(path).text
    assert "Read the furnace first" in page and "It opens at 100 °C or less. Last: 420 °C." in page
    assert f'class="plate" href="/firing/{fire.id}/reading"' in page and "Record out" in page
    fire.make.reading(fire.id, 22.0)
    page = client.get(path).text
    assert "Read the furnace first" not in page and "An unplanned hot pull burns" not in page


def test_unload_says_when_the_heat_was_read_that_it_goes_by(fire: Fire, send: Any, client: FlaskClient) -> None:
    """420 °C at 09:00; what is doubted came a minute later."""
    page = f"/firing/{fire.id}/out?charge={fire.charge}"
    before = re.search(r"420 °C inside\..*?Read (\d\d:\d\d)", client.get(page).text, re.S)
    assert before is not None
    assert send(f"/firing/{fire.id}/reading", c="31", unit="C", in_fact="1").status_code == 303
    after = re.search(r"420 °C inside\..*?Read (\d\d:\d\d)", client.get(page).text, re.S)
    assert after is not None and after[1] == before[1]
