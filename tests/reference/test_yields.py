"""The gas yields of the cards against the formulas, worked out here with periodictable as the independent reader."""

import periodictable
import pytest

from bench.reference import load_library


def mass(formula: str) -> float:
    return float(periodictable.formula(formula).mass)


@pytest.mark.parametrize(
    ("card", "form", "gas", "whole", "mol"),
    [
        ("cobalt-ii-chloride", "hexahydrate", "HCl", "CoCl2(H2O)6", 2),
        ("cobalt-ii-chloride", "anhydrous", "HCl", "CoCl2", 2),
        ("cobalt-ii-nitrate", "", "NO2", "Co(NO3)2(H2O)6", 2),
        ("cobalt-ii-nitrate", "", "H2O", "Co(NO3)2(H2O)6", 6),
        ("cobalt-ii-sulfate", "", "SO3", "CoSO4(H2O)7", 1),
        ("calcium-carbonate", "", "CO2", "CaCO3", 1),
        ("copper-carbonate-basic", "", "CO2", "Cu2CO3(OH)2", 1),
        ("copper-carbonate-basic", "", "H2O", "Cu2CO3(OH)2", 1),
        ("copper-ii-sulfate", "", "SO3", "CuSO4(H2O)5", 1),
        ("iron-ii-sulfate", "heptahydrate", "SO2", "FeSO4(H2O)7", 0.5),
        ("iron-ii-sulfate", "heptahydrate", "SO3", "FeSO4(H2O)7", 0.5),
        ("ammonium-chloride", "", "NH3", "NH4Cl", 1),
        ("ammonium-chloride", "", "HCl", "NH4Cl", 1),
        ("ammonium-dihydrogen-phosphate", "", "NH3", "NH4H2PO4", 1),
        ("potassium-aluminium-sulfate", "", "SO3", "KAl(SO4)2(H2O)12", 1.5),
        ("sodium-fluoride", "", "HF", "NaF", 1),
        ("sulfur", "", "SO2", "S", 1),
        ("borax", "decahydrate", "H2O", "Na2B4O7(H2O)10", 10),
        ("potassium-nitrate", "", "NO2", "KNO3", 1),
        ("zirconium-oxychloride", "", "HCl", "ZrOCl2(H2O)8", 2),
    ],
)
def test_a_yield_is_that_of_the_formula(card: str, form: str, gas: str, whole: str, mol: float) -> None:
    listed = [each for each in load_library().hazards[card].gas_yields if (each.form, each.gas) == (form, gas)]
    assert [each.g_per_g for each in listed if not each.instead] == [
        pytest.approx(mol * mass(gas) / mass(whole), abs=0.0011)
    ]


NOT_THE_SAME_FORM = {
    # The jar's reagent is another form than the card's, or the card counts what only foul air or steam frees.
    ("cobalt-acetate-tetrahydrate", "H2O"),
    ("iron-iii-chloride-hexahydrate", "H2O"),
    ("magnesium-carbonate-basic", "CO2"),
}


def test_no_card_yields_less_than_its_reagent_gives_off() -> None:
    library = load_library()
    for slug, reagent in library.reagents.items():
        card = library.card_for(reagent)
        assert card is not None
        for gas in {step.gas for step in reagent.gas_steps} - {"O2"}:
            mol = sum(step.mol_per_formula for step in reagent.gas_steps if step.gas == gas)
            most = max((each.g_per_g for each in card.gas_yields if each.gas == gas), default=0.0)
            given = mol * mass(gas) / (reagent.molar_mass_g_mol or 1)
            assert most >= given - 0.003 or (slug, gas) in NOT_THE_SAME_FORM, (slug, gas)
