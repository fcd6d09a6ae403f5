"""Reduction limits and flame gas against published potentials and a general equilibrium solver's values."""

import math
from math import exp

import pytest

from bench.science import atmosphere
from bench.science.oxygen_data import PAIRS, SPINELS_J_MOL
from bench.science.refusal import Refusal

K = 273.15
R = 8.314462618


@pytest.mark.parametrize(
    ("oxide", "formation_j"), [("Cu2O", -73_950), ("NiO", -123_555), ("CoO", -142_150), ("FeO", -179_459)]
)
def test_formation_energy_at_1300_k(oxide: str, formation_j: float) -> None:
    """Holmes, O'Neill and Arculus 1986, Geochim. Cosmochim. Acta 50, 2439 (abstract read); per oxygen, ± 200 J/mol."""
    assert atmosphere.oxygen_potential_j(oxide, 1300 - K) / 2 == pytest.approx(formation_j, abs=200)


@pytest.mark.parametrize(
    ("oxide", "log_bar", "tolerance"),
    [("CoO", -11.817, 0.05), ("NiO", -10.221, 0.15), ("Fe2O3", -5.629, 0.05), ("FeO", -14.889, 0.05)],
)
def test_oxygen_fugacity_at_1273_k(oxide: str, log_bar: float, tolerance: float) -> None:
    """Frost 1991, Rev. Mineral. 25, Table 1 (coefficients read in public petrology code)."""
    assert atmosphere.log_fo2(oxide, 1000) == pytest.approx(log_bar, abs=tolerance)


@pytest.mark.parametrize(("oxide", "potential_j"), [("CoO", -287_922), ("Cu2O", -151_852), ("CuO", -23_398)])
def test_oxygen_potential_at_1273_k(oxide: str, potential_j: float) -> None:
    """O'Neill and Pownceby 1993, O'Neill 1988 (from memory), per mol O2, ± 500 J."""
    assert atmosphere.oxygen_potential_j(oxide, 1000) == pytest.approx(potential_j, abs=500)


def water_gas_constant(c: float) -> float:
    """K of CO + H2O = CO2 + H2: what the two burnings leave when one is taken from the other."""
    return exp(-(atmosphere.co_oxidation_j(c) - atmosphere.h2_oxidation_j(c)) / (8.314462618 * (c + K)))


def test_hydrogen_reduces_cobalt_oxide() -> None:
    """Shibata and Mori 1933, log K = 494.191/T + 1.08690: H2O/H2 32.2 at 900 °C ± 10; modern cells give 24."""
    found = atmosphere.equilibrium_co2_co("CoO", 900) / water_gas_constant(900)
    assert found == pytest.approx(32.2, abs=10)
    assert found == pytest.approx(24, abs=3)


@pytest.mark.parametrize(
    ("kelvin", "co", "co2"), [(1000, -200.275, -395.886), (1300, -226.509, -396.177), (1400, -235.149, -396.24)]
)
def test_burning_of_co_by_janaf(kelvin: float, co: float, co2: float) -> None:
    """NIST-JANAF tables, Chase 1998 (from memory), kJ/mol; graphite cancels."""
    assert atmosphere.co_oxidation_j(kelvin - K) / 1000 == pytest.approx(co2 - co, abs=0.1)


@pytest.mark.parametrize(
    ("kelvin", "joules"), [(1000, -195_573), (1273.15, -171_932), (1300, -169_623), (1400, -161_044)]
)
def test_burning_of_co_by_a_general_solver(kelvin: float, joules: float) -> None:
    """cantera 3.2.0, GRI-Mech 3.0, ± 150 J/mol."""
    assert atmosphere.co_oxidation_j(kelvin - K) == pytest.approx(joules, abs=150)


@pytest.mark.parametrize(("kelvin", "constant"), [(1173.15, 0.7855), (1273.15, 0.604), (1300, 0.5674)])
def test_water_gas_constant(kelvin: float, constant: float) -> None:
    """cantera 3.2.0, GRI-Mech 3.0, CO + H2O = CO2 + H2."""
    assert water_gas_constant(kelvin - K) == pytest.approx(constant, abs=0.001)


