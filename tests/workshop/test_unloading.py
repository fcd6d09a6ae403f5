"""The order in which a load comes out: by the planned coolings, as the scale of them says, and never against a gate."""

from bench.reference import load_library
from bench.workshop.conditions import GUARDS
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from bench.workshop.unloading import NextOut, unloading
from tests.workshop.builder import Builder, lines

LIBRARY = load_library()


def burning(*coolings: tuple[str, str]) -> tuple[Builder, str, list[str]]:
    """A fire that burns with a charge of each cooling in it, loaded in this order; each with its ground."""
    b = Builder()
    charges = []
    for mode, basis in coolings:
        batch = b.ready_batch(lines(("ZnO", 8.0)), cooling_mode=mode, cooling_basis=basis, hot_pull=mode == "fast")
        charges.append(b.charge({"batch": batch, "g": 8.0}))
    fire = b.firing(b.furnace("electric"))
    for one in charges:
        b.placed(one, fire)
    b.lit(fire)
    b.wait(60)
    b.reading(fire, 1000.0)
    for guard in GUARDS:
        b.check(fire, guard, phase="before-opening")
    return b, fire, charges


def order(b: Builder, fire: str) -> list[tuple[str, bool]]:
    """The coolings in the order in which they come out, each with whether something stands against it."""
    return [(one.charge.cooling_mode, bool(one.against)) for one in turns(b, fire)]


def turns(b: Builder, fire: str) -> list[NextOut]:
    view = firing(b.state, fire)
    assert view is not None
    return unloading(b.state, view, LIBRARY)


def test_what_cools_in_air_comes_first_and_the_rest_waits_for_the_furnace_to_cool() -> None:
    planned = ("slow", "fast", "in-furnace", "either")
    b, fire, _charges = burning(*((mode, "planned") for mode in planned))
    hot, rest = ["fast"], ["either", "in-furnace", "slow"]
    assert order(b, fire) == [(mode, False) for mode in hot] + [(mode, True) for mode in rest]
    b.off(fire)
    b.wait(24 * 60)
    b.reading(fire, 25.0)
    assert order(b, fire) == [(mode, False) for mode in hot + rest]


def test_a_cooling_that_nobody_confirmed_hurries_nothing() -> None:
    """A quench, where it is sure, is the first of those that its own rule holds."""
    b, fire, _charges = burning(("quench-water", "memory"), ("fast", "planned"), ("quench-water", "planned"))
    assert [view.charge.cooling_basis for view in turns(b, fire)] == ["planned", "planned", "memory"]
    assert [mode for mode, _against in order(b, fire)] == ["fast", "quench-water", "quench-water"]


def test_what_is_held_by_its_gate_comes_after_all_that_may_come_out() -> None:
    """A charge of unknown cooling stays in; what is out already is no longer listed."""
    b, fire, charges = burning(("unknown", "unknown"), ("fast", "planned"), ("fast", "planned"))
    found = order(b, fire)
    assert [mode for mode, _ in found][-1] == "unknown" and found[-1][1]
    b.came_out(fire, charges[1])
    assert len(order(b, fire)) == 2


def test_one_taken_for_the_next_is_unconfirmed_until_its_record_is_corrected() -> None:
    b, fire, charges = burning(("fast", "planned"))
    was = b.add("came.out", {"firing": fire, "charge": charges[0], "unconfirmed": True}, charges[0])
    view = charge(b.state, charges[0])
    assert view is not None and view.residences[0].unconfirmed
    b.correct(was, unconfirmed=False)
    view = charge(b.state, charges[0])
    assert view is not None and not view.residences[0].unconfirmed and view.residences[0].came_out is not None
