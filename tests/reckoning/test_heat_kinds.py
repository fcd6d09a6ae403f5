"""The kinds on heat through the same door as the command line: thermocouple, heat-work, forecast, atmosphere."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from bench.reference.library import Library

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]

STALL = [[t, round(720 - 700 * math.exp(-t / 40))] for t in range(0, 131, 5)]
REACH = [[t, round(1020 - 1000 * math.exp(-t / 50))] for t in range(0, 186, 5)]
BY_HAND_C = (180, 330, 450, 560, 640, 690, 712, 719, 721, 720, 722, 721, 721, 720, 721, 721, 720)
BY_HAND = [[10 * (place + 1), c] for place, c in enumerate(BY_HAND_C)]


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
        ({"type": "K", "c": 100, "class": 5}, "class"),
        ({"type": "K", "c": 100, "wire_awg": 9}, "wire_awg"),
        ({"type": "B", "mv": 5, "cold_junction_c": -4}, "cold_junction_c"),
        ({"mv": 5}, "type"),
    ],
)
def test_thermocouple_refuses(refused: Refused, fields: dict[str, Any], field: str) -> None:
    assert refused("thermocouple", **fields)[1] == field


@pytest.mark.parametrize(
    ("letter", "mv", "tolerance_class", "c"),
    [("K", 50.6, 2, 1248.8), ("J", 45.494, 1, 800.0), ("T", 20.872, 1, 400.0)],
)
def test_above_its_class_the_temperature_stands_without_a_tolerance(
    answer: Answer, letter: str, mv: float, tolerance_class: int, c: float
) -> None:
    """NIST SRD 60: J 45.494 mV at 800 °C, T 20.872 mV at 400 °C; class ranges of IEC 60584-1 end at 750 and 350 °C."""
    found = answer("thermocouple", type=letter, mv=mv, **{"class": tolerance_class})
    assert found["c"] == pytest.approx(c, abs=0.1)
    assert found["tolerance_c"] is None
    assert any("No tolerance can be stated there" in each["say"] for each in found["working"])


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
    """The fact stands after half an hour, the verdict once the heat dose and four readings running prove it."""
    early, late = (answer("forecast", readings=BY_HAND[:count], target_c=1000) for count in (11, 17))
    assert early["fact"]["minutes"] == 30 and (early["verdict"], early["reason"]) == ("cannot-say-yet", "steam")
    assert "Has not risen for 30 min" in early["say"] and "; the plan wants 1000 °C." in early["say"]
    assert late["verdict"] == "will-not-reach" and late["eta_min"] is None
    low, high = late["interval95_c"]
    assert low <= 720 <= high <= late["bound_c"] < 1000
    assert late["heading_for_c"] is None and "interval" in late["heading_for_reason"]
    said = " ".join(step["say"] for step in late["working"])
    assert "burner that drifts" in said and "simulated furnaces" in said and "ten real firings" in said


def test_forecast_of_a_furnace_that_gets_there(answer: Answer) -> None:
    """1020 - 1000·exp(-t/50): 50·ln(1000/20) = 195.6 min."""
    found = answer("forecast", readings=REACH, target_c=1000)
    assert found["verdict"] == "will-reach"
    early, late = found["eta_min"]
    assert early <= 195.6 <= late


def test_forecast_says_no_temperature_below_where_it_stands(answer: Answer) -> None:
    """15 and 110 min to 1100 °C, read every 6 min: it climbs at 907 °C after an hour and a half."""
    taken = [[m, round(1100 - 1080 * (0.6 * math.exp(-m / 15) + 0.4 * math.exp(-m / 110)))] for m in range(0, 91, 6)]
    found = answer("forecast", readings=taken, target_c=1100)
    assert found["interval95_c"] is None or found["interval95_c"][0] >= taken[-1][1]
    assert "heading for about" not in found["say"].lower() and found["heading_for_c"] is None
    early, late = found["eta_min"]
    assert early > 90 and late is None


def test_forecast_waits_for_water_under_hot_gas(answer: Answer) -> None:
    """The probe stands in gas at 330 °C while the wall boils for 70 min at 100 °C; then it climbs to 1100 °C."""
    wet = [[m, round(330 - 310 * math.exp(-m / 12))] for m in range(0, 70, 5)]
    later = [[m, round(1100 - 770 * math.exp(-(m - 70) / 70))] for m in range(70, 260, 5)]
    taken = wet + later
    assert taken[-1][1] > 1000
    for count in range(8, len(taken) + 1):
        assert answer("forecast", readings=taken[:count], target_c=1000)["verdict"] != "will-not-reach"


def test_forecast_waits_for_a_wall_that_radiates(answer: Answer) -> None:
    """C·T' = P - k·(T⁴ - Ta⁴): 97 min at its plateau of 1010 °C, 150 min and more at 400; it reaches 1000 °C.

    A quick chamber stands before it: 300 °C in ten minutes. Stepped by hand, a tenth of a minute at a time.
    """
    end, wall, taken = 1010 + 273.15, 293.15, []
    for step in range(7000):
        minute = step / 10
        if step % 60 == 0:
            taken.append([minute, round(wall - 273.15 + 180 * (1 - math.exp(-minute / 10)) * (1 - (wall / end) ** 4))])
        wall += 0.1 * (end**4 - wall**4) / (4 * end**3) / 97
    assert max(c for _, c in taken) >= 1000
    for count in range(8, 60):
        assert answer("forecast", readings=taken[:count], target_c=1000)["verdict"] != "will-not-reach"


def test_forecast_by_the_furnace_s_own_slowest_rate(answer: Answer) -> None:
    """A dry furnace known to have no rate slower than 45 min is judged earlier than one that may have 180."""
    short = STALL[:17]
    assert answer("forecast", readings=short, target_c=1000, dry=True)["verdict"] == "cannot-say-yet"
    ask = {"readings": short, "target_c": 1000, "slowest_tau_min": 45, "dry": True}
    assert answer("forecast", **ask)["verdict"] == "will-not-reach"


def test_forecast_starts_again_at_a_change(answer: Answer) -> None:
    found = answer("forecast", readings=STALL, target_c=1000, changed_at_min=115)
    assert found["verdict"] == "cannot-say-yet"
    assert found["interval95_c"] is None and found["fact"] is None
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
    assert any("bound more firmly" in each for each in found["caveats"])


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
    """Beerman 1956 (from memory): cone 06 at 991 °C for 60 and 999 °C for 150 °C/h; ±25 °C below cone 1, ±15 from it on
    (a comparison of 1926, abstract read).
    """
    found = answer("cone", cone="06", rate_c_per_h=100)
    assert 991 < found["end_c"] < 999 and found["high_c"] - found["low_c"] == pytest.approx(50)
    said = " ".join(step["say"] for step in found["working"])
    assert "From memory" in said and "does not show" in said and "CO2 or SO2 shift" in said
    one = answer("cone", cone="1", rate_c_per_h=100)
    assert one["high_c"] - one["low_c"] == pytest.approx(30)


@pytest.mark.parametrize(
    ("ask", "field"),
    [
        ({"cone": "7", "rate_c_per_h": 100}, "cone"),
        ({"cone": "06", "rate_c_per_h": 300}, "rate_c_per_h"),
        ({"cone": "06"}, "rate_c_per_h"),
    ],
)
def test_a_cone_outside_its_table_is_refused(refused: Refused, ask: dict[str, Any], field: str) -> None:
    say, where = refused("cone", **ask)
    assert where == field
    assert field != "cone" or "Six of the 64 cones are known here" in say


def test_the_forecast_is_told_of_the_load(answer: Answer) -> None:
    """A plateau of 880 °C: waited for while the load may hold carbonate, called where it is known to hold none."""
    ask = {"readings": [[5 * k, round(880 - 860 * math.exp(-k / 8))] for k in range(41)], "target_c": 1000}
    unknown = answer("forecast", **ask)
    assert (unknown["verdict"], unknown["reason"]) == ("cannot-say-yet", "carbonate")
    assert any("goes late: not known" in step["say"] for step in unknown["working"])
    assert answer("forecast", **ask, carbonate=True)["verdict"] == "cannot-say-yet"
    none = answer("forecast", **ask, carbonate=False)
    assert none["verdict"] == "will-not-reach"
    said = " ".join(step["say"] for step in none["working"])
    assert "No CO2 from this load over 700 °C" in said and "holds no carbonate" not in said
