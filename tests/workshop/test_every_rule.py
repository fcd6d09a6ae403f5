"""Every rule of the rules' file is in use: asked at each of its steps by a gate that a screen asks, met by a situation.

The file itself is read, so that a rule added to it without a gate, a screen or a situation fails here.
"""

import ast
import csv
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

import bench.reference
from bench.reckoning.rules import STEPS
from bench.workshop.alarms import BY_NOTES
from bench.workshop.watching import TOLD_AS_ALARMS
from tests.workshop.dangers import BLUE, Dangers, Found
from tests.workshop.test_dangers import DANGERS, HOT, QUENCHED

SCREENS = Path(bench.reference.__file__).parents[1] / "screens"
with (Path(bench.reference.__file__).parent / "data" / "rules.csv").open(encoding="utf-8", newline="") as file:
    RULES = {row["slug"]: row for row in csv.DictReader(file)}
PAIRS = sorted({step for row in RULES.values() for step in row["steps"].split("; ")})

ASKED: dict[str, tuple[str, Callable[[Dangers], Found]]] = {
    "plan": ("gate_plan", lambda b: b.at_plan(("PbO", 2.0))),
    "weigh": ("gate_batch", lambda b: b.at_batch("weigh", ("PbO", 2.0))),
    "mix": ("gate_batch", lambda b: b.at_batch("mix", ("PbO", 2.0))),
    "grind": ("gate_batch", lambda b: b.at_batch("grind", ("PbO", 2.0))),
    "dry": ("gate_batch", lambda b: b.at_batch("dry", ("PbO", 2.0))),
    "load": ("gate_load", lambda b: b.at_load(("PbO", 2.0))),
    "light": ("gate_light", lambda b: b.at_light(("PbO", 2.0))),
    "fire": ("gate_fire", lambda b: b.at_fire(("PbO", 2.0))),
    "open": ("gate_out", lambda b: b.at_hot_pull(*BLUE, **(HOT | {"cooling_basis": "memory"}))),
    "quench": ("gate_out", lambda b: b.at_hot_pull(*BLUE, target="egyptian-blue", **QUENCHED)),
    "wash": ("gate_pigment", lambda b: b.at_powder("wash", b.powder(*BLUE), acid="none")),
    "waste": ("gate_waste", lambda b: b.at_waste(b.container("ultramarine"), "acid rinse")),
    "swatch": ("gate_pigment", lambda b: b.at_powder("swatch", b.powder(*BLUE), binder="linseed oil")),
}
"""For each step the gate that asks the rules there, and a situation that one of them must meet."""


ASKED_AT = {"quench": "open"}
"""Water is met as the crucible is taken out: every rule of the quench is one of the opening too."""


@cache
def called_in(room: Path) -> set[str]:
    """The names of every function that the modules of a room call."""
    found: set[str] = set()
    for path in room.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                found.add(node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", ""))
    return found


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_is_met_by_a_situation(rule: str) -> None:
    met = [danger for danger in DANGERS if danger.rule == rule]
    assert met, f"no situation in the tests meets {rule}"
    assert {danger.effect for danger in met} == {RULES[rule]["effect"]}
    assert {danger.source for danger in met} <= set(RULES[rule]["sources"].split("; "))
    assert {danger.lifted for danger in met} == {RULES[rule]["override"] == "recorded-decision"}


def test_every_step_of_the_rules_has_a_gate() -> None:
    assert set(PAIRS) == set(ASKED) == set(STEPS)


@pytest.mark.parametrize("step", ASKED)
def test_the_gate_asks_the_rules_at_its_step_and_a_screen_asks_the_gate(step: str) -> None:
    gate, made = ASKED[step]
    found = made(Dangers())
    here = {rule for rule in found if rule in RULES and step in RULES[rule]["steps"].split("; ")}
    assert here, f"at {step} nothing is met: {sorted(found)}"
    assert ASKED_AT.get(step, step) in {finding.step for finding in found.values()}
    assert gate in called_in(SCREENS)


@pytest.mark.parametrize(("step", "at"), ASKED_AT.items())
def test_a_step_that_is_asked_at_another_has_no_rule_of_its_own(step: str, at: str) -> None:
    steps = [row["steps"].split("; ") for row in RULES.values()]
    assert all(at in each for each in steps if step in each)


def test_what_a_note_on_a_fire_raises_is_an_alarm_of_its_screen() -> None:
    """These rules of the fire stand on notes; the gate of the load leaves them to the alarms."""
    noted = {rule for rule, row in RULES.items() if row["steps"] == "fire"}
    assert noted == set(BY_NOTES) == set(TOLD_AS_ALARMS)
    assert "alarms" in called_in(SCREENS)
