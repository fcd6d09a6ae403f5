"""A declared step says the same near the laptop and away from it: the same refusals, data, objections and sentences.

The laptop reads each form as its own page would; a phone reads it in a real browser, from the facts that it was told.
"""

import copy
import importlib
from collections.abc import Iterator
from itertools import product
from random import Random
from typing import Any

import pytest
from flask import Flask

from bench.reckoning.rules import Finding
from bench.records.kinds import Source
from bench.records.schema import Ulid
from bench.screens.kit.declared import read_step
from bench.screens.phone.away_words import away_words
from bench.screens.phone.minded import JUDGED_THERE
from bench.screens.phone.steps_file import steps_text
from bench.screens.powders.regrinding import dry_terms
from bench.screens.weighing.dry import drying_of
from bench.screens.weighing.grind import stands_against
from bench.screens.weighing.weighing import aims
from bench.screens.weighing.weighing_read import read_weighing
from bench.steps import BY_VERB, HOUSE, STEPS
from bench.steps.conditions import holds, parse
from bench.steps.declare import Step
from bench.steps.fields import Field
from bench.steps.folding import StepRecord, apply
from bench.steps.judging import against, due, fill
from bench.steps.swatch import BINDERS
from bench.web.forms import Form
from bench.workshop.facts import facts, look_on
from bench.workshop.gates import gate_load, gate_pigment
from bench.workshop.things.batches import batch

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
  const { readStep } = await import('/static/read.js');
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


def typed_in(one: Field, chance: Random, state: Any) -> str:
    """What a hurried finger puts into a field."""
    if one.kind in ("thing", "code") and chance.random() < 0.8:
        thing = chance.choice(state.open_things(one.of) or [""])
        return thing if one.kind == "thing" else (state.code_of(thing) or "")
    if one.options and chance.random() < 0.8:
        return chance.choice(one.values)
    return "1" if one.kind == "flag" and chance.random() < 0.5 else chance.choice(ODD)


def told(state: Any, step: Step, thing: str) -> dict[str, Any]:
    """The facts of a thing and of all that the fields of a step may name."""
    named = [one for field in step.asked if field.of for one in state.open_things(field.of)]
    found = {one: facts(state, one) for one in (thing, *named)}
    return copy.deepcopy({one: known for one, known in found.items() if known is not None})


def near(state: Any, step: Step, thing: str, fields: dict[str, str]) -> dict[str, Any]:
    """What the laptop makes of a form."""
    form = Form(fields)
    read = read_step(form, step, thing)
    # A code is what bears it, as the page of such a step reads it.
    for said in (read.fields, read.data):
        for one in step.asked:
            if one.kind == "code" and one.name in said:
                said[one.name] = next(iter(state.things_with(said[one.name])), said[one.name])
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
    things = told(state, step, thing)
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
            if not step.away or any(one.kind == "rows" for one in step.asked):
                continue  # what needs the laptop, or asks for rows, has a page of its own there
            for sort in step.on:
                things = state.things(sort) if facts(state, next(iter(state.things(sort)), "")) else []
                for n in range(30 if things else 0):
                    thing = things[n % len(things)]
                    fields = {one.name: typed_in(one, chance, state) for one in step.asked if chance.random() < 0.9}
                    known = told(state, step, thing)
                    cases.append({"verb": step.verb, "thing": thing, "things": known, "fields": fields})
                    expected.append(near(state, step, thing, fields))
        words = away_words()
    verbs = {case["verb"] for case in cases}
    assert (
        len(cases) > 400
        and {
            "weigh",
            "close",
            "lost",
            "see",
            "collect",
            "grind",
            "dry",
            "load",
            "place",
            "cool",
            "open",
            "wash",
            "judge",
        }
        <= verbs
    )
    browser_page.goto("/look/fields")
    for case, want, got in zip(cases, expected, browser_page.evaluate(ASK, [cases, steps_text(), words]), strict=True):
        assert got == want, case
    assert any(one["found"] for one in expected) and any(one["errors"] for one in expected)


