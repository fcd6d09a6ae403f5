"""What a batch cost, what a gram of it cost, and how much of an element is on the shelf."""

import pytest

from bench.reference import load_library
from bench.workshop.choosing import shopping_of
from bench.workshop.costing import batch_cost, element_stock
from tests.workshop.builder import Builder, lines

LIBRARY = load_library()


def test_a_batch_costs_what_its_jars_cost() -> None:
    make = Builder()
    zinc = make.jar("ZnO", "zinc-oxide", net_g=250.0, price=10.0)
    iron = make.jar("Fe2O3", "iron-iii-oxide", net_g=500.0, price=15.0)
    planned = lines(("ZnO", 5.0), ("Fe2O3", 10.0))
    thing = make.batch([dict(planned[0], jar=zinc), dict(planned[1], jar=iron)])
    make.weigh(thing, 5.5, jar=zinc)
    make.weigh(thing, 10.0, first=2, jar=iron)
    found = batch_cost(make.state, thing)
    # By hand: 5.5 g at 0.04 and 10 g at 0.03 a gram.
    assert found is not None and found.whole and found.known == pytest.approx(0.22 + 0.30)
    assert found.per_g is None
    charge = make.charge({"batch": thing, "g": 15.5}, crucible=make.crucible(tare_g=40.0))
    make.opened(charge, 54.0, tare_after_g=40.0)
    found = batch_cost(make.state, thing)
    assert found is not None and found.made_g == 14.0 and found.per_g == pytest.approx(0.52 / 14)


def test_a_jar_without_a_price_leaves_it_open() -> None:
    make = Builder()
    thing = make.batch([dict(one, jar=make.jar("ZnO", "zinc-oxide", net_g=250.0)) for one in lines(("ZnO", 5.0))])
    found = batch_cost(make.state, thing)
    assert found is not None and not found.whole and found.known == 0 and found.per_g is None


def test_the_grams_of_an_element_over_all_jars() -> None:
    make = Builder()
    first = make.jar("Co3O4", "cobalt-ii-iii-oxide", net_g=100.0, assay_pct=99.0)
    make.jar("CoO", "cobalt-ii-oxide", net_g=10.0)
    make.jar("CoO", "cobalt-ii-oxide")
    make.closed(make.jar("CoO", "cobalt-ii-oxide", net_g=1000.0))
    thing = make.batch([dict(one, jar=first) for one in lines(("Co3O4", 50.0))])
    make.weigh(thing, 50.0, jar=first)
    held = element_stock(make.state, LIBRARY)["Co"]
    # Gravimetric factors: Co/Co3O4 0.7342; Co/CoO 58.933 / 74.932 = 0.7865.
    assert [one.g for one in held][:2] == [pytest.approx(50 * 0.99 * 0.7342, rel=2e-4), pytest.approx(7.865, rel=2e-4)]
    assert len(held) == 3 and held[2].g is None


def test_water_that_is_not_known_gives_a_range() -> None:
    make = Builder()
    make.jar("CoCl2·6H2O", "cobalt-chloride-hexahydrate", net_g=100.0, hydrate_known=False, assay_pct=100.0)
    [held] = element_stock(make.state, LIBRARY)["Co"]
    # Between CoCl2·6H2O, 24.77 % Co, and CoCl2, 45.39 % (molar masses 237.93 and 129.84 g/mol).
    assert held.low_g == pytest.approx(24.77, abs=0.02) and held.high_g == pytest.approx(45.39, abs=0.03)


def test_what_a_single_batch_needs_bought() -> None:
    make = Builder()
    zinc = make.jar("ZnO", "zinc-oxide", net_g=4.0, price=2.0)
    thing = make.batch([dict(one, jar=zinc) for one in lines(("ZnO", 5.0))])
    [row] = shopping_of(make.state, [thing], LIBRARY)
    assert (row.needed_g, row.stock_g, row.buy_g, row.cost) == (5.0, 4.0, 1.0, 0.5)
