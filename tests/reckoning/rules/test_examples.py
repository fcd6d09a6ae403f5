"""Each rule catches what its own row says it catches, at the steps it names, and leaves alone what its row leaves
alone."""

import re

import pytest

from bench.reckoning.rules import STEPS, faults
from bench.reference.library import Library
from tests.reckoning.rules.examples import CATCHES, NOT_CAUGHT
from tests.reckoning.rules.scenes import Scene


def flat(table: dict[str, dict[str, list[Scene]]]) -> list[object]:
    """Every scene with its rule, named by rule and example."""
    return [
        pytest.param(rule, scene, id=f"{rule}: {words} {number}")
        for rule, examples in table.items()
        for words, scenes in examples.items()
        for number, scene in enumerate(scenes)
    ]


def words_of(text: str) -> str:
    """A pattern for the words of a rule with its blanks filled."""
    parts = re.split(r"\{\w+\}", text)
    return "[^{}]+".join(re.escape(part) for part in parts)


@pytest.mark.parametrize(("rule", "scene"), flat(CATCHES))
def test_caught(rule: str, scene: Scene, library: Library) -> None:
    finding = scene.found(library).get(rule)
    row = library.rules[rule]
    assert finding, f"{rule} stays silent"
    assert (finding.effect, finding.override) == (row.effect, row.override)
    assert any(re.fullmatch(words_of(text), finding.say) for text in (row.reason, row.otherwise) if text), finding.say
    assert finding.sources and all(source in library.sources for source in finding.sources)
    assert finding.because, "a finding names what set it off"


@pytest.mark.parametrize(("rule", "scene"), flat(NOT_CAUGHT))
def test_left_alone(rule: str, scene: Scene, library: Library) -> None:
    assert rule not in scene.found(library)


@pytest.mark.parametrize("column", ["catches", "not_caught"])
def test_every_example_of_the_rules_is_tried(column: str, library: Library) -> None:
    table = CATCHES if column == "catches" else NOT_CAUGHT
    said = {rule.slug: set(getattr(rule, column).split("; ")) for rule in library.rules.values()}
    assert {rule: set(examples) for rule, examples in table.items()} == said


def test_a_rule_speaks_only_at_its_own_steps(library: Library) -> None:
    for rule, examples in CATCHES.items():
        scene = next(iter(examples.values()))[0]
        for step in set(STEPS) - set(library.rules[rule].steps):
            elsewhere = Scene(step, scene.parts, scene.conditions)
            assert rule not in elsewhere.found(library), f"{rule} speaks at {step}"


def test_a_rule_names_hazard_and_action_in_at_most_twelve_words(library: Library) -> None:
    for rule in library.rules.values():
        for text in (rule.reason, rule.otherwise, rule.in_general):
            assert len(text.split()) <= 12, (rule.slug, text)
        assert "?" not in rule.in_general.replace("Anhydrous or hexahydrate?", "") and "{" not in rule.in_general


def test_every_pattern_is_read_and_every_key_answered(library: Library) -> None:
    assert faults(library.rules.values()) == []
