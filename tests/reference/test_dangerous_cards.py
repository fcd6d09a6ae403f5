"""Hazard cards of dangerous matter: what was read agrees with the sheets, and labels leave no option open.

The codes are those of the suppliers' sheets, safety cards and classifications that the claims of each card name.
"""

import re

import pytest

from bench.reckoning.rules import Part, hazard_summary
from bench.reference import NO_CLASS, basis_of, load_library
from bench.reference.labelling import text_for
from bench.reference.library import composition

LIBRARY = load_library()
READ = {
    "potassium-nitrate": "H272 H302 H319",
    "potassium-carbonate": "H302 H315 H319 H335",
    "sulfur": "H228 H315 H319",
    "sodium-nitrate": "H272 H302 H319",
    "cobalt-ii-oxide": "H302 H317 H334 H350i H410",
    "sodium-azide": "H300 H310 H373 H400 H410 EUH032",
    "thallium-compounds": "H300 H330 H373 H411",
}
READ_IN_PART = {
    "iron-iii-nitrate": "H272 H315 H318 H335",
    "lithium-phosphate": "H302 H315 H319 H335",
    "sodium-silicate-solution": "H314 H335",
    "cobalt-ii-iii-oxide": "H317 H334 H350i H373 H410",
    "lead-oxides-and-white-lead": "H302 H332 H360Df H373 H400 H410",
    "uranium-compounds": "H300 H330 H373 H411",
    "titanium-tetrachloride": "H314 H330 EUH014",
}
REMEMBERED = ("tin-iv-oxide", "lanthanum-oxide", "nickel-ii-chloride", "zinc-chloride", "hydrogen-fluoride")


@pytest.mark.parametrize(("slug", "codes"), [*READ.items(), *READ_IN_PART.items()])
def test_a_card_that_was_read_has_the_codes_and_its_sources(slug: str, codes: str) -> None:
    card = LIBRARY.hazards[slug]
    assert set(card.h_codes) == set(codes.split())
    assert basis_of(card, "h_codes") == ("read" if slug in READ else "mixed")
    keys = {key for claim in card.claims for key in claim.sources}
    assert keys and all(LIBRARY.sources[key].kind == "published" for key in keys)


@pytest.mark.parametrize("slug", REMEMBERED)
def test_a_card_that_nobody_read_says_so(slug: str) -> None:
    assert basis_of(LIBRARY.hazards[slug], "h_codes") == "memory"


def test_a_jar_without_a_class_is_never_called_harmless() -> None:
    """Magnesium fluoride has no class on file; it still gives off HF when hot."""
    card = LIBRARY.hazards["magnesium-fluoride"]
    assert not card.classified and not card.p_codes and "HF" in card.reason
    assert "harmless" not in NO_CLASS and NO_CLASS.startswith("No class known.")


def test_every_flux_of_a_target_has_a_card() -> None:
    fluxes = {option.formula for target in LIBRARY.targets.values() for option in target.flux_options}
    assert composition("AlF3") in map(composition, fluxes) and composition("CaCl2") in map(composition, fluxes)
    without = hazard_summary([Part(formula, formula) for formula in sorted(fluxes)], LIBRARY).without_card
    assert without == ()


@pytest.mark.parametrize("formula", ["BeO", "BeAl2O4", "Tl2O3", "OsO2", "ThO2", "ThSiO4", "UO2", "Na2U2O7"])
def test_an_element_that_is_refused_has_its_card_in_every_compound(formula: str) -> None:
    (part,) = hazard_summary([Part(formula, formula)], LIBRARY).parts
    assert part.flag == "refuse" and not part.assumed


def test_a_hydrate_does_not_take_the_card_of_the_chloride_that_bursts_in_water() -> None:
    hydrate, dry = hazard_summary([Part("AlCl3*6H2O", "a"), Part("AlCl3", "b")], LIBRARY).parts
    assert "EUH014" not in [code for code, _ in hydrate.statements]
    assert {"EUH014", "H314", "H290"} <= {code for code, _ in dry.statements}
    assert "tin-tetrachloride" not in hazard_summary([Part("SnCl4*5H2O", "c")], LIBRARY).parts[0].cards


@pytest.mark.parametrize("slug", LIBRARY.hazards)
def test_no_label_leaves_a_blank_a_slash_or_a_bracket(slug: str) -> None:
    card = LIBRARY.hazards[slug]
    for code in (*card.h_codes, *card.p_codes):
        text = text_for(code, card.h_codes, card.groups.split(), LIBRARY)
        assert text and not re.search(r"[…/\[\]]|\.\.", text), (code, text)


@pytest.mark.parametrize(
    ("formula", "code", "text"),
    [
        ("NaOH", "P280", "Wear protective gloves, protective clothing, eye and face protection."),
        ("KNO3", "P280", "Wear protective gloves, protective clothing, eye and face protection."),
        ("Co3O4", "P280", "Wear protective gloves, protective clothing and eye protection."),
        ("Na2CO3", "P280", "Wear protective gloves and eye protection."),
        ("C3H6O", "P261", "Avoid breathing vapours."),
        ("Li2CO3", "P501", "Dispose of contents and container as hazardous waste, by a licensed collector."),
        ("KNO3", "P370+P378", "In case of fire: Use plenty of water to extinguish."),
        ("Na", "P370+P378", "In case of fire: Use dry sand to extinguish."),
        ("Fe(NO3)3*9H2O", "P264", "Wash hands and face thoroughly after handling."),
    ],
)
def test_the_wording_fits_the_class(formula: str, code: str, text: str) -> None:
    """As the UN system words each statement, with the options that fit powders in a shed."""
    (part,) = hazard_summary([Part(formula, formula)], LIBRARY).parts
    assert dict(part.precautions)[code] == text


def test_a_mixture_has_each_statement_once_in_the_stricter_wording() -> None:
    summary = hazard_summary([Part("Na2CO3", "soda"), Part("NaOH", "lye")], LIBRARY)
    codes = [code for code, _ in summary.precautions]
    assert len(codes) == len(set(codes))
    assert "face protection" in dict(summary.precautions)["P280"]
