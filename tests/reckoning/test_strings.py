"""Ten thousand strings into every kind: an answer or a clean refusal, never a traceback, each within a second."""

import json
import random
from typing import Any

import pytest

from bench.reckoning import KINDS, reckon
from bench.reference import load_library
from bench.science.refusal import Refusal

POOL = "CoAl2O4()[]{}·*.,-+ eE0123456789NaNinf\x00\n\"'µ₂√日本ÿ<>{}:;\\/"
LIBRARY = load_library()


def a_string(dice: random.Random) -> str:
    return "".join(dice.choice(POOL) for _ in range(dice.randrange(30)))


def spoiled(value: Any, dice: random.Random) -> Any:
    """The example with one of its values, at any depth, turned into a random string."""
    deeper = dice.random() < 0.85
    if isinstance(value, dict) and value and deeper:
        key = dice.choice(list(value))
        return {**value, key: spoiled(value[key], dice)}
    if isinstance(value, list) and value and deeper:
        at = dice.randrange(len(value))
        return [*value[:at], spoiled(value[at], dice), *value[at + 1 :]]
    return a_string(dice)


@pytest.mark.parametrize("name", sorted(KINDS))
def test_strings_are_answered_or_refused(name: str) -> None:
    dice = random.Random(f"{name} 7")
    example = KINDS[name].example
    for _ in range(10_000):
        ask = spoiled(example, dice) if dice.random() < 0.9 else a_string(dice)
        try:
            json.dumps(reckon(name, ask, LIBRARY))
        except Refusal as refusal:
            assert refusal.say


@pytest.mark.parametrize("tiny", [6.95e-238, 5e-324, -1e-31])
def test_what_is_smaller_than_anything_at_a_bench_is_refused(tiny: float) -> None:
    with pytest.raises(Refusal) as refused:
        reckon("settle", {**KINDS["settle"].example, "diameter_um": tiny}, LIBRARY)
    assert refused.value.field == "diameter_um"
