"""A fired powder: raw, washed, ground, dry, judged; its mass, its generation, and what is left of it."""

import pytest

from bench.reference import load_library
from bench.workshop.gates import gate_pigment
from bench.workshop.things.pigments import Pigment, cut_from, pigment
from tests.workshop.builder import Builder, lines


@pytest.fixture
def b() -> Builder:
    return Builder()


def view(b: Builder, thing: str) -> Pigment:
    found = pigment(b.state, thing)
    assert found is not None
    return found


def fired(b: Builder, gross_g: float = 58.0, tare_g: float | None = 40.0, **data: object) -> str:
    charge = b.charge({"batch": b.ready_batch(), "g": 20.0}, crucible=b.crucible(tare_g))
    b.fired(charge)
    return b.opened(charge, gross_g, **data)


def test_the_states_in_turn(b: Builder) -> None:
    thing = fired(b)
    assert view(b, thing).state == "raw"
    b.washed(thing)
    b.washed(thing, 2)
    assert view(b, thing).state == "washed" and view(b, thing).washes == 2
    b.ground(thing)
    assert view(b, thing).state == "ground"
    b.dry_weighed(thing, 17.2)
    assert view(b, thing).state == "dry" and view(b, thing).dry_g == 17.2
    b.judged(thing)
    assert view(b, thing).state == "kept"


@pytest.mark.parametrize(
    ("verdict", "state", "still_open"),
    [
        ("keep", "kept", False),
        ("refire", "refire", True),
        ("make-up", "make-up", True),
        ("tint", "tint", False),
        ("discard", "waste", False),
    ],
)
def test_what_a_verdict_makes_of_it(b: Builder, verdict: str, state: str, still_open: bool) -> None:
    thing = fired(b)
    b.judged(thing, verdict)
    assert view(b, thing).state == state
    assert (thing in b.state.open_things("pigment")) is still_open
    b.withdraw(b.records[-1])
    assert view(b, thing).state == "raw" and thing in b.state.open_things("pigment")


def test_what_is_typed_in_from_the_sheet_after_the_verdict_does_not_undo_it(b: Builder) -> None:
    thing = fired(b)
    early = b.minutes
    b.wait(600)
    b.judged(thing, "keep")
    b.washed(thing, happened=early + 10)
    b.dry_weighed(thing, 17.0, happened=early + 300)
    assert view(b, thing).state == "kept" and view(b, thing).dry_g == 17.0
    b.judged(thing, "refire", happened=early + 20)  # an older verdict, entered late
    assert view(b, thing).state == "kept" and thing not in b.state.open_things("pigment")


def test_its_mass_is_what_the_crucible_weighed_less_its_tare(b: Builder) -> None:
    assert view(b, fired(b, 58.0, 40.0)).raw_g == pytest.approx(18.0)
    assert view(b, fired(b, 58.0, 40.0, tare_after_g=40.6)).raw_g == pytest.approx(17.4)  # glaze stuck to it
    assert view(b, fired(b, 95.0, 40.0)).raw_g == pytest.approx(55.0)  # more than its vessel weighs
    assert view(b, fired(b, 58.0, None)).raw_g is None
    assert view(b, fired(b, 58.0, None, tare_after_g=41.0)).raw_g == pytest.approx(17.0)
    charge = b.charge({"batch": b.batch(), "g": 20.0})
    b.add("opened", {"signs": ["pale core"]}, charge)
    assert view(b, b.records[-1].id).raw_g is None


def test_a_later_tare_does_not_change_what_was_weighed_before(b: Builder) -> None:
    vessel = b.crucible(40.0)
    first = b.charge({"batch": b.batch(), "g": 20.0}, crucible=vessel)
    powder = b.opened(first, 58.0)
    b.wait(10)
    b.seen(vessel, tare_g=40.9)
    second = b.charge({"batch": b.batch(), "g": 20.0}, crucible=vessel)
    later = b.opened(second, 58.0)
    assert view(b, powder).raw_g == pytest.approx(18.0)
    assert view(b, later).raw_g == pytest.approx(17.1)


def test_a_tare_that_was_first_taken_afterwards_serves(b: Builder) -> None:
    vessel = b.crucible(None)
    powder = b.opened(b.charge({"batch": b.batch(), "g": 20.0}, crucible=vessel), 58.0)
    b.seen(vessel, tare_g=40.0)
    b.seen(vessel, tare_g=41.0)
    assert view(b, powder).raw_g == pytest.approx(18.0)


def test_a_corrected_opening_is_the_same_powder_with_the_right_mass(b: Builder) -> None:
    thing = fired(b, 85.0)
    opened = b.state.records[thing]
    b.washed(thing)
    b.correct(opened, gross_g=58.0)
    found = view(b, thing)
    assert found.raw_g == pytest.approx(18.0) and found.washes == 1
    assert b.state.things("pigment") == [thing]


def test_two_phones_that_opened_one_charge_disagree_and_the_first_is_in_force(b: Builder) -> None:
    charge = b.charge({"batch": b.batch(), "g": 20.0})
    one, other = b.opened(charge, 58.0), b.opened(charge, 59.0)
    assert [len(s.heads) for s in b.state.disagreements(charge)] == [2]
    assert view(b, one).raw_g == pytest.approx(18.0) and view(b, other).raw_g == pytest.approx(19.0)
    b.correct(b.state.records[one], b.state.records[other])
    assert not b.state.disagreements(charge)
    assert b.state.things("pigment") == [one] and pigment(b.state, other) is None


