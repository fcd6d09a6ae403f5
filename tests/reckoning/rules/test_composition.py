"""What a formula says, by the charges and groups of general chemistry (any textbook of inorganic chemistry)."""

import pytest

from bench.reckoning.rules.composition import composition
from bench.reckoning.rules.substances import Part, facts_of
from bench.reference.library import Library

CHROMATES = [
    "K2Cr2O7",
    "(NH4)2Cr2O7",
    "N2H8Cr2O7",
    "CrO3",
    "Na2CrO4*10H2O",
    "PbCrO4",
    "ZnCrO4",
    "FeCrO4",
    "CrO2Cl2",
    "K3CrO8",
]
CHROMIC = [
    *(
        "Cr2O3",
        "Cr(OH)3",
        "CrCl3*6H2O",
        "Cr2(SO4)3",
        "KCr(SO4)2*12H2O",
        "CrPO4",
        "LaCrO3",
        "FeCr2O4",
        "MgCr2O4",
        "NiCr2O4",
    ),
    *(
        "CoAlCrO4",
        "ZnFeCrO4",
        "CuCr2O4",
        "ZnAl1.6Cr0.4O4",
        "Ca3Cr2Si3O12",
        "Cr(C2H3O2)3",
        "Cr2(C2O4)3",
        "Cr(HCOO)3",
        "CrF3",
    ),
    *("(Fe0.2Cr0.8)2O3", "Co0.5Zn0.5CrAlO4", "Ti0.85Cr0.05Nb0.1O2"),
]
NITRATES = [
    "KNO3",
    "Bi(NO3)3*5H2O",
    "NH4NO3",
    "AgNO3",
    "HNO3",
    "NaNO2",
    "BiONO3",
    "AlN3O9",
    "Bi5O(OH)9(NO3)4",
    "H4N2O3",
]
NO_NITRATE = [
    "NH4Cl",
    "(NH4)2HPO4",
    "NH4VO3",
    "Si3N4",
    "BN",
    "K4Fe(CN)6*3H2O",
    "CO(NH2)2",
    "NH2CH2COOH",
    "N2H9PO4",
    "C2H5NO2",
]
FUELS = [
    *(
        "C",
        "S",
        "P",
        "Al",
        "Zn",
        "Si",
        "FeS2",
        "ZnS",
        "CoC2O4*2H2O",
        "Co(CH3COO)2*4H2O",
        "C6H12O6",
        "C6H8O7",
        "CH4N2O",
        "C3H8O",
    ),
    *("CaC2", "NaH", "LiAlH4", "Na2S2O3*5H2O", "KCN", "HCOONa", "Na2S*9H2O", "C20H30O2"),
]
NO_FUEL = [
    *(
        "CaCO3",
        "NaHCO3",
        "Cu2CO3(OH)2",
        "Bi2O2CO3",
        "(NH4)2CO3",
        "CaMgC2O6",
        "CCaO3",
        "CH2Cu2O5",
        "SiC",
        "B4C",
        "SO3",
        "K2SO4",
    ),
    *("FeSO4*7H2O", "Al2O3", "KNO3", "P2O5", "H3PO4", "H2O", "KAl(SO4)2*12H2O", "FeO4S"),
]
OXIDISERS = [
    "KMnO4",
    "KClO3",
    "NaClO4",
    "K2S2O8",
    "(NH4)2S2O8",
    "Na2O2",
    "BaO2",
    "H2O2",
    "NaBO3*4H2O",
    "KBrO3",
    "KIO4",
    "Na2CO3*1.5H2O2",
]
NO_OXIDISER = [
    *(
        "MnO2",
        "Mn2O3",
        "Mn3O4",
        "MnCO3",
        "MnSO4*H2O",
        "YIn0.8Mn0.2O3",
        "MnFe2O4",
        "SrMn0.5Fe0.5O3",
        "NH4MnP2O7",
        "Al1.94Mn0.06O3",
    ),
    *(
        "KNO3",
        "Pr6O11",
        "Co3O4",
        "Fe3O4",
        "Bi2O3",
        "Ca3Bi7.44Y0.56O15",
        "Sb2O5",
        "CeO2",
        "PbO2",
        "NaCl",
        "BiOCl",
        "KI",
        "LiCoO2",
    ),
]