@pytest.mark.parametrize(
    ("oxide", "kelvin", "ratio", "tolerance"),
    [
        ("NiO", 1300, 70.96, 1.5),
        ("Cu2O", 1300, 6984, 150),
        ("FeO", 1300, 0.4025, 0.01),
        ("CoO", 1300, 12.7, 0.26),
        ("CoO", 1173, 20.9, 0.5),
        ("CoO", 1273, 14.0, 0.28),
        ("NiO", 1273, 77.6, 2),
        ("Cu2O", 1273, 8690, 174),
        ("FeO", 1273, 0.41, 0.0082),
        ("Fe2O3", 1273, 17_361, 1500),
        ("CuO", 1273, 3.7e6, 0.37e6),
        ("MnO", 1273, 1.2e-5, 6e-6),
        ("Cr2O3", 1273, 1.5e-4, 8e-5),
    ],
)
def test_equilibrium_ratio(oxide: str, kelvin: float, ratio: float, tolerance: float) -> None:
    """Holmes 1986, O'Neill, Frost with cantera's gas; CuO, MnO and Cr2O3 rest on fits from memory."""
    assert atmosphere.equilibrium_co2_co(oxide, kelvin - K) == pytest.approx(ratio, abs=tolerance)


def test_more_than_seven_per_cent_co_reduces_cobalt_oxide() -> None:
    """Published agreement on CoO at 1300 K: CO2/CO 12.7, that is 7.3 % CO in CO and CO2."""
    assert atmosphere.co_share_pct(atmosphere.equilibrium_co2_co("CoO", 1300 - K)) == pytest.approx(7.3, abs=0.1)


FLAMES = (
    (1000, 0.9, 1.58e6, 2.6e6),
    (1000, 1.02, 26.8, 44.37),
    (1000, 1.05, 10.554, 17.473),
    (1000, 1.1, 5.141, 8.511),
    (1000, 1.2, 2.438, 4.037),
    (1000, 1.5, 0.826, 1.367),
    (700, 1.05, 18.425, 11.433),
    (700, 1.2, 4.2663, 2.6472),
    (900, 1.1, 5.8679, 7.4699),
    (1100, 1.02, 24.41, 50.272),
    (1250, 1.05, 8.6484, 23.205),
    (1250, 2.0, 0.21592, 0.57935),
)


@pytest.mark.parametrize(("c", "phi", "co2_co", "h2o_h2"), FLAMES)
def test_propane_flame_against_a_general_solver(c: float, phi: float, co2_co: float, h2o_h2: float) -> None:
    """cantera 3.2.0, GRI-Mech 3.0, equilibrium at 1 atm of C3H8 in O2 + 3.76 N2; 0.5 %, and 1 % where it is lean."""
    found = atmosphere.flame(c, phi)
    tolerance = 0.01 if phi < 1 else 0.005
    assert found.co2_co == pytest.approx(co2_co, rel=tolerance)
    assert found.h2o_h2 == pytest.approx(h2o_h2, rel=tolerance)
    assert atmosphere.phi_of_ratio(c, found.co2_co) == pytest.approx(phi, abs=1e-6)


def test_lean_flame_keeps_the_oxygen_that_is_left_over() -> None:
    """By hand: 5/0.9 O2 for one C3H8 leaves 0.5556 of 28.44 mol, 1.95 %."""
    assert atmosphere.flame(1000, 0.9).o2_pct == pytest.approx(100 * 0.55556 / 28.4444, rel=1e-4)


def test_limits_of_the_mixture_at_1273_k() -> None:
    """CoO above about 1.04 (± 0.005, crossing of the two tables), NiO about 1.01, Cu2O and Fe2O3 at any richness."""
    limits = {oxide: atmosphere.phi_limit(oxide, 1000) for oxide in PAIRS}
    assert limits["CoO"] == pytest.approx(1.04, abs=0.005)
    assert limits["NiO"] == pytest.approx(1.01, abs=0.005)
    assert limits["Cu2O"] == pytest.approx(1, abs=0.001)
    assert limits["Fe2O3"] == pytest.approx(1, abs=0.001)
    assert limits["MnO"] is None
    assert limits["Cr2O3"] is None


