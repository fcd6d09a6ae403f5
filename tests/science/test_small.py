"""Exposure, codes, blends, powders and the rescaling against published values and independent packages."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2

from bench.science import blends, codes, exposure, powders
from bench.science.refusal import Refusal
from bench.science.rescale import rescale
from bench.science.usual_oxides import usual_oxide

# NIOSH Pocket Guide, from memory: mg/m³ for one ppm.
MG_M3_PER_PPM = [("HCl", 36.458, 1.491), ("NH3", 17.031, 0.6966), ("HF", 20.006, 0.818)]
# ISO 11277 prints 7 h 44 min 16 s, 4 min 38 s and 28 s for 2, 20 and 63 µm (from memory); the first figures are Stokes.
QUARTZ_S = [(2, 27836), (5, 4454), (20, 278.4), (63, 28.05)]
# Density in kg/m³ and viscosity in mPa·s of water, common handbook values (from memory).
WATER = [(0, 999.84, 1.792), (20, 998.20, 1.0016), (25, 997.05, 0.890), (50, 988.04, 0.547), (100, 958.4, 0.2817)]
# Cornell's yarn data in the NIST/SEMATECH e-Handbook 5.5.4 (data and coefficients from memory, and they agree).


# NIST/SEMATECH e-Handbook 5.5.4.2, Table 5.3 (read).
LATTICE_3_3 = (
    "001; 0 .333 .667; 0 .667 .333; 010; .333 0 .667; .333 .333 .333; .333 .667 0; .667 0 .333; .667 .333 0; 100"
)


@pytest.mark.parametrize(("gas", "g_mol", "expected"), MG_M3_PER_PPM)
def test_mg_m3_for_one_ppm(gas: str, g_mol: float, expected: float) -> None:
    assert exposure.mg_m3(1, g_mol) == pytest.approx(expected, abs=0.003)
    assert exposure.ppm(expected, g_mol) == pytest.approx(1, abs=0.003)


def test_hydrogen_chloride_into_still_air() -> None:
    found = exposure.one_zone(3.065, 40, 0, mixing_factor=1)
    assert found.peak_mg_m3 == pytest.approx(76.6, abs=0.1)
    assert exposure.ppm(found.peak_mg_m3, 36.458) == pytest.approx(51.4, abs=0.1)


def test_the_textbook_formula_and_its_cap() -> None:
    """C = k·G/(nV)·(1 - e^(-nt)), capped at k·m/V."""
    found = exposure.one_zone(10, 50, 2, release_min=30, mixing_factor=3)
    rate = 10_000 / 0.5
    assert found.peak_mg_m3 == pytest.approx(3 * rate / (2 * 50) * (1 - math.exp(-1)))
    assert found.peak_mg_m3 < 3 * 10_000 / 50


@settings(max_examples=50)
@given(
    st.floats(0.001, 1000),
    st.floats(1, 1000),
    st.one_of(st.just(0.0), st.floats(0.01, 50)),
    st.floats(0.1, 1440),
    st.floats(1, 10),
)
def test_the_mean_of_the_worst_eight_hours_is_the_integral(
    g: float, room: float, air: float, release: float, k: float
) -> None:
    found = exposure.one_zone(g, room, air, release, k)
    per_min = air / 60
    minutes = np.linspace(0, release + 480, 4001)
    rate = 1000 * g * k / room / release

    def at(minute: float) -> float:
        rising = min(minute, release)
        risen = rate * rising if per_min == 0 else rate / per_min * -math.expm1(-per_min * rising)
        return risen * math.exp(-per_min * max(minute - release, 0))

    now = np.array([at(minute) for minute in minutes])
    so_far = np.concatenate([[0.0], np.cumsum((now[1:] + now[:-1]) / 2 * np.diff(minutes))])
    starts = np.linspace(0, release, 1001)
    worst = float((np.interp(starts + 480, minutes, so_far) - np.interp(starts, minutes, so_far)).max()) / 480
    assert found.twa8h_mg_m3 == pytest.approx(worst, rel=0.02, abs=2e-3 * found.peak_mg_m3)
    assert found.peak_mg_m3 == pytest.approx(at(release), rel=1e-6)
    assert found.twa8h_mg_m3 <= found.peak_mg_m3 * (1 + 1e-12) <= k * 1000 * g / room * (1 + 1e-9)


def test_the_published_check_character() -> None:
    """ISO/IEC 7064, the ISBT 128 vector in python-stdnum 2.2 (read)."""
    assert codes.check_character("G123489654321") == "Y"


def test_same_check_characters_as_the_independent_package() -> None:
    draw = random.Random(7)
    for _ in range(2000):
        body = "".join(draw.choices(codes.ALPHABET, k=codes.BODY))
        assert codes.check_character(body) == mod_37_2.calc_check_digit(body)


def test_issued_codes_are_whole_differ_and_hold_no_doubtful_sign() -> None:
    draw = random.Random(8)
    issued = codes.new_codes(2000, lambda: draw.randrange(codes.BODIES), {"T5C7HJ"})
    assert len(set(issued)) == 2000
    for code in issued:
        assert codes.is_valid(code)
        assert mod_37_2.is_valid(code)
        assert not set(code) & set("ILOU*")


def test_a_number_that_is_drawn_twice_gives_one_code() -> None:
    bodies = [n for n in range(64) if codes.code_of(n) is not None][:3]
    drawn = iter([bodies[0], bodies[0], bodies[1], bodies[1], bodies[0], bodies[2]])
    assert codes.new_codes(3, lambda: next(drawn)) == [codes.code_of(n) for n in bodies]


def test_every_wrong_character_and_every_swap_of_neighbours_is_found() -> None:
    draw = random.Random(9)
    for code in codes.new_codes(60, lambda: draw.randrange(codes.BODIES)):
        for i in range(6):
            for char in codes.ALPHABET:
                if char != code[i]:
                    assert not codes.is_valid(code[:i] + char + code[i + 1 :])
        for i in range(5):
            swapped = code[:i] + code[i + 1] + code[i] + code[i + 2 :]
            assert swapped == code or not codes.is_valid(swapped)


def test_typed_codes() -> None:
    assert codes.normalised(" t5c7h-j ") == "T5C7HJ"
    assert codes.is_valid("T5C7HJ")
    for wrong, say in (
        ("T5C7HO", "Is it 0"),
        ("T5C7", "6 characters"),
        ("T5C7H*", "not allowed"),
        ("T5Ç7HJ", "not allowed"),
    ):
        with pytest.raises(Refusal, match=say) as refused:
            codes.normalised(wrong)
        assert refused.value.field == "check"
    assert codes.plain_twin("t5c7hj") == "T5C7HJ"


def test_the_published_lattice() -> None:
    expected = [[float(part) for part in (row.split() if " " in row else row)] for row in LATTICE_3_3.split("; ")]
    found = [[float(part) for part in point] for point in blends.lattice(3, 3)]
    assert len(found) == len(expected)
    for point, row in zip(found, expected, strict=True):
        assert point == pytest.approx(row, abs=0.001)


@pytest.mark.parametrize(("q", "m", "count"), [(3, 3, 10), (2, 10, 11), (3, 2, 6), (3, 5, 21), (3, 10, 66), (4, 2, 10)])
def test_number_of_lattice_points(q: int, m: int, count: int) -> None:
    points = blends.lattice(q, m)
    assert len(points) == len(set(points)) == count
    assert all(sum(point) == 1 for point in points)


def test_oil_absorption() -> None:
    """ISO 787-5:1980, 100V/m and 93V/m (from memory)."""
    ml, g = powders.oil_absorption(10.0, 3.2)
    assert ml == pytest.approx(32.0, abs=0.01)
    assert g == pytest.approx(29.76, abs=0.01)


@pytest.mark.parametrize(("diameter_um", "seconds"), QUARTZ_S)
def test_quartz_settles_by_stokes(diameter_um: float, seconds: float) -> None:
    assert 60 * powders.settle(diameter_um, 2650, 100).minutes == pytest.approx(seconds, rel=0.002)


def test_cobalt_aluminate_settles_by_stokes() -> None:
    assert powders.settle(5, 4420, 100).minutes == pytest.approx(35.83, abs=0.05)


def test_reynolds_and_its_limit() -> None:
    assert powders.settle(63, 2650, 100).reynolds == pytest.approx(0.224, abs=0.002)
    with pytest.raises(Refusal, match="Reynolds") as refused:
        powders.settle(70, 2650, 100)
    assert refused.value.field == "diameter_um"
    with pytest.raises(Refusal) as floats:
        powders.settle(5, 900, 100)
    assert floats.value.field == "density_kg_m3"


@pytest.mark.parametrize(("c", "density", "viscosity"), WATER)
def test_water(c: float, density: float, viscosity: float) -> None:
    assert powders.water_density_kg_m3(c) == pytest.approx(density, abs=0.1)
    assert 1000 * powders.water_viscosity_pa_s(c) == pytest.approx(viscosity, rel=0.002)


def test_an_overshoot_scales_what_is_not_weighed_yet() -> None:
    found = rescale([10, 20, 30], [11, None, None])
    assert found.product_factor == pytest.approx(1.1)
    assert found.rescaled_g == (None, pytest.approx(22), pytest.approx(33))


def test_the_largest_overshoot_counts_and_the_smaller_one_is_topped_up() -> None:
    found = rescale([10, 20, 30], [11, 21, None])
    assert found.product_factor == pytest.approx(1.1)
    assert found.top_up_g == (None, pytest.approx(1.0), None)
    assert found.rescaled_g == (None, None, pytest.approx(33))


def test_without_an_overshoot_the_plan_stands() -> None:
    found = rescale([10, 20], [9.9, None])
    assert found.product_factor == 1
    assert found.rescaled_g == (None, 20)
    assert found.top_up_g == (pytest.approx(0.1), None)


@given(st.lists(st.tuples(st.floats(0.01, 1e4), st.one_of(st.none(), st.floats(0, 1e4))), min_size=1, max_size=8))
def test_after_rescaling_every_part_stands_in_the_planned_ratio(lines: list[tuple[float, float | None]]) -> None:
    found = rescale([planned for planned, _ in lines], [weighed for _, weighed in lines])
    for (planned, weighed), rest, more in zip(lines, found.rescaled_g, found.top_up_g, strict=True):
        in_the_end = rest if rest is not None else (weighed or 0.0) + (more or 0.0)
        assert in_the_end == pytest.approx(found.product_factor * planned, rel=1e-9)


@pytest.mark.parametrize(("symbol", "oxide"), [("Au", "Au"), ("Pt", "Pt"), ("Fe", "Fe2O3"), ("Zn", "ZnO")])
def test_the_usual_oxide_of_a_metal_that_stays_bare_is_the_metal(symbol: str, oxide: str) -> None:
    """Gold and platinum oxides fall apart far below a glow (common knowledge of chemistry)."""
    assert usual_oxide(symbol) == oxide
