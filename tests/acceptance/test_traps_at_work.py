"""Slips of a maker in a hurry at balance, fire and waste: what saves is on the glass of a phone as the page opens."""

import pytest

from tests.acceptance.in_sight import Hurried
from tests.screens.making import Making
from tests.screens.powders import cold_charge, powder
from tests.screens.test_standstill import BY_HAND_C
from tests.workshop.builder import lines
from tests.workshop.test_jar_water import salt_jar, titanate

DAMP = "Not recorded as dry: steam bursts a crucible. Dry it first."
TAN = lines(("ZnO", 5.0), ("Fe2O3", 10.0))


@pytest.fixture(scope="module")
def make(hurried: Hurried) -> Making:
    made = Making(hurried.live.app, hurried.live.keeper)
    made.add("setting.changed", {"name": "emergency_number", "value": "000"}, "0" * 26)
    return made


def at_the_balance(hurried: Hurried, make: Making, batch: str) -> None:
    make.checked(batch, "before-weighing")
    hurried.at(f"/batch/{batch}/weigh/1")


def test_a_jar_of_unknown_water_says_what_may_be_right(hurried: Hurried, make: Making) -> None:
    at_the_balance(hurried, make, titanate(make, salt_jar(make)))
    hurried.sees("The water of this jar is not known: 3.67 to 6.85 g may be right.")


def test_ten_times_too_much_is_typed_again_first(hurried: Hurried, make: Making) -> None:
    batch = make.batch(TAN)
    at_the_balance(hurried, make, batch)
    hurried.fill(net_g="50.0")
    hurried.tap()
    hurried.sees("Type it again")
    hurried.sees("10 times the target. Is the decimal point in the right place?")
    assert hurried.page.locator("[name=do]").first.get_attribute("value") == "retype"


def test_another_jars_tag_is_refused(hurried: Hurried, make: Making) -> None:
    first, other = make.jar("ZnO", "zinc-oxide", net_g=100.0), make.jar("ZnO", "zinc-oxide", net_g=100.0)
    make.coded(other, "7K3MQX")
    planned = lines(("ZnO", 5.0))
    planned[0]["jar"] = first
    at_the_balance(hurried, make, make.batch(planned))
    hurried.fill(jar="7K3MQX", net_g="5")
    hurried.tap()
    hurried.sees("Not the planned jar, but it holds zinc oxide too.")
    hurried.stands_at("jar")


def test_a_full_crucible_is_not_filled(hurried: Hurried, make: Making) -> None:
    vessel, batch = make.crucible(), make.ready_batch(TAN)
    make.coded(vessel, "T5C7HJ")
    make.charge({"batch": batch, "g": 2.0}, crucible=vessel)
    make.checked(batch, "before-loading")
    hurried.at(f"/batch/{batch}/load")
    hurried.fill(code="T5C7HJ", g="1", lid="loose")
    hurried.tap()
    hurried.sees("still holds a charge")


def burning(make: Making, **placed: str) -> str:
    fire = make.firing(make.furnace(name="Box", layout="grid", tiers=1, rows=2, columns=2))
    for thing in placed.values():
        make.placed(thing, fire)
    make.lit(fire)
    return fire


def test_a_damp_charge_is_held_out_of_the_fire(hurried: Hurried, make: Making) -> None:
    vessel = make.crucible()
    make.coded(vessel, "9QH2FB")
    damp = make.charge({"batch": make.ready_batch(), "g": 5.0}, crucible=vessel, wet_g=7.0)
    fire = burning(make)
    hurried.at(f"/firing/{fire}/in")
    hurried.fill(code="9QH2F-B")
    hurried.tap()
    hurried.sees(DAMP)
    hurried.sees("It is not placed in this firing. Place it first.")
    hurried.sees("Already in: enter it")
    assert hurried.recorded("went.in", damp) == 0


def test_a_fire_is_not_lit_over_unanswered_checks(hurried: Hurried, make: Making) -> None:
    fire = make.firing(make.furnace(place="outdoors"))
    make.placed(make.charge({"batch": make.ready_batch(TAN), "g": 5.0}), fire)
    hurried.at(f"/firing/{fire}")
    hurried.sees("Answer them first")
    assert hurried.page.get_by_role("button", name="Record lit").count() == 0