def test_cupric_oxide_gives_off_oxygen_in_air_when_hot_enough() -> None:
    """Common practice: CuO goes to Cu2O in air near 1030 °C."""
    assert atmosphere.phi_limit("CuO", 1060) == 0
    below = atmosphere.phi_limit("CuO", 1000)
    assert below is not None
    assert 0 < below < 1


def test_bound_in_a_spinel_cobalt_is_held_more_firmly() -> None:
    """CoO + Ga2O3 = CoGa2O4, -22.47 - 0.004999·T kJ/mol (cell, abstract read): about phi 1.45 at 1000 °C."""
    bound = atmosphere.bound_phi_limit("CoO", 1000)
    assert bound is not None
    assert bound == ("CoGa2O4", pytest.approx(1.45, abs=0.02))
    assert atmosphere.bound_phi_limit("NiO", 1000) is None


@pytest.mark.parametrize(
    ("oxide", "kelvin", "joules", "tolerance"),
    [("CoO", 1300, -22_470 - 4.999 * 1300, 120), ("MgO", 1000, -23_600 - 5.91 * 1000, 150)],
)
def test_spinel_energies_as_published(oxide: str, kelvin: float, joules: float, tolerance: float) -> None:
    """Cell measurements: CoGa2O4 (abstract read); MgAl2O4, Jacob et al. 1998, J. Am. Ceram. Soc. 81, 209."""
    _, a, b, low, high = SPINELS_J_MOL[oxide]
    assert low <= kelvin <= high
    assert a + b * kelvin == pytest.approx(joules, abs=tolerance)


@pytest.mark.parametrize(
    ("ratio", "answer"), [(30, False), (15, False), (14.0, "too-close"), (13, True), (0.1, True), (0, True)]
)
def test_judged_with_the_uncertainty_of_the_fits(ratio: float, answer: bool | str) -> None:
    assert atmosphere.reduces("CoO", 1000, ratio) == answer


def test_oxygen_pressure_is_the_same_by_both_gases() -> None:
    """The flame's CO2/CO and H2O/H2 must agree on one pressure of O2."""
    found = atmosphere.flame(1100, 1.3)
    by_co = (found.co2_co * math.exp(atmosphere.co_oxidation_j(1100) / R / 1373.15)) ** 2
    by_h2 = (found.h2o_h2 * math.exp(atmosphere.h2_oxidation_j(1100) / R / 1373.15)) ** 2
    assert by_co == pytest.approx(by_h2, rel=1e-9)


def test_fits_meet_at_their_seams_within_their_uncertainty() -> None:
    """Two pieces may stand apart by what each is uncertain by; the potential counts two O atoms."""
    for oxide, pair in PAIRS.items():
        for fit in pair.fits[:-1]:
            below, above = (atmosphere.oxygen_potential_j(oxide, fit.to_k - K + step) for step in (-0.001, 0.001))
            assert below == pytest.approx(above, abs=2.1 * pair.error_j), oxide


def test_above_its_range_a_fit_is_less_certain_and_then_refused() -> None:
    within, beyond = (atmosphere.equilibrium_error("Cu2O", c) for c in (1056, 1058))
    assert beyond > 2.9 * within
    assert atmosphere.is_stretched("Cu2O", 1058)
    with pytest.raises(Refusal) as caught:
        atmosphere.equilibrium_co2_co("Cu2O", 1400)
    assert caught.value.field == "c"


@pytest.mark.parametrize("phi", [0, -1, 3.01])
def test_mixtures_that_are_not_computed(phi: float) -> None:
    with pytest.raises(Refusal) as caught:
        atmosphere.flame(1000, phi)
    assert caught.value.field == "phi"


def test_unknown_oxide_names_the_known_ones() -> None:
    with pytest.raises(Refusal, match="CoO") as caught:
        atmosphere.equilibrium_co2_co("ZnO", 1000)
    assert caught.value.field == "oxide"