MINDED = """async ([cases, lists]) => {
  const { houseOf, minded } = await import('/static/away.js');
  const minds = Object.assign({}, ...lists.map((one) => one.minds));
  const here = houseOf(await (await fetch('/steps.json')).json(), { minds });
  const rules = (found) => [...new Set(found.map(({ rule, effect, say }) => `${effect} ${rule}: ${say}`))].sort();
  return cases.map(({ verb, thing, things, typed }) => rules(minded(here, things, here.steps.get(verb), thing, typed)));
}"""


def test_the_rules_say_the_same_away_to_each_answer(yard: Flask, browser_page: Any) -> None:
    """The laptop is asked with each answer of a form; a phone looks up what it was told of that answer."""
    state, library = yard.extensions["bench"].state, yard.extensions["bench"].library
    client = yard.test_client()
    lists, cases, expected = [], [], []
    for thing in state.open_things("batch"):
        lists.append(client.get(f"/batch/{thing}/offline.json").json)
        pots = state.open_things("crucible")[:4]
        with yard.test_request_context("/"):
            for fields, said in answers(state, library, thing, pots):
                known = {thing: copy.deepcopy(facts(state, thing))}
                cases.append({"verb": fields.pop("verb"), "thing": thing, "things": known, "typed": fields})
                own = {gate.rule for gate in BY_VERB[cases[-1]["verb"]].gates} | JUDGED_THERE
                found = {f"{one.effect} {one.rule}: {one.say}" for one in said if one.rule not in own}
                expected.append(sorted(found))
    write = yard.extensions["bench"].journal.write
    for thing, medium in zip(state.open_things("pigment"), ("alcohol", "water", "white spirit"), strict=False):
        write("ground", thing, {"medium": medium})
    lists.append(client.get("/bench/offline.json").json)
    with yard.test_request_context("/"):
        for thing in state.open_things("pigment"):
            known = {thing: copy.deepcopy(facts(state, thing))}
            for fields, said in powder_answers(state, library, thing):
                cases.append({"verb": fields.pop("verb"), "thing": thing, "things": known, "typed": fields})
                own = {gate.rule for gate in BY_VERB[cases[-1]["verb"]].gates} | JUDGED_THERE
                expected.append(sorted({f"{one.effect} {one.rule}: {one.say}" for one in said if one.rule not in own}))
    browser_page.goto("/look/fields")
    for case, want, got in zip(
        cases, expected, browser_page.evaluate(MINDED, [cases, [one["drawn"] for one in lists]]), strict=True
    ):
        # Of a binder that no list names, a phone takes the worse.
        listed = case["typed"].get("binder", BINDERS[0]) in BINDERS
        assert got == want if listed else set(want) <= set(got), case
    assert len(cases) > 30 and any(expected) and len({str(one) for one in expected}) > 5


WEIGHED = """async ([cases, told, codes, words]) => {
  await (await import('/static/store.js')).note('words', words);
  const { houseOf, folded } = await import('/static/away.js');
  const { refusals } = await import('/static/drawn_weigh.js');
  const here = houseOf(await (await fetch('/steps.json')).json());
  const { things } = folded(here, told, []);
  return cases.map(([batch, number, fields]) => {
    const line = things[batch].lines.find((one) => one.line === number);
    return refusals({ here, things }, here.steps.get('weigh'), things[batch], line, fields, codes);
  });
}"""
WEIGHINGS = (
    {}, {"net_g": "warm"}, {"net_g": "0"}, {"net_g": "1,5"}, {"added_g": "1"}, {"before_g": "5"}, {"after_g": "5"},
    {"before_g": "5", "after_g": "5,0"}, {"before_g": "9", "after_g": "5"}, {"before_g": "9", "after_g": "nil"},
    {"net_g": "7", "before_g": "9", "after_g": "5"}, {"net_g": "4.0", "before_g": "5", "after_g": "9"},
)  # fmt: skip


