"""The most of a gas by the atoms that a substance holds, against arithmetic with the published atomic weights.

Standard atomic weights, abridged to five figures: CIAAW, Technical report 2021 (Pure Appl. Chem. 94, 573, 2022).
"""

import pytest

from bench.reference import load_library
from bench.science.formulas import parse
from bench.science.gas_bounds import (
    ALTERNATIVE,
    AROUND,
    CHARCOAL,
    FUME,
    HOT_OXIDE,
    SILICA,
    around,
    bounds,
    met,
)

WEIGHT = {
    "H": 1.0080, "Li": 6.94, "B": 10.81, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998, "Na": 22.990, "Mg": 24.305,
    "Al": 26.982, "Si": 28.085, "P": 30.974, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "V": 50.942,
    "Cr": 51.996, "Mn": 54.938, "Fe": 55.845, "Co": 58.933, "Ni": 58.693, "Cu": 63.546, "Zn": 65.38, "Br": 79.904,
    "Zr": 91.222, "Mo": 95.95, "Sn": 118.71, "Sb": 121.76, "Ba": 137.33, "Pb": 207.2, "Bi": 208.98,
}  # fmt: skip
RULES = load_library().gas_rules


def mass(atoms: str) -> float:
    """`Co 1 C 2` in grams per mole."""
    words = atoms.split()
    return sum(WEIGHT[symbol] * float(count) for symbol, count in zip(words[::2], words[1::2], strict=True))


HF, HCL, HBR, CO, SO3 = "H 1 F 1", "H 1 Cl 1", "H 1 Br 1", "C 1 O 1", "S 1 O 3"


@pytest.mark.parametrize(
    ("formula", "atoms", "gas", "times", "of"),
    [
        ("NaF", "Na 1 F 1", "HF", 1, HF),
        ("LiF", "Li 1 F 1", "HF", 1, HF),
        ("CaF2", "Ca 1 F 2", "HF", 2, HF),
        ("MgF2", "Mg 1 F 2", "HF", 2, HF),
        ("KF", "K 1 F 1", "HF", 1, HF),
        ("AlF3", "Al 1 F 3", "HF", 3, HF),
        ("Na3AlF6", "Na 3 Al 1 F 6", "HF", 6, HF),
        ("Na2SiF6", "Na 2 Si 1 F 6", "HF", 6, HF),
        ("NH4HF2", "N 1 H 5 F 2", "HF", 2, HF),
        ("AlF3*3H2O", "Al 1 F 3 H 6 O 3", "HF", 3, HF),
        ("CoCl2*6H2O", "Co 1 Cl 2 H 12 O 6", "HCl", 2, HCL),
        ("NaCl", "Na 1 Cl 1", "HCl", 1, HCL),
        ("CaCl2*2H2O", "Ca 1 Cl 2 H 4 O 2", "HCl", 2, HCL),
        ("ZrOCl2*8H2O", "Zr 1 Cl 2 H 16 O 9", "HCl", 2, HCL),
        ("FeCl3*6H2O", "Fe 1 Cl 3 H 12 O 6", "Cl2", 1.5, "Cl 2"),
        ("KBr", "K 1 Br 1", "HBr", 1, HBR),
        ("ZnBr2", "Zn 1 Br 2", "HBr", 2, HBR),
        ("C", "C 1", "CO", 1, CO),
        ("C20H30O2", "C 20 H 30 O 2", "CO", 20, CO),
        ("Co(CH3COO)2*4H2O", "Co 1 C 4 H 14 O 8", "CO", 4, CO),
        ("Zn(CH3COO)2", "Zn 1 C 4 H 6 O 4", "CH3COCH3", 1, "C 3 H 6 O 1"),
        ("Zn(C2H3O2)2", "Zn 1 C 4 H 6 O 4", "CH3COCH3", 1, "C 3 H 6 O 1"),
        ("CaCO3", "Ca 1 C 1 O 3", "CO", 1, CO),
        ("Mg5(CO3)4(OH)2*5H2O", "Mg 5 C 4 H 12 O 19", "CO", 4, CO),
        ("2CoCO3*3Co(OH)2", "Co 5 C 2 H 6 O 12", "CO", 2, CO),
        ("CuSO4*5H2O", "Cu 1 S 1 H 10 O 9", "SO3", 1, SO3),
        ("KAl(SO4)2*12H2O", "K 1 Al 1 S 2 H 24 O 20", "SO3", 2, SO3),
        ("FeSO4*7H2O", "Fe 1 S 1 H 14 O 11", "SO2", 1, "S 1 O 2"),
        ("Na2SO4", "Na 2 S 1 O 4", "H2S", 1, "H 2 S 1"),
        ("KNO3", "K 1 N 1 O 3", "NO2", 1, "N 1 O 2"),
        ("Co(NO3)2*6H2O", "Co 1 N 2 H 12 O 12", "NO", 2, "N 1 O 1"),
        ("Fe(NO3)3*9H2O", "Fe 1 N 3 H 18 O 18", "HNO3", 3, "H 1 N 1 O 3"),
        ("NH4Cl", "N 1 H 4 Cl 1", "NO2", 1, "N 1 O 2"),
        ("V2O5", "V 2 O 5", "V2O5", 1, "V 2 O 5"),
        ("MoO3", "Mo 1 O 3", "MoO3", 1, "Mo 1 O 3"),
        ("Cr2O3", "Cr 2 O 3", "CrO3", 2, "Cr 1 O 3"),
        ("Zn5(CO3)2(OH)6", "Zn 5 C 2 H 6 O 12", "ZnO", 5, "Zn 1 O 1"),
        ("NaSb(OH)6", "Na 1 Sb 1 H 6 O 6", "Sb2O3", 0.5, "Sb 2 O 3"),
        ("Na2B4O7*10H2O", "Na 2 B 4 H 20 O 17", "H3BO3", 4, "H 3 B 1 O 3"),
        ("NiO", "Ni 1 O 1", "Ni(CO)4", 1, "Ni 1 C 4 O 4"),
    ],
)
def test_grams_of_gas_for_a_gram(formula: str, atoms: str, gas: str, times: float, of: str) -> None:
    read = parse(formula)
    found = [each.g for each in bounds(read, RULES) if each.rule.gas == gas]
    assert found[0] / read.molar_mass_g_mol == pytest.approx(times * mass(of) / mass(atoms), rel=2e-4)


