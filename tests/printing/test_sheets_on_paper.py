"""Run sheets and firing records as their PDF shows them: one page, code and boxes in place, no word over another."""

from typing import Any

import pytest
from flask import Flask

from bench.printing import fitting
from bench.printing.firing_record import MOST_LETTERS, in_short
from bench.printing.fitting import laid, on_one_page
from tests.conftest import Keeper
from tests.measure.print import GOAL_MM
from tests.measure.print_sheets import Page, cards_at, demo_bench, page_at
from tests.measure.printed_page import Box, Line, overlaps
from tests.screens.making import Making

A4 = (210.0, 297.0)
NAME = "Calcium barium copper silicate with the coarse quartz of the second delivery"


@pytest.fixture(scope="module")
def demo() -> Any:
    """The demo data, for all tests here."""
    with demo_bench() as app:
        yield app


def is_right(page: Page, pages: int = 1) -> None:
    assert page.pages == pages and page.unread == 0 and page.wrong == ()
    assert page.code_off <= GOAL_MM / 2 and page.box_off <= GOAL_MM / 2


def test_the_load_cards_of_the_demo_stand_where_they_are_cut(demo: Flask) -> None:
    state = demo.extensions["bench"].state
    pots = [state.slot(t, "charged").body.crucible for t in state.open_things("charge")]
    found = cards_at(demo, "/print/load-cards", [state.code_of(pot) for pot in pots])
    is_right(found)
    assert found.boxes == 2 * len(pots)  # the black box and the cutting line of each


def test_the_run_sheet_and_the_record_of_a_firing_are_one_page_each(demo: Flask) -> None:
    state = demo.extensions["bench"].state
    fire = state.things("firing")[0]
    sheet = page_at(demo, f"/print/sheet/firing/{fire}", [state.code_of(fire)])
    is_right(sheet)
    assert sheet.boxes > 10  # the boxes to tick, each with its place and its sides
    is_right(page_at(demo, f"/print/record/firing/{fire}", [state.code_of(fire)]))


def full_fire(app: Flask, make: Making, crucibles: int) -> tuple[str, str]:
    """A batch of eight lines with long names, and a fire that it went into in so many crucibles, with much to tell."""
    lines = [{"line": n, "formula": "BaCuSi4O10", "name": f"{NAME} {n}", "target_g": 12.345} for n in range(1, 9)]
    batch = make.add("batch.planned", {"name": NAME, "from": "grams", "lines": lines}).id
    segments = [{"to_c": 120.0 * n, "rate_c_per_h": 150.0, "hold_min": 20} for n in range(1, 9)]
    furnace = make.add("furnace.described", {"name": NAME, "fuel": "gas", "layout": "ring", "places": 12}).id
    fire = make.add("firing.planned", {"furnace": furnace, "segments": segments}).id
    for thing, code in ((batch, "EGN1H0"), (fire, "7K3MQX")):
        make.add("code.assigned", {"code": code, "thing": thing}, subject=thing)
    for n in range(crucibles):
        sources = [{"batch": batch, "g": 0.3}]
        charge = make.add("charged", {"crucible": make.crucible(), "sources": sources, "lid": "loose"}).id
        make.add("placed", {"firing": fire, "tier": 1, "clock": 1 + n % 12}, subject=charge)
        make.add("went.in", {"firing": fire, "charge": charge}, subject=charge)
    make.add("lit", {}, subject=fire)
    for n in range(20):
        make.add("noted", {"what": "words", "value": f"Note {n}: {NAME}" + "," * 40}, subject=fire)
    return batch, fire


def test_a_full_batch_and_a_full_fire_keep_to_one_page(app: Flask, keeper: Keeper) -> None:
    batch, fire = full_fire(app, Making(app, keeper), 6)
    is_right(page_at(app, f"/print/sheet/batch/{batch}", ["EGN1H0"]))
    is_right(page_at(app, f"/print/sheet/firing/{fire}", ["7K3MQX"]))
    is_right(page_at(app, f"/print/record/firing/{fire}", ["7K3MQX"]))


def test_more_crucibles_than_a_page_holds_run_on_and_each_page_says_which_it_is(app: Flask, keeper: Keeper) -> None:
    _batch, fire = full_fire(app, Making(app, keeper), 16)
    is_right(page_at(app, f"/print/sheet/firing/{fire}", ["7K3MQX"]), pages=2)


def draft_of(mm: int) -> str:
    """Blocks of 25 mm one below the other: eleven of them fill a page."""
    return "<style>@page { size: A4; margin: 0 }</style>" + "<div style='height: 25mm'></div>" * (mm // 25)


@pytest.mark.parametrize(
    ("tall_mm", "taken", "set_mm"),
    [
        ((200, 100), 200, [200]),
        ((500, 300, 100, 50), 100, [500, 300, 100]),
        ((900, 300, 100, 50), 100, [900, 50, 300, 100]),
        ((9000, 3000, 1000, 900), 900, [9000, 900]),  # where even the last runs over, none between them is set
        ((900,), 900, [900]),
    ],
)
def test_the_roomiest_draft_of_one_page_is_taken(
    monkeypatch: pytest.MonkeyPatch, tall_mm: tuple[int, ...], taken: int, set_mm: list[int]
) -> None:
    found: list[str] = []
    monkeypatch.setattr(fitting, "laid", lambda page: found.append(page) or laid(page))
    assert on_one_page(draft_of(mm) for mm in tall_mm) == draft_of(taken)
    assert list(dict.fromkeys(found)) == [draft_of(mm) for mm in set_mm]


def test_an_event_of_many_words_is_told_in_short() -> None:
    short, long = ("08:00", "w" * MOST_LETTERS), ("08:10", "w" * (MOST_LETTERS + 1))
    assert in_short((short, long)) == (short, ("08:10", short[1] + "…"))


def test_without_a_draft_there_is_no_page() -> None:
    with pytest.raises(ValueError, match="no draft"):
        on_one_page([])


def test_what_lies_wrong_is_seen() -> None:
    """The measuring itself."""
    one = Line("one", Box(0, 10, 10, 20, 13))
    assert overlaps([one, Line("two", Box(0, 19, 12, 30, 15))], [], A4) == ["'one' over 'two'"]
    assert overlaps([one, Line("two", Box(1, 19, 12, 30, 15))], [], A4) == []
    assert overlaps([one], [Box(0, 18, 0, 40, 40)], A4) == ["'one' into a box"]
    assert overlaps([one], [Box(0, 0, 0, 40, 40)], A4) == []
    assert overlaps([Line("out", Box(0, -1, 10, 20, 13))], [], A4) == ["'out' off the page"]
