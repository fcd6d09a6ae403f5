"""Where every gram came from: split and combined batches, losses, generations, and a swatch that names every gram."""

import pytest

from bench.workshop.lineage import Node, firings_of, offspring, origin, total_lost_g, weighed_lines
from tests.workshop.builder import Builder, lines


@pytest.fixture
def b() -> Builder:
    return Builder()


def tree(b: Builder, thing: str) -> Node:
    found = origin(b.state, thing)
    assert found is not None
    return found


def grams(node: Node) -> dict[str, float]:
    """The grams of each weighed line in a tree, added up by name."""
    found: dict[str, float] = {}
    for name, g in weighed_lines(node):
        assert g is not None
        found[name] = found.get(name, 0.0) + g
    return found


def test_a_batch_is_its_weighed_lines(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.1, 11.9)
    found = tree(b, batch)
    assert (found.what, found.words, found.g) == ("batch", "blue", pytest.approx(20.0))
    assert weighed_lines(found) == [("Co3O4", pytest.approx(8.1)), ("Al(OH)3", pytest.approx(11.9))]


def test_a_line_that_is_not_weighed_has_no_grams(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.0)
    assert weighed_lines(tree(b, batch))[1] == ("Al(OH)3", None)


def test_half_a_batch_holds_half_of_every_line(b: Builder) -> None:
    charge = b.charge({"batch": b.ready_batch(), "g": 10.0})
    assert grams(tree(b, charge)) == {"Co3O4": pytest.approx(4.0), "Al(OH)3": pytest.approx(6.0)}


def test_a_charge_of_two_batches_and_a_salt_holds_a_share_of_each(b: Builder) -> None:
    blue = b.ready_batch()
    zinc = b.ready_batch(lines(("ZnO", 10.0), ("Al(OH)3", 30.0)), name="zinc")
    salt = b.jar("KCl", "potassium chloride")
    charge = b.charge({"batch": blue, "g": 5.0}, {"batch": zinc, "g": 20.0}, {"jar": salt, "g": 2.0})
    found = grams(tree(b, charge))
    # 5 of 20 g: a quarter of 8 and 12; 20 of 40 g: half of 10 and 30
    assert found == {
        "Co3O4": pytest.approx(2.0),
        "Al(OH)3": pytest.approx(3.0 + 15.0),
        "ZnO": pytest.approx(5.0),
        "potassium chloride": pytest.approx(2.0),
    }
    assert sum(found.values()) == pytest.approx(27.0)


def test_a_swatch_names_every_gram_through_two_fires(b: Builder) -> None:
    blue = b.ready_batch()
    one, two = b.charge({"batch": blue, "g": 8.0}), b.charge({"batch": blue, "g": 12.0})
    first = b.fired(one, two)
    powders = [b.opened(c, g) for c, g in ((one, 47.0), (two, 50.0))]  # 7 and 10 g came out
    salt = b.jar("KCl", "potassium chloride")
    again = b.charge({"pigment": powders[0], "g": 7.0}, {"pigment": powders[1], "g": 5.0}, {"jar": salt, "g": 3.0})
    second = b.fired(again)
    swatch = b.swatch(b.opened(again, 54.0))
    found = tree(b, swatch)
    # all of the first crucible's 8 g of mixture and half of the second's 12 g, and the salt of the second fire
    assert grams(found) == {
        "Co3O4": pytest.approx(0.4 * (8.0 + 6.0)),
        "Al(OH)3": pytest.approx(0.6 * (8.0 + 6.0)),
        "potassium chloride": pytest.approx(3.0),
    }
    assert firings_of(found) == (second, first)
    assert [n.what for n in walk(found)][:3] == ["swatch", "pigment", "charge"]
    assert found.sources[0].g == pytest.approx(14.0)


def walk(node: Node) -> list[Node]:
    return [node, *(n for s in node.sources for n in walk(s))]


def test_of_a_powder_that_was_never_weighed_the_sources_are_named_without_grams(b: Builder) -> None:
    first = b.charge({"batch": b.ready_batch(), "g": 20.0})
    powder = b.opened(first, None)
    again = b.charge({"pigment": powder, "g": 5.0})
    assert weighed_lines(tree(b, again)) == [("Co3O4", None), ("Al(OH)3", None)]
    b.dry_weighed(powder, 10.0)
    assert grams(tree(b, again)) == {"Co3O4": pytest.approx(4.0), "Al(OH)3": pytest.approx(6.0)}


