"""The gas of a load, summed over its crucibles, held against stoichiometry and the room model of the exposure notes."""

from typing import Any

import pytest

from bench.workshop.light_gate import gate_light
from bench.workshop.load_gas import estimates, load_gas
from bench.workshop.things.firings import firing
from tests.workshop.builder import lines
from tests.workshop.dangers import LIBRARY, Dangers


def a_load(**furnace: object) -> tuple[Dangers, str]:
    """Two crucibles of one batch that holds 10 g CoCl2·6H2O, in a furnace as told."""
    bench = Dangers()
    batch = bench.batch(lines(("CoCl2*6H2O", 10.0)))
    bench.weigh(batch, 10.0)
    firing = bench.firing(bench.furnace("electric", **furnace), 900.0)
    for column in (1, 2):
        bench.placed(bench.charge({"batch": batch, "g": 5.0}, lid="loose"), firing, column=column)
    return bench, firing


def test_the_gas_of_two_crucibles_is_that_of_all_their_grams() -> None:
    bench, firing = a_load()
    found = load_gas(bench.state, charges_of(bench, firing), LIBRARY)
    # 10 g CoCl2·6H2O gives 3.065 g HCl: stoichiometry, as in the worked example of the exposure method.
    assert found.grams["HCl"] == pytest.approx(3.065, abs=0.002)
    assert found.harmful.keys() == {"HCl"}


def test_indoors_the_estimate_stops_the_light_and_names_the_rule() -> None:
    bench, firing = a_load(place="indoors", room_m3=40.0, air_changes_per_h=1.0)
    found = {f.rule: f for f in gate_light(bench.state, firing, LIBRARY)}
    assert found["exposure-screen"].effect == "block"
    assert found["chloride-indoors"].effect == "block"


def test_outdoors_gives_no_figure() -> None:
    bench, firing = a_load(place="outdoors")
    rules = {f.rule for f in gate_light(bench.state, firing, LIBRARY)}
    assert not rules & {"exposure-screen", "chloride-indoors", "ventilation-unknown"}


def test_an_unknown_room_is_the_worse_and_said_once() -> None:
    """That gas could reach a mark is said of an estimate alone; without the air of the room there is none."""
    bench, firing = a_load(place="indoors")
    rules = {f.rule for f in gate_light(bench.state, firing, LIBRARY)}
    assert "ventilation-unknown" in rules and "exposure-screen" not in rules


@pytest.mark.parametrize(("line", "held"), [("ZnO", False), ("Fe2O3", False), ("CaCO3", True)])
def test_oxides_that_give_no_gas_ask_for_no_air_of_the_room(line: str, held: bool) -> None:
    """As their plan says: no gas is expected. Carbon dioxide asks for it; so does zinc in a reducing fire."""
    electric = {"fuel": "electric", "place": "indoors"}
    for air, stands in (("oxidising", held), ("reducing", held or line == "ZnO")):
        bench = Dangers()
        batch = bench.ready_batch(lines((line, 5.0)), atmosphere=air)
        firing = bench.firing(bench.furnace(**electric), 900.0)
        bench.placed(bench.charge({"batch": batch, "g": 5.0}, lid="loose"), firing)
        rules = {f.rule for f in gate_light(bench.state, firing, LIBRARY)}
        assert ("ventilation-unknown" in rules) is stands and "exposure-screen" not in rules


@pytest.mark.parametrize(
    ("more", "told", "held"),
    [
        ((), {}, False),
        ((), {"furnace": {"fuel": "gas", "place": "indoors"}}, True),  # its flame makes gas in any case
        ((("CaCO3", 0.1),), {}, True),
        ((("Mystery frit", 0.1),), {}, True),
        ((), {"binder": "starch"}, True),
        ((), {"dry": False}, True),  # steam
    ],
)
def test_a_load_that_gives_off_nothing_needs_no_room(
    more: tuple[tuple[str, float], ...], told: dict[str, Any], held: bool
) -> None:
    """Two oxides that only join, ZnO and Fe2O3, in an electric furnace of an unknown room: no gas, no hold."""
    bench = Dangers()
    lot = (("ZnO", 3.4), ("Fe2O3", 6.6), *more)
    firing = bench.loaded(*lot, **{"furnace": {"fuel": "electric", "place": "indoors"}, **told})
    rules = {f.rule for f in gate_light(bench.state, firing, LIBRARY)}
    assert (rules >= {"ventilation-unknown"}) is held


