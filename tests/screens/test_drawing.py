"""The pictures' geometry, against lengths that can be worked out by hand."""

from math import cos, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.web.drawing import Fan, Pot, curve, gauge, grid, heat_rule, level_plot, ring
from bench.web.drawing.curve import HOUR_MS
from bench.web.drawing.scale import Scale, marks, step_for

finite = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False)


def numbers(path: str) -> list[float]:
    """All numbers of a path."""
    return [float(part) for part in path.replace("M", " ").replace("L", " ").replace("z", " ").split()]


@pytest.mark.parametrize(("span", "most", "step"), [(0.16, 20, 0.01), (8, 20, 0.5), (1000, 4, 500), (240, 16, 20)])
def test_steps_people_count_in(span: float, most: int, step: float) -> None:
    """1, 2 or 5 times a power of ten."""
    assert step_for(span, most) == pytest.approx(step)


def test_marks_include_both_ends() -> None:
    """Rounding must not lose the last tick."""
    assert marks(0.0, 0.3, 0.1) == pytest.approx([0.0, 0.1, 0.2, 0.3])


def test_scale_upside_down() -> None:
    """y grows downwards, temperature upwards."""
    scale = Scale(0, 1000, 200, 0)
    assert (scale.at(250), scale.inside(2000)) == (150, 0)


def test_gauge_in_band() -> None:
    """±0.02 g around 9.10: eight bands... the band is a quarter of the rule, the middle in its middle."""
    drawn = gauge(9.08, 9.12, value=9.10)
    assert drawn.band[1] - drawn.band[0] == pytest.approx(308 / 4)
    assert drawn.needle == pytest.approx(164)
    assert [label.text for label in drawn.labels][:2] == ["9.08", "9.12"]
    assert len(drawn.ticks) == 17


def test_gauge_reaches_what_was_weighed() -> None:
    """0.36 g over: the needle is on the rule, right of the band, and its value is written there."""
    drawn = gauge(9.08, 9.12, value=9.46)
    assert drawn.needle is not None and drawn.band[1] < drawn.needle < 318
    assert "9.46" in [label.text for label in drawn.labels]


def test_gauge_without_width() -> None:
    """A band of nothing is a mistake of ours."""
    with pytest.raises(ValueError, match="width"):
        gauge(1, 1)


@given(finite, st.floats(min_value=1e-3, max_value=1e3), st.none() | finite)
def test_gauge_stays_in_its_box(low: float, width: float, value: float | None) -> None:
    """Whatever was weighed, nothing is drawn outside."""
    drawn = gauge(low, low + width, value=value)
    xs = [x for x, _ in drawn.ticks] + [*drawn.band] + [label.x for label in drawn.labels]
    assert all(9.9 <= x <= 318.1 for x in xs + ([drawn.needle] if drawn.needle is not None else []))


def test_heat_rule() -> None:
    """98 of 240 minutes, out at 120."""
    drawn = heat_rule(98, 120, 240)
    assert drawn.done == pytest.approx(1 + 326 * 98 / 240) and drawn.end == pytest.approx(1 + 326 / 2)
    assert heat_rule(0, None).end is None


LIT = 1_794_470_400_000.0
RAMP = [(LIT, 20.0), (LIT + 2 * HOUR_MS, 900.0), (LIT + 4 * HOUR_MS, 900.0)]


def test_curve_hits_its_axes() -> None:
    """The first reading stands at the left edge, the last one at the right, equal temperatures at equal heights."""
    drawn = curve(RAMP, RAMP)
    x1, y1, _, y2, x3, y3 = numbers(drawn.measured)
    assert (x1, x3) == (drawn.left, drawn.right) and y2 == y3 < y1 <= drawn.base
    assert drawn.now == pytest.approx((x3, y3), abs=0.06)


def test_curve_hours_are_local() -> None:
    """Lit at 08:00 UTC; in a zone an hour ahead the clock shows 09 to 13."""
    assert [text for _, text in curve(RAMP, zone_min=60).hours if text] == ["10", "11", "12 h"]


def test_black_heat_is_black() -> None:
    """Below 480 °C nothing glows."""
    stops = curve(RAMP, high_c=1000).glow
    assert stops[:3] == [(0.0, "h000"), (pytest.approx(0.48), "h000"), (pytest.approx(0.525), "h525")]
    assert stops[-1] == (pytest.approx(1.0), "h1000")


def test_fan_edges() -> None:
    """From 900 to 700 °C at 100 and at 50 °C an hour: two and four hours."""
    drawn = curve(RAMP, to_ms=LIT + 8 * HOUR_MS, fan=Fan(LIT + 4 * HOUR_MS, 900, 50, 100, 700))
    slow_x, slow_y, start_x, _, fast_x, fast_y = numbers(drawn.fan_edge)
    hour = (drawn.right - drawn.left) / 8
    assert slow_x - start_x == pytest.approx(4 * hour, abs=0.2) and fast_x - start_x == pytest.approx(2 * hour, abs=0.2)
    assert slow_y == pytest.approx(fast_y, abs=0.2)


