"""What a record does to the facts, and which further records its form makes: every effect by hand-counted facts."""

from typing import Any

import pytest

from bench.steps import BY_VERB, HOUSE
from bench.steps.declare import Fact, Gate, Say, Sort, Step
from bench.steps.effects import Also, Effect, add, append, each, join, make, put
from bench.steps.fields import F, T, number, rows, thing
from bench.steps.folding import StepRecord, apply
from bench.steps.furthering import MADE, further
from bench.steps.judging import against, fill, flags_after, past
from bench.steps.looking import House
from bench.steps.wording import Plural

SMALL = House((Sort("heap", "", {"g": Fact("number"), "of": Fact("list"), "next": Fact("thing", "heap")}),))


def after(*effects: Effect, data: dict[str, Any] | None = None, **heap: Any) -> dict[str, dict[str, Any]]:
    """The facts of two heaps once a record with these effects was folded."""
    things = {"a": {"sort": "heap", **heap}, "b": {"sort": "heap", "g": 5.0, "of": ["zinc", "iron"]}}
    step = Step("try", ("heap",), "tried", "Try", effects=effects)
    apply(SMALL, step, things, StepRecord("a", data or {}, 7.0, "made"))
    return things


def test_a_fact_is_set_to_a_literal_a_field_or_another_fact() -> None:
    assert after(put("heap.g", 3.0))["a"]["g"] == 3.0
    assert after(put("heap.g", F("net_g")), data={"net_g": 2.0})["a"]["g"] == 2.0
    assert after(put("heap.g", T("heap.next.g")), next="b")["a"]["g"] == 5.0
    assert after(put("heap.g", F("gone")), g=4.0)["a"]["g"] is None
    assert after(put("heap.g", F("at")))["a"]["g"] == 7.0


def test_numbers_are_added_and_what_was_not_known_counts_as_nothing() -> None:
    assert after(add("heap.g", F("g")), data={"g": 2.5}, g=1.0)["a"]["g"] == 3.5
    assert after(add("heap.g", F("g")), data={"g": 2.5})["a"]["g"] == 2.5
    assert after(add("heap.g", F("g")), g=1.0)["a"]["g"] == 1.0


def test_lists_grow_at_their_end_and_join_without_doubles() -> None:
    assert after(append("heap.of", F("what")), data={"what": "zinc"}, of=["lead"])["a"]["of"] == ["lead", "zinc"]
    assert after(append("heap.of", F("what")), of=["lead"])["a"]["of"] == ["lead"]
    assert after(join("heap.of", T("heap.next.of")), of=["iron", "lead"], next="b")["a"]["of"] == [
        "iron",
        "lead",
        "zinc",
    ]


def test_an_effect_waits_for_its_condition_and_none_for_what_is_not_known() -> None:
    assert after(put("heap.g", 3.0, when="kept"), data={"kept": True}, g=1.0)["a"]["g"] == 3.0
    assert after(put("heap.g", 3.0, when="kept"), g=1.0)["a"]["g"] == 1.0


def test_each_row_has_its_own_effects_on_what_it_names() -> None:
    data = {"parts": [{"heap": "b", "g": 2.0}, {"heap": "b", "g": 0.5}, {"heap": "gone", "g": 9.0}]}
    found = after(each("parts", (add("row.heap.g", F("row.g")), add("heap.g", F("row.g")))), data=data, g=0.0)
    assert found["b"]["g"] == 7.5 and found["a"]["g"] == 11.5


def test_what_is_made_has_its_facts_and_is_apart_from_what_it_was_made_of() -> None:
    found = after(
        make("heap", {"of": T("heap.of"), "g": F("g")}), append("made.of", "lead"), data={"g": 1.0}, of=["zinc"]
    )
    assert found["made"] == {"sort": "heap", "id": "made", "of": ["zinc", "lead"], "g": 1.0}
    assert found["a"]["of"] == ["zinc"]


FORM = Step(
    "part",
    ("heap",),
    "parted",
    "Part",
    fields=(number("g", "Mass"), rows("more", "More", (thing("heap", "Heap", "heap"), number("g", "Mass")))),
    also=(
        Also("gathered", None, {"sources": [{"of": T("heap.id"), "g": F("g")}]}, when="g>0", coded=True),
        Also("noted", MADE, {"value": "a part", "left_out": F("nothing")}, when="g>0"),
        Also("moved", F("row.heap"), {"g": F("row.g")}, each="more", when="row.g>1"),
    ),
)


