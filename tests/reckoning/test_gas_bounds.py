"""Bounds, alternatives and fumes in the answer of `gas`. Grams are by published atomic weights (CIAAW 2021)."""

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from bench.reference.library import Library
from bench.science.formulas import parse
from bench.science.refusal import Refusal

Answer = Callable[..., dict[str, Any]]


def by_gas(found: dict[str, Any], key: str = "evolved") -> dict[str, dict[str, Any]]:
    return {each["gas"]: each for each in found[key]}


def gas(answer: Answer, *parts: tuple[str, float], **more: Any) -> dict[str, Any]:
    return answer("gas", charges=[{"formula": formula, "g": g} for formula, g in parts], **more)


def test_fluoride_beside_silica_gives_hydrogen_fluoride_at_most(answer: Answer) -> None:
    """NaF: 20.006 ÷ 41.988 = 0.4765 g HF a gram."""
    found = gas(answer, ("NaF", 1), ("SiO2", 5))
    row = by_gas(found)["HF"]
    assert (row["g"], row["up_to_g"]) == (pytest.approx(0.4765, abs=1e-4), pytest.approx(0.4765, abs=1e-4))
    assert (row["bound"], row["window_basis"], row["only_with"]) == ("up-to", "memory", None)
    assert [each["gas"] for each in found["counted_once"]] == ["HF"]
    assert any("calcium gluconate" in say for say in found["cautions"])
    assert any("No particle mask" in say for say in found["cautions"])


def test_what_is_certain_stays_as_it_was_and_stands_in_balance(answer: Answer) -> None:
    """10 g of CoC2O4·2H2O and 5 g of charcoal: certain gases take all of the carbon as CO2, 44.01 ÷ 12.011 of it."""
    found = gas(answer, ("CoC2O4*2H2O", 10), ("C", 5))
    carbon_mol = 2 * 10 / 182.98 + 5 / 12.011
    assert by_gas(found)["CO2"]["g"] == pytest.approx(carbon_mol * 44.009, rel=1e-3)
    assert by_gas(found)["CO"]["up_to_g"] == pytest.approx(carbon_mol * 28.010, rel=1e-3)
    certain = sum(each["g"] for each in found["evolved"] if each["bound"] is None)
    left = 10 / 182.98 * 74.932  # cobalt(II) oxide at the highest heat
    assert 15 - certain == pytest.approx(left, rel=1e-3)
    assert any("burner's own is not included" in say for say in found["cautions"])


def test_carbon_of_a_carbonate_counts_once_beside_charcoal_and_not_without(answer: Answer) -> None:
    """Each carbon gives one CO at most: 0.05 mol of CaCO3 and 0.1 mol of carbon give 0.15 mol, 4.20 g."""
    assert "CO" not in by_gas(gas(answer, ("CaCO3", 5.0045)))
    found = gas(answer, ("CaCO3", 5.0045), ("C", 1.2011))
    assert by_gas(found)["CO"]["up_to_g"] == pytest.approx(0.15 * 28.010, rel=1e-3)
    assert by_gas(gas(answer, ("CaCO3", 5.0045), around=["charcoal"]))["CO"]["up_to_g"] == pytest.approx(
        1.4005, rel=1e-3
    )


def test_of_one_element_only_the_worse_gas_counts(answer: Answer) -> None:
    """Of 1 g CoCl2·6H2O: 0.306 g HCl or 0.298 g Cl2; chlorine has the lower limit, so it alone is counted."""
    found = gas(answer, ("CoCl2*6H2O", 1))
    assert by_gas(found)["HCl"]["g"] == pytest.approx(72.92 / 237.93, abs=1e-3)
    assert by_gas(found, "alternatives")["Cl2"]["up_to_g"] == pytest.approx(70.90 / 237.93, abs=1e-3)
    assert found["counted_once"] == [{"gas": "Cl2", "g": pytest.approx(70.90 / 237.93, abs=1e-3)}]


def test_half_of_each_is_certain_and_all_of_either_is_the_bound(answer: Answer) -> None:
    """Iron(II) sulfate books half of its sulfur as each oxide; the most of either is all of it: 80.06 ÷ 278.01."""
    found = by_gas(gas(answer, ("FeSO4*7H2O", 1)))
    assert found["SO3"]["g"] == pytest.approx(0.5 * 80.06 / 278.01, abs=1e-3)
    assert found["SO3"]["up_to_g"] == pytest.approx(80.06 / 278.01, abs=1e-3)
    assert found["SO3"]["bound"] is None


def test_ammonia_burns_to_nitrogen_dioxide_only_over_a_hot_oxide(answer: Answer) -> None:
    alone = gas(answer, ("NH4Cl", 1))
    assert "NO2" not in by_gas(alone, "alternatives")
    assert by_gas(gas(answer, ("NH4Cl", 1), ("Co3O4", 5)), "alternatives")["NO2"]["up_to_g"] == pytest.approx(
        46.006 / 53.49, abs=1e-3
    )


