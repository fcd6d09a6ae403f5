"""The language of the rules: how it is read, and that what is not known never silences a rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.reckoning.rules.grammar import (
    Answer,
    Atom,
    BadPattern,
    Compares,
    Either,
    Every,
    Is,
    atoms,
    compare,
    evaluate,
    matches,
    parse_pattern,
)


def test_values_by_comma_and_by_bar_are_one_list() -> None:
    assert parse_pattern("place=indoors|unknown") == Is("place", ("indoors", "unknown"))
    assert parse_pattern("elements=Pb,Cd,As") == Is("elements", ("Pb", "Cd", "As"))


def test_a_bar_before_a_comparison_is_or() -> None:
    tree = parse_pattern("crucible_rated_c<peak_c | crucible_rated_c=unknown")
    assert tree == Either((Compares("crucible_rated_c", "<", 1.0, "peak_c"), Is("crucible_rated_c", ("unknown",))))


def test_and_binds_tighter_than_or() -> None:
    tree = parse_pattern("a=1 & b=2 | c=3")
    assert tree == Either((Every((Is("a", ("1",)), Is("b", ("2",)))), Is("c", ("3",))))


def test_parentheses_group_and_may_stand_in_a_value() -> None:
    tree = parse_pattern("anions=CN,Fe(CN)6 & (acid=hot_or_strong | dry_heat=true)")
    inner = Either((Is("acid", ("hot_or_strong",)), Is("dry_heat", ("true",))))
    assert tree == Every((Is("anions", ("CN", "Fe(CN)6")), inner))


def test_comparisons_take_numbers_keys_and_multiples() -> None:
    assert parse_pattern("fill_fraction>0.2") == Compares("fill_fraction", ">", 0.2)
    assert parse_pattern("lining_rated_c<peak_c") == Compares("lining_rated_c", "<", 1.0, "peak_c")
    assert parse_pattern("peak>=0.5*short_limit") == Compares("peak", ">=", 0.5, "short_limit")


def test_not_equal_is_negated() -> None:
    assert parse_pattern("evolves!=none") == Is("evolves", ("none",), negated=True)


def test_the_star_stands_for_every_ending() -> None:
    assert matches("H360*", "H360FD") and matches("H360*", "H360") and not matches("H360*", "H361d")
    assert matches("H351", "H351") and not matches("H351", "H351i")


@pytest.mark.parametrize(
    "text", ["", "a", "a=", "=b", "a=1 &", "(a=1", "a=1)", "a=1 b=2", "a<", "a=1 ;", "a=1 | | b=2"]
)
def test_what_is_not_in_the_language_is_a_bad_pattern(text: str) -> None:
    with pytest.raises(BadPattern):
        parse_pattern(text)


@pytest.mark.parametrize(
    ("op", "expected"),
    [
        ("<", (True, False, False)),
        ("<=", (True, True, False)),
        (">", (False, False, True)),
        (">=", (False, True, True)),
    ],
)
def test_compare(op: str, expected: tuple[bool, ...]) -> None:
    assert tuple(compare(op, left, 2.0) for left in (1.0, 2.0, 3.0)) == expected


TREES = st.recursive(
    st.sampled_from("abcd").map(lambda key: Is(key, ("true",))),
    lambda inner: st.lists(inner, min_size=1, max_size=3).flatmap(
        lambda parts: st.sampled_from([Every(tuple(parts)), Either(tuple(parts))])
    ),
    max_leaves=8,
)
TRUTHS = st.fixed_dictionaries({key: st.sampled_from([True, False, None]) for key in "abcd"})


@given(tree=TREES, truths=TRUTHS)
def test_unknown_is_exactly_what_could_go_either_way(tree: Every | Either | Is, truths: dict[str, bool | None]) -> None:
    """With distinct keys in every place, Kleene's answer is None exactly where filling the gaps gives both answers.

    Where a key stands twice it may be more careful than that, never less: a sure answer is always right.
    """

    def ask(known: dict[str, bool | None]) -> bool | None:
        def answer(atom: Atom) -> Answer:
            return Answer(known[atom.key], (atom.key,))

        return evaluate(tree, answer).holds

    filled = [truths]
    for key in "abcd":
        filled = [
            {**each, key: way} for each in filled for way in ((True, False) if each[key] is None else (each[key],))
        ]
    outcomes = {ask(each) for each in filled}
    said = ask(truths)
    if said is not None:
        assert outcomes == {said}
    keys = [atom.key for atom in atoms(tree)]
    if len(keys) == len(set(keys)):
        assert said == (outcomes.pop() if len(outcomes) == 1 else None)


def test_because_names_only_what_decided() -> None:
    tree = parse_pattern("a=1 & (b=2 | c=3)")
    truths = {"a": True, "b": False, "c": None}
    answer = evaluate(tree, lambda atom: Answer(truths[atom.key], (atom.key,)))
    assert answer == Answer(None, ("a", "c"))