def test_what_is_left_after_use_and_loss(b: Builder) -> None:
    thing = fired(b)
    b.dry_weighed(thing, 17.0)
    b.charge({"pigment": thing, "g": 5.0})
    b.gathered({"pigment": thing, "g": 2.0})
    b.lost(thing, 1.5)
    found = view(b, thing)
    assert found.used_g == pytest.approx(7.0) and found.lost_g == pytest.approx(1.5)
    assert found.left_g == pytest.approx(17.0 - 7.0 - 1.5)
    assert view(b, fired(b, 58.0, None)).left_g is None


def test_gathered_from_two_crucibles_it_has_the_mass_of_both(b: Builder) -> None:
    one, two = (b.charge({"batch": b.ready_batch(), "g": 20.0}) for _ in range(2))
    b.fired(one, two)
    thing = b.gathered({"charge": one, "g": 17.0}, {"charge": two, "g": 16.5})
    found = view(b, thing)
    assert found.raw_g == pytest.approx(33.5) and found.charges == (one, two) and found.generation == 1


def test_a_cut_is_of_one_powder_and_of_nothing_else(b: Builder) -> None:
    whole, charge = fired(b, 58.0, 40.0), b.charge({"batch": b.batch(), "g": 20.0})
    cut = b.gathered({"pigment": whole, "g": 4.0})
    found = cut_from(b.state, cut)
    assert found is not None and found[0] == whole and found[1].kind == "gathered"
    both = b.gathered({"pigment": whole, "g": 2.0}, {"pigment": cut, "g": 1.0})
    for other in (whole, both, b.gathered({"charge": charge, "g": 3.0})):
        assert cut_from(b.state, other) is None


def test_the_last_verdict_is_the_one_that_stands(b: Builder) -> None:
    powder = fired(b, 58.0, 40.0)
    for verdict in ("refire", "tint", "keep"):
        b.judged(powder, verdict)
    found = view(b, powder).judged
    assert found is not None and found.verdict == "keep"


def test_generations_are_counted_along_the_longest_way(b: Builder) -> None:
    first = fired(b)
    assert view(b, first).generation == 1
    again = b.charge({"pigment": first, "g": 8.0}, {"jar": b.jar("KCl", "potassium chloride"), "g": 2.0})
    b.fired(again)
    second = b.opened(again)
    assert view(b, second).generation == 2
    mixed = b.charge({"pigment": first, "g": 2.0}, {"pigment": second, "g": 2.0})
    third = b.opened(mixed)
    assert view(b, third).generation == 3
    assert view(b, b.gathered({"pigment": third, "g": 1.0}, {"pigment": first, "g": 1.0})).generation == 3


def test_its_swatches_and_its_code(b: Builder) -> None:
    thing = fired(b)
    b.coded(thing, "ABCDEF")
    one, two = b.swatch(thing), b.swatch(thing, white_per_pigment=9.0)
    b.swatch(fired(b))
    assert view(b, thing).swatches == (one, two) and view(b, thing).code == "ABCDEF"


def test_a_powder_that_nobody_made_is_none(b: Builder) -> None:
    thing = fired(b)
    b.withdraw(thing)
    assert pigment(b.state, thing) is None and pigment(b.state, b.new_id()) is None


def test_a_gathered_powder_meets_the_same_gate_as_one_that_was_opened(b: Builder) -> None:
    library = load_library()
    chromate = lines(("K2CrO4", 5.0), ("Al2O3", 5.0))
    one, two = (b.charge({"batch": b.ready_batch(chromate), "g": 10.0}) for _ in range(2))
    b.fired(one, two)
    opened, gathered = b.opened(one), b.gathered({"charge": two, "g": 8.0})
    expected = {f.rule for f in gate_pigment(b.state, "wash", opened, library)}
    assert expected and {f.rule for f in gate_pigment(b.state, "wash", gathered, library)} == expected


def solvent_ground(b: Builder) -> str:
    batch = b.batch(lines(("ZnO", 5.0), ("Fe2O3", 10.0)))
    b.weigh(batch, 5.0, 10.0)
    b.mixed(batch, "acetone")
    b.dried(batch, 15.0, 15.0)
    charge = b.charge({"batch": batch, "g": 10.0})
    b.fired(charge)
    return b.opened(charge, None)


def test_the_liquid_of_its_batch_left_in_the_fire() -> None:
    b, library = Builder(), load_library()
    thing = solvent_ground(b)
    for step in ("grind", "dry", "swatch"):
        assert not [f for f in gate_pigment(b.state, step, thing, library) if f.effect != "flag"]


def test_a_liquid_that_burns_keeps_it_from_flame_and_oven_until_it_is_dry() -> None:
    b, library = Builder(), load_library()
    thing = solvent_ground(b)
    assert {f.rule for f in gate_pigment(b.state, "grind", thing, library, liquid="alcohol")} == {"solvent-near-fire"}
    b.ground(thing, "acetone")
    assert "solvent-paste" in {f.rule for f in gate_pigment(b.state, "dry", thing, library)}
    far = {"drying": "open-air", "flame_or_hot_furnace_within_m": "none"}
    assert gate_pigment(b.state, "dry", thing, library, **far) == []
    b.dry_weighed(thing, 9.0)
    assert not gate_pigment(b.state, "dry", thing, library)


def test_a_drying_oil_warns_of_its_rags_and_gum_does_not() -> None:
    b, library = Builder(), load_library()
    thing = solvent_ground(b)
    assert [f.rule for f in gate_pigment(b.state, "swatch", thing, library, binder="walnut oil")] == ["oily-rags"]
    assert gate_pigment(b.state, "swatch", thing, library, binder="gum arabic") == []
