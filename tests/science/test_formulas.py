"""Formulas against hand-counted compositions, an independent reader, and everything that must be refused."""

import random
from fractions import Fraction

import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.science.formulas import group_count, parse, pretty
from bench.science.refusal import Refusal
from bench.science.weights import G_MOL
from tests.science.tables import rows

PLAIN = ["Co", "Al", "O", "Zn", "Si", "Na", "Cl", "H", "Fe", "Ti", "S", "N", "C"]


@pytest.mark.parametrize("row", rows("molar_masses.csv"), ids=lambda row: row["formula"])
def test_published_molar_mass(row: dict[str, str]) -> None:
    mass = parse(row["formula"]).molar_mass_g_mol
    assert abs(mass - float(row["g_mol"])) <= float(row["tolerance_g_mol"])


@pytest.mark.parametrize("row", rows("refused_formulas.csv"), ids=lambda row: row["formula"] or "empty")
def test_refused_with_its_place(row: dict[str, str]) -> None:
    with pytest.raises(Refusal) as refused:
        parse(row["formula"])
    assert refused.value.field == "formula"
    assert refused.value.say.endswith(".")
    if row["place"]:
        assert f"(character {row['place']})" in refused.value.say


@pytest.mark.parametrize("row", rows("gravimetric_factors.csv"), ids=lambda row: f"{row['part']}/{row['whole']}")
def test_gravimetric_factor(row: dict[str, str]) -> None:
    factor = int(row["count"]) * parse(row["part"]).molar_mass_g_mol / parse(row["whole"]).molar_mass_g_mol
    assert abs(factor - float(row["factor"])) <= float(row["tolerance"])


@pytest.mark.parametrize("row", rows("millimoles.csv"), ids=lambda row: row["formula"])
def test_millimoles_of_a_published_procedure(row: dict[str, str]) -> None:
    mg = float(row["mmol"]) * parse(row["formula"]).molar_mass_g_mol
    assert abs(mg - float(row["mg"])) <= float(row["tolerance_mg"])


@pytest.mark.parametrize(
    ("dotted", "same"),
    [
        ("CoCl2.6H2O", "CoCl2*6H2O"),
        ("CoCl2.H2O", "CoCl2*H2O"),
        ("Bi(NO3)3.5H2O", "Bi(NO3)3*5H2O"),
        ("K4[Fe(CN)6].3H2O", "K4[Fe(CN)6]*3H2O"),
        ("4MgCO3*Mg(OH)2.5H2O", "4MgCO3*Mg(OH)2*5H2O"),
        ("Ca0.5Mg0.5SO4.2H2O", "Ca0.5Mg0.5SO4*2H2O"),
        ("CoCl2 · 6 H2O", "CoCl2*6H2O"),
        ("CaSO4*1/2H2O", "CaSO4*0.5H2O"),
        ("CaSO4·½H2O", "CaSO4*0.5H2O"),
        ("CoCO3+3Co(OH)2", "CoCO3*3Co(OH)2"),
    ],
)
def test_other_ways_to_write_a_hydrate(dotted: str, same: str) -> None:
    assert parse(dotted).counts == parse(same).counts


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Co0.8Zn0.2Al2O4", {"Co": "4/5", "Zn": "1/5", "Al": 2, "O": 4}),
        ("CaCu1.5Si4O10", {"Ca": 1, "Cu": "3/2", "Si": 4, "O": 10}),
        ("Fe1.5O2", {"Fe": "3/2", "O": 2}),
        ("Y(In1.8)MnO3", {"Y": 1, "In": "9/5", "Mn": 1, "O": 3}),
        ("La(OH)2.5Cl0.5", {"La": 1, "O": "5/2", "H": "5/2", "Cl": "1/2"}),
        ("Fe0.947O", {"Fe": "947/1000", "O": 1}),
        ("{Co[Al(O)2]2}", {"Co": 1, "Al": 2, "O": 4}),
    ],
)
def test_a_full_stop_that_is_a_decimal_point(text: str, counts: dict[str, str]) -> None:
    assert parse(text).counts == {symbol: Fraction(count) for symbol, count in counts.items()}


def test_both_readings_are_named() -> None:
    with pytest.raises(Refusal) as refused:
        parse("2CoCO3.3Co(OH)2")
    assert "2CoCO3·3Co(OH)2" in refused.value.say
    assert "3.3" in refused.value.say


