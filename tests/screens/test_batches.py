"""Batches are found again: listed with what came of each, and by any word of theirs, a slip forgiven."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines

ZINC = (("ZnO", 5.7), ("Fe2O3", 4.3))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


@pytest.fixture
def made(make: Making) -> dict[str, str]:
    """One that is open, one kept, one closed as failed before it was ever filled, one thrown away."""
    found = {"Yard blue": make.batch(lines(("CoO", 5.0)), name="Yard blue", notes="for the shutters")}
    for name, verdict, words in (("Warm tan", "keep", "a warm tan"), ("Cold tan", "discard", "went grey, sooty flame")):
        found[name] = make.ready_batch(lines(*ZINC), name=name)
        charge = make.charge({"batch": found[name], "g": 10.0})
        make.fired(charge)
        powder = make.opened(charge)
        make.add("judged", {"verdict": verdict, "words": words}, powder)
    found["Trial 7"] = make.batch(lines(("CuO", 5.0)), name="Trial 7")
    make.coded(found["Trial 7"], "8W95X0")
    make.add("closed", {"outcome": "failed", "why": "went green"}, found["Trial 7"])
    return found


def names(page: str) -> list[str]:
    """The batches that a page lists."""
    return [part.split("<b>")[1].split("</b>")[0] for part in page.split('class="thing-row lead3"')[1:]]


def test_every_batch_is_listed_the_newest_first_with_what_came_of_it(client: FlaskClient, made: dict[str, str]) -> None:
    page = client.get("/batches").text
    assert names(page) == ["Trial 7", "Cold tan", "Warm tan", "Yard blue"]
    assert "Kept: a warm tan" in page and "Failed: went green" in page and "Open: weigh, 1 of 1" in page
    assert all(f"/batch/{thing}" in page for thing in made.values())
    assert "· 8W95X-0</span>" in page, "two of one name are told apart by their codes"
    assert 'href="/batches"' in client.get("/").text


@pytest.mark.parametrize(
    ("show", "listed"),
    [("open", ["Yard blue"]), ("kept", ["Warm tan"]), ("failed", ["Trial 7", "Cold tan"]), ("closed", [])],
)
def test_a_choice_of_them(client: FlaskClient, made: dict[str, str], show: str, listed: list[str]) -> None:
    assert names(client.get(f"/batches?show={show}").text) == listed


@pytest.mark.parametrize(
    ("typed", "listed"),
    [
        ("yard blue", ["Yard blue"]),
        ("shutters", ["Yard blue"]),  # its note
        ("gray", ["Cold tan"]),  # the other spelling of its verdict
        ("sooti flame", ["Cold tan"]),  # a slip
        ("green", ["Trial 7"]),  # why it was closed
        ("8w95x0", ["Trial 7"]),
        ("fe2o3", ["Cold tan", "Warm tan"]),
        ("tan keep", []),
        ("zzzz", []),
    ],
)
def test_one_search_over_all_their_words(
    client: FlaskClient, made: dict[str, str], typed: str, listed: list[str]
) -> None:
    assert names(client.get("/batches", query_string={"q": typed}).text) == listed


@pytest.mark.parametrize("typed", ["<b>", "\x00", "%", "x" * 500, "' or 1"])
def test_whatever_is_typed_is_only_looked_for(client: FlaskClient, made: dict[str, str], typed: str) -> None:
    answer = client.get("/batches", query_string={"q": typed, "from": "x", "show": "<i>"})
    assert answer.status_code == 200 and "<b>&" not in answer.text and "<i>" not in answer.text


def test_the_search_reaches_other_things_and_the_library(make: Making, client: FlaskClient) -> None:
    thing = make.furnace(name="Orchard kiln")
    page = client.get("/batches?q=orchard").text
    assert f"/furnace/{thing}" in page or "Orchard kiln" in page
    assert "/known/target/cobalt-aluminate-blue" in client.get("/batches?q=cobalt+aluminate").text


def test_today_shows_what_was_kept_and_drops_a_firing_that_is_done(
    make: Making, client: FlaskClient, made: dict[str, str]
) -> None:
    page = client.get("/").text
    assert "Kept" in page and "Warm tan" in page.split("Kept</h2>")[1]
    fire = make.state.things("firing")[-1]
    asked = f"/firing/{fire}/checks/after-shutdown"
    assert asked in page or f"/firing/{fire}" in page
    for one in make.state.things("firing"):
        make.checked(one, "after-shutdown")
    assert f"/firing/{fire}" not in client.get("/").text


def test_a_weighed_batch_says_the_ratio_of_its_metals(make: Making, client: FlaskClient) -> None:
    """0.1 mol of ZnO (81.379 g/mol) and 0.15 mol of Fe2O3 (159.687 g/mol) are Zn 1 : Fe 3; ZnFe2O4 is 1 : 2."""
    thing = make.batch(lines(("ZnO", 8.14), ("Fe2O3", 23.95)), target_formula="ZnFe2O4")
    assert "Ratio as weighed" not in client.get(f"/batch/{thing}").text
    make.weigh(thing, 8.14, 23.95)
    page = client.get(f"/batch/{thing}").text
    as_weighed, meant = (re.search(rf"{words}</dt>\s*<dd[^>]*>Zn 1\S* : Fe ([\d.]+)", page) for words in
                         ("Ratio as weighed", "Ratio of the target"))  # fmt: skip
    assert as_weighed and float(as_weighed[1]) == pytest.approx(3, abs=0.01)
    assert meant and meant[1] == "2"


def test_a_batch_leads_on_to_what_was_made_of_it(make: Making, client: FlaskClient) -> None:
    """Filled, its charge is next; opened, its powder; only then is there nothing more to do but look at the day."""
    thing = make.ready_batch(lines(*ZINC), name="Yard tan")
    filled = make.charge({"batch": thing, "g": 10.0})
    assert main_key(client, thing).startswith(f"/charge/{filled}")
    make.fired(filled)
    powder = make.opened(filled)
    assert main_key(client, thing).startswith(f"/pigment/{powder}")
    make.add("judged", {"verdict": "keep", "words": "a warm tan"}, powder)
    make.add("closed", {"outcome": "done"}, thing)
    assert main_key(client, thing) == "/"


def main_key(client: FlaskClient, thing: str) -> str:
    """Where the main key of a batch leads."""
    found = re.search(r'<a class="plate[^"]*" href="([^"]*)"', client.get(f"/batch/{thing}").text)
    assert found is not None
    return found[1]
