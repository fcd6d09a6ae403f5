"""What a fire's readings and notes warn of, and what they do not."""

from datetime import timedelta

import pytest

from bench.reference import Library, load_library
from bench.workshop.alarms import alarms, next_due
from bench.workshop.things.firings import firing
from tests.workshop.builder import Builder


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


class Fire:
    """A fire to 900 °C for an hour in a furnace made for 1,000 °C, with one crucible that is rated to 950 °C."""

    def __init__(self, ware: str = "alumina-99") -> None:
        self.b = Builder()
        furnace = self.b.furnace(ceiling_c=1000.0)
        self.thing = self.b.firing(furnace, segments=[{"to_c": 900.0, "hold_min": 60.0}])
        pot = self.b.crucible(ware=ware, rated_c=950.0)
        self.b.coded(pot, "T5C7HJ")
        self.charge = self.b.charge({"batch": self.b.ready_batch(), "g": 5.0}, crucible=pot)
        self.b.placed(self.charge, self.thing)
        self.start = self.b.minutes
        self.b.lit(self.thing, happened=self.start)

    def read(self, *curve: tuple[float, float]) -> "Fire":
        for minute, c in curve:
            self.b.reading(self.thing, c, happened=self.start + minute)
        return self

    def note(self, what: str, value: str) -> "Fire":
        self.b.add("noted", {"what": what, "value": value}, self.thing)
        return self

    def rules(self, library: Library, minutes: float) -> list[str]:
        view = firing(self.b.state, self.thing)
        assert view is not None and view.lit_at is not None
        return [a.rule for a in alarms(self.b.state, view, view.lit_at + timedelta(minutes=minutes), library)]


CLIMB = ((0.0, 20.0), (60.0, 300.0), (120.0, 580.0), (180.0, 850.0))


def test_a_fire_that_goes_as_planned_is_quiet(library: Library) -> None:
    assert Fire().read(*CLIMB).rules(library, 185) == []
    assert Fire().read(*CLIMB, (195.0, 900.0), (200.0, 902.0)).rules(library, 204) == []


@pytest.mark.parametrize(
    ("before", "after", "minutes", "asked"),
    [
        (82, 820, 5, True),
        (82, 850, 5, True),
        (820, 82, 5, True),
        (82, 820, 20, False),
        (82, 600, 5, False),
        (800, 820, 0.1, False),
        (0, 300, 5, False),
    ],
)
def test_a_point_that_slipped_is_asked_about(
    library: Library, before: float, after: float, minutes: float, asked: bool
) -> None:
    """Ten times as much within five minutes is no climb: at 50 °C a minute 738 °C would take 15."""
    rules = Fire().read((60, before), (60 + minutes, after)).rules(library, 61 + minutes)
    assert ("slipped" in rules) is asked


@pytest.mark.parametrize(("after", "asked"), [(195.0, False), (194.0, True), (896.0, True)])
def test_a_leap_that_no_furnace_makes_is_said_however_it_came(library: Library, after: float, asked: bool) -> None:
    """Half of the 400 °C over the room within 3 min, or 150 °C a minute up, and 25 °C for the scatter."""
    rules = Fire().read((60, 420), (63, after)).rules(library, 64)
    assert ("leaps" in rules) is asked


def test_a_probe_that_was_put_back_is_no_leap(library: Library) -> None:
    """Back at what it fell from, but not at anything hotter than a furnace could be by then."""
    assert "leaps" not in Fire().read((60, 420), (61, 31), (63, 425)).rules(library, 64)
    assert "leaps" in Fire().read((60, 420), (61, 31), (63, 899)).rules(library, 64)


def test_over_the_plan_the_crucible_and_the_furnace(library: Library) -> None:
    assert "over-plan" not in Fire().read((0, 900), (5, 919)).rules(library, 6)
    assert Fire().read((0, 900), (5, 921)).rules(library, 6) == ["over-plan"]
    assert Fire().read((0, 900), (5, 951)).rules(library, 6) == ["over-plan", "over-rating"]
    assert Fire().read((0, 900), (5, 1001)).rules(library, 6) == ["over-plan", "over-furnace", "over-rating"]


def test_a_crucible_that_is_out_is_no_longer_over_its_rating(library: Library) -> None:
    fire = Fire().read((0, 900), (5, 955))
    fire.b.came_out(fire.thing, fire.charge, happened=fire.start + 6)
    assert fire.rules(library, 7) == ["over-plan"]


def test_falling_on_the_way_up_and_out_of_the_soak(library: Library) -> None:
    down = [(200.0 + 5 * n, 850.0 - 12 * n) for n in range(1, 7)]
    assert "falling" in Fire().read(*CLIMB, *down).rules(library, 232)
    soak = ((190.0, 900.0), (195.0, 901.0), (200.0, 885.0))
    assert Fire().read(*CLIMB, *soak).rules(library, 201) == ["falling"]
    # After the hold and the lag are over it may fall.
    done = ((190.0, 900.0), (260.0, 900.0), (265.0, 700.0))
    assert Fire().read(*CLIMB, *done).rules(library, 266) == []


def test_too_fast_for_the_ware_and_half_as_fast_for_porcelain_where_it_cracks(library: Library) -> None:
    # Alumina 4 °C a minute, porcelain 5 and half of it through 20 to 300 °C (common practice).
    fast = tuple((3.0 * n, 20.0 + 18 * n) for n in range(9))
    assert "too-fast" in Fire().read(*fast).rules(library, 25)
    middling = tuple((5.0 * n, 20.0 + 17 * n) for n in range(9))
    assert "too-fast" not in Fire().read(*middling).rules(library, 41)
    assert "too-fast" in Fire("glazed-porcelain").read(*middling).rules(library, 41)


def test_a_reading_is_due_by_the_phase(library: Library) -> None:
    fire = Fire().read((0.0, 20.0))
    assert fire.rules(library, 14) == [] and fire.rules(library, 16) == ["no-reading"]
    held = Fire().read(*CLIMB, (190.0, 900.0), (195.0, 900.0))
    view = firing(held.b.state, held.thing)
    assert view is not None and view.lit_at is not None
    assert next_due(view) == view.lit_at + timedelta(minutes=200)
    assert held.rules(library, 202) == [] and held.rules(library, 203) == ["no-reading"]


def test_flame_and_air_ask_for_an_act_until_they_are_noted_otherwise(library: Library) -> None:
    fire = Fire().read((0.0, 20.0)).note("flame", "lost")
    assert fire.rules(library, 1) == ["flame-lost"]
    assert fire.note("flame", "clear").rules(library, 1) == []
    assert fire.note("co", "30").rules(library, 1) == ["co-rising"]
    assert fire.note("co", "alarm").rules(library, 1) == ["co-reading"]
    assert fire.note("co", "0").rules(library, 1) == []


def test_a_fire_that_is_out_warns_of_nothing(library: Library) -> None:
    fire = Fire().read((0.0, 1200.0))
    fire.b.off(fire.thing, happened=fire.start + 2)
    assert fire.rules(library, 200) == []
