"""A jar of which only the water is unknown: what its assay leaves over leaves as water, and the range is told.

Every expected mass is worked out here from the IUPAC abridged atomic weights (CIAAW 2021), by a balance of what goes in
and what comes out; nothing is taken from the code's own answers.
"""

import math
from collections.abc import Callable
from typing import Any

import pytest

Answer = Callable[..., dict[str, Any]]

CO, CL, TI, OX, HY, CA, SU = 58.933, 35.45, 47.867, 15.999, 1.008, 40.078, 32.06
WATER = 2 * HY + OX
COCL2 = CO + 2 * CL
COO, TIO2, HCL = CO + OX, TI + 2 * OX, HY + CL
SHARE = 0.76767
"""The middle between the dry chloride and a wet hexahydrate."""
DRIEST, WETTEST = 1.0, 2 * SHARE - 1.0
SD_PCT = 100 * (DRIEST - WETTEST) / (2 * math.sqrt(3))
JAR = {"formula": "CoCl2", "assay_pct": 100 * SHARE, "assay_sd_pct": SD_PCT, "hydrate_known": False}
WEIGHED_G = 4.780
MOL = WEIGHED_G * SHARE / COCL2
ASKED_G = MOL * (COO + TIO2)


def gases(told: dict[str, Any], field: str = "g") -> dict[str, float]:
    return {one["gas"]: one[field] for one in told["evolved"]}


def test_what_is_asked_for_is_what_comes_out_of_the_fire(answer: Answer) -> None:
    told = answer("weigh-up", target="CoTiO3", product_g=ASKED_G, reagents=[JAR, {"formula": "TiO2"}])
    assert told["weigh_g"] == pytest.approx([WEIGHED_G, MOL * TIO2], abs=1e-4)
    assert told["fired_g"] == pytest.approx(ASKED_G, abs=1e-4)  # it was 1.11 g more, the water counted as solid


def test_the_masses_balance_with_the_water_in_the_gas(answer: Answer) -> None:
    told = answer("weigh-up", target="CoTiO3", product_g=ASKED_G, reagents=[JAR, {"formula": "TiO2"}])
    # CoCl2 + H2O + TiO2 -> CoTiO3 + 2 HCl takes up a mole of the water that the jar brings beside the chloride.
    hcl, water = 2 * MOL * HCL, WEIGHED_G * (1 - SHARE) - MOL * WATER
    assert gases(told) == {"HCl": pytest.approx(hcl, abs=1e-4), "H2O": pytest.approx(water, abs=1e-4)}
    went_in, came_out = WEIGHED_G + MOL * TIO2, told["fired_g"] + hcl + water
    assert went_in == pytest.approx(came_out, abs=1e-4)


def test_the_range_is_what_the_driest_and_the_wettest_jar_would_leave(answer: Answer) -> None:
    told = answer("weigh-up", target="CoTiO3", product_g=ASKED_G, reagents=[JAR, {"formula": "TiO2"}])
    wet = WEIGHED_G * WETTEST / COCL2 * COO + MOL * TIO2  # titanium dioxide stays over
    dry = ASKED_G + (WEIGHED_G * DRIEST / COCL2 - MOL) * COO  # cobalt stays over
    assert told["fired_range_g"] == pytest.approx([wet, dry], abs=2e-4)
    assert told["washed_range_g"] == pytest.approx([wet, dry], abs=2e-4)
    wet_mol = WEIGHED_G * WETTEST / COCL2
    assert gases(told, "up_to_g")["H2O"] == pytest.approx(WEIGHED_G * (1 - WETTEST) - wet_mol * WATER, abs=1e-4)
    assert gases(told, "up_to_g")["HCl"] == pytest.approx(2 * WEIGHED_G * DRIEST / COCL2 * HCL, abs=1e-4)


def test_from_grams_and_for_the_gas_alone_it_is_the_same_water(answer: Answer) -> None:
    pair = [JAR | {"g": WEIGHED_G}, {"formula": "TiO2", "g": MOL * TIO2}]
    told = answer("balance", weighed=pair, target="CoTiO3")
    assert told["fired_g"] == pytest.approx(ASKED_G, abs=1e-4)
    assert told["fired_range_g"][0] < ASKED_G < told["fired_range_g"][1]
    alone = answer("gas", charges=[JAR | {"g": WEIGHED_G}])
    first = next(one for one in alone["evolved"] if one["gas"] == "H2O")
    assert first["g"] == pytest.approx(WEIGHED_G * (1 - SHARE) - MOL * WATER, abs=1e-4)
    assert first["from_c"] is not None and first["from_c"] < 100
    assert first["up_to_g"] == pytest.approx(WEIGHED_G * (1 - WETTEST) * (1 - WATER / COCL2 * WETTEST / (1 - WETTEST)))


def test_a_formula_with_more_water_than_the_jar_may_hold_is_counted_with_less(answer: Answer) -> None:
    """Gypsum, CaSO4·2H2O, may be plaster: 100 g of the jar may be 118.6 g of gypsum without its water."""
    gypsum = CA + SU + 4 * OX + 2 * WATER
    told = answer("gas", charges=[{"formula": "CaSO4*2H2O", "assay_pct": 105, "hydrate_known": False, "g": 10}])
    water = gases(told)["H2O"]
    assert water == pytest.approx(2 * WATER * 10.5 / gypsum - 0.5, abs=2e-3)


def test_what_a_fire_assay_left_over_has_left_in_the_fire(answer: Answer) -> None:
    damp = {"formula": "Al(OH)3", "assay_pct": 95.0, "assay_rest": "water"}
    told = answer("weigh-up", target="Al2O3", product_g=10, reagents=[damp])
    assert told["fired_g"] == pytest.approx(10.0)
    assert told["fired_range_g"] is None
    assert told["weigh_g"][0] == pytest.approx(told["fired_g"] + gases(told)["H2O"])
    stays = answer("weigh-up", target="Al2O3", product_g=10, reagents=[{"formula": "Al(OH)3", "assay_pct": 95.0}])
    assert stays["fired_g"] == pytest.approx(10 + 0.05 * stays["weigh_g"][0])


@pytest.mark.parametrize(("formula", "sd"), [("Zn5(CO3)2(OH)6", 3.8), ("TiO2", 1.0), ("MnO2", 7.2)])
def test_what_is_not_only_water_stays_as_before(answer: Answer, formula: str, sd: float) -> None:
    """A basic carbonate may hold more carbonate; an oxide has no water to be unsure of; an ore holds much else."""
    jar = {"formula": formula, "assay_pct": 87.5, "assay_sd_pct": sd, "g": 10}
    told = answer("gas", charges=[jar | {"hydrate_known": False}])
    assert told["evolved"] == answer("gas", charges=[jar])["evolved"]


def test_a_word_that_is_none_of_the_two_is_refused(refused: Callable[..., tuple[str, str | None]]) -> None:
    say, field = refused("gas", charges=[{"formula": "Al(OH)3", "assay_rest": "gone", "g": 1}])
    assert field == "charges[0].assay_rest" and "stays" in say
