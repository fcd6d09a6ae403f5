"""Grams for a target against published batches, and the ways in which a batch may not be decided."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.science.batch import Source, amounts, formed_mol
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from tests.science.tables import rows

REAGENTS = {
    "CaCuSi4O10": ["CaCO3", "Cu2(OH)2CO3", "SiO2"],
    "Co0.8Zn0.2Al2O4": ["Co3O4", "ZnO", "Al(OH)3"],
    "YIn0.8Mn0.2O3": ["Y2O3", "In2O3", "MnCO3"],
    "CoAl2O4": ["2CoCO3·3Co(OH)2", "Al(OH)3"],
    "Ti0.85Cr0.075Sb0.075O2": ["TiO2", "Cr2O3", "Sb2O3"],
}


def source(text: str, fixed_mol: float | None = None, share: float | None = None) -> Source:
    return Source(text, parse(text).numbers, fixed_mol, share)


def need(text: str) -> dict[str, float]:
    return parse(text).numbers


@pytest.mark.parametrize("row", rows("batch_grams.csv"), ids=lambda row: f"{row['target']}: {row['reagent']}")
def test_published_grams(row: dict[str, str]) -> None:
    target = parse(row["target"])
    reagents = REAGENTS[row["target"]]
    mol = float(row["product_g"]) / target.molar_mass_g_mol
    found = amounts(target.numbers, mol, [source(text) for text in reagents])
    g = found.mol[reagents.index(row["reagent"])] * parse(row["reagent"]).molar_mass_g_mol
    assert abs(g - float(row["g"])) <= float(row["tolerance_g"])
    assert not found.excess
    assert not found.short


def test_an_element_that_none_brings_is_named() -> None:
    with pytest.raises(Refusal, match="Al") as refused:
        amounts(need("CoAl2O4"), 1, [source("Co3O4")])
    assert refused.value.field == "reagents"


def test_two_sources_of_one_element_need_shares() -> None:
    with pytest.raises(Refusal, match="share") as refused:
        amounts(need("CoAl2O4"), 1, [source("Al2O3"), source("Co3O4"), source("CoCO3")])
    assert refused.value.field == "reagents[2].share"


def test_shares_divide_the_moles_of_the_element() -> None:
    found = amounts(need("CoAl2O4"), 1, [source("Al2O3"), source("Co3O4", share=1), source("CoCO3", share=3)])
    assert found.mol == pytest.approx([1.0, 0.25 / 3, 0.75])


@pytest.mark.parametrize("share", [0.25, 25.0])
def test_the_one_without_a_share_takes_the_rest(share: float) -> None:
    found = amounts(need("CoAl2O4"), 1, [source("Al2O3"), source("Co3O4", share=share), source("CoCO3")])
    assert found.mol == pytest.approx([1.0, 0.25 / 3, 0.75])


def test_a_share_is_of_the_element_that_another_source_brings_too() -> None:
    """Dolomite brings all the calcium; as a quarter of the magnesium it wants three of the oxide, which is two over."""
    sources = [source("CaMg(CO3)2", share=0.25), source("MgO"), source("SiO2")]
    found = amounts({"Ca": 1, "Mg": 2, "Si": 2, "O": 7}, 1, sources)
    assert found.mol == pytest.approx([1.0, 3.0, 2.0]) and not found.short
    assert found.excess == {"Mg": pytest.approx(2.0)}


def test_sources_that_overlap_but_are_decided_need_no_shares() -> None:
    found = amounts(need("Na7Al6Si6O24S3"), 1, [source("Al2Si2O5(OH)4"), source("Na2CO3"), source("S")])
    assert found.mol == pytest.approx([3.0, 3.5, 3.0])


def test_what_the_target_does_not_hold_of_a_gas_is_no_excess_of_metal() -> None:
    found = amounts(need("NH4MnP2O7"), 1, [source("MnO2"), source("NH4H2PO4")])
    assert found.mol == pytest.approx([1.0, 2.0])
    assert set(found.excess) == {"N"}


def test_two_phosphates_are_not_told_apart_by_their_nitrogen() -> None:
    with pytest.raises(Refusal, match="share"):
        amounts(need("NH4MnP2O7"), 1, [source("MnO2"), source("NH4H2PO4"), source("(NH4)2HPO4")])


def test_a_ratio_that_one_reagent_binds_gives_enough_of_all_and_says_what_is_over() -> None:
    found = amounts(need("CoAl2O4"), 1, [source("Co3O4"), source("CoAl4O7")])
    assert not found.short
    assert found.mol[1] == pytest.approx(0.5)
    bound = amounts(need("CoAl2O4"), 1, [source("CoAl4O7")])
    assert bound.mol == pytest.approx([1.0])
    assert bound.excess == pytest.approx({"Al": 2.0})
    assert not bound.short


def test_a_fixed_amount_that_is_too_little_is_short() -> None:
    found = amounts(need("CoAl2O4"), 1, [source("Al2O3", 0.8), source("CoO")])
    assert found.short == pytest.approx({"Al": 0.4})
    assert found.mol == pytest.approx([0.8, 1.0])


def test_a_free_source_of_nothing_wanted_is_refused() -> None:
    with pytest.raises(Refusal) as refused:
        amounts(need("CoAl2O4"), 1, [source("CoO"), source("Al2O3"), source("KCl")])
    assert refused.value.field == "reagents[2].fate"


def test_what_limits() -> None:
    assert formed_mol(need("CoAl2O4"), {"Co": 1.0, "Al": 5.0}) == (1.0, ["Co"])
    assert formed_mol(need("CoAl2O4"), {"Co": 1.0, "Al": 2.0}) == (1.0, [])
    assert formed_mol(need("CoAl2O4"), {"Co": 1.0}) == (0.0, ["Al"])
    assert formed_mol(need("NH4MnP2O7"), {"Mn": 1.0, "P": 2.0, "N": 2.0}) == (1.0, [])
    assert formed_mol(need("NH4MnP2O7"), {"Mn": 1.0, "P": 2.0, "N": 0.5}) == (0.5, ["N"])


@given(st.floats(1e-6, 1e6), st.permutations(["Co3O4", "ZnO", "Al(OH)3"]))
def test_amounts_scale_and_do_not_hang_on_the_order(mol: float, order: list[str]) -> None:
    wanted = need("Co0.8Zn0.2Al2O4")
    expected = {"Co3O4": 0.8 / 3 * mol, "ZnO": 0.2 * mol, "Al(OH)3": 2 * mol}
    found = amounts(wanted, mol, [source(text) for text in order])
    assert found.mol == pytest.approx([expected[text] for text in order], rel=1e-9)
