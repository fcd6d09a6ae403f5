"""The order of the work at its gates: what must come before what, and which place and which powder are free."""

import pytest

from bench.workshop.gates import gate_batch, gate_pigment, gate_place, stops
from bench.workshop.things.charges import charge
from tests.workshop.dangers import LIBRARY, Dangers


@pytest.mark.parametrize("step", ["mix", "grind"])
def test_a_batch_is_weighed_whole_before_it_is_mixed_or_ground(step: str) -> None:
    bench = Dangers()
    thing = bench.batch()
    (only, *_), names = bench.weigh(thing, 4.0), bench.state.slot(thing, "batch.planned").body.lines
    assert only.data["line"] == 1 and len(names) > 1
    found = bench.by_rule(gate_batch(bench.state, step, thing, LIBRARY))
    assert found["weigh-first"].effect == "block" and names[1].formula in found["weigh-first"].say
    bench.weigh(thing, *(line.target_g for line in names[1:]), first=2)
    assert "weigh-first" not in bench.by_rule(gate_batch(bench.state, step, thing, LIBRARY))


@pytest.mark.parametrize("step", ["weigh", "mix", "grind", "dry"])
def test_nothing_is_done_with_a_batch_that_is_closed(step: str) -> None:
    bench = Dangers()
    thing = bench.batch()
    assert "batch-closed" not in bench.by_rule(gate_batch(bench.state, step, thing, LIBRARY))
    bench.closed(thing)
    assert bench.by_rule(gate_batch(bench.state, step, thing, LIBRARY))["batch-closed"].effect == "block"


def test_a_place_that_is_taken_is_taken_for_others_only() -> None:
    bench = Dangers()
    firing = bench.loaded(("CaCO3", 5.0), pots=2)
    first, second = bench.state.things("charge")
    taken, free = (1, 1, 1, None), (1, 1, 3, None)
    assert [f.rule for f in gate_place(bench.state, second, firing, taken)] == ["place-taken"]
    assert not gate_place(bench.state, first, firing, taken)
    assert not gate_place(bench.state, second, firing, free)


def test_a_powder_is_too_hot_to_wash_until_it_was_read_itself() -> None:
    """Common practice, and the rule that a furnace's reading clears nothing."""
    bench = Dangers()
    firing, thing = bench.burning()
    bench.off(firing)
    bench.came_out(firing, thing)
    powder = bench.opened(thing)
    view = charge(bench.state, thing)
    assert view is not None and view.too_hot_to_touch
    found = gate_pigment(bench.state, "wash", powder, LIBRARY)
    assert "too-hot-to-touch" in bench.by_rule(found) and not stops(found)
    bench.touched(thing, 25.0)
    assert "too-hot-to-touch" not in bench.by_rule(gate_pigment(bench.state, "wash", powder, LIBRARY))


@pytest.mark.parametrize(
    ("planned_c", "peak_c", "told"), [(900, 925, False), (900, 926, True), (900, 875, False), (900, 874, True)]
)
def test_a_firing_hotter_or_colder_than_a_batch_was_planned_for_is_pointed_out(
    planned_c: float, peak_c: float, told: bool
) -> None:
    """Over 25 °C either way (our own default)."""
    bench = Dangers()
    firing = bench.loaded(("CaCO3", 5.0), peak_c=peak_c, schedule=[{"to_c": planned_c, "hold_min": 60}])
    found = bench.lighting(firing)
    assert ("window-clash" in found) is told
    if told:
        one = found["window-clash"]
        assert one.effect == "flag" and f"{planned_c} °C" in one.say and f"{peak_c} °C" in one.say
