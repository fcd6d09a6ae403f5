"""A declared step says the same near the laptop and away from it: the same refusals, data, objections and sentences.

The laptop reads each form as its own page would; a phone reads it in a real browser, from the facts that it was told.
"""

import copy
import importlib
from random import Random
from typing import Any

import pytest
from flask import Flask

from bench.screens.kit.declared import read_step
from bench.screens.phone.away_words import away_words
from bench.screens.phone.steps_file import steps_text
from bench.steps import HOUSE, STEPS
from bench.steps.conditions import holds, parse
from bench.steps.declare import Step
from bench.steps.fields import Field
from bench.steps.folding import StepRecord, apply
from bench.steps.judging import against, due, fill
from bench.web.forms import Form
from bench.workshop.facts import facts, look_on

ODD = (
    "",
    "",
    "warm",
    "1,5",
    "12",
    "0.125",
    "-3",
    "1,000.5",
    "99999999",
    "𝟙",
    "a\x07b",
    "x" * 130,
    "none",
    "waste",
    "0",
)
ASK = """async ([cases, declared, words]) => {
  const { House, apply, against } = await import('/static/facts.js');
  const { readStep } = await import('/static/step_read.js');
  const house = new House(JSON.parse(declared));
  const put = (text, [key, value]) => text.replaceAll(`{${key}}`, () => String(value));
  const say = (name, values = {}) => Object.entries(values).reduce(put, words[name] ?? name);
  return cases.map(({ verb, thing, things, fields }) => {
    const step = house.steps.get(verb);
    const { data, typed, errors } = readStep(house, things, step, thing, fields, say);
    const found = against(step, house.look(things, thing, typed)).map((one) => [one.rule, one.say, one.sure]);
    const due = house.due(things, thing).map((one) => one.step.verb);
    const says = house.says(things, thing).map((one) => one.text);
    apply(house, step, things, { thing, data: typed, made: 'made' });
    return { data, errors, found, due, says, things };
  });
}"""


@pytest.fixture
def yard(app: Flask) -> Flask:
    """A bench with things of every sort under way."""
    importlib.import_module("bench.demo").fill(app.extensions["bench"])
    return app


def typed_in(one: Field, chance: Random) -> str:
    """What a hurried finger puts into a field."""
    if one.options and chance.random() < 0.8:
        return chance.choice(one.values)
    return "1" if one.kind == "flag" and chance.random() < 0.5 else chance.choice(ODD)


def near(state: Any, step: Step, thing: str, fields: dict[str, str]) -> dict[str, Any]:
    """What the laptop makes of a form."""
    form = Form(fields)
    read = read_step(form, step, thing)
    look = look_on(state, thing, read.fields)
    sort = str(state.sort_of(thing))
    here = HOUSE.sorts[sort]
    plain = look_on(state, thing)
    says = [
        fill(say.text, plain)
        for say in here.says
        if (not say.when or holds(parse(say.when), plain) is True)
        and (not say.unless or holds(parse(say.unless), plain) is not True)
    ]
    things = {thing: copy.deepcopy(facts(state, thing) or {})}
    apply(HOUSE, step, things, StepRecord(thing, read.fields, 0.0, "made"))
    return {
        "data": read.data,
        "errors": dict(form.errors),
        "found": [[one.gate.rule, one.say, one.sure] for one in against(step, look)],
        "due": [one.verb for one, _title in due(STEPS, sort, plain)],
        "says": says,
        "things": things,
    }


def test_each_declared_step_says_the_same_near_and_away(yard: Flask, browser_page: Any) -> None:
    state, chance = yard.extensions["bench"].state, Random(20)
    cases, expected = [], []
    with yard.test_request_context("/"):
        for step in STEPS:
            if step.fields and any(one.kind in ("thing", "rows", "code") for one in step.asked):
                continue
            for sort in step.on:
                things = state.things(sort) if facts(state, next(iter(state.things(sort)), "")) else []
                for n in range(30 if things else 0):
                    thing = things[n % len(things)]
                    fields = {one.name: typed_in(one, chance) for one in step.asked if chance.random() < 0.9}
                    told = {thing: copy.deepcopy(facts(state, thing))}
                    cases.append({"verb": step.verb, "thing": thing, "things": told, "fields": fields})
                    expected.append(near(state, step, thing, fields))
        words = away_words()
    assert len(cases) > 200 and len({case["verb"] for case in cases}) >= 7
    browser_page.goto("/look/fields")
    for case, want, got in zip(cases, expected, browser_page.evaluate(ASK, [cases, steps_text(), words]), strict=True):
        assert got == want, case
    assert any(one["found"] for one in expected) and any(one["errors"] for one in expected)