def test_a_weighing_is_refused_in_the_same_words_near_and_away(yard: Flask, browser_page: Any) -> None:
    """By difference, what is added after an overshoot, and the tag of a jar; what nobody told the laptop judges."""
    bench, client = yard.extensions["bench"], yard.test_client()
    state, write = bench.state, bench.journal.write
    grown = state.open_things("batch")[0]
    view = batch(state, grown)
    assert view is not None
    if view.lines[0].weighed_g is None:
        write("weighed", grown, {"line": view.lines[0].plan.line, "net_g": view.lines[0].target_g})
    targets = [1.1 * line.target_g for line in view.lines]
    write("rescaled", grown, {"product_factor": 1.1, "targets_g": targets})
    told = client.get("/bench/offline.json").json
    tags = [code for code, (_name, page) in told["codes"].items() if page.startswith(("/jar/", "/crucible/"))]
    typed = [*WEIGHINGS, *({"net_g": "1", "jar": code} for code in [*tags, "T5C7HX", "0O"])]
    typed += [{**one, "this_jar": "1"} for one in typed if "jar" in one]
    things, cases, expected = told["told"], [], []
    with yard.test_request_context("/"):
        for thing in state.open_things("batch"):
            things |= client.get(f"/batch/{thing}/offline.json").json["told"]
            for aim in aims(state, bench.library, batch(state, thing)):  # type: ignore[arg-type]
                for one in typed:
                    not_asked = ("net_g", "before_g", "after_g") if aim.short_g else ("added_g",)
                    fields = {name: value for name, value in one.items() if name not in not_asked}
                    form = Form(fields | ({"adding": "1"} if aim.short_g else {}))
                    read_weighing(form, aim)
                    cases.append([thing, aim.number, fields])
                    expected.append(dict(form.errors))
        words = away_words()
    browser_page.goto("/look/fields")
    found = browser_page.evaluate(WEIGHED, [cases, things, told["codes"], words])
    for case, want, got in zip(cases, expected, found, strict=True):
        assert got == want, case
    said = {name for one in expected for name in one}
    assert {"net_g", "added_g", "before_g", "after_g", "jar"} <= said and len(tags) > 3


def powder_answers(state: Any, library: Any, thing: str) -> Iterator[tuple[dict[str, Any], list[Finding]]]:
    """Forms of the steps of a fired powder, each with what the laptop has against it."""
    for medium, within in (("dry", None), ("alcohol", None), ("alcohol", "none"), ("water", "none")):
        near_fire = {} if within is None else {"flame_or_hot_furnace_within_m": within}
        terms = {"liquid": medium, "dry_handling": medium == "dry", **near_fire}
        typed = {"medium": medium} | ({} if within is None else {"no_flame": True})
        yield {"verb": "grind-again", **typed}, gate_pigment(state, "grind", thing, library, **terms)
    for acid in BY_VERB["wash"].field("acid").values:
        yield {"verb": "wash", "acid": acid}, gate_pigment(state, "wash", thing, library, acid=acid)
    for way, clear in product(("oven", "open-air"), (True, False)):
        typed = {"drying": way} | ({"no_flame": True} if clear else {})
        yield {"verb": "dry-weigh", **typed}, gate_pigment(state, "dry", thing, library, **dry_terms(way, clear))
    yield {"verb": "dry-weigh"}, gate_pigment(state, "dry", thing, library, **dry_terms("oven", False))
    for binder in (*BINDERS, "hare-skin glue", "sunflower oil"):
        yield {"verb": "swatch", "binder": binder}, gate_pigment(state, "swatch", thing, library, binder=binder)
    yield {"verb": "sieve"}, gate_pigment(state, "grind", thing, library, dry_handling=True)
    yield {"verb": "cut"}, gate_pigment(state, "grind", thing, library)


def answers(state: Any, library: Any, thing: str, pots: list[str]) -> Iterator[tuple[dict[str, Any], list[Finding]]]:
    """Forms of the steps of a batch, each with what the laptop has against it."""
    view = batch(state, thing)
    assert view is not None
    for clear in (True, False):
        flag = {"no_flame": True} if clear else {}
        for medium in ("dry", "water", "alcohol"):
            yield {"verb": "grind", "medium": medium, **flag}, stands_against(thing, medium, clear)
        for way in ("oven", "open-air"):
            yield {"verb": "dry", "way": way, **flag}, drying_of(thing).against(way, clear)
    g = max(view.left_g, 0.0) or sum(line.target_g for line in view.lines)
    for pot in pots:
        for lid in ("loose", "sealed"):
            found = gate_load(state, pot, (Source(g=g, batch=Ulid(thing)),), lid, library)
            yield {"verb": "load", "crucible": pot, "lid": lid}, found