def marks(formula: str) -> frozenset[str]:
    """The marks of a formula that can be read."""
    read = composition(formula)
    assert read is not None, formula
    return read.marks


@pytest.mark.parametrize(
    ("mark", "yes", "no"),
    [
        ("chromate", CHROMATES, CHROMIC),
        ("nitrate", NITRATES, NO_NITRATE),
        ("fuel_material", FUELS, NO_FUEL),
        ("strong_oxidiser", OXIDISERS, NO_OXIDISER),
        (
            "ammonium",
            ["NH4Cl", "(NH4)2HPO4", "NH4NO3", "H4NO3V", "NH4Al(SO4)2*12H2O"],
            ["KNO3", "CO(NH2)2", "K4Fe(CN)6", "BN"],
        ),
        ("sulfate", ["FeSO4*7H2O", "BaSO4", "Al2S3O12", "K2S2O7", "KAl(SO4)2*12H2O"], ["FeS", "S", "Na2S2O3", "KSCN"]),
        (
            "sulfide",
            ["FeS", "Sb2S3", "Na2S*9H2O", "Na6.9Al5.6Si6.4O24S4.2"],
            ["FeSO4", "S", "BaMn0.15S0.85O4", "FeO4S"],
        ),
        ("chloride", ["CoCl2", "NH4Cl", "ZrOCl2*8H2O", "BiOCl", "Cu2Cl(OH)3"], ["KClO3", "NaClO4", "ClKO3", "Co"]),
        ("hypochlorite", ["NaClO", "NaOCl", "Ca(ClO)2"], ["KClO3", "NaCl", "BiOCl", "ZrOCl2"]),
        ("fluoride", ["NaF", "CaF2", "Na3AlF6", "AlF3"], ["FeO", "NaCl"]),
        ("borate_hydrate", ["H3BO3", "Na2B4O7*10H2O"], ["B2O3", "Na2B4O7", "BN"]),
        ("alum", ["KAl(SO4)2*12H2O", "NH4Al(SO4)2*12H2O"], ["Al2(SO4)3*18H2O", "KCr(SO4)2*12H2O", "K2SO4"]),
        ("ammonium_phosphate", ["NH4H2PO4", "(NH4)2HPO4"], ["Co3(PO4)2", "NH4Cl", "H3PO4"]),
        ("metal_powder", ["Al", "Mg", "FeSi", "Zn"], ["Al2O3", "C", "S", "SiC"]),
        ("reducible_oxide", ["Fe2O3", "CuO", "SnO2", "CoAl2O4"], ["Al2O3", "MgO", "SiO2", "ZrO2", "FeCl3*6H2O", "Fe"]),
        ("water", ["H2O"], ["H2O2", "CuSO4*5H2O"]),
    ],
)
def test_marks(mark: str, yes: list[str], no: list[str]) -> None:
    assert [formula for formula in yes if mark not in marks(formula)] == [], f"{mark} is missed"
    assert [formula for formula in no if mark in marks(formula)] == [], f"{mark} is seen where there is none"


@pytest.mark.parametrize(
    ("formula", "anions"),
    [
        ("K4Fe(CN)6*3H2O", {"CN", "Fe(CN)6"}),
        ("KSCN", {"CN", "SCN"}),
        ("NaCN", {"CN"}),
        ("C6FeK4N6", {"CN", "Fe(CN)6"}),
        ("KClO3", {"ClO3"}),
        ("Mg(ClO4)2", {"ClO4"}),
        ("CaCO3", set()),
        ("KNO3", set()),
        ("BN", set()),
    ],
)
def test_anions(formula: str, anions: set[str]) -> None:
    read = composition(formula)
    assert read is not None and read.anions == anions


