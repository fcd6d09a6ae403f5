"""Names of colours by their published centroids, and end points of pyrometric cones."""

import pytest

from bench.reference import load_library
from bench.science.colour import lab_to_srgb_hex, srgb_to_lab
from bench.science.colour_names import nearest
from bench.science.cones import END_POINTS_C, end_point_c
from bench.science.refusal import Refusal

CENTROIDS = load_library().colour_names

# NBS Special Publication 440 (Kelly and Judd, 1976), centroids as sRGB in a public list (read).
PUBLISHED = (
    ("vivid red", "#be0032"),
    ("brilliant blue", "#4997d0"),
    ("brilliant green", "#3eb489"),
    ("blackish blue", "#202830"),
    ("moderate red", "#ab4e52"),
    ("black", "#222222"),
)


def test_there_are_267_names() -> None:
    """The publication has 267 names, and no two of them share a name or a colour."""
    assert len(CENTROIDS) == len(set(CENTROIDS.values())) == 267


@pytest.mark.parametrize(("name", "srgb"), PUBLISHED)
def test_a_published_centroid_has_its_own_name(name: str, srgb: str) -> None:
    lab = srgb_to_lab([int(srgb[at : at + 2], 16) for at in (1, 3, 5)])
    found = nearest(lab, CENTROIDS)
    assert (found[0].name, found[0].srgb) == (name, srgb)
    assert found[0].de00 == pytest.approx(0, abs=1e-6) and found[1].de00 > 1
    assert lab_to_srgb_hex(lab).hex == srgb


# Beerman 1956 (from memory), at 60 and at 150 °C/h.
CONES = (("022", 585, 600), ("016", 764, 792), ("06", 991, 999), ("04", 1050, 1060), ("1", 1136, 1154),
         ("10", 1285, 1305))  # fmt: skip


@pytest.mark.parametrize(("cone", "slow_c", "quick_c"), CONES)
def test_cones_at_the_published_rates(cone: str, slow_c: float, quick_c: float) -> None:
    assert end_point_c(cone, 60) == pytest.approx(slow_c, abs=0.01)
    assert end_point_c(cone, 150) == pytest.approx(quick_c, abs=0.01)
    between = [end_point_c(cone, rate) for rate in (60, 80, 100, 120, 150)]
    assert between == sorted(between)


def test_another_publication_of_one_cone_agrees_to_ten_degrees() -> None:
    """Speyer, Thermal Analysis of Materials, ch. 1 (abstract read): cone 022 bends at 576 °C at 1 °C a minute."""
    assert end_point_c("022", 60) == pytest.approx(576, abs=10)


def test_what_the_table_does_not_hold_is_refused() -> None:
    assert len(END_POINTS_C) == 6
    for cone, rate, field in (("7", 100.0, "cone"), ("06", 59.0, "rate_c_per_h"), ("06", 151.0, "rate_c_per_h")):
        with pytest.raises(Refusal) as refused:
            end_point_c(cone, rate)
        assert refused.value.field == field