def test_a_fume_is_no_dose(answer: Answer) -> None:
    found = gas(answer, ("V2O5", 1))
    assert by_gas(found, "fumes")["V2O5"]["up_to_g"] == pytest.approx(1)
    assert found["counted_once"] == [] and "V2O5" not in by_gas(found)
    assert found["cautions"] == []  # a particle mask is of use against a fume


def test_a_gas_of_the_card_says_what_it_needs(answer: Answer) -> None:
    """Salt gives hydrogen chloride with steam and silica: without silica it stays listed, and says so."""
    assert by_gas(gas(answer, ("NaCl", 1)))["HCl"]["only_with"] == "steam and silica"
    assert by_gas(gas(answer, ("NaCl", 1), ("SiO2", 1)))["HCl"]["only_with"] is None


def test_a_salt_without_a_yield_on_its_card_is_treated_alike(answer: Answer) -> None:
    """CaCl2·2H2O: 2 × 36.458 ÷ 147.01 g HCl a gram, where clay or silica lies beside it."""
    row = by_gas(gas(answer, ("CaCl2*2H2O", 1)))["HCl"]
    assert (row["up_to_g"], row["only_with"]) == (pytest.approx(72.92 / 147.01, abs=1e-3), "steam and silica")


def test_a_chosen_gas_is_no_alternative_to_itself(answer: Answer) -> None:
    found = gas(answer, ("CoCl2*6H2O", 1), choices={"chlorine": "Cl2"})
    assert by_gas(found)["Cl2"]["bound"] is None and "Cl2" not in by_gas(found, "alternatives")


def test_no_gas_of_any_card_is_missing(answer: Answer, library: Library) -> None:
    """For every reagent whose card lists a harmful gas, the most of it is no less than the card's figure, which was
    worked out by itself and rounds to three places."""
    looked_at = 0
    for row in library.reagents.values():
        card = library.hazards.get(row.hazard_id)
        yields = [each for each in card.gas_yields if each.g_per_g > 0 and not each.form] if card else []
        listed = {each.gas: each.g_per_g for each in yields if each.gas not in ("H2O", "O2", "CO2", "acetone")}
        if not listed or card is None or card.flag == "refuse":
            continue
        found = gas(answer, (row.formula, 1))
        most = {each["gas"]: each["up_to_g"] for each in (*found["alternatives"], *found["evolved"])}
        for each, g_per_g in listed.items():
            assert most[each] >= 0.985 * g_per_g, (row.slug, each)
            looked_at += 1
    assert looked_at > 25


def test_what_lies_around_is_one_of_the_known_words(refused: Callable[..., tuple[str, str | None]]) -> None:
    say, field = refused("gas", charges=[{"formula": "CaCO3", "g": 1}], around=["sand"])
    assert field == "around" and "silica" in say


def test_exposure_knows_hydrogen_bromide(answer: Answer) -> None:
    """Limits read: OSHA 3 ppm over 8 h, IDLH 35 ppm; 1 g in 40 m³ of still air is 25 mg/m³, 7.6 ppm."""
    found = answer("exposure", gas="HBr", g=1, room_m3=40, air_changes_per_h=0, mixing_factor=1)
    assert found["peak_ppm"] == pytest.approx(25 * 24.465 / 80.91, abs=0.01)
    assert found["verdict"] == "do-not-do-it-indoors"
    assert found["strictest"]["danger"]["value"] == 35


def test_exposure_says_what_a_mask_and_a_gel_are_for(answer: Answer) -> None:
    asked = {"g": 0.1, "room_m3": 40, "air_changes_per_h": 1}
    assert any("calcium gluconate" in say for say in answer("exposure", gas="HF", **asked)["cautions"])
    assert any("burner's own" in say for say in answer("exposure", gas="CO", **asked)["cautions"])
    assert answer("exposure", gas="ZnO", **asked)["cautions"] == []


def test_no_mixture_counts_more_of_an_element_than_it_holds(answer: Answer, library: Library) -> None:
    """Whatever lies together: carbon, sulfur and the halogens of what is counted are at most those of the charges."""
    chance, formulas, judged = Random(7), [row.formula for row in library.reagents.values()], 0
    for _ in range(120):
        parts = [(chance.choice(formulas), chance.choice([0.01, 1.0, 20.0])) for _ in range(chance.randint(1, 5))]
        around = chance.sample(["charcoal", "silica", "hot oxide"], chance.randint(0, 3))
        try:
            found = gas(answer, *parts, around=around)["counted_once"]
        except Refusal:  # a mixture that is never planned
            continue
        judged += 1
        for symbol in ("C", "S", "F", "Cl", "Br"):
            held = sum(mol_of(symbol, formula, g) for formula, g in parts)
            assert sum(mol_of(symbol, each["gas"], each["g"]) for each in found) <= held * (1 + 1e-6), (parts, found)
    assert judged > 40


def mol_of(symbol: str, formula: str, g: float) -> float:
    read = parse(formula)
    return read.numbers.get(symbol, 0.0) * g / read.molar_mass_g_mol