def test_every_target_but_the_refused_and_every_safe_reagent_is_free_of_false_alarm(library: Library) -> None:
    """No target of the library is a chromate, and of the reagents only the two dichromates are."""
    assert [each.slug for each in library.targets.values() if "chromate" in marks(each.formula)] == []
    found = {each.slug for each in library.reagents.values() if "chromate" in marks(each.formula)}
    assert found == {"potassium-dichromate", "ammonium-dichromate"}


def test_every_reagent_named_nitrate_is_one_and_no_other(library: Library) -> None:
    said = {slug for slug in library.reagents if "nitrate" in slug}
    assert {slug for slug, each in library.reagents.items() if "nitrate" in marks(each.formula)} == said


@pytest.mark.parametrize(
    ("name", "mark", "holds"),
    [
        ("charcoal", "fuel_material", True),
        ("icing sugar", "fuel_material", True),
        ("wheat flour", "fuel_material", True),
        ("zircon flour", "fuel_material", False),
        ("silica flour", "fuel_material", False),
        ("wood ash", "fuel_material", False),
        ("sodium citrate", "fuel_material", True),
        ("titanium dioxide", "fuel_material", False),
        ("silica gel for chromatography", "chromate", False),
        ("lead chromate", "chromate", True),
        ("DICHROMATE OF POTASH", "chromate", True),
        ("cobalt chromite", "chromate", False),
        ("alumina, chromate-free", "chromate", False),
        ("magnesium powder", "metal_powder", True),
        ("aluminium foil", "metal_powder", False),
        ("household bleach", "hypochlorite", True),
        ("ultramarine, unwashed", "sulfide", True),
        ("copper sulphide", "sulfide", True),
        ("copper sulphate", "sulfide", False),
        ("isopropanol", "flammable_liquid", True),
        ("linseed oil", "flammable_liquid", False),
        ("walnut oil", "drying_oil", True),
        ("strontium nitrate, technical", "nitrate", True),
        ("saltpetre", "nitrate", True),
        ("boron nitride", "nitrate", False),
        ("barium peroxide", "strong_oxidiser", True),
        ("cobalt chloride, old jar", "chloride", True),
        ("alumina", "sulfate", False),
        ("zinc oxide (chloride 40 ppm)", "chloride", False),
        ("silica, nitrate-free", "nitrate", False),
        ("salt with nitrate 10 %", "nitrate", True),
        ("green vitriol", "sulfate", True),
    ],
)
def test_names(name: str, mark: str, holds: bool) -> None:
    assert (mark in facts_of(None, name).marks) is holds


@pytest.mark.parametrize(
    ("name", "anions"),
    [
        ("potassium chlorate", {"ClO3"}),
        ("ammonium perchlorate", {"ClO4"}),
        ("sodium hypochlorite", set()),
        ("yellow prussiate of potash", {"CN"}),
        ("potassium thiocyanate", {"SCN"}),
        ("sodium chloride", set()),
    ],
)
def test_anions_by_name(name: str, anions: set[str]) -> None:
    assert facts_of(None, name).anions == anions


def test_a_formula_knows_its_salts_better_than_a_name() -> None:
    assert "nitrate" not in facts_of("CoCO3", "cobalt carbonate, from the nitrate").marks


def test_a_name_is_heard_beside_a_formula() -> None:
    assert "fuel_material" in facts_of("Co(NO3)2", "cobalt nitrate in alcohol").marks
    assert "metal_powder" not in facts_of("Cu", "copper wire").marks


def test_what_cannot_be_read_is_said_so() -> None:
    assert not facts_of(None, "alkaline frit").read
    assert not facts_of("Xy2O", "slip").read
    assert facts_of(None, "distilled water").read and facts_of(None, "clean sand").read
    assert "flammable_liquid" in facts_of(None, "thinner no. 5", "liquid").marks
    assert "fuel_material" in facts_of(None, "binder no. 5", "binder").marks


def test_a_part_has_a_role_and_a_label() -> None:
    assert Part("KNO3", "saltpetre").label == "saltpetre (KNO3)"
    assert Part("KNO3", "KNO3").label == "KNO3"
    with pytest.raises(ValueError, match="role"):
        Part("KNO3", "saltpetre", role="garnish")
