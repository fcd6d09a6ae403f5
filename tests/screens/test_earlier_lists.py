"""Forms of the lists as they were before, out of a phone's outbox: all are kept, and tick only what they asked."""

from hashlib import sha256
from typing import Any

import pytest
from flask import Flask

from bench.journal.upgrade import upgraded
from bench.reference import load_library
from bench.web.ids import derived, fresh
from bench.workshop.answered import answers, is_good
from bench.workshop.asked import listed
from tests.screens.making import Making, errors
from tests.screens.test_outbox import START, Phone
from tests.workshop.builder import lines

LIBRARY = load_library()
GAS = {"name": "Yard ring", "fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors", "volume_l": 9}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def planned(make: Making) -> str:
    """A firing in a gas furnace outdoors."""
    furnace = make.add("furnace.described", GAS).id
    return make.add("firing.planned", {"furnace": furnace, "segments": [{"to_c": 900.0, "hold_min": 60.0}]}).id


def form(phase: str, fuel: str = "any", **other: str) -> dict[str, str]:
    """The fields of a list as a page had them then, every answer *fine* but for those that are named."""
    found = {f"answer.{one.slug}": "fine" for one in LIBRARY.earlier_phase(phase, fuel)}
    return found | {f"answer.{slug.replace('_', '-')}": value for slug, value in other.items()}


def ticked(make: Making, phase: str, thing: str) -> set[str]:
    found = listed(make.state, LIBRARY, phase, thing)
    return {one.item.slug for one in found if one.kind == "ask" and one.good}


def test_a_full_outbox_of_before_is_delivered_beside_an_open_firing(app: Flask, make: Making) -> None:
    """A fire was being made ready when the bench became a newer one: the phone brings what it holds, in its order."""
    phone = Phone(app)
    batch = make.batch(lines(("Co3O4", 5.0)))
    firing = planned(make)
    outbox = [
        (f"/batch/{batch}/weigh", form("before-weighing", before_weighing_5="not-done") | {"part": ""}),
        (f"/batch/{batch}/weigh/1", {"net_g": "5.00"}),
        (f"/batch/{batch}/grind", {"medium": "dry", "streak": "even"}),
        (f"/batch/{batch}/load", form("before-loading", before_loading_3="stop") | {"part": "checks"}),
        (f"/firing/{firing}/checks/before-lighting", form("before-lighting", "gas")),
        (
            f"/firing/{firing}/checks/before-lighting",
            {"answer.before-lighting-3": "stop", "answer_why.before-lighting-3": "bubbles"},
        ),
        (f"/firing/{firing}/light", {"in_fact": "1"}),
        (f"/firing/{firing}/checks/firing", form("firing", "gas")),
        (f"/firing/{firing}/reading", {"tens": "45", "digit": "0"}),
        (f"/firing/{firing}/off", {"reason": "stalled"}),
        (f"/firing/{firing}/checks/after-shutdown", form("after-shutdown", "gas")),
    ]
    ids = [fresh(START + 1000 * n) for n in range(len(outbox))]
    for _again in range(2):
        for n, ((path, fields), identity) in enumerate(zip(outbox, ids, strict=True)):
            told = phone.send(path, fields, START + 60_000 + 1000 * n, identity, waited=True).json
            assert told["status"] in ("kept", "done"), (path, told)
    said = [one for one in phone.records() if one.kind == "check.answered"]
    assert len(said) == 5 + 6 + 7 + 1 + 6 + 5 == len({one.id for one in said})
    assert ticked(make, "before-weighing", batch) == {"weigh-mask", "weigh-dust-control"}
    assert ticked(make, "before-lighting", firing) == {"light-co-alarm", "light-purge"}
    # The look an hour after the fire was answered a second after it: it is recorded, and still to be done.
    assert ticked(make, "after-shutdown", firing) == {"off-gas"}
    soaped = answers(make.state, firing, LIBRARY)["light-joints"]
    assert soaped.body.answer == "not-done" and soaped.body.reason == "bubbles"
    page = phone.get(f"/firing/{firing}/checks/before-lighting").get_data(as_text=True)
    words = "Cylinder and regulator open, burner shut: soap showed no bubble at any joint"
    assert f"Not done: {words}" in page and "bubbles" in page
    assert "Seal-check the P3 or P100 mask" in phone.get(f"/thing/{batch}").get_data(as_text=True)


def test_a_form_that_was_kept_before_comes_again_as_the_same_records(app: Flask, make: Making) -> None:
    """The answer to it was lost: the records that it made then, read as today's, are those that it makes now."""
    phone = Phone(app)
    firing = make.add(
        "firing.planned", {"furnace": make.add("furnace.described", GAS).id, "segments": [{"to_c": 900.0}]}
    ).id
    fields = form("before-lighting", "gas", before_lighting_2="stop")
    identity = fresh(START)
    phone.send(f"/firing/{firing}/checks/before-lighting", fields, START, identity, waited=True)
    items = LIBRARY.earlier_phase("before-lighting", "gas")
    first = [one for one in items if not one.place]
    order = [*sorted(first, key=lambda one: sha256(f"{firing} {one.slug}".encode()).hexdigest()), items[4], items[6]]
    for n, one in enumerate(order):
        then = {"list": one.phase, "item": one.item, "answer": fields[f"answer.{one.slug}"]}
        now = make.state.records[derived(identity, n)]
        assert dict(now.data) == upgraded({"kind": "check.answered", "v": 1, "data": then})["data"]
    assert not is_good(answers(make.state, firing, LIBRARY)["light-hose"])


def test_boxes_of_an_older_sheet_tick_what_they_were_printed_beside(app: Flask, make: Making, send: Any) -> None:
    """The third box before lighting at a gas furnace was the soap test; the fifth was the purge, no clear zone."""
    firing = make.add(
        "firing.planned", {"furnace": make.add("furnace.described", GAS).id, "segments": [{"to_c": 900.0}]}
    ).id
    old = {"day": "2026-11-12", "r1.5.fine": "1", "r1.5.at": "07:40", "r1.3.fine": "1", "r1.3.at": "07:41"}
    assert send(f"/sheet/firing/{firing}", old).status_code == 303
    assert ticked(make, "before-lighting", firing) == {"light-purge", "light-joints"}
    new = {"day": "2026-11-12", "check.light-zone.fine": "1", "check.light-zone.at": "07:42"}
    answer = send(f"/sheet/firing/{firing}", new)
    assert answer.status_code == 303, errors(answer.get_data(as_text=True))
    assert "light-zone" in ticked(make, "before-lighting", firing)
