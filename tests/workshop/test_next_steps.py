"""What comes next, step by step, from the empty mortar to the verdict."""

import pytest

from bench.workshop.next_steps import NextStep, batch_step, charge_step, firing_step, pigment_step
from bench.workshop.today import today
from tests.workshop.builder import Builder, lines


@pytest.fixture
def b() -> Builder:
    return Builder()


def verb(step: NextStep | None) -> str | None:
    return None if step is None else step.verb


def test_a_batch_is_weighed_ground_dried_and_loaded(b: Builder) -> None:
    batch = b.batch()
    b.coded(batch, "ABCDEF")
    first = batch_step(b.state, batch)
    assert first == NextStep("weigh", batch, "batch", "Weigh, 1 of 2", "blue", "ABCDEF")
    b.weigh(batch, 8.0)
    second = batch_step(b.state, batch)
    assert second is not None and second.title == "Weigh, 2 of 2"
    b.weigh(batch, 12.0, first=2)
    assert verb(batch_step(b.state, batch)) == "grind"
    b.mixed(batch)
    assert verb(batch_step(b.state, batch)) == "dry"
    b.dried(batch, 20.0, 20.0)
    assert verb(batch_step(b.state, batch)) == "load"
    b.charge({"batch": batch, "g": 20.0})
    assert batch_step(b.state, batch) is None


def test_the_rest_of_a_damp_batch_that_is_loaded_damp_is_loaded(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.0, 12.0)
    b.mixed(batch)
    b.charge({"batch": batch, "g": 10.0})
    assert verb(batch_step(b.state, batch)) == "load"


@pytest.mark.parametrize("outcome", ["done", "failed"])
def test_nothing_comes_after_the_end(b: Builder, outcome: str) -> None:
    batch = b.batch()
    b.closed(batch, outcome)
    assert batch_step(b.state, batch) is None


def test_a_charge_is_dried_placed_fired_cooled_and_opened(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.0, 12.0)
    b.mixed(batch)
    vessel = b.crucible()
    b.coded(vessel, "GHJKMN")
    charge = b.charge({"batch": batch, "g": 20.0}, crucible=vessel)
    step = charge_step(b.state, charge)
    assert step is not None and (step.verb, step.thing, step.name, step.code) == ("dry", charge, "blue", "GHJKMN")
    b.dried(charge, 60.0, 60.0, where="crucible")
    assert verb(charge_step(b.state, charge)) == "place"
    firing = b.firing()
    b.placed(charge, firing)
    step = charge_step(b.state, charge)
    assert step is not None and (step.verb, step.thing, step.what) == ("fire", firing, "firing")
    b.lit(firing)
    assert verb(charge_step(b.state, charge)) == "fire"
    b.wait(100)
    b.off(firing)
    b.came_out(firing, charge)
    assert verb(charge_step(b.state, charge)) == "cool"
    b.touched(charge, 30.0)
    assert verb(charge_step(b.state, charge)) == "open"
    b.opened(charge)
    assert charge_step(b.state, charge) is None


def test_a_damp_charge_is_dried_also_once_it_is_placed(b: Builder) -> None:
    charge, firing = b.charge({"batch": b.ready_batch(), "g": 10.0}, wet_g=14.0), b.firing()
    b.placed(charge, firing)
    assert verb(charge_step(b.state, charge)) == "dry"
    assert ("dry", charge) in [(step.verb, step.thing) for step in today(b.state, b.now).steps]
    b.dried(charge, 60.0, 60.0, where="crucible")
    assert verb(charge_step(b.state, charge)) == "fire"


def test_a_charge_is_named_by_all_its_batches(b: Builder) -> None:
    charge = b.charge({"batch": b.batch(name="blue"), "g": 1.0}, {"batch": b.batch(name="zinc"), "g": 1.0})
    step = charge_step(b.state, charge)
    assert step is not None and step.name == "blue + zinc"
    salt = b.charge({"jar": b.jar("KCl"), "g": 1.0})
    step = charge_step(b.state, salt)
    assert step is not None and step.name == "Charge"


def test_a_powder_with_a_salt_is_rinsed_and_one_without_is_ground(b: Builder) -> None:
    plain = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    assert verb(pigment_step(b.state, plain)) == "grind-again"
    fluxed = b.batch(lines(("Co3O4", 8.0), ("KCl", 4.0, "washed-out")))
    for sources in ([{"batch": fluxed, "g": 5.0}], [{"batch": b.batch(), "g": 5.0}, {"jar": b.jar("KCl"), "g": 1.0}]):
        powder = b.opened(b.charge(*sources))
        assert verb(pigment_step(b.state, powder)) == "wash"


def test_a_powder_is_washed_ground_dried_painted_out_and_judged(b: Builder) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    b.washed(powder)
    step = pigment_step(b.state, powder)
    assert step is not None and (step.verb, step.title) == ("wash", "Rinse 2, or grind")
    b.ground(powder)
    assert verb(pigment_step(b.state, powder)) == "dry-weigh"
    b.dry_weighed(powder, 4.0)
    assert verb(pigment_step(b.state, powder)) == "swatch"
    b.swatch(powder)
    assert verb(pigment_step(b.state, powder)) == "judge"
    b.judged(powder)
    assert pigment_step(b.state, powder) is None


def test_what_is_to_be_fired_again_is_loaded_until_it_is_used_up(b: Builder) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}, crucible=b.crucible(40.0)), 44.0)
    b.judged(powder, "refire")
    assert verb(pigment_step(b.state, powder)) == "load"
    b.charge({"pigment": powder, "g": 3.0})
    assert verb(pigment_step(b.state, powder)) == "load"
    b.charge({"pigment": powder, "g": 1.0})
    assert pigment_step(b.state, powder) is None


def test_an_unweighed_powder_counts_as_used_once_any_of_it_was_loaded(b: Builder) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}), None)
    b.judged(powder, "refire")
    assert verb(pigment_step(b.state, powder)) == "load"
    b.charge({"pigment": powder, "g": 3.0})
    assert pigment_step(b.state, powder) is None


@pytest.mark.parametrize(
    ("verdict", "next_verb"), [("make-up", "plan"), ("keep", None), ("tint", None), ("discard", None)]
)
def test_what_a_verdict_asks_for(b: Builder, verdict: str, next_verb: str | None) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    b.judged(powder, verdict)
    assert verb(pigment_step(b.state, powder)) == next_verb


def test_a_firing_is_checked_lit_and_checked_again(b: Builder) -> None:
    firing = b.firing()

    def title() -> str | None:
        step = firing_step(b.state, firing)
        return None if step is None else step.title

    assert title() == "Place crucibles"
    b.placed(b.charge({"batch": b.ready_batch(), "g": 20.0}), firing)
    assert title() == "Check, then light"
    b.check(firing, answer="not-done")
    assert title() == "Check, then light"  # never an invitation while a check is not done
    b.check(firing)
    assert title() == "Light"
    b.lit(firing)
    assert title() == "Heating"
    b.wait(100)
    b.reading(firing, 1195.0)
    assert title() == "Holding"
    b.off(firing)
    assert verb(firing_step(b.state, firing)) == "after-checks"
    b.check(firing, phase="after-shutdown")
    assert verb(firing_step(b.state, firing)) == "after-checks"
    b.closed(firing)
    assert firing_step(b.state, firing) is None


def test_what_is_not_there_has_no_next_step(b: Builder) -> None:
    stranger = b.new_id()
    for step in (batch_step, charge_step, pigment_step, firing_step):
        assert step(b.state, stranger) is None
