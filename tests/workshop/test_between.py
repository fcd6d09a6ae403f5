"""Which level of a series may come nearest to a colour: read off straight lines, inside and one step beyond."""

import pytest

from bench.workshop.between import guesses, nearest_level
from tests.workshop.builder import Builder, lines

DARK, LIGHT = (40.0, 0.0, 0.0), (60.0, 0.0, 0.0)


def test_between_two_levels_the_share_of_the_way_is_the_share_of_the_levels() -> None:
    found = nearest_level({2.0: DARK, 4.0: LIGHT}, (55.0, 0.0, 0.0))
    assert found is not None and found.level == pytest.approx(3.5) and found.de < 0.01 and not found.beyond


def test_beyond_the_last_level_one_step_is_tried_and_never_less_than_nothing() -> None:
    above = nearest_level({2.0: DARK, 4.0: LIGHT}, (70.0, 0.0, 0.0))
    assert above is not None and above.level == pytest.approx(5.0) and above.beyond
    assert nearest_level({2.0: DARK, 4.0: LIGHT}, (95.0, 0.0, 0.0)).level == pytest.approx(6.0)  # type: ignore[union-attr]
    under = nearest_level({1.0: LIGHT, 4.0: DARK}, (80.0, 0.0, 0.0))
    assert under is not None and 0 < under.level < 0.2


def test_nothing_is_guessed_from_one_level_or_where_a_made_one_is_near() -> None:
    assert nearest_level({2.0: DARK}, LIGHT) is None
    assert nearest_level({2.0: DARK, 4.0: LIGHT}, (59.9, 0.0, 0.0)) is None


def test_a_series_of_records_with_its_control_from_an_earlier_load() -> None:
    book = Builder()
    mix = lines(("ZnO", 8.0), ("Fe2O3", 16.0))

    def made(lab: tuple[float, float, float], **plan: object) -> str:
        batch = book.ready_batch(mix, **plan)
        charge = book.charge({"batch": batch, "g": 20.0})
        book.fired(charge)
        swatch = book.swatch(book.opened(charge))
        book.add("swatch.measured", {"lab": list(lab)}, swatch)
        return batch

    control = made(DARK)
    told = {"factor": "zinc oxide", "unit": "g", "levels": [8, 12], "control": 8}
    series = book.add("series.planned", told, also={"control": control}).id
    assert guesses(book.state, (50.0, 0.0, 0.0)) == []
    twelve = made(LIGHT, series=series, level=12)
    [one] = guesses(book.state, (50.0, 0.0, 0.0))
    assert (one.series, one.batch, one.guess.level) == (series, twelve, pytest.approx(10.0))
    assert one.made_de == pytest.approx(10.0, abs=2)
