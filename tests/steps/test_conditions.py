"""The language of the conditions: what it reads, its three values, and the difference between nothing and not known."""

from itertools import product
from typing import Any

import pytest

from bench.steps.conditions import UNKNOWN, BadCondition, holds, names, parse

FACTS = {"a": 1.0, "b": 2, "word": "dry", "yes": True, "no": False, "nothing": None, "list": ["Co", "Zn"], "t.g": 2.0}


def held(text: str) -> bool | None:
    return holds(parse(text), lambda name: FACTS.get(name, UNKNOWN))


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("a=1", True),
        ("a=1,2", True),
        ("b=1", False),
        ("b!=1,3", True),
        ("b!=2", False),
        ("word=dry", True),
        ("word=wet,dry", True),
        ("word!=dry,none", False),
        ("list=Co", True),
        ("list=Ni", False),
        ("yes", True),
        ("no", False),
        ("!no", True),
        ("a<2", True),
        ("a<=1", True),
        ("a<1", False),
        ("b>t.g", False),
        ("b>=t.g", True),
        ("b>a", True),
        ("b<a", False),
        ("?a", True),
        ("?nothing", False),
        ("?gone", False),
        ("nothing=none", True),
        ("nothing<5", False),
        ("nothing>5", False),
        ("gone", None),
        ("gone=1", None),
        ("gone!=1", None),
        ("!gone", None),
        ("a<gone", None),
        ("word<2", None),
        ("yes=1", False),
        ("gone & no", False),
        ("gone & yes", None),
        ("gone | yes", True),
        ("gone | no", None),
        ("!(gone | yes)", False),
        ("yes & (no | !no)", True),
        ("no & no | yes", True),
    ],
)
def test_an_answer_is_yes_no_or_not_known(text: str, answer: bool | None) -> None:
    assert held(text) is answer


VALUES = {"yes": True, "no": False, "gone": None}


@pytest.mark.parametrize(("one", "two"), list(product(VALUES, VALUES)))
def test_and_is_the_lesser_and_or_the_greater_of_two_answers(one: str, two: str) -> None:
    # Kleene's strong logic: false < not known < true, "and" the minimum, "or" the maximum.
    rank: dict[Any, int] = {False: 0, None: 1, True: 2}
    pair = [VALUES[one], VALUES[two]]
    assert held(f"{one} & {two}") is min(pair, key=lambda answer: rank[answer])
    assert held(f"{one} | {two}") is max(pair, key=lambda answer: rank[answer])
    assert held(f"!({one} & {two})") is held(f"!{one} | !{two}")


@pytest.mark.parametrize("text", ["", "a=", "a &", "(a", "a)", "a b", "a == 1", "§", "=1", "a<1,2", "? a b"])
def test_what_is_not_in_the_language_is_refused(text: str) -> None:
    with pytest.raises(BadCondition):
        parse(text)


def test_every_name_is_found_on_both_sides() -> None:
    assert list(names(parse("!a & (b.c=x,d.e | ?f) & g<h & i<2"))) == ["a", "b.c", "d.e", "f", "g", "h", "i"]
