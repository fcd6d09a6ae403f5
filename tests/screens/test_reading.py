"""A reading in three taps: which tens are offered, none of them chosen, and the figure as it is composed."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.screens.furnace.firing_reading import expected_c
from bench.workshop.things.firings import firing
from tests.screens.making import Making
from tests.workshop.builder import Builder, moment

CHOSEN = re.compile(r'name="tens" value="(\d+)" checked')
TENS = re.compile(r'name="tens" value="(\d+)"')
FIGURES = re.compile(r'class="figure">(\d+)<i>_')


def fire(app: Flask, keeper: Any, *read: float, every_min: float = 6.0) -> str:
    """A fire that is to hold 900 °C for two hours, with readings so far apart, the last one five minutes ago."""
    make = Making(app, keeper)
    furnace = make.add("furnace.described", {"name": "Box", "fuel": "electric"}).id
    segments = [{"to_c": 900.0, "hold_min": 120.0}, {"to_c": 700.0, "rate_c_per_h": 120.0}]
    thing: str = make.add("firing.planned", {"furnace": furnace, "segments": segments}).id
    make.add("lit", {}, subject=thing)
    for c in read:
        keeper.turn(every_min)
        make.add("reading", {"c": c}, subject=thing)
    keeper.turn(5)
    return thing


@pytest.mark.parametrize(
    ("read", "every_min", "ten"),
    [
        ((899, 902, 899, 906, 905), 6, "90"),  # held: the last step up is scatter
        ((880, 899, 905), 6, "90"),  # just come to the hold
        ((906, 899), 6, "89"),
        ((719, 722, 720), 10, "72"),  # level for 20 min, though no hold was planned there
        ((300, 340), 10, "35"),  # a climb: 4 °C a minute, five minutes ago, and a little less of it
        ((930, 920), 5, "91"),  # a fall of 2 °C a minute
        ((500,), 5, "50"),
    ],
)
def test_the_tens_are_those_of_the_last_reading_in_a_hold_and_follow_a_climb(
    app: Flask, client: FlaskClient, keeper: Any, read: tuple[float, ...], every_min: float, ten: str
) -> None:
    page = client.get(f"/firing/{fire(app, keeper, *read, every_min=every_min)}/reading").get_data(as_text=True)
    offered = list(dict.fromkeys(TENS.findall(page)))
    assert not CHOSEN.findall(page) and offered[2] == ten
    assert FIGURES.findall(page) == TENS.findall(page) and len(TENS.findall(page)) <= 5


@pytest.mark.parametrize(("read", "hours", "tens"), [((), 1, [36, 35, 34, 33, 32]), ((900, 880), 9, [4, 3, 2, 1, 0])])
def test_where_nothing_near_was_read_keys_are_offered_and_none_is_chosen(
    app: Flask, client: FlaskClient, keeper: Any, read: tuple[float, ...], hours: float, tens: list[int]
) -> None:
    """65 min after lighting a middling climb of 300 °C/h is at 20 + 300 × 65 / 60 = 345 °C; at night it is cold."""
    thing = fire(app, keeper, *read, every_min=6)
    if read:
        Making(app, keeper).add("fire.off", {"reason": "reached"}, subject=thing)
    keeper.turn(60 * hours)
    page = client.get(f"/firing/{thing}/reading").get_data(as_text=True)
    assert not CHOSEN.findall(page) and [int(ten) for ten in TENS.findall(page)] == tens


def test_the_figure_is_shown_as_it_is_composed_without_any_script(chromium: Any, live: Any) -> None:
    thing = fire(live.app, live.keeper, 899, 902, 905)
    context = chromium.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{live.url}/firing/{thing}/reading")
    assert page.locator(".composed .figure:visible").all_inner_texts() == []
    page.locator('[name="tens"][value="91"]').check(force=True)
    assert page.locator(".composed .figure:visible").all_inner_texts() == ["91_"]
    page.locator('button[name="digit"][value="3"]').click()
    assert live.app.extensions["bench"].state.own(thing, "reading")[-1].body.c == 913
    context.close()


@pytest.mark.parametrize(
    ("read", "c"),
    [((500, 540, 560), 570), ((500, 520, 560), 600), ((500, 540, 545), 547)],
    ids=["bending", "bending upwards: no faster than its slope", "bending much: no slower than two fifths of it"],
)
def test_the_guess_of_the_next_reading(read: tuple[int, int, int], c: float) -> None:
    """Read every five minutes; the newest slope times how much it fell from the one before, for five minutes more."""
    bench = Builder()
    fire = bench.firing(peak_c=1200.0)
    bench.lit(fire, happened=0)
    for n, one in enumerate(read):
        bench.reading(fire, float(one), happened=20 + 5 * n)
    view = firing(bench.state, fire)
    assert view is not None and expected_c(view, moment(35)) == pytest.approx(c)