def test_a_charge_gathered_into_two_powders_is_shared_by_what_went_into_each(b: Builder) -> None:
    broken = b.charge({"batch": b.ready_batch(), "g": 20.0})
    whole = b.charge({"batch": b.ready_batch(lines(("ZnO", 9.0)), name="zinc"), "g": 9.0})
    b.fired(broken, whole)
    b.lost(broken, 4.0, "breakage")
    some = b.gathered({"charge": broken, "g": 3.0}, {"charge": whole, "g": 8.0})
    rest = b.gathered({"charge": broken, "g": 9.0})
    assert grams(tree(b, some)) == {
        "Co3O4": pytest.approx(2.0),
        "Al(OH)3": pytest.approx(3.0),
        "ZnO": pytest.approx(9.0),
    }
    assert grams(tree(b, rest)) == {"Co3O4": pytest.approx(6.0), "Al(OH)3": pytest.approx(9.0)}
    assert sorted(offspring(b.state, broken)) == sorted([some, rest])


def test_losses_are_named_where_they_happened(b: Builder) -> None:
    batch = b.ready_batch()
    b.lost(batch, 1.0)
    charge = b.charge({"batch": batch, "g": 19.0})
    b.fired(charge)
    b.lost(charge, 0.5, "dust")
    powder = b.opened(charge)
    b.lost(powder, 0.25)
    found = tree(b, powder)
    assert total_lost_g(found) == pytest.approx(1.75)
    assert {n.what: n.lost_g for n in walk(found) if n.lost_g} == {"pigment": 0.25, "charge": 0.5, "batch": 1.0}


def test_only_fires_that_it_was_in_are_named(b: Builder) -> None:
    charge = b.charge({"batch": b.ready_batch(), "g": 20.0})
    first = b.fired(charge)
    b.placed(charge, b.firing())  # placed, never lit
    assert firings_of(tree(b, charge)) == (first,)
    second = b.fired(charge)
    assert firings_of(tree(b, charge)) == (first, second)


def test_a_corrected_weighing_changes_every_share_of_it(b: Builder) -> None:
    batch = b.batch()
    wrong = b.weigh(batch, 18.0, 12.0)[0]
    charge = b.charge({"batch": batch, "g": 10.0})
    assert grams(tree(b, charge))["Co3O4"] == pytest.approx(6.0)
    b.correct(wrong, net_g=8.0)
    assert grams(tree(b, charge))["Co3O4"] == pytest.approx(4.0)


def test_what_is_not_known_here_is_named_and_not_invented(b: Builder) -> None:
    batch, jar, powder = b.new_id(), b.new_id(), b.new_id()
    charge = b.charge({"batch": batch, "g": 5.0}, {"jar": jar, "g": 1.0}, {"pigment": powder, "g": 2.0})
    found = tree(b, charge)
    assert [(n.what, n.thing, n.g) for n in found.sources] == [
        ("batch", batch, 5.0),
        ("jar", jar, 1.0),
        ("pigment", powder, 2.0),
    ]
    assert origin(b.state, b.new_id()) is None


def test_a_ring_of_powders_ends(b: Builder) -> None:
    one, other = b.new_id(), b.new_id()
    b.add("gathered", {"sources": [{"pigment": other, "g": 1.0}]}, one)
    b.add("gathered", {"sources": [{"pigment": one, "g": 1.0}]}, other)
    assert [n.thing for n in walk(tree(b, one))] == [one, other, one]


def test_forty_generations_are_followed_to_the_first_gram(b: Builder) -> None:
    charge = b.charge({"batch": b.ready_batch(), "g": 20.0}, crucible=(vessel := b.crucible(40.0)))
    for _ in range(40):
        powder = b.opened(charge, 50.0)  # ten grams each time
        charge = b.charge({"pigment": powder, "g": 10.0}, crucible=vessel)
    assert grams(tree(b, charge)) == {"Co3O4": pytest.approx(8.0), "Al(OH)3": pytest.approx(12.0)}


def test_what_became_of_a_thing(b: Builder) -> None:
    batch = b.ready_batch()
    one, two = b.charge({"batch": batch, "g": 10.0}), b.charge({"batch": batch, "g": 10.0})
    assert offspring(b.state, batch) == [one, two]
    powder = b.opened(one)
    assert offspring(b.state, one) == [powder]
    again = b.charge({"pigment": powder, "g": 3.0})
    swatch = b.swatch(powder)
    assert offspring(b.state, powder) == [again, swatch]
    salt = b.jar("KCl")
    salted = b.charge({"jar": salt, "g": 1.0})
    assert offspring(b.state, salt) == [salted]
