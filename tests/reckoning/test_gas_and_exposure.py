"""Gas by heat, and the screen of what it does to a room."""

from collections.abc import Callable
from typing import Any

import pytest

from bench.reckoning.substances import substance
from bench.reference.library import Library
from bench.science.evolution import Choices, atoms_in_gas

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]


def by_gas(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {each["gas"]: each for each in found["evolved"]}


def test_hydrogen_chloride_of_cobalt_chloride(answer: Answer) -> None:
    """Stoichiometry: 10 g give 3.065 g, 2.057 L at 25 °C and 1 atm; the window is the reference row's."""
    found = by_gas(answer("gas", charges=[{"formula": "CoCl2·6H2O", "g": 10}]))
    assert found["HCl"]["g"] == pytest.approx(3.065, abs=0.002)
    assert found["HCl"]["l_25c"] == pytest.approx(2.057, abs=0.002)
    assert (found["HCl"]["from_c"], found["HCl"]["to_c"]) == (400, 750)
    assert found["H2O"]["g"] == pytest.approx(10 * 5 * 18.015 / 237.923, abs=1e-3)
    assert "O2" not in found


def test_fifty_grams(answer: Answer) -> None:
    """Worked example: 50 g give 15.3 g HCl, in 40 m³ about 257 ppm without a near-source factor (computed)."""
    g = by_gas(answer("gas", charges=[{"formula": "CoCl2*6H2O", "g": 50}]))["HCl"]["g"]
    assert g == pytest.approx(15.3, abs=0.05)
    found = answer("exposure", gas="HCl", g=g, room_m3=40, air_changes_per_h=0, mixing_factor=1)
    assert found["peak_ppm"] == pytest.approx(257, abs=1)
    assert found["verdict"] == "do-not-do-it-indoors"


def test_charges_add_up_and_steps_keep_their_windows(answer: Answer) -> None:
    found = answer("gas", charges=[{"formula": "CaCO3", "g": 10}, {"formula": "calcium-carbonate", "g": 10.0174}])
    assert by_gas(found)["CO2"]["g"] == pytest.approx(8.802, abs=0.005)
    assert by_gas(found)["CO2"]["l_25c"] == pytest.approx(4.893, abs=0.002)
    assert [(step["from_c"], step["to_c"]) for step in found["steps"]] == [(650, 900), (650, 900)]


def test_without_a_row_no_temperatures_are_made_up(answer: Answer) -> None:
    found = answer("gas", charges=[{"formula": "NiSO4*6H2O", "g": 1}])
    assert {each["from_c"] for each in found["evolved"]} == {None}
    assert any("general rule" in step["say"] for step in found["working"])


@pytest.mark.parametrize(
    ("choice", "formula", "gas"),
    [
        ({"chlorine": "Cl2"}, "FeCl3*6H2O", "Cl2"),
        ({"nitrogen": "N2"}, "Co(NO3)2*6H2O", "N2"),
        ({"sulfur": "SO2"}, "CuSO4*5H2O", "SO2"),
    ],
)
def test_the_maker_chooses(answer: Answer, choice: dict[str, str], formula: str, gas: str) -> None:
    assert gas in by_gas(answer("gas", charges=[{"formula": formula, "g": 1}], choices=choice))


def test_every_reagent_of_the_library_closes_its_balance(library: Library) -> None:
    for row in library.reagents.values():
        for choices in (Choices(), Choices("Cl2", "N2", "SO2")):
            found = substance(row.slug, library, "formula")
            evolution = found.in_the_fire(choices)
            for symbol in {*found.formula.counts, "O"}:
                left = evolution.residue.get(symbol, 0.0) + atoms_in_gas(evolution.gas_mol, symbol)
                assert left == pytest.approx(found.formula.numbers.get(symbol, 0.0), abs=1e-12), row.slug


def test_every_reagent_gives_the_gas_of_its_row(library: Library) -> None:
    """The rows round to six places; nothing else may change. Potassium permanganate has no residue on record."""
    for row in library.reagents.values():
        if row.slug == "potassium-permanganate":
            continue
        evolution = substance(row.slug, library, "formula").in_the_fire(Choices())
        assert not evolution.assumed, row.slug
        told: dict[str, float] = {}
        for part in row.gas_steps:
            told[part.gas] = told.get(part.gas, 0.0) + part.mol_per_formula
        for gas in {*told, *evolution.gas_mol}:
            assert evolution.gas_mol.get(gas, 0.0) == pytest.approx(told.get(gas, 0.0), abs=1e-5), row.slug


@pytest.mark.parametrize(
    ("typed", "slug"),
    [
        ("ZnSO4*H2O", "zinc-sulfate-heptahydrate"),
        ("CoCl2", "cobalt-chloride-hexahydrate"),
        ("2CoCO3*3Co(OH)2", "cobalt-carbonate-basic"),
        ("Cobalt(II) carbonate", "cobalt-ii-carbonate"),
        ("NiCO3*2Ni(OH)2*4H2O", "nickel-carbonate-basic"),
        ("C6H12O6", None),
        ("CO", None),
        ("ZnCO3", None),
    ],
)
def test_which_row_stands_for_a_formula(library: Library, typed: str, slug: str | None) -> None:
    found = substance(typed, library, "formula").row
    assert (found.slug if found else None) == slug


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"charges": [{"formula": "As2O3", "g": 1}]}, "charges"),
        ({"charges": [{"formula": "KNO3", "g": 1}, {"formula": "C", "g": 1}]}, "charges"),
        ({"charges": [{"formula": "CaCO3", "g": "ten"}]}, "charges[0].g"),
        ({"charges": [{"formula": "co3o4", "g": 1}]}, "charges[0].formula"),
        ({"charges": {}}, "charges"),
    ],
)
def test_refused(refused: Refused, fields: dict[str, Any], field: str) -> None:
    assert refused("gas", **fields)[1] == field