def test_not_done_keeps_the_key_shut(hurried: Hurried, make: Making) -> None:
    fire = make.firing(make.furnace(place="outdoors"))
    hurried.at(f"/firing/{fire}/checks/before-lighting")
    item = hurried.page.locator("#light-zone").inner_text()
    hurried.fill(**{"answer.light-co-alarm": "done", "answer.light-zone": "not-done"})
    hurried.tap()
    hurried.at(f"/firing/{fire}")
    hurried.sees(f"answered with not done. Do it first. {item}.")
    assert hurried.page.get_by_role("button", name="Record lit").count() == 0


@pytest.mark.parametrize("hotter_c", [0, 300])
def test_a_standstill_is_said_on_the_firing(hurried: Hurried, make: Making, hotter_c: int) -> None:
    """Also where the figure has four digits, and with the line over it that says what was recorded."""
    fire = make.firing(make.furnace(), peak_c=1000 + hotter_c)
    make.lit(fire)
    for c in BY_HAND_C[:10]:
        make.wait(10)
        make.reading(fire, c + hotter_c)
    make.wait(10)
    hurried.at(f"/firing/{fire}/reading?other=1")
    hurried.fill(c=BY_HAND_C[10] + hotter_c, unit="C")
    hurried.tap()
    hurried.sees("Has not risen for 30 min")
    hurried.sees(f"Does the load look hotter than {721 + hotter_c} °C? A probe can be dead.")


def test_an_unchecked_probe_is_said_beside_the_figure(hurried: Hurried, make: Making) -> None:
    fire = make.firing(make.furnace(probe_type="K"))
    make.lit(fire)
    make.wait(10)
    make.reading(fire, 300)
    for page in (f"/firing/{fire}", f"/firing/{fire}/reading"):
        hurried.at(page)
        hurried.sees("Probe never checked")


def test_all_keys_stay_in_sight_after_a_reading(hurried: Hurried, make: Making) -> None:
    fire = make.firing(make.furnace(probe_type="K"))
    make.lit(fire)
    hurried.at(f"/firing/{fire}/reading?other=1")
    hurried.fill(c="1185", unit="C")
    hurried.tap()
    hurried.at(f"/firing/{fire}/reading")
    hurried.sees("Same")
    hurried.sees("Probe never checked")


def test_a_reading_ten_times_too_high_is_refused(hurried: Hurried, make: Making) -> None:
    fire = burning(make)
    hurried.at(f"/firing/{fire}/reading?other=1")
    hurried.fill(c="7210", unit="C")
    hurried.tap()
    hurried.sees("At most 3600 °C.")
    hurried.stands_at("c")


def test_ten_times_the_last_reading_is_asked_about(hurried: Hurried, make: Making) -> None:
    fire = burning(make)
    make.wait(20)
    make.reading(fire, 118)
    make.wait(5)
    hurried.at(f"/firing/{fire}/reading?other=1")
    hurried.fill(c="1210", unit="C")
    hurried.tap()
    hurried.sees("1210 °C? Last: 118 °C, 5 min ago.")
    hurried.page.get_by_role("button", name="It is right").click()
    hurried.sees("1210 °C is ten times the 118 °C before. Typed wrong? Undo that reading.")
    hurried.sees("Undo")


def test_sulfide_is_held_back_from_acid(hurried: Hurried, make: Making) -> None:
    hurried.at("/waste/new")
    hurried.fill(contents="hydrochloric acid rinses")
    hurried.tap()
    thing = hurried.state.things("waste")[-1]
    hurried.at(f"/waste/{thing}")
    hurried.fill(contents="sodium sulfide rinse", volume_ml="100")
    hurried.tap()
    hurried.sees("Acid frees H₂S from this sulfide. Use another container.")
    assert hurried.recorded("waste.added", thing) == 1


def test_sixty_degrees_are_still_too_hot(hurried: Hurried, make: Making) -> None:
    thing = cold_charge(make)
    hurried.at(f"/charge/{thing}/cool")
    hurried.fill(surface_c="60")
    hurried.tap()
    hurried.at(f"/charge/{thing}/cool")
    hurried.sees("Too hot to touch.")


def test_dry_grinding_asks_for_the_mask(hurried: Hurried, make: Making) -> None:
    thing = powder(make, ("Co3O4", 5.0), ("Al(OH)3", 10.0))
    hurried.at(f"/pigment/{thing}/grind")
    hurried.fill(medium="dry", minutes="10")
    hurried.tap()
    hurried.sees("passed its seal check")
    hurried.sees("Answer this first: dry powder makes dust.")
    hurried.stands_at("answer.weigh-mask")
    assert hurried.recorded("ground", thing) == 0