def test_charcoal_in_one_crucible_counts_for_the_carbonate_in_another() -> None:
    """2 g C and 5 g CaCO3 in one load: 2 ÷ 12.011 + 5 ÷ 100.087 mol of CO at most, 6.064 g."""
    bench = Dangers()
    firing = bench.loaded(("C", 2.0), ("CaCO3", 5.0), furnace={"fuel": "electric", "place": "outdoors"}, pots=2)
    found = load_gas(bench.state, charges_of(bench, firing), LIBRARY)
    assert found.grams["CO"] == pytest.approx((2 / 12.011 + 5 / 100.087) * 28.010, rel=1e-3)
    assert "CO" in found.bounds and any("burner" in say for say in found.cautions)


def test_the_stop_names_the_gas_of_the_whole_load_by_the_driest_jar() -> None:
    """10 g of a jar that may be dry Zn(CH3COO)2, 183.47 g/mol: 4 CO each, 6.107 g in two crucibles, said as 6.2."""
    bench = Dangers()
    jar = bench.jar("Zn(CH3COO)2*2H2O", "Zn(CH3COO)2*2H2O", hydrate_known=False, assay_pct=109.82, assay_sd_pct=5.669)
    line = {"line": 1, "formula": "Zn(CH3COO)2*2H2O", "target_g": 10.0, "jar": jar, "assay_pct": 109.82}
    batch = bench.batch([line])
    bench.weigh(batch, 10.0, jar=jar)
    fire = bench.firing(bench.furnace("electric", place="indoors", room_m3=40.0, air_changes_per_h=1.0), 900.0)
    for column, g in ((1, 8.0), (2, 2.0)):
        bench.placed(bench.charge({"batch": batch, "g": g}, lid="loose"), fire, column=column)
    most_g = 10 / 183.47 * 4 * 28.010
    assert load_gas(bench.state, charges_of(bench, fire), LIBRARY).grams["CO"] == pytest.approx(most_g, rel=1e-3)
    [said] = [f.say for f in gate_light(bench.state, fire, LIBRARY) if f.rule == "carbon-monoxide-charge"]
    assert "up to 6.2 g" in said


def test_fluoride_indoors_stops_the_light_by_its_estimate() -> None:
    """0.2 g NaF, 0.095 g HF at most: 3 × 95 mg ÷ 40 m³ = 7.1 mg/m³, over half of the short limit of 1.6."""
    bench = Dangers()
    room = {"fuel": "electric", "place": "indoors", "room_m3": 40.0, "air_changes_per_h": 0.0}
    firing = bench.loaded(("Co3O4", 4.54), ("Al2O3", 5.76), ("NaF", 0.2), furnace=room, pots=1)
    load = charges_of(bench, firing)
    assert load_gas(bench.state, load, LIBRARY).counted["HF"] == pytest.approx(0.0953, abs=1e-4)
    [peak] = [one["peak"] for one in estimates(bench.state, firing, load, LIBRARY)["estimates"]]
    assert peak == pytest.approx(3 * 95.3 / 40, rel=1e-3)


def test_a_fume_is_named_and_never_summed_as_a_dose() -> None:
    bench = Dangers()
    firing = bench.loaded(("V2O5", 1.0), furnace={"fuel": "electric", "place": "outdoors"}, pots=1)
    found = load_gas(bench.state, charges_of(bench, firing), LIBRARY)
    assert [(one.gas, one.form) for one in found.fumes] == [("V2O5", "fume")]
    assert not found.harmful and not found.counted


def charges_of(bench: Dangers, thing: str) -> list[str]:
    fire = firing(bench.state, thing)
    assert fire is not None
    return list(fire.charges)
