"""What a phone on its own holds against a step, in a real browser: what its forms say against what it knows."""

from typing import Any

import pytest

NEW = {"in_heat": False, "out": False, "ended": False, "was_hot": False, "surface_c": None, "firing": None}
DRY = NEW | {"sort": "charge", "source_damp": False, "masses_g": []}
DAMP = DRY | {"source_damp": True}
THINGS = {
    "fire": {"sort": "firing", "id": "fire", "lit_ms": 1, "off_ms": None, "checks": {}},
    "plan": {"sort": "firing", "id": "plan", "lit_ms": None, "off_ms": None, "checks": {}},
    "dry": DRY | {"id": "dry", "of": "Green", "code": "GHJKMN", "crucible": "pot", "firing": "fire"},
    "damp": DAMP | {"id": "damp", "of": "Damp C", "code": "T5C7HJ", "firing": "plan", "place": "1.1.1"},
    "hot": DRY | {"id": "hot", "of": "White", "code": None, "firing": "fire", "in_heat": True, "was_hot": True},
    "gone": DRY | {"id": "gone", "of": "Blue", "code": "0000AA", "ended": True},
    "batch": {"sort": "batch", "id": "batch", "ended": False, "lines": [{"weighed_g": None}]},
}  # fmt: skip
CODES = {
    "GHJKMN": ["Green", "/charge/dry"],
    "7K3MQX": ["zinc oxide", "/jar/1"],
    "0A0A0A": ["crucible 9", "/crucible/9"],
}


@pytest.fixture
def held(browser_page: Any) -> Any:
    """The names of what stands against a fact."""
    browser_page.goto("/look/fields")

    def ask(thing: str, kind: str, **fact: Any) -> list[str]:
        found: list[str] = browser_page.evaluate(
            "async ([fact, things, codes]) => {"
            "  const { stopsOf } = await import('/static/stops.js');"
            "  return stopsOf(fact, things, codes).map(([name]) => name);"
            "}",
            [{"thing": thing, "kind": kind} | fact, THINGS, CODES],
        )
        return found

    return ask


def test_what_goes_in_and_out(held: Any) -> None:
    assert held("fire", "in", charge="dry") == held("fire", "in", code="ghjkm-n") == []
    assert held("fire", "in", code="T5C7H-J") == ["damp", "other-firing"]
    assert held("plan", "in", charge="damp") == ["damp"], "placed there, and damp all the same"
    assert held("fire", "in", charge="hot") == ["in-already"]
    assert held("fire", "in", charge="gone") == ["charge-ended"]
    assert held("fire", "in", code="7K3MQX") == ["no-crucible"] and held("fire", "in", code="0A0A0A") == ["empty"]
    assert held("fire", "in", code="ZZZZZZ") == [], "of what it does not know a phone says nothing"
    assert held("fire", "out", charge="hot") == held("fire", "out", all=True) == []
    assert held("fire", "out", charge="dry") == held("plan", "out", charge="hot") == ["not-inside"]


def test_a_crucible_that_is_full_and_a_batch_that_is_not_weighed(held: Any) -> None:
    assert (
        held("batch", "charged", code="GHJKM-N") == held("batch", "charged", crucible="pot") == ["weigh-first", "full"]
    )
    assert held("batch", "charged", code="0A0A0A") == held("batch", "mixed") == ["weigh-first"]
    assert held("batch", "charged", code="7K3MQX") == ["weigh-first", "no-crucible"]


def test_a_place_that_is_hot_or_taken(held: Any) -> None:
    assert held("damp", "placed", firing="plan", place="1.1.1") == []
    assert held("damp", "placed", firing="fire", place="1.1.1") == ["damp"]
    assert held("dry", "placed", firing="plan", place="1.1.1") == ["place-taken"]
    assert held("hot", "placed", firing="plan", place="1.2.1") == ["in-already"]
    assert held("gone", "placed", firing="plan", place="1.2.1") == ["charge-ended"]
    assert held("fire", "put", code="T5C7HJ", place="1.2.1") == ["damp"], "by tap on the map as well"


def test_a_fire_is_not_lit_over_a_damp_charge(held: Any) -> None:
    assert held("plan", "lit") == ["damp-charge"] and held("fire", "lit") == ["already-lit"]
    assert held("hot", "dried") == ["in-heat"]
    assert held("hot", "opened") == ["hot"] and held("dry", "opened") == []