@pytest.mark.parametrize("text", ["+ZnO", "ZnO+", "ZnO++SiO2", "ZnO*+SiO2"])
def test_a_plus_beside_nothing_may_be_a_charge(text: str) -> None:
    with pytest.raises(Refusal, match="Nothing is beside the"):
        parse(text)
    with pytest.raises(Refusal, match="beside the separator"):
        parse(text.replace("+", "*"))


def test_a_letter_of_another_alphabet_is_named() -> None:
    with pytest.raises(Refusal, match="cyrillic"):
        parse("Cо3O4")


def test_the_field_is_the_one_asked_for() -> None:
    with pytest.raises(Refusal) as refused:
        parse("Xx", field="reagents[2].formula")
    assert refused.value.field == "reagents[2].formula"


def test_pieces_show_the_groups_as_written() -> None:
    formula = parse("NH4Al(SO4)2*12H2O")
    one = Fraction(1)
    assert formula.pieces == (
        (("N", one), ("H", Fraction(4)), ("Al", one)),
        (("S", one), ("O", Fraction(4))),
        (("H", Fraction(2)), ("O", one)),
    )
    assert group_count(formula, ("N", 1), ("H", 4)) == 1
    assert group_count(formula, ("S", 1), ("O", 4)) == 2
    assert group_count(formula, ("H", 2), ("O", 1)) == 12


def test_groups_in_brackets_and_in_a_run_are_counted_alike() -> None:
    nitrate = (("N", 1), ("O", 3))
    assert group_count(parse("KNO3"), *nitrate) == 1
    assert group_count(parse("Co(NO3)2*6H2O"), *nitrate) == 2
    assert group_count(parse("NH4Cl"), *nitrate) == 0


def test_pretty_lowers_the_counts_and_keeps_what_is_no_formula() -> None:
    assert pretty("2CoCO3*3Co(OH)2") == "2CoCO₃·3Co(OH)₂"
    assert pretty("Co0.8Zn0.2Al2O4") == "Co₀.₈Zn₀.₂Al₂O₄"
    assert pretty("CoCl2.6H2O") == "CoCl₂·6H₂O"
    assert pretty("cobalt blue") == "cobalt blue"


def test_the_range_spans_the_intervals_of_the_weights() -> None:
    low, high = parse("PbO").molar_mass_range_g_mol
    assert low == pytest.approx(206.14 + 15.999)
    assert high == pytest.approx(207.94 + 15.99977)


@given(st.lists(st.tuples(st.sampled_from(PLAIN), st.integers(1, 30)), min_size=1, max_size=8))
def test_plain_formulas_weigh_the_sum_of_their_atoms(parts: list[tuple[str, int]]) -> None:
    text = "".join(f"{symbol}{count}" for symbol, count in parts)
    expected = sum(G_MOL[symbol] * count for symbol, count in parts)
    assert parse(text).molar_mass_g_mol == pytest.approx(expected, rel=1e-12)
    other = sum(periodictable.formula(f"{symbol}{count}").mass for symbol, count in parts)
    assert parse(text).molar_mass_g_mol == pytest.approx(other, rel=1e-9)


@given(st.integers(1, 999), st.integers(1, 999), st.integers(1, 99))
def test_decimals_are_exact(a: int, b: int, waters: int) -> None:
    formula = parse(f"Co0.{a:03d}Zn0.{b:03d}Al2O4*{waters}H2O")
    assert formula.counts["Co"] == Fraction(a, 1000)
    assert formula.counts["Zn"] == Fraction(b, 1000)
    assert formula.counts["H"] == 2 * waters


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        formula = parse(text)
    except Refusal as refusal:
        assert refusal.field == "formula"
    else:
        assert formula.molar_mass_g_mol > 0


def test_ten_thousand_random_strings_are_read_or_refused() -> None:
    draw = random.Random(20261125)
    letters = "CoAlOZnHSiNaClFe().[]{}*·+0123456789 ,-^½₂"
    texts = ["".join(draw.choices(letters, k=draw.randint(1, 200))) for _ in range(10_000)]
    texts += ["H2O1." * 39, "H2O." * 50, "(" * 200, "Al2O3.3H2O" * 20, "1.1" * 66]
    for text in texts:
        try:
            parse(text)
        except Refusal as refusal:
            assert refusal.say
