"""A batch that no liquid ever touched: dry where nothing in it takes up water, else damp until it is weighed."""

import pytest

from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from tests.workshop.builder import Builder, lines

OXIDES = (("ZnO", 5.7), ("Fe2O3", 4.3))


@pytest.fixture
def bench() -> Builder:
    return Builder()


def mixed(bench: Builder, *parts: tuple[str, float], medium: str = "dry", jar: str | None = None) -> str:
    """A batch that is weighed and mixed; with a jar for its first line."""
    planned = lines(*parts)
    if jar is not None:
        planned[0]["jar"] = jar
    thing = bench.batch(planned)
    bench.weigh(thing, *(g for _formula, g in parts))
    bench.mixed(thing, medium)
    return thing


def is_damp(bench: Builder, thing: str) -> bool:
    found = batch(bench.state, thing)
    assert found is not None
    return found.damp


def test_oxides_that_were_mixed_dry_are_dry_and_so_is_a_crucible_filled_with_them(bench: Builder) -> None:
    thing = mixed(bench, *OXIDES)
    assert not is_damp(bench, thing)
    one = bench.charge({"batch": thing, "g": 5.0})
    filled = charge(bench.state, one)
    assert filled is not None and filled.state == "dry"


def test_a_liquid_at_any_time_makes_them_damp(bench: Builder) -> None:
    thing = mixed(bench, *OXIDES)
    bench.mixed(thing, "water")
    bench.mixed(thing, "dry")
    assert is_damp(bench, thing)


def test_what_takes_up_water_stays_damp(bench: Builder) -> None:
    """Also a jar of which nobody knows the form, and what was never mixed: a liquid may not have been entered."""
    assert is_damp(bench, mixed(bench, ("ZnO", 5.7), ("MgO", 2.0)))
    assert is_damp(bench, mixed(bench, ("ZnO", 5.7), ("CoCO3*6H2O", 2.0)))
    assert is_damp(bench, mixed(bench, *OXIDES, jar=bench.jar("ZnO", "zinc-oxide", hydrate_known=False)))
    assert not is_damp(bench, mixed(bench, *OXIDES, jar=bench.jar("ZnO", "zinc-oxide", hydrate_known=True)))
    assert is_damp(bench, bench.batch(lines(*OXIDES)))


def test_two_weighings_that_differ_count_more_than_what_is_in_it(bench: Builder) -> None:
    thing = mixed(bench, *OXIDES)
    bench.dried(thing, 10.0)
    assert not is_damp(bench, thing)
    bench.dried(thing, 9.5)
    assert is_damp(bench, thing)
