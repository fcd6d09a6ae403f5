"""Mass losses, gas and left-overs against published figures; and nothing is ever lost on the way."""

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.science.charge import Line, grams, outcome, supplied
from bench.science.evolution import GAS_G_MOL, GASES, Choices, atoms_in_gas, from_steps, general
from bench.science.evolution import Step as GasStep
from bench.science.formulas import parse
from tests.science.tables import rows

ALL_CHOICES = [Choices(), Choices("Cl2", "N2", "SO2"), Choices("HCl", "NO2", "SO3")]
SUBSTANCES = [
    "CoCO3", "2CoCO3*3Co(OH)2", "CoCl2*6H2O", "AlCl3", "Co(NO3)2*6H2O", "CoC2O4*2H2O", "Al(OH)3", "Fe", "CuS", "Au",
    "NH4Al(SO4)2*12H2O", "KAl(SO4)2*12H2O", "NaCl", "CaF2", "Na2CO3", "NH4H2PO4", "S", "C", "Sb2O3", "MnO2", "Na3AlF6",
    "Na2SiF6", "CaCl2*2H2O", "Cr(CH3COO)3", "NH4NO3", "C2H5NO2", "KI", "BaSO4", "ZrOCl2*8H2O", "NH4HF2", "NaBr",
    "SiO2*0.3H2O",
]  # fmt: skip


def line(formula: str, g: float, fate: str = "reacts", purity: float = 1.0, choices: Choices | None = None) -> Line:
    read = parse(formula)
    evolution = general(read, choices or Choices())
    return Line(formula, g, purity, read.numbers, read.molar_mass_g_mol, evolution, fate)


def fired_g(reagent: str, target: str) -> float:
    """What 100 g of a reagent leave when all of its metal becomes the target."""
    one = line(reagent, 100.0)
    wanted = parse(target).numbers
    metal = next(symbol for symbol in wanted if symbol not in ("O", "H", "C", "S"))
    result = outcome([one], wanted, supplied([one])[metal] / wanted[metal])
    assert sum(result.gas_g.values()) == pytest.approx(result.charge_g - result.fired_g, abs=1e-9)
    return result.fired_g


@pytest.mark.parametrize("row", rows("mass_losses.csv"), ids=lambda row: f"{row['from']} to {row['to']}")
def test_published_mass_loss(row: dict[str, str]) -> None:
    start = 100.0 if row["from"] == row["reagent"] else fired_g(row["reagent"], row["from"])
    loss = start - fired_g(row["reagent"], row["to"])
    assert abs(loss - float(row["loss_pct_of_reagent"])) <= float(row["tolerance_pct"])


def test_oxidation_gains_mass() -> None:
    """Rutile from TiO2, Cr2O3 and Sb2O3 takes up oxygen: 1.42 % (stoichiometry, computed with two solvers)."""
    wanted = parse("Ti0.85Cr0.075Sb0.075O2")
    mol = 50 / wanted.molar_mass_g_mol
    lines = [line("TiO2", 39.5986), line("Cr2O3", 3.3247), line("Sb2O3", 6.3768)]
    result = outcome(lines, wanted.numbers, mol * 0.99999)
    assert 100 * (result.fired_g - result.charge_g) / result.charge_g == pytest.approx(1.42, abs=0.01)
    assert result.gas_mol["O2"] < 0


def test_the_cobalt_blue_recipe_of_one_gram_chloride_and_five_of_aluminium_chloride() -> None:
    """webexhibits.org, pigments, cobalt blue (recipe read; yield and excess computed)."""
    lines = [line("CoCl2*6H2O", 1.0), line("AlCl3", 5.0)]
    brought = supplied(lines)
    result = outcome(lines, parse("CoAl2O4").numbers, brought["Co"])
    assert result.target_g == pytest.approx(0.7435, abs=0.0005)
    assert [part.formula for part in result.left_over] == ["Al2O3"]
    excess_g = sum(grams(part.atoms) * part.mol for part in result.left_over)
    assert excess_g == pytest.approx(1.4832, abs=0.001)


def test_carbon_dioxide_of_a_fifth_of_a_mole() -> None:
    result = outcome([line("CaCO3", 20.0174)], parse("CaO").numbers, 20.0174 / parse("CaCO3").molar_mass_g_mol)
    assert result.gas_g["CO2"] == pytest.approx(8.802, abs=0.005)


def test_what_washes_out_is_no_part_of_the_fired_mass() -> None:
    lines = [line("ZnO", 5.7), line("CoO", 1.5), line("KCl", 20.0, "washed-out")]
    result = outcome(lines, parse("Zn0.78Co0.22O").numbers, 0.08)
    assert result.fired_g == pytest.approx(7.2)
    assert result.salt_g == pytest.approx(20.0)
    assert result.salt_volatile


def test_what_stays_is_fired_mass_beside_the_target() -> None:
    result = outcome([line("ZnO", 5.0), line("BaSO4", 2.0, "stays")], parse("ZnO").numbers, 0.01)
    assert result.fired_g == pytest.approx(7.0)
    assert result.target_g < 1