def room(**changes: Any) -> dict[str, Any]:
    return {"gas": "HCl", "g": 3.065, "room_m3": 40, "air_changes_per_h": 0, "mixing_factor": 1, **changes}


def test_still_air(answer: Answer) -> None:
    found = answer("exposure", **room())
    assert found["peak_mg_m3"] == pytest.approx(76.6, abs=0.1)
    assert found["peak_ppm"] == pytest.approx(51.4, abs=0.1)
    assert all(limit["exceeded"] for limit in found["limits"])
    assert all(limit["body"] for limit in found["limits"])
    assert found["strictest"]["short"]["value"] == 2
    assert found["strictest"]["danger"]["year"] == 2025


def test_three_times_near_the_source_unless_told_otherwise(answer: Answer) -> None:
    asked = room()
    del asked["mixing_factor"]
    assert answer("exposure", **asked)["peak_mg_m3"] == pytest.approx(3 * 76.625)


def test_unknown_air_gives_no_figure(answer: Answer) -> None:
    found = answer("exposure", **room(air_changes_per_h=None))
    assert found["verdict"] == "do-not-do-it-indoors"
    assert found["peak_mg_m3"] is found["peak_ppm"] is found["twa8h_mg_m3"] is None
    assert {limit["exceeded"] for limit in found["limits"]} == {None}


def test_outdoors_gives_no_figure(answer: Answer) -> None:
    found = answer("exposure", gas="HCl", g=3, outdoors=True)
    assert found["peak_mg_m3"] is None
    assert found["verdict"] == "flag"


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"gas": "CO2", "g": 8.8, "air_changes_per_h": 2}, "no-flag"),
        ({"gas": "CO2", "g": 200, "air_changes_per_h": 2}, "flag"),
        ({"gas": "CO2", "g": 2000, "air_changes_per_h": 2}, "do-not-do-it-indoors"),
        ({"gas": "HCl", "g": 0.01, "air_changes_per_h": 6}, "no-flag"),
        ({"gas": "HCl", "g": 0.04, "air_changes_per_h": 6}, "flag"),
        ({"gas": "CH4", "g": 200}, "do-not-do-it-indoors"),
        ({"gas": "CrO3", "g": 1e-9, "air_changes_per_h": 6}, "flag"),
        ({"gas": "V2O5", "g": 0.01, "air_changes_per_h": 1}, "do-not-do-it-indoors"),
        ({"gas": "H2O", "g": 5, "air_changes_per_h": 1}, "no-flag"),
    ],
)
def test_verdicts(answer: Answer, changes: dict[str, Any], verdict: str) -> None:
    found = answer("exposure", **room(**changes))
    assert found["verdict"] == verdict
    assert "safe" not in str(found).casefold()


