"""What stands at each step, what the cards say, and the first-aid lines."""

import pytest

from bench.reckoning.rules import (
    DEFER,
    FIRST_AID,
    OLD_LINING,
    STEPS,
    Part,
    cautions_for,
    emergency_lines,
    hazard_summary,
)
from bench.reference.library import Library
from bench.reference.provenance import BASES


@pytest.mark.parametrize("step", STEPS)
def test_every_step_has_cautions_with_a_ground(step: str, library: Library) -> None:
    cautions = (*cautions_for(step), OLD_LINING)
    assert len(cautions) > 1
    for each in cautions:
        assert each.basis in BASES
        assert each.sources and all(key in library.sources for key in each.sources), each.say


def test_an_electric_furnace_is_not_told_of_its_flame() -> None:
    gas, electric, unknown = (cautions_for("light", fuel) for fuel in ("gas", "electric", "any"))
    assert gas == unknown and set(electric) < set(gas)
    flame = ("flame", "gas off", "purge", "Purge")
    assert not any(word in str(each.say) for each in electric for word in flame) and electric


def test_first_aid_has_sources_and_says_when_to_call(library: Library) -> None:
    assert len({each.key for each in FIRST_AID}) == len(FIRST_AID)
    for each in FIRST_AID:
        assert each.do and each.call and each.basis in BASES
        assert all(key in library.sources for key in each.sources)


def test_burns_are_cooled_for_twenty_minutes() -> None:
    """Burns first aid with 20-minute cooling, as in the library's source F2."""
    burn = next(each for each in FIRST_AID if each.key == "burn")
    assert "20 minutes" in burn.do[0] and "F2" in burn.sources


def test_numbers_are_never_guessed() -> None:
    assert emergency_lines("112", None) == (
        "Emergency: 112",
        "Poison line: not set: ask for it before the first firing",
    )
    assert "not set" in emergency_lines("", "")[0]


def test_the_summary_shows_the_worst_and_always_defers(library: Library) -> None:
    summary = hazard_summary(
        [Part("Co3O4", "cobalt oxide"), Part("ZnO", "zinc oxide"), Part("KNO3", "saltpetre")], library
    )
    assert summary.signal_word == "Danger"
    assert {"GHS03", "GHS08", "GHS09"} <= set(summary.pictograms)
    assert ("H272", "May intensify fire; oxidiser") in summary.statements
    assert summary.without_card == () and summary.defer == DEFER
    assert "SDS" in DEFER and "law" in DEFER and "licensed" in DEFER


def test_every_code_on_every_card_has_its_text(library: Library) -> None:
    for slug, reagent in library.reagents.items():
        for part in hazard_summary([Part(reagent.formula, reagent.name, slug)], library).parts:
            assert all(text != code for code, text in (*part.statements, *part.precautions)), slug


def test_a_missing_card_never_looks_harmless(library: Library) -> None:
    cobalt, strange = hazard_summary([Part("CoWO4", "cobalt tungstate"), Part(None, "alkaline frit")], library).parts
    assert cobalt.assumed and cobalt.signal_word == "Danger" and "GHS08" in cobalt.pictograms
    assert cobalt.words.startswith("No card here: read the SDS.")
    assert not strange.cards and strange.words.startswith("No card here: read the SDS.")
    mild = hazard_summary([Part("SrS", "strontium sulfide")], library).parts[0]
    assert mild.flag == "avoid" and mild.words


def test_a_hydrates_card_speaks_for_the_dry_salt_and_the_other_way_round(library: Library) -> None:
    for formula in ("Co(NO3)2", "Co(NO3)2*6H2O", "Na2SO4*10H2O", "FeSO4*4H2O"):
        assert hazard_summary([Part(formula, "a jar")], library).without_card == (), formula


def test_water_and_paper_need_no_card(library: Library) -> None:
    summary = hazard_summary([Part("H2O", "water", role="liquid"), Part(None, "filter paper", role="paper")], library)
    assert summary.parts == () and summary.signal_word == "" and summary.without_card == ()


def test_a_card_is_found_by_a_usual_name(library: Library) -> None:
    for name in ("acetone", "isopropanol", "linseed oil", "turpentine"):
        assert hazard_summary([Part(None, name, role="liquid")], library).without_card == (), name
