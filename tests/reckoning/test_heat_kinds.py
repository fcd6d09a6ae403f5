"""The kinds on heat through the same door as the command line: thermocouple, heat-work, forecast, atmosphere."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from bench.reference.library import Library

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]

STALL = [[t, round(720 - 700 * math.exp(-t / 40))] for t in range(0, 131, 5)]
REACH = [[t, round(1100 - 1080 * math.exp(-t / 50))] for t in range(0, 81, 5)]


def test_thermocouple_from_millivolts(answer: Answer) -> None:
    """NIST SRD 60: type K 20.644 mV at 500 °C, 1.000 mV at 25 °C; IEC 60584-1 class 2: 0.0075·500."""
    found = answer("thermocouple", type="K", mv=19.644, cold_junction_c=25, **{"class": 2})
    assert found["c"] == pytest.approx(500, abs=0.02)
    assert found["f"] == pytest.approx(932, abs=0.05)
    assert found["tolerance_c"] == pytest.approx(3.75, abs=0.001)


def test_thermocouple_from_degrees(answer: Answer) -> None:
    """NIST SRD 60: type S 10.757 mV at 1100 °C; ASTM E230: 1480 °C for AWG 24."""
    found = answer("thermocouple", type="s", c=1100, wire_awg=24)
    assert found["mv"] == pytest.approx(10.757, abs=0.0005)
    assert found["tolerance_c"] is None
    assert found["wire_limit_c"] == 1480
    assert found["above_wire_limit"] is False


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"type": "K", "mv": 60}, "mv"),
        ({"type": "B", "mv": 0.0}, "mv"),
        ({"type": "K", "c": 1400}, "c"),
        ({"type": "X", "c": 20}, "type"),
        ({"type": "K"}, "mv"),
        ({"type": "K", "mv": 1, "c": 20}, "mv"),
        ({"type": "K", "c": 1100, "class": 1}, "class"),
        ({"type": "K", "c": 100, "class": 5}, "class"),
        ({"type": "K", "c": 100, "wire_awg": 9}, "wire_awg"),
        ({"type": "B", "mv": 5, "cold_junction_c": -4}, "cold_junction_c"),
        ({"mv": 5}, "type"),
    ],
)
def test_thermocouple_refuses(refused: Refused, fields: dict[str, Any], field: str) -> None:
    assert refused("thermocouple", **fields)[1] == field


def test_last_printed_millivolt_of_a_class_keeps_its_tolerance(answer: Answer) -> None:
    """NIST SRD 60 prints 48.838 mV for 1200 °C; IEC 60584-1 class 2 ends there with ± 9 °C."""
    assert answer("thermocouple", type="K", mv=48.838, **{"class": 2})["tolerance_c"] == pytest.approx(9, abs=0.001)


CURVE = [[0, 20], [196, 1000], [256, 1000], [354, 20]]


def test_heat_work(answer: Answer) -> None:
    """By the exponential integral: 72.61 min at 300 kJ/mol, 78.36 at 200, 69.61 at 400; 90 min at or above 900 °C."""
    found = answer("heat-work", readings=CURVE, reference_c=1000, activation_kj_mol=300, above_c=900)
    assert found["equivalent_min"] == pytest.approx(72.61, abs=0.05)
    assert found["equivalent_min_minus_100kj"] == pytest.approx(78.36, abs=0.05)
    assert found["equivalent_min_plus_100kj"] == pytest.approx(69.61, abs=0.05)
    assert found["min_above"] == pytest.approx(90)
    assert found["peak_c"] == 1000


def test_heat_work_of_one_crucible(answer: Answer) -> None:
    """In at the start of the hold and out after 60 min: an hour at 1000 °C, whatever the energy."""
    found = answer("heat-work", readings=CURVE, reference_c=1000, activation_kj_mol=300, in_min=196, out_min=256)
    assert found["equivalent_min"] == pytest.approx(60)
    assert found["equivalent_min_plus_100kj"] == pytest.approx(60)
    assert found["min_above"] is None


def test_heat_work_says_where_nothing_was_read(answer: Answer, refused: Refused) -> None:
    found = answer("heat-work", readings=CURVE, reference_c=1000, activation_kj_mol=300, in_min=300, out_min=500)
    assert found["to_min"] == 354
    assert any("not counted" in each["say"] for each in found["working"])
    assert refused("heat-work", readings=CURVE, reference_c=1000, activation_kj_mol=300, in_min=3)[1] == "out_min"


def test_an_energy_below_nothing_is_not_given(answer: Answer) -> None:
    found = answer("heat-work", readings=CURVE, reference_c=1000, activation_kj_mol=80)
    assert found["equivalent_min_minus_100kj"] is None
    assert any("means nothing" in each["say"] for each in found["working"])


@pytest.mark.parametrize(
    ("readings", "field"),
    [
        ([[0, 20]], "readings"),
        ([[0, 20], [5, "hot"]], "readings[1][1]"),
        ([[5, 20], [4, 30]], "readings[1]"),
        ([[0, 20], [4, -300]], "readings[1]"),
        ([[0, 20], [4]], "readings[1]"),
        ("20", "readings"),
    ],
)
def test_curves_are_refused_at_their_place(refused: Refused, readings: Any, field: str) -> None:
    assert refused("heat-work", readings=readings, reference_c=1000, activation_kj_mol=300)[1] == field


def test_forecast_of_a_stall(answer: Answer) -> None:
    found = answer("forecast", readings=STALL, target_c=1000)
    assert found["verdict"] == "will-not-reach"
    low, high = found["interval95_c"]
    assert low < 720 < high
    assert found["heading_for_c"] == pytest.approx(720, abs=3)
    assert found["eta_min"] is None
    assert found["bound_c"] < 1000


def test_forecast_of_a_furnace_that_gets_there(answer: Answer) -> None:
    """50·ln(1080/100) = 119.0 min."""
    found = answer("forecast", readings=REACH, target_c=1000)
    assert found["verdict"] == "will-reach"
    early, late = found["eta_min"]
    assert early <= 119.0 <= late


def test_forecast_by_the_furnace_s_own_slowest_rate(answer: Answer) -> None:
    """A furnace known to have no rate slower than 45 min is judged earlier than one that may have 120."""
    short = STALL[:14]
    assert answer("forecast", readings=short, target_c=1000)["verdict"] == "cannot-say-yet"
    assert answer("forecast", readings=short, target_c=1000, slowest_tau_min=45)["verdict"] == "will-not-reach"


def test_forecast_starts_again_at_a_change(answer: Answer) -> None:
    found = answer("forecast", readings=STALL, target_c=1000, changed_at_min=115)
    assert found["verdict"] == "cannot-say-yet"
    assert found["interval95_c"] is None
    assert found["reason"] == "too-few"


def test_forecast_with_one_reading(answer: Answer, refused: Refused) -> None:
    found = answer("forecast", readings=[[0, 20]], target_c=1000)
    assert (found["heading_for_c"], found["eta_min"], found["verdict"]) == (None, None, "cannot-say-yet")
    assert refused("forecast", readings=[], target_c=1000)[1] == "readings"
    assert refused("forecast", readings=STALL, target_c=1000, slowest_tau_min=0)[1] == "slowest_tau_min"


def test_atmosphere_by_ratio_and_by_flame(answer: Answer) -> None:
    """CoO at 1273 K: CO2/CO 14.0 (2 %), propane limit phi 1.04 (± 0.005); phi 1.05 gives 10.55."""
    found = answer("atmosphere", oxide="CoO", c=1000, phi=1.05)
    assert found["equilibrium_co2_co"] == pytest.approx(14.0, rel=0.02)
    assert found["gas_co2_co"] == pytest.approx(10.554, rel=0.005)
    assert found["phi_limit"] == pytest.approx(1.04, abs=0.005)
    assert found["reduces"] is True
    assert answer("atmosphere", oxide="CoO", c=1000, co2_co=20)["reduces"] is False
    assert answer("atmosphere", oxide="CoO", c=1000, co2_co=14)["reduces"] == "too-close"
    assert any("held more firmly" in each for each in found["caveats"])


def test_atmosphere_where_no_flame_reduces(answer: Answer) -> None:
    """MnO and Cr2O3 never in a flame."""
    for oxide in ("MnO", "Cr2O3"):
        found = answer("atmosphere", oxide=oxide, c=1000, phi=1.5)
        assert found["phi_limit"] is None
        assert found["reduces"] is False
        assert any("confirm it first" in each for each in found["caveats"])


def test_atmosphere_takes_a_reagent_s_name(answer: Answer) -> None:
    assert answer("atmosphere", oxide="cobalt-ii-oxide", c=1000, phi=1.2)["becomes"] == "Co"
    assert answer("atmosphere", oxide="Fe₂O₃", c=1000, phi=1.2)["becomes"] == "Fe3O4"


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"oxide": "CoO", "c": 1000}, "co2_co"),
        ({"oxide": "CoO", "c": 1000, "phi": 1, "co2_co": 2}, "co2_co"),
        ({"oxide": "CoO", "c": 1000, "phi": 4}, "phi"),
        ({"oxide": "CoO", "c": 20, "phi": 1.1}, "c"),
        ({"oxide": "ZnO", "c": 1000, "phi": 1.1}, "oxide"),
        ({"oxide": "Xx((", "c": 1000, "phi": 1.1}, "oxide"),
        ({"oxide": "CoO", "phi": 1.1}, "c"),
    ],
)
def test_atmosphere_refuses(refused: Refused, fields: dict[str, Any], field: str) -> None:
    assert refused("atmosphere", **fields)[1] == field


@pytest.mark.parametrize(
    "ask",
    [
        ("thermocouple", {"type": "K", "mv": 20, "class": 1, "wire_awg": 8}),
        ("heat-work", {"readings": CURVE, "reference_c": 900, "activation_kj_mol": 250, "in_min": 5, "out_min": 300}),
        ("forecast", {"readings": STALL, "target_c": 1000}),
        ("forecast", {"readings": REACH, "target_c": 1000}),
        *(("atmosphere", {"oxide": each, "c": 900, "phi": 1.2}) for each in ("CoO", "CuO", "Fe2O3", "FeO", "MnO")),
    ],
    ids=lambda ask: ask[0],
)
def test_every_source_of_the_working_is_known(
    answer: Answer, library: Library, ask: tuple[str, dict[str, Any]]
) -> None:
    steps = answer(ask[0], **ask[1])["working"]
    assert steps
    assert {each["source"] for each in steps} - {None} <= set(library.sources)
    assert all(each["say"] for each in steps)


def test_a_cone_is_a_range_and_no_proof(answer: Answer) -> None:
    """Beerman 1956 (from memory): cone 06 at 991 °C for 60 and 999 °C for 150 °C/h."""
    found = answer("cone", cone="06", rate_c_per_h=100)
    assert 991 < found["end_c"] < 999 and found["high_c"] - found["low_c"] == 20
    said = " ".join(step["say"] for step in found["working"])
    assert "From memory" in said and "no check" in said


@pytest.mark.parametrize(
    ("ask", "field"),
    [
        ({"cone": "7", "rate_c_per_h": 100}, "cone"),
        ({"cone": "06", "rate_c_per_h": 300}, "rate_c_per_h"),
        ({"cone": "06"}, "rate_c_per_h"),
    ],
)
def test_a_cone_outside_its_table_is_refused(refused: Refused, ask: dict[str, Any], field: str) -> None:
    assert refused("cone", **ask)[1] == field


def test_the_forecast_is_told_of_the_load(answer: Answer) -> None:
    """A plateau of 880 °C: waited for while the load may hold carbonate, called where it is known to hold none."""
    taken = [[5 * k, round(880 - 860 * math.exp(-k / 8))] for k in range(32)]
    unknown = answer("forecast", readings=taken, target_c=1000)
    assert (unknown["verdict"], unknown["reason"]) == ("cannot-say-yet", "carbonate")
    assert any("nobody said what it is" in step["say"] for step in unknown["working"])
    assert answer("forecast", readings=taken, target_c=1000, carbonate=True)["verdict"] == "cannot-say-yet"
    assert answer("forecast", readings=taken, target_c=1000, carbonate=False)["verdict"] == "will-not-reach"
