"""What past firings teach of a furnace, and that it never makes the forecast call a stall that is none."""

from random import Random

import pytest

from bench.science.slope_bound import SLOWEST_TAU_MIN, Call, Track
from bench.workshop.heat import Curve
from bench.workshop.learning import Climb, Learnt, learnt, probe_hours, told_by
from tests.measure.furnaces import REACHING, RHYTHMS, TARGET_C, Furnace, Rhythm, readings
from tests.workshop.builder import Builder


def climb(furnace: Furnace, rhythm: Rhythm, random: Random) -> Curve:
    found = []
    for minute, c in readings(furnace.at, rhythm, random):
        found += [(minute, c)] if c >= 150 else []
        if c >= TARGET_C - 10:
            break
    return found


def test_a_single_rate_is_learnt_within_its_own_spread() -> None:
    truth = REACHING[0]
    found = told_by(climb(truth, RHYTHMS[1], Random(4)))
    assert found is not None and found.one_rate
    assert found.low_min <= truth.slow_min <= found.high_min


def test_what_is_learnt_never_calls_a_stall_that_is_none() -> None:
    # Simulated furnaces that do reach the target, three of them at two rates: four past climbs teach, the fifth is
    # forecast. The truth is known; a call of a stall would be false.
    called = 0
    for furnace in REACHING:
        for seed in range(3):
            random = Random(seed)
            rhythm = RHYTHMS[seed % len(RHYTHMS)]
            told = [told_by(climb(furnace, rhythm, random)) for _ in range(4)]
            slowest = Learnt(tuple(t for t in told if t is not None)).slowest_min
            track = Track(readings(furnace.at, rhythm, random), slowest)
            called += Call.STALLED in track.calls(TARGET_C)
    assert called == 0


def test_nothing_is_lowered_on_too_little_and_a_slower_one_counts_at_once() -> None:
    one = Climb(40.0, 35.0, 45.0, one_rate=True)
    assert Learnt(()).slowest_min == Learnt((one, one)).slowest_min == SLOWEST_TAU_MIN
    assert Learnt((one, one, one)).slowest_min < SLOWEST_TAU_MIN
    assert Learnt((one, one, one), controlled=True).slowest_min == SLOWEST_TAU_MIN
    assert "controller" in Learnt((one, one, one), controlled=True).working[-1]["say"]
    assert Learnt((one, one, Climb(40.0, 35.0, 45.0, one_rate=False))).slowest_min == SLOWEST_TAU_MIN
    assert Learnt((Climb(150.0, 120.0, 160.0, one_rate=False),)).slowest_min == pytest.approx(320)
    assert Learnt((Climb(900.0, 500.0, 2000.0, one_rate=False),)).slowest_min == 360


def test_it_is_learnt_from_the_records_since_the_last_change_of_the_burner() -> None:
    b = Builder()
    furnace = b.furnace()
    for n in range(3):
        fire = b.firing(furnace, peak_c=900.0)
        start = b.minutes
        b.lit(fire, happened=start)
        truth = Furnace("", 1000.0, 1.0, 45.0, 45.0)
        for minute, c in readings(truth.at, RHYTHMS[1], Random(n)):
            if minute <= 200:
                b.reading(fire, c, happened=start + minute)
        b.off(fire, happened=start + 210)
        b.wait(1000)
    found = learnt(b.state, furnace)
    assert found.fires == 3 and found.middle_min == pytest.approx(45, abs=6)
    assert found.slowest_min < SLOWEST_TAU_MIN and found.working[-1]["value"] == found.slowest_min
    assert learnt(b.state, furnace, but=fire).fires == 2
    assert learnt(b.state, b.furnace()).working[0]["value"] == SLOWEST_TAU_MIN


def test_the_hours_of_a_probe_over_a_temperature_are_summed_over_its_firings() -> None:
    b = Builder()
    furnace = b.furnace()
    for _ in range(2):
        fire = b.firing(furnace)
        start = b.minutes
        b.lit(fire, happened=start)
        for minute, c in ((0, 20), (98, 1000), (218, 1000), (316, 20)):
            b.reading(fire, c, happened=start + minute)
        b.wait(1000)
    assert probe_hours(b.state, furnace) == pytest.approx(4.0, abs=0.01)
    assert probe_hours(b.state, b.furnace()) == 0


def test_only_the_newest_fires_are_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bench.workshop.learning.NEWEST", 2)
    b = Builder()
    furnace, other = b.furnace(), b.furnace()
    fires = []
    for n in range(3):
        fires.append(b.firing(furnace, peak_c=900.0))
        start = b.minutes
        b.lit(fires[-1], happened=start)
        for minute, c in readings(Furnace("", 1000.0, 1.0, 45.0, 45.0).at, RHYTHMS[1], Random(n)):
            if minute <= 200:
                b.reading(fires[-1], c, happened=start + minute)
        b.off(fires[-1], happened=start + 210)
        b.wait(1000)
    b.lit(b.firing(furnace, peak_c=900.0), happened=b.minutes)  # burns, and so tells nothing yet
    state = b.state
    assert learnt(state, furnace).fires == 2 and learnt(state, other).fires == 0
    assert ["climb" in state.worked.get(fire, {}) for fire in fires] == [False, True, True]
    assert learnt(state, furnace, but=fires[-1]).fires == 2
    assert "climb" in state.worked[fires[0]]