def test_one_form_makes_further_records_also_one_for_each_of_its_rows() -> None:
    things = {"a": {"sort": "heap", "id": "a"}}
    more = [{"heap": "b", "g": 2.0}, {"heap": "c", "g": 1.0}, {"heap": "d", "g": 3.0}]
    found = further(SMALL, FORM, things, "a", {"g": 4.0, "more": more})
    assert [(one.record, one.thing, one.data, one.coded) for one in found] == [
        ("gathered", None, {"sources": [{"of": "a", "g": 4.0}]}, True),
        ("noted", MADE, {"value": "a part"}, False),
        ("moved", "b", {"g": 2.0}, False),
        ("moved", "d", {"g": 3.0}, False),
    ]
    assert further(SMALL, FORM, things, "a", {}) == []


GATES = Step(
    "lift",
    ("heap",),
    "lifted",
    "Lift",
    gates=(
        Gate("light", "flag", "It is light.", "heap.g<1", sure=True),
        Gate("heavy", "block", "It weighs {heap.g:1} g.", "heap.g>10", after="It was too heavy."),
        Gate("never", "refuse", "Never this one.", "heap.of=lead", sure=True),
    ),
)


@pytest.mark.parametrize(
    ("heap", "found", "flags"),
    [
        ({"g": 5.0, "of": []}, [], []),
        ({"g": 12.25, "of": ["lead"]}, [("never", True), ("heavy", True)], [("heavy", "It was too heavy.")]),
        ({"g": 0.5, "of": []}, [("light", True)], []),
        ({"of": []}, [("heavy", False)], []),
    ],
)
def test_the_heaviest_gate_comes_first_and_what_is_not_known_counts_unless_it_has_to_be_sure(
    heap: dict[str, Any], found: list[tuple[str, bool]], flags: list[tuple[str, str]]
) -> None:
    look = SMALL.look({"a": {"sort": "heap", **heap}}, "a", {})
    assert [(one.gate.rule, one.sure) for one in against(GATES, look)] == found
    assert flags_after(GATES, look) == flags


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("{heap.g} g", "12.25 g"),
        ("{heap.g:1} g", "12.3 g"),  # half away from zero, on the phone too
        ("{heap.g:mass} g", "[12.25] g"),
        ("{heap.of}", "zinc, lead"),
        ("{heap.next:code}", "ABCDE-F"),
        ("{heap.gone}", "–"),
        (Plural("n", "one heap", "{n} heaps"), "3 heaps"),
    ],
)
def test_a_sentence_is_filled_with_facts(words: Any, said: str) -> None:
    heap = {"sort": "heap", "g": 12.25, "of": ["zinc", "lead"], "next": "ABCDEF"}
    assert fill(words, SMALL.look({"a": heap}, "a", {"n": 3}), mass=lambda g: f"[{g}]") == said


def test_one_is_said_as_one_and_a_translation_has_its_own_order() -> None:
    look = SMALL.look({"a": {"sort": "heap"}}, "a", {"n": 1})
    assert fill(Plural("n", "one heap", "{n} heaps"), look) == "one heap"
    assert fill("{n} of all", look, lambda text: {"{n} of all": "of all, {n}"}[text]) == "of all, 1"


def test_what_was_done_is_said_by_the_first_sentence_that_holds() -> None:
    assert past(BY_VERB["grind"], HOUSE.look({}, None, {"medium": "dry", "minutes": 12.5})) == "Ground dry, 12.5 min"
    assert past(BY_VERB["grind"], HOUSE.look({}, None, {"medium": "water"})) == "Ground in water"
    assert past(BY_VERB["judge"], HOUSE.look({}, None, {"verdict": "make-up"})) == "Judged: Make up"
    silent = Step("try", ("heap",), "tried", "Try", past=(Say("{g} g", "?g"),), kind_words="Tried")
    assert past(silent, SMALL.look({}, None, {})) == "Tried"
