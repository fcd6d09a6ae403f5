"""What differed between two powders or swatches, and how one colour stands to another."""

from bench.workshop.comparing import Fact, apart, differences, direction, facts, swatch_differences
from tests.workshop.builder import Builder, lines

BASE = (("ZnO", 8.0), ("Fe2O3", 16.0))


def powder(b: Builder, *parts: tuple[str, float] | tuple[str, float, str], **more: object) -> str:
    planned = lines(*parts)
    batch = b.ready_batch(planned)
    charge = b.charge({"batch": batch, "g": 10.0}, **more)
    b.fired(charge)
    return b.opened(charge)


def test_two_alike_differ_in_nothing_but_where_they_stood() -> None:
    b = Builder()
    one, two = powder(b, *BASE), powder(b, *BASE)
    assert differences(b.state, one, two) == []


def test_more_flux_is_one_difference_and_not_less_of_all_else() -> None:
    b = Builder()
    one, two = powder(b, *BASE), powder(b, *BASE, ("NaCl", 1.2, "washed-out"))
    assert differences(b.state, one, two) == [("NaCl, % of what reacts", "–", "5.0 %")]


def test_a_hundredth_of_a_gram_is_no_cause_and_a_tenth_of_the_mixture_is() -> None:
    b = Builder()
    one, near, far = powder(b, *BASE), powder(b, ("ZnO", 8.01), ("Fe2O3", 16.0)), powder(b, ("ZnO", 10.0), BASE[1])
    assert differences(b.state, one, near) == []
    assert [row[0] for row in differences(b.state, one, far)] == ["ZnO, % of what reacts"]


def test_lid_rinses_and_grinding_after_are_told() -> None:
    b = Builder()
    one, two = powder(b, *BASE, lid="loose"), powder(b, *BASE, lid="none")
    b.washed(two)
    b.ground(two)
    told = {row[0]: row[1:] for row in differences(b.state, one, two)}
    assert told == {"lid": ("loose", "none"), "rinses": ("none recorded", "1"), "ground after": ("–", "5 min")}


def test_a_soak_ends_when_the_fire_is_off_however_long_it_stands_there() -> None:
    b = Builder()
    charge = b.charge({"batch": b.ready_batch(), "g": 10.0})
    firing = b.firing(peak_c=900)
    b.placed(charge, firing)
    b.lit(firing)
    b.wait(100)
    b.reading(firing, 895)
    b.wait(60)
    b.off(firing)
    b.wait(1200)
    b.came_out(firing, charge)
    thing = b.opened(charge)
    found = facts(b.state, thing)
    assert found["soak in all"].words == "60 min" and found["hottest read"].words == "895 °C"
    assert found["out after the fire"].words == "20.0 h"


def test_swatches_differ_in_their_white_and_their_film() -> None:
    b = Builder()
    thing = powder(b, *BASE)
    one, two = b.swatch(thing, film_um=100), b.swatch(thing, film_um=150, white_per_pigment=10)
    assert swatch_differences(b.state, one, two) == [
        ("white to 1 of pigment", "0.0", "10.0"),
        ("film", "100 µm", "150 µm"),
    ]


def test_words_and_numbers_never_pass_for_each_other() -> None:
    assert apart({"a": Fact("3.0")}, {"a": Fact(3.0)}) == []
    assert apart({"a": Fact("loose")}, {"a": Fact(3.0)}) == [("a", "loose", "3.0")]


def test_how_a_colour_stands_to_another_goes_by_the_axes_of_cielab() -> None:
    # CIE 15: L* rises with lightness, a* from green to red, b* from blue to yellow.
    assert direction((45.0, -3.0, -29.0), (41.0, 1.5, -37.0)) == ["bluer", "redder", "darker"]
    assert direction((45.0, -3.0, -29.0), (45.5, -3.2, -29.0)) == []
    assert direction((45.0, 0.0, 0.0), (48.0, 0.0, 0.0), (2.0, 0.1, 0.1), (2.0, 0.1, 0.1)) == []
