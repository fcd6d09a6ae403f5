"""One set of bounds: what the first form refuses or takes, so do the correction and the run sheet."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.steps import BY_RECORD, STEPS
from bench.steps.declare import Step
from bench.steps.fields import Field
from tests.screens.making import Making
from tests.screens.powders import cold_charge, powder
from tests.workshop.builder import lines

OWN_VIEW = ("weigh", "load", "gather", "read-heat", "rescale")
"""Steps whose page reads more than its fields one by one; their screens' tests hold their bounds."""
NUMBERS = [
    (step, one)
    for step in STEPS
    if step.record is not None and step.on
    for one in step.recorded
    if one.kind in ("number", "whole") and one.place == "both" and step.verb not in OWN_VIEW
]
GOOD: dict[str, dict[str, str]] = {
    "mixed": {"medium": "water"},
    "dried": {"way": "open-air", "minutes": "60"},
    "ground": {"medium": "water"},
}
"""What a form needs beyond any answer to each field that has to be filled."""


def usual(step: Step) -> dict[str, str]:
    """An answer to each field that has to be filled: the most of a number, the first of a choice, a word;
    and to each choice that another answer asks for."""
    must = [one for one in step.asked if one.required and not one.when]
    answers = {one.name: f"{one.high:.0f}" if one.kind in ("number", "whole") else "linen" for one in must}
    chosen = [
        one for one in step.asked if one.values and (one in must or one.name in {need.name for need in step.needs})
    ]
    return answers | {one.name: one.values[0] for one in chosen} | GOOD.get(str(step.record), {})


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def on(make: Making, step: Step) -> tuple[str, str]:
    """A thing to do the step on, and the address of its form."""
    sort = step.on[0]
    if sort == "pigment":
        thing = make.opened(cold_charge(make), None)  # never weighed, so that nothing is more than is left of it
    elif sort == "waste":
        thing = make.add("waste.added", {"container": make.new_id(), "contents": "rinses"}).data["container"]
    elif sort in ("charge", "crucible", "jar"):
        thing = {"charge": lambda: cold_charge(make), "crucible": make.crucible, "jar": make.jar}[sort]()
    else:
        thing = make.batch(lines(("ZnO", 5.0), ("CoO", 2.0)))
        make.weigh(thing, 5.0, 2.0)
    return thing, step.address[0].format(**{sort: thing})


@pytest.mark.parametrize(("step", "one"), NUMBERS, ids=lambda one: getattr(one, "verb", getattr(one, "name", "")))
def test_a_correction_takes_and_refuses_what_the_first_form_does(
    make: Making, client: FlaskClient, send: Any, step: Step, one: Field
) -> None:
    thing, path = on(make, step)
    good = usual(step)
    # More than can be right is asked, and recorded once it is said to be.
    most = {one.name: f"{one.high:.0f}", "sure": f"{one.name}={one.high:.0f}"}
    assert send(path, good | most).status_code == 303
    record = max((r for r in make.state.records.values() if r.kind == step.record), key=lambda r: r.order)
    thing = record.subject
    assert record.data[one.name] == one.high
    beyond = f"{one.high + 1:.0f}"
    first = send(path, good | {one.name: beyond})
    again = client.get(f"/thing/{thing}/correct/{record.id}").get_data(as_text=True)
    second = send(f"/thing/{thing}/correct/{record.id}", typed(again) | {one.name: beyond})
    for answer in (first, second):
        assert answer.status_code == 422 and f"At most {one.high:.0f}" in answer.text, one.name


def typed(page: str) -> dict[str, str]:
    """What stands in the fields of a correction."""
    fields = dict(re.findall(r'<input id="([\w.]+)"\s+name="[\w.]+"[^>]* value="([^"]*)"', page))
    return fields | dict(re.findall(r'<input type="radio" name="([\w.]+)" value="([^"]*)" checked', page))


def test_a_correction_asks_in_the_words_of_the_form_and_keeps_what_was_left(
    make: Making, client: Any, send: Any
) -> None:
    thing = powder(make)
    record = make.add("ground", {"medium": "water", "minutes": 9.0, "sieve_um": 0.5}, thing)
    page = client.get(f"/thing/{thing}/correct/{record.id}").get_data(as_text=True)
    for one in BY_RECORD["ground"].recorded:
        assert f">{one.label}</label>" in page
    mended = send(f"/thing/{thing}/correct/{record.id}", typed(page) | {"minutes": "10"})
    assert mended.status_code == 303
    assert make.state.own(thing, "ground")[-1].data == {"medium": "water", "minutes": 10.0, "sieve_um": 0.5}


@pytest.mark.parametrize(("field", "most"), [("r2.1.minutes", 100_000), ("r3.1.c", 400), ("r3.1.mass_g", 100_000)])
def test_a_run_sheet_has_the_same_bounds(make: Making, send: Any, field: str, most: float) -> None:
    thing = make.batch(lines(("ZnO", 5.0), ("CoO", 2.0)))
    filled = {"day": "2026-11-11", "r2.1.medium": "water", "r2.1.at": "09:40", "r3.1.at": "09:50", "r3.1.c": "100"}
    refused = send(f"/sheet/batch/{thing}", filled | {field: f"{most + 1:g}"})
    assert refused.status_code == 422 and f"At most {most:g}" in refused.text
    assert send(f"/sheet/batch/{thing}", filled | {field: f"{most:g}", "sure": f"gross_g={most:g}"}).status_code == 303
    dried, mixed = make.state.own(thing, "dried")[-1], make.state.own(thing, "mixed")[-1]
    assert dried.data["where"] == "dish" and mixed.data["streak"] == "not-looked"
