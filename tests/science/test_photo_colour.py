"""Colour from photographs with known truth: how far off, and whether the stated error covers it."""

import numpy as np
import pytest

from bench.science.colour import Lab, White, de00, difference_uncertainty
from bench.science.photo_colour import Card, Measured, by_card, lab_of, light_of, measure
from bench.science.photo_samples import cells, linear_light, sample
from bench.science.refusal import Refusal
from tests.science import simulated_camera as camera
from tests.science.tables import rows


def runs(card: list[Lab], columns: int, count: int, seed: int) -> tuple[list[float], list[bool]]:
    """ΔE00 of so many photographs, and whether the stated uncertainty covers each."""
    draw = np.random.default_rng(seed)
    off, covered = [], []
    while len(off) < count:
        shot = camera.shot(draw, card, columns)
        try:
            made, _flags = by_card(shot.pixels, camera.corners(camera.CARD_BOX), Card(tuple(card), columns))
            found = measure(sample(shot.pixels, camera.corners(camera.SWATCH_BOX)), made)
        except Refusal:
            continue  # a channel ran out of the picture: the maker is asked for another
        off.append(de00(found.lab, shot.lab))
        covered.append(off[-1] <= (difference_uncertainty(found.lab, shot.lab, found.se, None) or 0.0))
    return off, covered


def test_six_patches_or_more_and_a_single_grey_as_far_off_as_they_say() -> None:
    every: list[bool] = []
    for card, columns, count, most in (
        (camera.CARD, 4, 100, 1.5),
        (camera.CARD[2:8], 3, 100, 1.5),
        ([camera.GREY], 1, 100, 6.0),
    ):
        off, covered = runs(card, columns, count, seed=len(card))
        assert float(np.median(off)) <= most
        assert 0.87 <= np.mean(covered) <= 1.0  # 100 draws at 95 %: fewer than 88 once in 500
        every += covered
    assert 0.90 <= np.mean(every) <= 0.98


def test_two_to_five_patches_are_refused() -> None:
    shot = camera.shot(np.random.default_rng(1), camera.CARD[:4], 2)
    with pytest.raises(Refusal, match="one grey patch, or at least 6"):
        by_card(shot.pixels, camera.corners(camera.CARD_BOX), Card(tuple(camera.CARD[:4]), 2))


def test_what_is_clipped_or_small_is_refused_and_gloss_is_flagged() -> None:
    white = np.full((60, 60, 3), 255, np.uint8)
    box = camera.corners((0, 0, 60, 60))
    with pytest.raises(Refusal, match="over- or underexposed"):
        sample(white, box)
    with pytest.raises(Refusal, match="larger"):
        sample(white[:8, :8] // 2, camera.corners((0, 0, 8, 8)))
    plain = np.full((60, 60, 3), 90, np.uint8)
    assert sample(plain, box).flags == ()
    plain[24:34, 24:30] = 200
    assert "glossy" in sample(plain, box).flags
    uneven = np.full((60, 60, 3), 90, np.uint8)
    uneven[:, 30:] = 110
    assert "uneven" in sample(uneven, box).flags


def test_a_card_that_stands_askew_is_found_by_its_corners() -> None:
    found = cells([(0, 0), (100, 10), (100, 60), (0, 50)], 2, 1)
    assert found == [[(0, 0), (50, 5), (50, 55), (0, 50)], [(50, 5), (100, 10), (100, 60), (50, 55)]]


def test_display_p3_is_read_by_its_own_primaries() -> None:
    # White is white in both; the red of Display-P3 is linear (1.2249, -0.0420, -0.0196) of sRGB (CSS Color 4, memory).
    assert linear_light(np.array([255, 255, 255]), display_p3=True) == pytest.approx([1, 1, 1], abs=1e-6)
    assert linear_light(np.array([255, 0, 0]), display_p3=True) == pytest.approx([1.2249, -0.0420, -0.0196], abs=1e-3)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("colour_conversions.csv") if row["to"] != "XYZ"],
    ids=lambda row: f"{row['to']} {row['red']} {row['green']} {row['blue']}",
)
def test_a_pixel_comes_to_the_published_colour_by_the_way_of_a_photo(row: dict[str, str]) -> None:
    """IEC 61966-2-1 and CIE 1976, both whites: from the pixel to linear light, and from there to CIELAB."""
    light = linear_light(np.array([float(row[channel]) for channel in ("red", "green", "blue")]))
    wanted = [float(row[place]) for place in ("first", "second", "third")]
    white: White = "D50" if row["to"] == "D50" else "D65"
    found = lab_of(light.tolist(), white)
    assert found == pytest.approx(wanted, abs=float(row["tolerance"]))
    assert light_of(found, white) == pytest.approx(light.tolist(), abs=1e-6)


def test_the_parts_of_the_error_add_up() -> None:
    shot = camera.shot(np.random.default_rng(2), camera.CARD, 4)
    made, _flags = by_card(shot.pixels, camera.corners(camera.CARD_BOX), Card(tuple(camera.CARD), 4))
    found = measure(sample(shot.pixels, camera.corners(camera.SWATCH_BOX)), made)
    assert isinstance(found, Measured) and 0 < found.of_area + found.of_card <= 1 and made.residual_de < 2
