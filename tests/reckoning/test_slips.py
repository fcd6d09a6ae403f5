"""Slips of the pen are asked back with both readings; the meant formulas are written out by hand."""

import json
import random
from io import StringIO
from typing import Any

import pytest

from bench.reckoning.commandline import main
from bench.reckoning.known_compounds import formulas_of
from bench.reckoning.questions import ask_all, ask_assay, ask_formula, ask_reagent
from bench.reckoning.slips import refuse_slip, slip_in
from bench.reckoning.water_slips import counted_before
from bench.reference.library import Library
from bench.science import second_readings as second_readings_module
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.science.second_readings import second_readings
from bench.science.usual_charges import balances

MEANT = {
    # capitals
    **{"SIO2": "SiO2", "SNO2": "SnO2", "SB2O3": "Sb2O3", "NIO": "NiO", "COO": "CoO", "CUO": "CuO", "BI2O3": "Bi2O3"},
    **{"CO3O4": "Co3O4", "COCO3": "CoCO3", "COSO4*7H2O": "CoSO4*7H2O", "CU2CO3(OH)2": "Cu2CO3(OH)2", "CO": "Co"},
    **{"2COCO3*3CO(OH)2": "2CoCO3*3Co(OH)2", "CO(CH3COO)2*4H2O": "Co(CH3COO)2*4H2O", "NICO3": "NiCO3", "SI": "Si"},
    **{"IN2O3": "In2O3", "NB2O5": "Nb2O5", "HFO2": "HfO2", "YB2O3": "Yb2O3", "CS2CO3": "Cs2CO3", "NIS": "NiS"},
    **{"CUSO4*5H2O": "CuSO4*5H2O", "COCl2*6H2O": "CoCl2*6H2O", "CO2SNO4": "Co2SnO4", "BIVO4": "BiVO4"},
    # zero for O
    **{"CoCl2·6H20": "CoCl2*6H2O", "Co304": "Co3O4", "CoAl204": "CoAl2O4", "Fe203": "Fe2O3", "Na2B407": "Na2B4O7"},
    **{"CaC03": "CaCO3", "Cu0": "CuO", "Al(0H)3": "Al(OH)3", "CuS04*5H2O": "CuSO4*5H2O", "Ti02": "TiO2"},
    **{"Al2(S04)3*18H20": "Al2(SO4)3*18H2O", "Na2B4O7*1OH2O": "Na2B4O7*10H2O", "V205": "V2O5", "KN03": "KNO3"},
    # capital I and one for l
    **{"NaCI": "NaCl", "CoCI2*6H2O": "CoCl2*6H2O", "ZnC12": "ZnCl2", "A1203": "Al2O3", "AI2O3": "Al2O3"},
    # Co for carbonate, and small letters
    **{"CaCo3": "CaCO3", "MnCo3": "MnCO3", "Na2Co3": "Na2CO3", "SrCo3": "SrCO3", "CoCo3": "CoCO3", "Caco3": "CaCO3"},
}
SOUND = ["K3PO4", "(NH4)2CO3", "KHSO4", "YPO4", "YBO3", "KSCN", "Bi12SiO20", "Ca10(PO4)6(OH)2", "C10H20O", "CuCN"]
SOUND += ["Ni5Au8", "SiYb", "Sn3As", "TiEuSn0.31Cl1.30", "CeSi17Na12", "Cs6DyFe3Na3K4", "InSb", "CuSn"]
SOUND += ["C1U1O1", "P1B3O4", "Ca1Co3", "Fe203.0", "Co0.8Zn0.2Al2O4", "Li2SnO3", "CuCO3", "YBa2Cu3O7", "KI", "CH3COOH"]
REFUSED = ["PB3O4", "PBO", "PBCO3", "2PBCO3*PB(OH)2", "CDS", "HGO"]


@pytest.mark.parametrize(("typed", "meant"), MEANT.items())
def test_a_slip_is_asked_with_the_formula_that_is_meant(typed: str, meant: str, library: Library) -> None:
    slip = slip_in(typed, library)
    assert slip is not None
    assert parse(slip.meant[0]).counts == parse(meant).counts
    with pytest.raises(Refusal, match="Is it"):
        refuse_slip(typed, library)


