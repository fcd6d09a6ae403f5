"""Figures that were read in a named source, retyped here from it and compared with the rows.

Each line names the source as it stands in the list of sources; a temperature printed in kelvin is turned to °C there.
"""

import pytest

from bench.reference import load_library
from bench.reference.provenance import basis_of, claims_for, is_from_memory

TARGETS = [
    # target, field, value, key of the source, words of its title
    ("cobalt-aluminate-blue", "lab", (77.7, -7.3, -25.3), "yin-fr", "patent tint CIELAB"),
    ("cobalt-aluminate-blue", "soak_low_c", 1000, "lam-then", "Thenards Blau"),
    ("cobalt-zinc-green", "x_high", 0.3, "rin-w", "cobalt green"),
    ("cobalt-zinc-green", "soak_low_c", 1000, "lam-rin", "Rinmans Gruen"),
    ("cobalt-violet-phosphate", "decomposes_above_c", 1160, "tena22", "violet Co3P2O8"),
    ("cobalt-magnesium-violet", "soak_high_c", 1200, "tena22", "violet Co3P2O8"),
    ("barium-zinc-cobalt-violet", "x_high", 0.5, "tsuki18", "RSC Adv. 2018"),
    ("egyptian-blue", "decomposes_above_c", 1020, "eb-dec", "cuprorivaite"),
    ("han-blue", "decomposes_above_c", 1050, "han-enc", "barium copper silicates"),
    ("han-purple", "soak_low_c", 900, "han-enc2", "barium copper silicate"),
    ("manganese-ferrite-black", "soak_low_c", 800, "mnfe-pat", "oxides of iron and manganese"),
    ("manganese-ferrite-black", "ci_constitution_no", "77494", "mnfe-cl", "Spinel black"),
    ("chrome-tin-pink", "x_high", 0.02, "mal08", "malayaite"),
    ("vanadium-zircon-blue", "soak_low_c", 750, "vzr-p", "ZrSiO4"),
    ("praseodymium-zircon-yellow", "soak_low_c", 860, "pr-chen", "LiF"),
    ("chrome-antimony-titanium-buff", "x_low", 0.03, "rut-fe", "doped rutile"),
    ("chrome-antimony-titanium-buff", "x_high", 0.25, "rut-fe", "doped rutile"),
    ("chrome-niobium-titanium-yellow", "soak_low_c", 1050, "rut-v", "Cr and Nb"),
    ("chrome-niobium-titanium-yellow", "x_high", 0.10, "rut-v", "Cr and Nb"),
    ("tin-vanadium-yellow", "lab", (78.82, -4.88, 59.25), "snv", "SnO2-TiO2-V2O5"),
    ("tin-vanadium-yellow", "soak_high_c", 1300, "snv", "SnO2-TiO2-V2O5"),
    ("zirconium-vanadium-yellow", "soak_low_c", 1050, "zrv", "zirconium-vanadium pigments"),
    ("zirconium-vanadium-yellow", "soak_high_c", 1325, "zrv", "zirconium-vanadium pigments"),
    ("scandium-iron-yellow", "lab", (77.3, -0.5, 51.0), "scfe", "Sc2-xFexO3"),
    ("pseudobrookite-yellow-brown", "x_high", 15, "tife-pat", "titanium-iron"),
    ("iron-red-from-copperas", "soak_low_c", 650, "iv24", "iron red colour"),
    ("iron-red-from-goethite", "soak_low_c", 300, "goe", "yellow and red iron oxide"),
    ("ultramarine-blue", "density_g_cm3", 2.34, "gs-tab", "physical properties of pigments"),
    ("ultramarine-blue", "cooling_mode", "controlled", "um13", "synthetic ultramarine"),
    ("yinmn-blue", "lab", (77.6, -2.7, -21.4), "yin-fr", "patent tint CIELAB"),
    ("cobalt-magnesium-pink", "soak_low_c", 1200, "oht77", "CoO-MgO-ZnO"),
    ("cobalt-magnesium-pink", "soak_high_c", 1500, "oht77", "CoO-MgO-ZnO"),
    ("manganese-violet", "decomposes_above_c", 340, "mnv-en", "manganese violet"),
    ("manganese-violet", "soak_high_c", 300, "mnv-cl", "Manganese violet"),
    ("cobalt-willemite-blue", "lab", (37.03, 36.41, -60.03), "hwang10", "willemite blue"),
    ("calcium-bismuth-yttrium-red", "soak_high_c", 800, "cabi", "red pigments"),
    ("manganese-blue", "soak_low_c", 750, "mnblue", "Painting Materials, p. 128"),
]


@pytest.mark.parametrize(("slug", "field", "value", "key", "words"), TARGETS)
def test_a_target_holds_what_was_read(slug: str, field: str, value: object, key: str, words: str) -> None:
    library = load_library()
    target = library.targets[slug]
    assert getattr(target, field) == value
    stored = "lab_l" if field == "lab" else field
    assert basis_of(target, stored) == "read"
    assert not is_from_memory(target, stored)
    assert any(key in claim.sources for claim in claims_for(target, stored))
    assert words in library.sources[key].title


