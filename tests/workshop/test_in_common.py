"""What goes with a sign: counts, chance, and *cannot tell* where there are few; and shares that are counted once."""

import random

import pytest

from bench.workshop.facts import facts
from bench.workshop.in_common import common, fisher, signs
from bench.workshop.share_changes import changed_shares
from tests.workshop.builder import Builder, lines


class Share:
    def __init__(self, value: float) -> None:
        self.value = value


def shares(**grams: float) -> dict[str, Share]:
    whole = sum(grams.values())
    return {f"{name}, % of what reacts": Share(100 * g / whole) for name, g in grams.items()}


def test_one_dose_that_was_changed_is_one_difference() -> None:
    one = shares(ZnO=8.0, Fe2O3=16.0, TiO2=1.0)
    assert changed_shares([one, shares(ZnO=8.0, Fe2O3=16.0, TiO2=2.0)], 0.1) == ["TiO2, % of what reacts"]
    assert changed_shares([one, shares(ZnO=10.0, Fe2O3=16.0, TiO2=1.0)], 0.1) == ["ZnO, % of what reacts"]
    assert changed_shares([one, shares(ZnO=16.0, Fe2O3=32.0, TiO2=2.0)], 0.1) == []
    both = changed_shares([one, shares(ZnO=10.0, Fe2O3=16.0, TiO2=2.0)], 0.1)
    assert sorted(both) == ["TiO2, % of what reacts", "ZnO, % of what reacts"]
    assert changed_shares([one, shares(ZnO=8.0, Fe2O3=16.0)], 0.1) == ["TiO2, % of what reacts"]


def test_fishers_exact_test() -> None:
    # The tea cups of Fisher, The Design of Experiments (1935): 4 of 4 by chance once in 70, 3 of 4 or more 17 in 70.
    assert fisher(4, 4, 0, 4) == pytest.approx(1 / 70)
    assert fisher(3, 4, 1, 4) == pytest.approx(17 / 70)


def powder(b: Builder, lid: str, signs: list[str]) -> None:
    batch = b.ready_batch(lines(("ZnO", 8.0), ("Fe2O3", 16.0)))
    charge = b.charge({"batch": batch, "g": 10.0}, lid=lid)
    b.fired(charge)
    b.opened(charge, signs=signs)


def test_what_goes_with_a_sign_and_when_it_cannot_be_told() -> None:
    b = Builder()
    for _n in range(6):
        powder(b, "none", ["grey"])
        powder(b, "loose", [])
    assert list(signs(b.state)) == ["grey"]
    for thing in b.state.things("pigment"):
        facts(b.state, thing)  # a page that asks for the steps' facts first changes nothing
    found = common(b.state, "grey")
    told = [one for one in found.shared if one.told]
    assert [(one.what, one.how, one.with_it, one.without) for one in told] == [("lid", "none", 6, 0)]
    for thing in b.state.things("pigment")[:6]:
        b.judged(thing, "discard")
    assert list(signs(b.state)) == ["grey", "judged:discard"]
    few = Builder()
    powder(few, "none", ["grey"])
    powder(few, "loose", [])
    assert common(few.state, "grey").few and not common(few.state, "grey").shared


def test_what_is_chance_is_seldom_told() -> None:
    wrong = 0
    for seed in range(40):
        draw, b = random.Random(seed), Builder()
        for _n in range(14):
            powder(b, draw.choice(["none", "loose", "vented"]), draw.choice([["grey"], []]))
        wrong += any(one.told for one in common(b.state, "grey").shared)
    assert wrong <= 4  # 5 % of 40 is 2; five or more would be once in 17 at that rate
