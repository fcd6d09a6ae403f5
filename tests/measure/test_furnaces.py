"""The simulated firings themselves, and a small sample of what the measurement says of them."""

from itertools import pairwise
from random import Random

import numpy as np
import pytest

from tests.measure.firings import FAMILIES, REACHED_BY_MIN, WATCHED_MIN, firings
from tests.measure.forecast import run
from tests.measure.furnaces import LAST_MIN, REACHING, RHYTHMS, STALLING, TARGET_C, held, readings
from tests.measure.slices import FAMILIES as SLICED
from tests.measure.slices import conducting, drifting
from tests.measure.two_nodes import STEP_MIN, Furnaces


def test_the_same_seed_gives_the_same_firings() -> None:
    first, second = (readings(REACHING[0].at, RHYTHMS[3], Random(5)) for _ in range(2))
    assert first == second
    gaps = [later[0] - earlier[0] for earlier, later in pairwise(first)]
    assert 3 <= min(gaps) <= max(gaps) <= 15
    assert first[-1][0] <= LAST_MIN
    one, two = (firings("steam", 4, 5) for _ in range(2))
    assert [each.readings for each in one] == [each.readings for each in two]


def test_furnaces_do_what_their_names_say() -> None:
    assert all(each.at(5000) == pytest.approx(each.plateau_c, abs=1) for each in (*REACHING, *STALLING))
    assert all(each.plateau_c > TARGET_C for each in REACHING)
    assert not any(each.reaches for each in STALLING)
    standing = held(REACHING[0].at, 820, 20)
    assert standing(300) == pytest.approx(REACHING[0].at(280))


@pytest.mark.parametrize("family", FAMILIES)
def test_a_firing_is_what_a_maker_would_have(family: str) -> None:
    for one in firings(family, 12, 3):
        gaps = [later[0] - earlier[0] for earlier, later in pairwise(one.readings)]
        assert min(gaps) >= 2 and max(gaps) <= 31 and one.readings[-1][0] <= WATCHED_MIN
        assert all(c == round(c) for _, c in one.readings)
        reached = one.truth[int(np.ceil(one.free_min)) : REACHED_BY_MIN + 1].max() >= one.target_c
        assert reached == (one.reached_min is not None)


def test_a_furnace_of_two_nodes_keeps_its_heat_and_its_time_constant() -> None:
    """At rest at its plateau nothing flows; from 5 °C below, it comes back as its slower time constant says."""
    some = Furnaces("radiating", np.random.default_rng(2), 40)
    some.fall[:], some.lids = 0, []
    some.chamber = some.end.copy()
    some.lids = [(np.zeros(40), np.zeros(40), np.zeros(40))]
    for step in range(60_000):
        some.step(step * STEP_MIN)
    assert some.chamber == pytest.approx(some.end, abs=0.5), "the plateau is the one that was drawn"
    some.wall = some.wall - 5
    for step in range(300):  # the quick node follows the wall first
        some.step(step * STEP_MIN)
    below = some.end - some.chamber
    for step in range(round(20 / STEP_MIN)):
        some.step(step * STEP_MIN)
    assert 20 / np.log(below / (some.end - some.chamber)) == pytest.approx(some.tau_min, rel=0.1)


def test_the_ninth_structure_conducts_and_its_burner_may_drift() -> None:
    """It comes to rest where power is what flue and outer wall lose; with a swing it does not."""
    still, swung = (make(SLICED[0], np.random.default_rng(6), 6) for make in (conducting, drifting))
    assert np.all(np.ptp(still.truth[-60:], axis=0) < 20) and np.all(still.truth.max(axis=0) > 300)
    assert np.any(np.abs(still.truth - swung.truth) > 2)


@pytest.mark.long
def test_the_goals_of_the_measurement_that_hold_on_any_sample_are_met_on_a_small_one() -> None:
    figures = {figure.name: figure for figure in run(runs=5, seed=9)}
    false = [figure for name, figure in figures.items() if "will not reach" in name or name.startswith("the same")]
    assert len(false) == 3 and all(figure.value == 0 for figure in false)
    widths = [figure for name, figure in figures.items() if name.endswith("widest")]
    assert len(widths) == 9 and all(figure.met in (True, None) for figure in widths)
    held = [figure for name, figure in figures.items() if name.endswith("heading holds") and figure.goal]
    assert len(held) == 9 and sum(figure.met is not False for figure in held) >= 7