def test_no_formula_of_the_library_is_ever_questioned(library: Library) -> None:
    formulas = [text for text in formulas_of(library) if text]
    assert len(set(formulas)) > 250
    for text in formulas:
        for written in (text, text.replace("*", "·"), text.translate(str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉"))):
            ask_formula(written, library)


@pytest.mark.parametrize("typed", SOUND)
def test_an_ordinary_formula_and_one_with_every_count_pass(typed: str, library: Library) -> None:
    ask_formula(typed, library)


@pytest.mark.parametrize("typed", REFUSED)
def test_where_one_reading_is_refused_the_slip_is_refused_with_the_reason(typed: str, library: Library) -> None:
    with pytest.raises(Refusal, match=r"looks like .* is highly poisonous"):
        refuse_slip(typed, library)


def test_both_readings_and_the_way_to_keep_the_odd_one_are_said(library: Library) -> None:
    with pytest.raises(Refusal) as found:
        refuse_slip("CoCI2", library, "formula")
    assert found.value.say == (
        "As typed, CoCI2 is cobalt, carbon and iodine. Is it CoCl2? The I is then a small L. "
        "Then type that. To keep it as typed, write Co1C1I2."
    )
    assert found.value.field == "formula"
    with pytest.raises(Refusal, match=r"Is it KNO3\? The 0 is then the letter O\."):
        refuse_slip("KN03", library)
    assert parse("Co1C1I2").counts == parse("CoCI2").counts
    ask_formula("Co1C1I2", library)


def test_balanced_oxides_in_right_case_are_not_asked_about(library: Library) -> None:
    """Random pairs of oxides, written as they should be: charge sums are made here, not by the code under test."""
    charge = {"Co": 2, "Al": 3, "Zn": 2, "Sn": 4, "Si": 4, "Ca": 2, "Li": 1, "Y": 3, "V": 5, "P": 5, "Hf": 4, "Nb": 5}
    rng = random.Random(7)
    for _ in range(200):
        one, two = rng.sample(sorted(charge), 2)
        counts = rng.randint(1, 4) * 2, rng.randint(1, 4) * 2
        oxygen = (charge[one] * counts[0] + charge[two] * counts[1]) // 2
        ask_formula(f"{one}{counts[0]}{two}{counts[1]}O{oxygen}", library)


def test_a_second_reading_changes_case_zero_and_l_and_nothing_else() -> None:
    assert "CuO" in second_readings("CUO")
    assert "Fe2O3" in second_readings("Fe203")
    assert "NaCl" in second_readings("NaC1")
    assert second_readings("Fe0.5O") == []


@pytest.mark.parametrize("text", ["CO" * 29 + "J", "co" * 30, "0" * 60, "CI1" * 20, "(" * 60, "COSNIPBHF" * 6])
def test_a_long_text_is_given_up_soon(text: str, library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is tried stays in proportion to the text: no way is gone that leads nowhere."""
    tried = []

    def counted(typed: str, at: int) -> Any:
        tried.append(at)
        return steps(typed, at)

    steps = second_readings_module._next
    monkeypatch.setattr(second_readings_module, "_next", counted)
    second_readings(text)
    assert len(tried) < 410 * len(text)


@pytest.mark.parametrize(
    ("text", "holds"),
    [("Fe3O4", True), ("CaCo3", False), ("CoC2O4", True), ("Fe203", False), ("NH4Cl", True), ("NH4NO3", True)],
)
def test_charges_that_can_add_up(text: str, holds: bool) -> None:
    assert balances(text, parse(text).counts) is holds


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("Fe2O3.nH2O", r"How much water .* Fe2O3\*1H2O"),
        ("Al2O3·xH2O", r"How much water .* Al2O3\*1H2O"),
        ("CoCl2x6H2O", r"The x .* Is it CoCl2\*6H2O"),
        ("CuSO4 5H2O", r"The space .* Is it CuSO4\*5H2O"),
        ("Na2CO3,10H2O", r"The comma .* Is it Na2CO3\*10H2O"),
        ("2CuSO4*5H2O", r"Then type CuSO4\*5H2O\. .* type CuSO4\*2\.5H2O"),
        ("1/2Al2O3·3H2O", r"Then type Al2O3\*3H2O\. .* type Al2O3\*6H2O"),
    ],
)
def test_water_written_beside_the_dot_gets_its_own_sentence(typed: str, said: str, library: Library) -> None:
    with pytest.raises(Refusal, match=said):
        ask_formula(typed, library)


def test_the_two_readings_of_a_count_are_the_matter_that_they_say() -> None:
    found = counted_before("2CuSO4*5H2O")
    assert found is not None
    alone, hydrate, _count = found
    twice = {symbol: 2 * count for symbol, count in parse(alone).counts.items()}
    assert twice == dict(parse("2CuSO4*5H2O").counts)
    assert parse(hydrate).counts == parse("CuSO4*5H2O").counts
    assert counted_before("2CoCO3*3Co(OH)2") is None
    assert counted_before("CuSO4*5H2O") is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("aluminium chloride", r"AlCl3 \(.*fume.*\) or AlCl3\*6H2O"),
        ("cobalt chloride", r"CoCl2 \(blue powder\) or CoCl2\*6H2O"),
        ("copper carbonate", "copper carbonate, basic"),
        ("blue stuff", "neither a known reagent nor a formula"),
    ],
)
def test_a_name_that_nobody_knows_names_what_it_may_be(typed: str, said: str, library: Library) -> None:
    with pytest.raises(Refusal, match=said):
        ask_reagent(typed, library)


def test_a_known_name_and_slug_pass(library: Library) -> None:
    for name in ("cobalt chloride hexahydrate", "cobalt-ii-carbonate", "alpha-alumina", "rosin", "CoCO3"):
        ask_reagent(name, library)


def test_an_assay_given_as_a_share_is_asked_about() -> None:
    with pytest.raises(Refusal, match=r"0\.995 % .* 99\.5 %"):
        ask_assay(0.995)
    ask_assay(45.0)


def answer(kind: str, ask: dict[str, Any]) -> tuple[int, Any]:
    out = StringIO()
    code = main([kind, json.dumps(ask)], StringIO(), out)
    return code, json.loads(out.getvalue())


def test_the_command_line_asks_and_as_typed_keeps(library: Library) -> None:
    code, said = answer("balance", {"target": "CoAl2O4", "weighed": [{"formula": "SIO2", "g": 1}]})
    assert (code, said["field"]) == (2, "weighed[0].formula")
    assert "Is it SiO2?" in said["error"]
    assert answer("molar-mass", {"formula": "SIO2", "as_typed": True})[1]["elements"] == {"S": 1, "I": 1, "O": 2}
    assert answer("blend", {"corners": [{"SNO2": 1}, {"ZnO": 1}], "steps": 2})[1]["field"] == "corners[0].SNO2"


def test_molar_mass_says_what_a_count_before_a_hydrate_counts() -> None:
    code, said = answer("molar-mass", {"formula": "2CuSO4*5H2O"})
    assert code == 0
    assert "CuSO₄·2.5H₂O" in said["working"][1]["say"]


def test_a_wrong_shape_is_left_to_the_calculation(library: Library) -> None:
    ask_all("gas", {"charges": "x", "formula": 7, "assay_pct": None, "target": ["CoO", {}]}, library)