@pytest.mark.parametrize("look", ["phone", "wide", "mini"])
def test_curve_of_nothing(look: str) -> None:
    """No reading, one reading, all at one moment: a picture, not a fault."""
    for readings in ([], [(LIT, 18.0)], [(LIT, 18.0), (LIT, 19.0)]):
        drawn = curve(readings, look=look)
        assert drawn.height > 0 and (drawn.now is None) == (not readings)


@given(st.lists(st.tuples(st.floats(0, 1e13), st.floats(-50, 1800)), max_size=20))
def test_curve_of_anything(readings: list[tuple[float, float]]) -> None:
    """Any readings are drawn inside the box."""
    drawn = curve(readings, readings)
    assert all(-1 <= value <= 361 for value in numbers(drawn.measured) + numbers(drawn.mass))


def test_ring_is_a_clock() -> None:
    """12 at the back, 6 at the front, 3 at the right."""
    pots = ring([Pot(place, "in", "7K3MQX") for place in ("12", "3", "6", "9")]).pots
    back, right, front, left = pots
    assert back.y < right.y < front.y and left.x < back.x < right.x
    assert (right.y, back.x) == (pytest.approx(left.y), pytest.approx(front.x))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 6, 8, 12])
def test_pots_of_a_ring_do_not_touch(count: int) -> None:
    """However many places, crucibles stand apart and inside the chamber."""
    places = {
        1: ["12"],
        2: ["12", "6"],
        3: ["12", "4", "8"],
        4: ["12", "3", "6", "9"],
        6: [str(n) for n in range(2, 13, 2)],
    }
    names = places.get(count, [str(n) for n in range(1, count + 1)])
    drawn = ring([Pot(name, "hot", "7K3MQX") for name in names]).pots
    for n, one in enumerate(drawn):
        assert hypot(one.x - 180, one.y - 174) + one.r < 145
        assert all(hypot(one.x - two.x, one.y - two.y) > one.r + two.r for two in drawn[n + 1 :])


def test_a_place_that_is_no_hour_is_the_middle() -> None:
    """`centre` stands in the middle."""
    assert ring([Pot("centre", "in")]).pots[0].x == 180


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (2, 3), (4, 6), (0, 0)])
def test_grid_has_every_place(rows: int, columns: int) -> None:
    """Empty places are drawn too, and none outside the chamber."""
    drawn = grid([Pot("1.1", "hot", "7K3MQX")], rows, columns)
    assert len(drawn.pots) == max(1, rows) * max(1, columns) and drawn.chamber is not None
    left, top, wide, high = drawn.chamber
    for pot in drawn.pots:
        assert left < pot.x - pot.r and pot.x + pot.r < left + wide and top < pot.y - pot.r < top + high - 2 * pot.r


def test_rays_point_outwards() -> None:
    """The rays that say heat without colour stand off the wall by 4 px."""
    pot = Pot("12", "hot", x=100, y=100)
    x1, y1, x2, y2 = pot.rays[1]
    assert hypot(x1 - 100, y1 - 100) == pytest.approx(39) and hypot(x2 - 100, y2 - 100) == pytest.approx(44)
    assert (x1, y1) == (pytest.approx(100 + 39 * sin(radians(20))), pytest.approx(100 - 39 * cos(radians(20))))
    assert not Pot("12", "in").rays


def test_levels_stand_where_they_lie_and_repeats_beside_each_other() -> None:
    """Levels 1, 2 and 4: the second a third of the way. Values 10 and 20 with a tenth of room: 9 to 21."""
    drawn = level_plot({1: (10.0, 10.0), 2: (15.0,), 4: (20.0,)})
    xs = [x for x, _y in drawn.means]
    assert xs == pytest.approx([86.0, 86 + 200 / 3, 286.0])
    assert [x for x, _y in drawn.dots[:2]] == pytest.approx([82.0, 90.0])
    assert [y for _x, y in drawn.dots] == pytest.approx([150 - 136 / 12] * 2 + [82.0, 150 - 136 * 11 / 12])
    assert [text for _x, text in drawn.labels] == ["1", "2", "4"] and ("15" in [text for _y, text in drawn.grid])


def test_levels_that_are_words_or_alike_are_drawn_too() -> None:
    drawn = level_plot({"slow": (5.0,), "fast": (5.0, 5.0), "x": ()})
    assert len(drawn.means) == 2 and drawn.means[0][0] < drawn.means[1][0]
    assert [text for _x, text in drawn.labels] == ["slow", "fast"]
    assert level_plot({3: (1.0,)}).means[0][0] == pytest.approx(186.0)
    crowded = level_plot({n: (float(n),) for n in range(20)})
    assert 0 < len(crowded.labels) < 20 and len(crowded.dots) == 20
    with pytest.raises(ValueError, match="nothing"):
        level_plot({1: ()})


@given(st.dictionaries(st.integers(0, 50), st.lists(st.floats(-100, 100), max_size=3), min_size=1, max_size=8))
def test_every_batch_lies_inside_the_drawing(values: dict[int, list[float]]) -> None:
    if any(values.values()):
        drawn = level_plot(values)
        assert all(0 <= x <= drawn.width and 0 <= y <= drawn.base + 1e-6 for x, y in (*drawn.dots, *drawn.means))