def test_limits_count_the_part_that_they_name(answer: Answer) -> None:
    """0.05 mg/m³ as V, a ceiling, is 0.0893 mg/m³ of V2O5 (2 × 50.9415 of 181.878)."""
    for g, exceeded in ((0.0035, False), (0.0037, True)):
        found = answer("exposure", **room(gas="V2O5", g=g))
        ceiling = next(each for each in found["limits"] if each["counted_as"] == "V" and each["value"] == 0.05)
        assert ceiling["exceeded"] is exceeded


def test_an_unknown_gas_is_refused_with_those_on_record(refused: Refused) -> None:
    say, field = refused("exposure", **room(gas="Xe"))
    assert field == "gas"
    assert "HCl" in say
    assert refused("exposure", **room(room_m3=0))[1] == "room_m3"
    assert refused("exposure", gas="HCl", g=1, air_changes_per_h=1)[1] == "room_m3"


@pytest.mark.parametrize(
    ("powder", "body", "value", "form", "fraction", "of_powder"),
    [
        # EU 0.01 mg/m3 respirable as Ni (Directive 2022/431): 0.01 · 74.69/58.69 of NiO.
        ("NiO", "EU limit", 0.01, None, "respirable", 0.01 * 74.69 / 58.69),
        # ACGIH 0.02 mg/m3 inhalable as Co: times 237.92/58.93 of the hexahydrate.
        ("CoCl2*6H2O", "ACGIH TLV", 0.02, None, "inhalable", 0.02 * 237.92 / 58.93),
        # ACGIH 2 mg/m3 respirable, counted as the oxide itself.
        ("ZnO", "ACGIH TLV", 2.0, None, "respirable", 2.0),
        # NIOSH and UK 0.5 as Ba, soluble: the carbonate dissolves slightly, so it may hold.
        ("aluminium-hydroxide", "ACGIH TLV", 1.0, "insoluble", "respirable", 78.0 / 26.98),
    ],
)
def test_the_strictest_dust_limit_that_fits(
    answer: Answer, powder: str, body: str, value: float, form: str | None, fraction: str, of_powder: float
) -> None:
    found = answer("dust-limit", formula=powder)
    first = found["strictest"]
    assert (first["body"], first["value"], first["form"], first["fraction"]) == (body, value, form, fraction)
    assert first["mg_m3_of_powder"] == pytest.approx(of_powder, rel=1e-3)
    assert all(one["body"] for one in found["limits"]) and found["working"]


def test_what_dissolves_decides_which_limit_holds(answer: Answer) -> None:
    """ACGIH: molybdenum soluble 0.5 respirable, insoluble 3 respirable, as Mo: 95.95 of 143.95 g."""
    as_oxide = 143.95 / 95.95
    for soluble, value in (("yes", 0.5), ("no", 3.0), ("unknown", 0.5)):
        first = answer("dust-limit", formula="MoO3", soluble=soluble)["strictest"]
        assert (first["value"], first["mg_m3_of_powder"]) == (value, pytest.approx(value * as_oxide, rel=1e-3))


def test_without_a_card_there_is_no_limit_and_no_ease(answer: Answer, refused: Refused) -> None:
    found = answer("dust-limit", formula="SrS")
    assert (found["strictest"], found["limits"], found["lowest_reachable"]) == (None, [], True)
    assert "No card" in found["working"][0]["say"]
    assert answer("dust-limit", formula="V2O5")["lowest_reachable"] is True
    assert refused("dust-limit", formula="Xx((")[1] == "formula"
    assert refused("dust-limit", formula="NiO", soluble="perhaps")[1] == "soluble"
