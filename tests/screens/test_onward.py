"""After a record the form of the next step stands open, where there is but one; else the thing's own page."""

from typing import Any

import pytest
from flask import Flask

from bench.web.moments import clock_text
from tests.screens.making import Making
from tests.workshop.builder import lines

ZINC = (("ZnO", 5.7), ("Fe2O3", 4.3))
PLAN = {"schedule": [{"to_c": 1000.0, "hold_min": 60.0}], "cooling_mode": "in-furnace"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def test_the_last_weight_leads_to_the_mortar_and_what_is_told_late_does_not(make: Making, send: Any) -> None:
    """Of two reagents: the first leads to the next, the second to the mortar; late it leads to the sum."""
    now, late = (make.batch(lines(*ZINC)) for _ in range(2))
    make.checked(now, "before-weighing")
    make.checked(late, "before-weighing")
    made = [send(f"/batch/{now}/weigh/{n}", net_g=f"{g}").location for n, (_, g) in enumerate(ZINC, 1)]
    assert made == [f"/batch/{now}/weigh", f"/batch/{now}/grind"]
    told = [
        send(f"/batch/{late}/weigh/{n}", net_g=f"{g}", happened="00:05").location for n, (_, g) in enumerate(ZINC, 1)
    ]
    assert told == [f"/batch/{late}/weigh"] * 2


def test_a_crucible_is_gone_on_with_when_nothing_is_left_for_another(make: Making, send: Any) -> None:
    """Half of a dry batch leads to the crucible's page, which offers the next one; the rest to a place."""
    thing = make.ready_batch(lines(*ZINC), name="tan", **PLAN)
    make.checked(thing, "before-loading")
    ids = ("01HZZZZZZZZZZZZZZZZZZZZZZA", "01HZZZZZZZZZZZZZZZZZZZZZZB")
    sent = [{"record_id": one, "crucible": make.crucible(40.0), "g": "5", "lid": "loose"} for one in ids]
    assert [send(f"/batch/{thing}/load", one).location for one in sent] == [
        f"/charge/{ids[0]}",
        f"/charge/{ids[1]}/place",
    ]


def test_a_furnace_that_was_read_cold_leads_to_taking_out(make: Making, send: Any, keeper: Any) -> None:
    """Neither one that is still hot, nor one that burns, nor an empty one."""
    fire = make.firing(make.furnace())
    filled = make.charge({"batch": make.ready_batch(lines(*ZINC), **PLAN), "g": 10.0})
    for kind, data, subject in (
        ("placed", {"firing": fire}, filled),
        ("lit", {}, fire),
        ("went.in", {"firing": fire, "charge": filled}, filled),
    ):
        make.add(kind, data, subject)

    def read(c: str) -> str:
        return str(send(f"/firing/{fire}/reading", c=c, unit="C").location)

    assert read("30") == f"/firing/{fire}"
    make.add("fire.off", {"reason": "reached"}, fire)
    assert read("40") == f"/firing/{fire}"
    assert read("39") == f"/firing/{fire}/out"
    make.add("came.out", {"firing": fire, "charge": filled}, filled)
    assert read("25") == f"/firing/{fire}"


def test_a_powder_that_was_ground_again_is_weighed_then_brushed_out(make: Making, send: Any) -> None:
    """The forms follow each other; entered late, each leads to the powder."""
    filled = make.charge({"batch": make.ready_batch(lines(*ZINC), **PLAN), "g": 10.0})
    make.fired(filled)
    home = f"/pigment/{make.opened(filled, gross_g=49.0, tare_after_g=40.0)}"
    assert send(f"{home}/grind", medium="water", minutes="10").location == f"{home}/dry"
    assert send(f"{home}/dry", net_g="8.9", drying="oven").location == f"{home}/swatch"
    assert send(f"{home}/dry", net_g="8.9", drying="oven", happened=clock_text(make.keeper.ms, 0)).location == home


def test_a_firing_is_saved_with_its_crucible_at_the_place_that_the_key_names(
    make: Making, send: Any, client: Any
) -> None:
    """Placed by one key, unless the furnace was hot when it was last read: then the map says so."""
    furnace = make.furnace()
    first, second = (make.charge({"batch": make.ready_batch(lines(*ZINC), **PLAN), "g": 10.0}) for _ in range(2))
    plan = {"furnace": furnace, "to_c.0": "1000", "hold_min.0": "60", "charge": first}
    asked = client.get(f"/firings/new?charge={first}").text
    place = asked.split('name="place" value="')[1].split('"')[0]
    answer = send("/firings/new", plan, place=place)
    fire = make.state.things("firing")[-1]
    assert answer.location == f"/charge/{first}"  # the other one waits for a place still
    assert [one.body.firing for one in make.state.own(first, "placed")] == [fire]
    make.lit(fire)
    make.reading(fire, 900.0)
    make.off(fire)
    hot = send("/firings/new", plan | {"charge": second}, place=place)
    later = make.state.things("firing")[-1]
    assert later != fire and hot.location == f"/charge/{second}/place?firing={later}"
    assert not make.state.own(second, "placed")


def test_out_of_a_cold_furnace_it_is_read_on_itself_by_two_taps(make: Making, send: Any, client: Any) -> None:
    """The tens and the digit record both; then it may be opened. Without them it is still to be read."""
    furnace = make.furnace()
    filled = [make.charge({"batch": make.ready_batch(lines(*ZINC), **PLAN), "g": 10.0}) for _ in range(2)]
    fire = make.firing(furnace)
    for n, one in enumerate(filled, 1):
        make.placed(one, fire, column=n)
    make.lit(fire)
    make.reading(fire, 900.0)
    make.off(fire)
    assert 'name="tens"' not in client.get(f"/firing/{fire}/out?charge={filled[0]}").text
    make.wait(60)
    make.reading(fire, 25.0)
    assert 'name="tens"' in client.get(f"/firing/{fire}/out?charge={filled[0]}").text
    sent = {"charge": filled[0], "rest_place": "brick"}
    begun = send(f"/firing/{fire}/out", sent, digit="2").get_data(as_text=True)
    assert "Type the rest of the figure, then record." in begun and 'name="surface_c" inputmode="decimal"' in begun
    assert 'autocomplete="off" value="2"' in begun, "a digit before any tens begins the figure"
    assert send(f"/firing/{fire}/out", sent, tens="2", digit="2").location == f"/charge/{filled[0]}/open"
    assert [one.body.surface_c for one in make.state.own(filled[0], "touched")] == [22.0]
    assert send(f"/firing/{fire}/out", sent | {"charge": filled[1]}).location == f"/charge/{filled[1]}/cool"
    assert not make.state.own(filled[1], "touched")
