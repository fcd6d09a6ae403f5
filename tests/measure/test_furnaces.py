"""A small sample of the simulated firings: no false alarm, every stall called, silence where it is due."""

from itertools import pairwise
from random import Random

import pytest

from bench.measure.forecast import false_promises, held_curves, run, tally, tally_curves
from bench.measure.furnaces import LAST_MIN, REACHING, RHYTHMS, STALLING, TARGET_C, Rhythm, climbing, held, readings


@pytest.mark.parametrize("rhythm", RHYTHMS, ids=lambda rhythm: rhythm.name)
def test_no_false_alarm_and_every_stall_called(rhythm: Rhythm) -> None:
    random = Random(60)
    reaching, stalling = tally(REACHING, rhythm, 2, random), tally(STALLING, rhythm, 3, random)
    assert (reaching.firings, reaching.alarms) == (28, 0)
    assert (stalling.firings, stalling.alarms) == (18, 18)


def test_no_alarm_while_the_curve_is_held_or_climbs_straight() -> None:
    assert tally_curves(held_curves(), 1, Random(61)).alarms == 0
    assert tally_curves([climbing(3)], 2, Random(62)).alarms == 0


def test_no_promise_to_a_furnace_that_stalls() -> None:
    assert false_promises(1, Random(63)).alarms == 0


def test_the_same_seed_gives_the_same_firings() -> None:
    first, second = (readings(REACHING[0].at, RHYTHMS[3], Random(5)) for _ in range(2))
    assert first == second
    gaps = [later[0] - earlier[0] for earlier, later in pairwise(first)]
    assert 3 <= min(gaps) <= max(gaps) <= 15
    assert first[-1][0] <= LAST_MIN


def test_furnaces_do_what_their_names_say() -> None:
    assert all(each.at(5000) == pytest.approx(each.plateau_c, abs=1) for each in (*REACHING, *STALLING))
    assert all(each.plateau_c > TARGET_C for each in REACHING)
    assert not any(each.reaches for each in STALLING)
    standing = held(REACHING[0].at, 820, 20)
    assert standing(300) == pytest.approx(REACHING[0].at(280))


def test_every_goal_of_the_measurement_is_met_in_a_small_run() -> None:
    figures = run(runs=1, seed=9)
    assert figures[0].name.startswith("false alarms in 56 firings")
    assert all(figure.met in (True, None) for figure in figures)
