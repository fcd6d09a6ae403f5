"""Who stands beside whom, and what a pale target is kept from."""

import pytest

from bench.reference import Library, load_library
from bench.workshop.neighbours import bad_neighbours, beside
from bench.workshop.things.firings import firing
from tests.workshop.builder import Builder, lines


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.mark.parametrize(
    ("one", "two", "places", "expected"),
    [
        ((1, 1, 1, None), (1, 1, 2, None), 12, True),
        ((1, 1, 1, None), (1, 2, 2, None), 12, True),
        ((1, 1, 1, None), (1, 1, 3, None), 12, False),
        ((1, 1, 1, None), (2, 1, 1, None), 12, True),
        ((1, 1, 1, None), (2, 1, 2, None), 12, False),
        ((1, None, None, 12), (1, None, None, 2), 6, True),
        ((1, None, None, 12), (1, None, None, 10), 6, True),
        ((1, None, None, 12), (1, None, None, 4), 6, False),
        ((1, None, None, 11), (1, None, None, 1), 12, False),
        ((1, None, None, 12), (1, None, None, 1), 12, True),
        ((1, None, None, 0), (1, None, None, 7), 6, True),
    ],
)
def test_next_to_each_other(one: tuple, two: tuple, places: int, expected: bool) -> None:  # type: ignore[type-arg]
    assert beside(one, two, places) is expected is beside(two, one, places)


def pale(library: Library) -> str:
    return next(slug for slug, target in library.targets.items() if target.pale and "Zn" not in target.formula)


def load(b: Builder, library: Library, other: list[dict[str, object]], apart: int) -> list[str]:
    fire = b.firing()
    shy = b.ready_batch(lines(("TiO2", 10.0)), target=pale(library))
    b.placed(b.charge({"batch": shy, "g": 5.0}), fire, column=1)
    b.placed(b.charge({"batch": b.ready_batch(other), "g": 5.0}), fire, column=1 + apart)
    view = firing(b.state, fire)
    assert view is not None
    return [one.say for one in bad_neighbours(b.state, view, library)]


@pytest.mark.parametrize("formula", ["NaCl", "CaF2", "V2O5", "Na2SO4", "ZnO"])
def test_what_never_stands_beside_a_pale_target(library: Library, formula: str) -> None:
    # Fluoride, chloride, sulfur, vanadium and much zinc (common practice).
    said = load(Builder(), library, lines((formula, 10.0)), apart=1)
    assert len(said) == 1 and "Move one away" in said[0]
    assert load(Builder(), library, lines((formula, 10.0)), apart=2) == []


def test_a_little_zinc_and_plain_silica_may_stand_there(library: Library) -> None:
    assert load(Builder(), library, lines(("SiO2", 9.0), ("ZnO", 1.0)), apart=1) == []