REAGENT_STEPS = [
    # reagent, gas, a temperature that was read and must lie in the step, in °C, key of the source, words of its title
    ("cobalt-ii-iii-oxide", "O2", 927, "co3o4", "Co3O4 decomposition"),
    ("calcium-carbonate", "CO2", 886, "dgco3", "Gibbs energies"),
    ("manganese-carbonate", "CO2", 340, "dgco3", "Gibbs energies"),
    ("manganese-dioxide", "O2", 843 - 273.15, "mnox", "decomposition of MnO2"),
    ("manganese-iii-oxide", "O2", 1263 - 273.15, "mnox", "decomposition of MnO2"),
    ("copper-carbonate-basic", "CO2", 325, "mala", "basic copper carbonate"),
    ("copper-carbonate-basic", "CO2", 430, "mala", "basic copper carbonate"),
    ("zinc-carbonate-basic", "CO2", 200, "znco3", "zinc carbonate hydroxide"),
    ("ammonium-metavanadate", "NH3", 225, "amv", "ammonium metavanadate"),
    ("antimony-trioxide", "O2", 510, "sbox", "antimony oxides"),
    ("iron-ii-sulfate-heptahydrate", "SO2", 810 - 273.15, "fe2so4", "iron(III) sulfate"),
    ("iron-ii-sulfate-heptahydrate", "H2O", 100, "iv-ng", "iron sulfate"),
]


@pytest.mark.parametrize(("slug", "gas", "at_c", "key", "words"), REAGENT_STEPS)
def test_a_reagent_gives_off_its_gas_where_it_was_read(slug: str, gas: str, at_c: float, key: str, words: str) -> None:
    library = load_library()
    reagent = library.reagents[slug]
    assert any(step.gas == gas and step.from_c <= at_c <= step.to_c for step in reagent.gas_steps)
    assert any(key in claim.sources for claim in claims_for(reagent, "gas_steps"))
    assert words in library.sources[key].title


REAGENTS = [
    ("cobalt-ii-carbonate", "assay_low_pct", 45, "coco3-is"),
    ("alpha-alumina", "bulk_density_low_g_ml", 0.56, "bulk-a"),
    ("borax-decahydrate", "bulk_density_high_g_ml", 0.88, "bulk-a"),
    ("charcoal", "bulk_density_high_g_ml", 0.61, "bulk-b"),
    ("zinc-carbonate-basic", "formula", "Zn5(CO3)2(OH)6", "koga"),
    ("copper-carbonate-basic", "formula", "Cu2CO3(OH)2", "koga"),
]


@pytest.mark.parametrize(("slug", "field", "value", "key"), REAGENTS)
def test_a_reagent_holds_what_was_read(slug: str, field: str, value: object, key: str) -> None:
    reagent = load_library().reagents[slug]
    assert getattr(reagent, field) == value
    assert basis_of(reagent, field) == "read"
    assert any(key in claim.sources for claim in claims_for(reagent, field))


LIMITS = [
    # gas, body, period, number, unit, key of the source that was read
    ("HCl", "NIOSH IDLH", "danger", 45, "ppm", "IDLH-HCl"),
    ("HCl", "OSHA PEL", "ceiling", 5, "ppm", "IDLH-HCl"),
    ("CO", "OSHA PEL", "8h", 50, "ppm", "OSHA-CO"),
    ("CO", "NIOSH REL", "ceiling", 200, "ppm", "IDLH-CO"),
    ("SO2", "OSHA PEL", "8h", 5, "ppm", "IDLH-SO2"),
    ("SO2", "ACGIH TLV", "short", 0.25, "ppm", "SO2-lim"),
    ("NO2", "ACGIH TLV", "8h", 0.2, "ppm", "IDLH-NO2"),
    ("NH3", "NIOSH IDLH", "danger", 300, "ppm", "IDLH-NH3"),
    ("HF", "OSHA PEL", "8h", 3, "ppm", "OSHA-HF"),
    ("CrO3", "OSHA PEL", "8h", 0.005, "mg/m3", "WAC-Cr6"),
    ("PbO", "EU limit", "8h", 0.03, "mg/m3", "Pb-EU"),
    ("ZnO", "NIOSH IDLH", "danger", 500, "mg/m3", "IDLH-Zn"),
]


@pytest.mark.parametrize(("gas", "body", "period", "number", "unit", "key"), LIMITS)
def test_a_limit_holds_what_was_read(gas: str, body: str, period: str, number: float, unit: str, key: str) -> None:
    row = load_library().gases[gas]
    found = [each for each in row.limits if (each.body, each.period) == (body, period)]
    assert [(each.value, each.unit, each.basis) for each in found] == [(number, unit, "read")]
    assert key in row.sources


def test_what_is_remembered_is_marked_so() -> None:
    library = load_library()
    assert is_from_memory(library.targets["cobalt-zinc-green"], "cooling_mode")
    assert not is_from_memory(library.targets["ultramarine-blue"], "cooling_mode")
    assert is_from_memory(library.reagents["zinc-oxide"], "assay_low_pct")
    assert not is_from_memory(library.reagents["zinc-oxide"], "molar_mass_g_mol")
    assert is_from_memory(library.targets["zinc-iron-titanate-tan"])
    assert is_from_memory(library.hazards["zinc-oxide"], "uk_wel")
    assert not is_from_memory(library.hazards["zinc-oxide"], "osha_pel")
