"""What a firing, a shelf and an end record is declared once: its words, its choices, what it does to the facts."""

from typing import Any, get_args, get_type_hints

import pytest

from bench.reckoning.rules.conditions import CONDITIONS
from bench.records.declared import agreed
from bench.records.kinds import KINDS, MAKERS, NO_STEP, TYPED
from bench.reference import load_library
from bench.steps import BY_RECORD, BY_VERB, HOUSE, STEPS
from bench.steps.close import EVERY, ends_of
from bench.steps.fields import text, whole
from bench.steps.folding import StepRecord, apply
from bench.steps.judging import due


def firing(**facts: Any) -> dict[str, dict[str, Any]]:
    fresh = {"lit_ms": None, "off_ms": None, "closed": False, "checked": False, "soaking": False}
    return {"f": {"sort": "firing", "id": "f", **fresh, **facts}}


@pytest.mark.parametrize(
    ("facts", "verb", "title"),
    [
        ({}, "fire", "Check, then light"),
        ({"checked": True}, "fire", "Light"),
        ({"lit_ms": 1.0, "checked": True}, "fire", "Heating"),
        ({"lit_ms": 1.0, "soaking": True}, "fire", "Holding"),
        ({"lit_ms": 1.0, "off_ms": 2.0, "soaking": True}, "after-checks", "Checks after the fire"),
    ],
)
def test_what_is_next_for_a_firing_follows_from_its_facts(facts: dict[str, Any], verb: str, title: str) -> None:
    found = due(BY_VERB.values(), "firing", HOUSE.look(firing(**facts), "f", {}))
    assert [(step.verb, words) for step, words in found] == [(verb, title)]


def test_a_closed_firing_has_no_next_step() -> None:
    closed = firing(lit_ms=1.0, off_ms=2.0, closed=True)
    assert due(BY_VERB.values(), "firing", HOUSE.look(closed, "f", {})) == []


def test_lit_again_a_fire_burns_until_it_is_off_again() -> None:
    things = firing()
    burning = []
    for at_ms, kind in ((1.0, "lit"), (2.0, "fire.off"), (3.0, "lit")):
        apply(HOUSE, BY_RECORD[kind], things, StepRecord("f", {}, at_ms))
        burning.append(HOUSE.look(things, "f", {})("firing.burns"))
    assert burning == [True, False, True]


def test_an_end_that_a_sort_offers_has_words_wherever_it_is_read() -> None:
    known = {one.value: one.words for one in EVERY}
    for sort in ("jar", "crucible", "batch", "charge", "pigment", "swatch", "series", "waste", "firing", "furnace"):
        assert {one.value: one.words for one in ends_of(sort)}.items() <= known.items()
    assert ends_of("batch") != ends_of("rig") == ends_of(None)


def test_a_jar_and_a_crucible_are_made_by_their_declarations() -> None:
    assert MAKERS["jar.opened"] == "jar" and MAKERS["crucible.added"] == "crucible"
    hints = get_type_hints(KINDS["check.answered"].data)
    assert set(get_args(hints["answer"])) == {"done", "not-done", "does-not-apply"}


def test_what_a_step_says_of_dust_and_to_the_rules_is_known_to_them() -> None:
    held = {key for item in load_library().checklists for key in item.holds}
    assert {step.dust for step in STEPS if step.dust} <= held
    assert {term for step in STEPS for term in step.terms} <= set(CONDITIONS)


def test_each_kind_is_declared_by_a_step_or_says_why_it_is_none() -> None:
    assert set(KINDS) == set(NO_STEP) | set(BY_RECORD) and not set(NO_STEP) & set(BY_RECORD)
    assert all(len(why.split()) > 3 for why in NO_STEP.values()) and set(TYPED) <= set(BY_RECORD)


@pytest.mark.parametrize(
    "declared",
    [
        (text("name", "Name"),),
        (text("name", "Name"), text("fuel", "Fuel"), text("notes", "Notes", required=False)),
        (*BY_RECORD["burner.described"].fields, whole("jets", "Jets", required=False)),
    ],
)
def test_a_kind_that_is_typed_otherwise_than_declared_stops_the_start(declared: Any) -> None:
    assert agreed("burner.described", BY_RECORD["burner.described"].fields, TYPED) is TYPED["burner.described"]
    with pytest.raises(TypeError, match="declared in one way and typed in another"):
        agreed("burner.described", declared, TYPED)