def test_impurities_stay() -> None:
    result = outcome([line("CaCO3", 10.0, purity=0.9)], parse("CaO").numbers, 9 / parse("CaCO3").molar_mass_g_mol)
    assert result.impurity_g == pytest.approx(1.0)
    assert result.fired_g == pytest.approx(1.0 + 9 * 0.56029, abs=1e-3)


def test_alkali_from_alum_stays_as_sulfate_that_washes_out() -> None:
    one = line("KAl(SO4)2*12H2O", 10.0)
    result = outcome([one], parse("Al2O3").numbers, one.mol / 2)
    assert [(part.formula, part.soluble) for part in result.left_over] == [("K2SO4", True)]
    assert result.washed_g == pytest.approx(one.mol / 2 * parse("Al2O3").molar_mass_g_mol)


def test_fluoride_without_a_partner_leaves() -> None:
    one = line("CaF2", 7.8)
    lines = [one, line("SiO2", 20.0)]
    result = outcome(lines, parse("CaSiO3").numbers, one.mol)
    assert result.gas_mol["HF"] == pytest.approx(2 * one.mol)
    assert result.gas_mol["H2O"] == pytest.approx(-one.mol)


@pytest.mark.parametrize("text", SUBSTANCES)
@pytest.mark.parametrize("choices", ALL_CHOICES, ids=["usual", "oxidised", "wet"])
def test_the_general_rule_closes_every_element(text: str, choices: Choices) -> None:
    formula = parse(text)
    evolution = general(formula, choices)
    assert evolution.assumed
    assert_closed(formula.numbers, evolution.residue, evolution.gas_mol)


def assert_closed(atoms: Mapping[str, float], residue: Mapping[str, float], gas_mol: Mapping[str, float]) -> None:
    for symbol in {*atoms, *residue, "O", "H"}:
        left = residue.get(symbol, 0.0) + atoms_in_gas(gas_mol, symbol)
        assert left == pytest.approx(atoms.get(symbol, 0.0), abs=1e-12)
    assert all(count >= 0 for count in residue.values())


def test_the_general_rule_names_the_gases_that_are_usual() -> None:
    assert general(parse("Co(NO3)2"), Choices()).gas_mol == pytest.approx({"NO2": 2, "O2": 0.5})
    assert general(parse("NH4VO3"), Choices()).gas_mol == pytest.approx({"NH3": 1, "H2O": 0.5})
    assert general(parse("NH4NO3"), Choices()).gas_mol == pytest.approx({"NH3": 1, "NO2": 1, "H2O": 0.5, "O2": 0.25})
    assert general(parse("ZnSO4*H2O"), Choices()).gas_mol == pytest.approx({"SO3": 1, "H2O": 1})
    assert general(parse("CuS"), Choices()).gas_mol == pytest.approx({"SO2": 1, "O2": -1.5})
    assert general(parse("NaCl"), Choices()).gas_mol == {}
    assert general(parse("Na2SO4"), Choices()).gas_mol == {}


def test_chosen_gases_stand_for_the_same_atoms() -> None:
    usual = general(parse("CoCl2*6H2O"), Choices())
    chosen = general(parse("CoCl2*6H2O"), Choices(chlorine="Cl2"))
    assert usual.gas_mol["HCl"] == pytest.approx(2 * chosen.gas_mol["Cl2"])
    assert "HCl" not in chosen.gas_mol


def test_known_steps_are_fitted_to_another_hydrate() -> None:
    steps = [GasStep("H2O", 4, 60, 150), GasStep("H2O", 1, 200, 250), GasStep("SO3", 1, 600, 750)]
    residue = {"Cu": 1.0, "O": 1.0}
    fitted = from_steps(parse("CuSO4*H2O").numbers, residue, steps, Choices())
    assert [(step.gas, step.mol, step.from_c) for step in fitted.steps] == [("H2O", 1.0, 200), ("SO3", 1.0, 600)]


@given(
    st.lists(
        st.tuples(
            st.sampled_from(SUBSTANCES),
            st.floats(0.001, 1000),
            st.floats(0.01, 1),
            st.sampled_from(["reacts", "stays"]),
        ),
        min_size=1,
        max_size=6,
    ),
    st.sampled_from(ALL_CHOICES),
    st.floats(0, 1),
)
def test_mass_is_conserved(parts: list[tuple[str, float, float, str]], choices: Choices, much: float) -> None:
    """Charge = fired + evolved - taken up, to 1e-9 of the charge, for any mixture, as much target as may form."""
    lines = [line(text, g, fate, purity, choices) for text, g, purity, fate in parts]
    brought = supplied(lines)
    wanted = parse("CoAl2O4").numbers
    most = min(brought.get(symbol, 0.0) / wanted[symbol] for symbol in ("Co", "Al"))
    result = outcome(lines, wanted, much * most)
    assert sum(result.gas_g.values()) == pytest.approx(result.charge_g - result.fired_g, abs=1e-9 * result.charge_g)
    assert result.fired_g >= result.target_g - 1e-9 * result.charge_g
    assert result.washed_g <= result.fired_g + 1e-12


def test_gas_masses_follow_from_the_weights() -> None:
    assert GAS_G_MOL["HCl"] == pytest.approx(36.458)
    assert GAS_G_MOL["NH3"] == pytest.approx(17.031)
    assert set(GAS_G_MOL) == set(GASES)
