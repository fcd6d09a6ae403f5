"""Two crucibles of six taken for one another, found by what they weigh empty."""

from bench.workshop.mixups import best_order, mixups
from tests.workshop.builder import Builder

TARES = (48.21, 47.63, 49.02, 48.77, 47.10, 49.55)


def six(b: Builder, after: dict[int, float], stuck: dict[int, float] | None = None) -> tuple[str, list[str]]:
    """A fire with six crucibles, each opened and weighed empty: its own tare unless `after` says otherwise."""
    batch = b.ready_batch()
    charges = [b.charge({"batch": batch, "g": 3.0}, crucible=b.crucible(tare)) for tare in TARES]
    fire = b.fired(*charges)
    for n, thing in enumerate(charges):
        b.opened(thing, 52.0, tare_after_g=after.get(n, TARES[n] + 0.02), stuck_g=(stuck or {}).get(n, 0.0))
    return fire, charges


def test_masses_that_fit_point_at_nobody() -> None:
    b = Builder()
    fire, _ = six(b, {})
    assert mixups(b.state, fire) == [] and best_order(b.state, fire) is None


def test_two_that_were_swapped_are_pointed_out_and_by_name() -> None:
    b = Builder()
    fire, charges = six(b, {1: TARES[4] + 0.01, 4: TARES[1] - 0.02})
    found = {one.weighed.charge: one for one in mixups(b.state, fire)}
    assert set(found) == {charges[1], charges[4]}
    assert found[charges[1]].swapped_with == charges[4] and found[charges[4]].swapped_with == charges[1]
    assert best_order(b.state, fire) == {charges[1]: charges[4], charges[4]: charges[1]}


def test_three_in_a_ring_have_one_order_that_explains_them() -> None:
    b = Builder()
    fire, charges = six(b, {0: TARES[2], 2: TARES[5], 5: TARES[0]})
    assert all(one.swapped_with is None for one in mixups(b.state, fire))
    assert best_order(b.state, fire) == {charges[0]: charges[2], charges[2]: charges[5], charges[5]: charges[0]}


def test_one_that_lost_a_piece_is_nobody_else() -> None:
    b = Builder()
    fire, charges = six(b, {3: TARES[3] - 7.0})
    (found,) = mixups(b.state, fire)
    assert found.weighed.charge == charges[3] and found.others == () and found.swapped_with is None
    assert best_order(b.state, fire) is None


def test_what_was_noted_as_stuck_is_allowed() -> None:
    b = Builder()
    fire, _ = six(b, {3: TARES[3] + 0.6}, stuck={3: 0.6})
    assert mixups(b.state, fire) == []


def test_it_goes_by_the_tare_before_it_was_filled() -> None:
    b = Builder()
    fire, charges = six(b, {})
    for thing in charges:  # weighed again later, when another glaze drop stuck to it
        b.seen(b.state.slot(thing, "charged").body.crucible, tare_g=60.0)
    assert mixups(b.state, fire) == []
