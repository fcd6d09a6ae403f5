"""What the phones get of the declarations: all of it, in the reader's language, under the mark of its content."""

import json

from flask.testing import FlaskClient

from bench.screens.phone.steps_file import steps_url
from bench.steps import HOUSE, SORTS, STEPS
from bench.steps.conditions import UNKNOWN, holds
from bench.steps.published import published, texts


def test_every_step_is_in_it_with_its_fields_and_nothing_that_only_the_laptop_uses() -> None:
    told = json.loads(published(STEPS, SORTS))
    carried = [step for step in STEPS if step.on or step.away]
    assert [one["verb"] for one in told["steps"]] == [step.verb for step in carried]
    assert {"add-jar", "plan-batch"} <= {step.verb for step in STEPS} - {step.verb for step in carried}
    for step, one in zip(carried, told["steps"], strict=True):
        assert [field["name"] for field in one.get("fields", [])] == [field.name for field in step.fields]
        assert one.get("address", []) == list(step.address) and "rules" not in one
    assert [one["sort"] for one in told["things"]] == [sort.sort for sort in SORTS]


def test_a_condition_travels_as_the_tree_that_the_laptop_judges_by() -> None:
    told = json.loads(published(STEPS, SORTS))
    wash = next(one for one in told["steps"] if one["verb"] == "wash")
    first, later = (one["when"] for one in wash["due"])
    for state, salty in (("raw", True), ("raw", False), ("washed", False)):
        look = HOUSE.look({"p": {"sort": "pigment", "state": state, "salty": salty}}, "p", {})
        assert (holds(first, look), holds(later, look)) == (state == "raw" and salty, state == "washed")
    assert holds(first, lambda name: UNKNOWN) is None


def test_every_text_is_translated_and_its_mark_says_so() -> None:
    english, other = published(STEPS, SORTS), published(STEPS, SORTS, lambda text: f"«{text}»")
    assert json.loads(english)["version"] != json.loads(other)["version"]
    for text in set().union(*(texts(one) for one in (*STEPS, *SORTS) if one in SORTS or one.on or one.away)):
        assert json.dumps(f"«{text}»", ensure_ascii=False) in other, text
    told = json.loads(published(STEPS, SORTS, str.upper))["steps"]
    called = {doubt.get("called") for step in told for doubt in step.get("doubts", [])}
    assert "WITHOUT ITS VESSEL" in called


def test_it_is_served_for_good_under_its_mark_and_kept_by_phones(client: FlaskClient) -> None:
    answer = client.get(steps_url())
    assert answer.json == json.loads(published(STEPS, SORTS)) and "immutable" in answer.headers["Cache-Control"]
    assert client.get("/steps.json").headers["Cache-Control"] == "no-cache"
    items = client.get("/bench/offline.json").json["items"]  # type: ignore[index]
    assert [steps_url(), steps_url().partition("v=")[2]] in items