def test_an_oxalate_gives_one_carbon_as_monoxide_alone_and_both_with_charcoal() -> None:
    """CoC2O4·2H2O: 28.01 ÷ 182.98 = 0.153 g a gram alone, as the hazard card lists; twice that with charcoal."""
    read = parse("CoC2O4*2H2O")
    found = {each.rule.context: each.g / read.molar_mass_g_mol for each in bounds(read, RULES)}
    assert found == {"heat alone": pytest.approx(0.1531, abs=1e-4), "carbon": pytest.approx(0.3061, abs=1e-4)}


@pytest.mark.parametrize("formula", ["Al2O3", "SiO2", "TiO2", "Fe2O3", "Co3O4", "CoAl2O4", "Y2O3", "CaO"])
def test_an_oxide_of_nothing_that_flies_gives_nothing(formula: str) -> None:
    assert bounds(parse(formula), RULES) == ()


def test_no_gas_holds_more_of_an_element_than_its_substance() -> None:
    """What leaves as gas comes out of the substance; oxygen, hydrogen, silicon of SiF4 and the CO of nickel come from
    beside it."""
    for row in load_library().reagents.values():
        read = parse(row.formula)
        for each in bounds(read, RULES):
            beside = {"O", "H"} | ({"Si"} if each.rule.gas == "SiF4" else set())
            beside |= {"C"} if each.rule.gas == "Ni(CO)4" else set()
            for symbol, count in parse(each.rule.gas).numbers.items():
                if symbol not in beside:
                    assert each.mol * count <= read.numbers[symbol] * (1 + 1e-6), (row.slug, each.rule.gas)


def test_alternatives_and_fumes_share_the_element_of_what_they_replace() -> None:
    for formula in ("CoCl2*6H2O", "CuSO4*5H2O", "Zn(NO3)2*6H2O", "NaF"):
        found = bounds(parse(formula), RULES)
        mains = {each.rule.counts_once_in for each in found if each.rule.kind not in (ALTERNATIVE, FUME)}
        assert {each.rule.counts_once_in for each in found if each.rule.kind == ALTERNATIVE} <= mains


def test_what_lies_around() -> None:
    assert around([parse("C"), parse("Al2O3")]) == {CHARCOAL}
    assert around([parse("C20H30O2"), parse("Al2Si2O5(OH)4"), parse("Co3O4")]) == set(AROUND)
    assert around([parse("CaCO3"), parse("CoC2O4*2H2O"), parse("MnCO3")]) == {HOT_OXIDE}


@pytest.mark.parametrize(
    ("context", "there", "holds"),
    [
        ("steam or silica", [], True), ("short of air", [], True), ("carbon", [], False), ("carbon", [CHARCOAL], True),
        ("silica or carbon", [CHARCOAL], True), ("carbon and silica", [CHARCOAL], False),
        ("carbon and silica", [CHARCOAL, SILICA], True), ("steam and silica", [SILICA], True),
        ("acid", [*AROUND], False),
    ],
)  # fmt: skip
def test_a_context_is_met_by_what_is_there(context: str, there: list[str], holds: bool) -> None:
    assert met(context, frozenset(there)) is holds
