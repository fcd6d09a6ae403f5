"""Jars, crucibles, swatches and waste: what is left, what a vessel held and may hold, what was measured or put by."""

import pytest

from bench.reckoning.rules import Finding
from bench.records.kinds import Source
from bench.reference import load_library
from bench.workshop.flags import flags_of
from bench.workshop.gates import gate_load
from bench.workshop.things.attached import attached_to
from bench.workshop.things.crucibles import (
    Crucible,
    charge_elements,
    charge_unread,
    crucible,
    held_elements,
    held_unread,
)
from bench.workshop.things.jars import Jar, jar
from bench.workshop.things.swatches import Swatch, photos_of, swatch
from bench.workshop.things.waste import waste
from tests.workshop.builder import SHA256, Builder, lines, ulid


@pytest.fixture
def b() -> Builder:
    return Builder()


# Jars ----------------------------------------------------------------------------------------------------------


def shelf(b: Builder, thing: str) -> Jar:
    found = jar(b.state, thing)
    assert found is not None
    return found


def test_a_jar_loses_what_is_weighed_loaded_and_spilled(b: Builder) -> None:
    thing = b.jar(net_g=100.0)
    batch = b.batch()
    b.weigh(batch, 8.0, jar=thing)
    b.charge({"batch": batch, "g": 4.0}, {"jar": thing, "g": 2.5})
    b.lost(thing, 1.0)
    assert shelf(b, thing).used_g == pytest.approx(11.5) and shelf(b, thing).left_g == pytest.approx(88.5)
    assert shelf(b, b.jar()).left_g is None


def test_what_was_weighed_twice_by_two_phones_left_the_jar_once(b: Builder) -> None:
    thing = b.jar(net_g=100.0)
    batch = b.batch()
    first = b.weigh(batch, 8.0, jar=thing)[0]
    second = b.weigh(batch, 8.1, jar=thing)[0]
    assert shelf(b, thing).used_g == pytest.approx(8.0)
    b.correct(first, second, net_g=8.1)
    assert shelf(b, thing).used_g == pytest.approx(8.1)


def test_a_fire_assay_gives_the_residue(b: Builder) -> None:
    thing = b.jar("Al(OH)3", "aluminium hydroxide")
    b.add("jar.assayed", {"before_g": 5.0, "after_g": 3.27, "at_c": 1000.0}, thing)
    b.add("jar.assayed", {"before_g": 0.0, "after_g": 0.0, "at_c": 1000.0}, thing)
    assert shelf(b, thing).residue_pct == (pytest.approx(65.4),)  # the formula's own is 65.36 %
    assert not shelf(b, thing).closed
    b.closed(thing, "empty")
    assert shelf(b, thing).closed and thing not in b.state.open_things("jar")


# Crucibles -----------------------------------------------------------------------------------------------------


def vessel(b: Builder, thing: str) -> Crucible:
    found = crucible(b.state, thing)
    assert found is not None
    return found


def test_the_standing_of_a_crucible_in_turn(b: Builder) -> None:
    thing = b.crucible(40.0)
    assert vessel(b, thing).standing == "free"
    charge = b.charge({"batch": b.batch(), "g": 5.0}, crucible=thing)
    assert vessel(b, thing).standing == "holding" and vessel(b, thing).holds == charge
    b.seen(thing, tare_g=40.1)  # looked at while full: that cleans nothing
    b.opened(charge)
    assert vessel(b, thing).standing == "to-clean" and vessel(b, thing).holds is None
    b.seen(thing, "sound")
    assert vessel(b, thing).standing == "to-clean"
    b.seen(thing, "clean", tare_g=40.3)
    assert vessel(b, thing).standing == "free" and vessel(b, thing).tare_g == 40.3
    b.seen(thing, "stained")
    assert vessel(b, thing).standing == "to-clean" and vessel(b, thing).condition == "stained"


@pytest.mark.parametrize("condition", ["cracked", "broken", "retired"])
def test_what_ends_a_crucible(b: Builder, condition: str) -> None:
    thing = b.crucible()
    mark = b.seen(thing, condition)
    assert vessel(b, thing).standing == "ended"
    b.withdraw(mark)
    assert vessel(b, thing).standing == "free"


def test_the_newest_look_counts_by_its_time(b: Builder) -> None:
    thing = b.crucible(40.0)
    b.wait(100)
    b.seen(thing, "cracked", tare_g=39.0)
    b.add("crucible.seen", {"condition": "clean", "tare_g": 41.0}, thing, happened=50)
    assert vessel(b, thing).condition == "cracked" and vessel(b, thing).tare_g == 39.0


def test_a_crucible_remembers_what_it_held_until_it_was_seen_clean_empty(b: Builder) -> None:
    thing = b.crucible()
    first = b.charge({"batch": b.batch(), "g": 5.0}, crucible=thing)
    b.seen(thing, "clean")
    b.opened(first)
    assert held_elements(b.state, thing) == {"Co", "O", "Al", "H"}
    b.seen(thing, "clean")
    assert held_elements(b.state, thing) == frozenset()
    pink = b.batch(lines(("Cr2O3", 1.0), ("SnO2", 40.0)))
    b.charge({"batch": pink, "g": 5.0}, {"jar": b.jar("KCl"), "g": 1.0}, crucible=thing)
    assert held_elements(b.state, thing) == {"Cr", "Sn", "O", "K", "Cl"}


def test_the_elements_of_a_charge_come_from_every_generation(b: Builder) -> None:
    first = b.charge({"batch": b.batch(), "g": 5.0}, {"jar": b.jar("KCl"), "g": 1.0})
    powder = b.opened(first)
    second = b.charge({"pigment": powder, "g": 5.0}, {"batch": b.batch(lines(("ZnO", 3.0), ("mud", 1.0))), "g": 1.0})
    assert charge_elements(b.state, second) == {"Co", "O", "Al", "H", "K", "Cl", "Zn"}
    assert charge_unread(b.state, second) == ("mud",)
    assert any("Not counted: mud" in flag.say for flag in flags_of(b.state, second, load_library()))


def test_a_crucible_that_held_what_cannot_be_read_says_so_until_it_is_clean(b: Builder) -> None:
    """It may have held anything: it is named, flagged at loading, and a pale target waits as after a strong colour."""
    thing, library = b.crucible(ware="alumina-99"), load_library()
    first = b.charge({"batch": b.batch(lines(("Al2O3", 5.0), ("shed glaze", 1.0))), "g": 5.0}, crucible=thing)
    b.opened(first)
    assert held_elements(b.state, thing) == {"Al", "O"} and held_unread(b.state, thing) == ("shed glaze",)
    assert any("Not counted: the crucible held shed glaze" in flag.say for flag in flags_of(b.state, thing, library))
    pale = b.ready_batch(lines(("ZrO2", 6.0), ("SiO2", 3.0)), target="praseodymium-zircon-yellow")

    def against() -> dict[str, Finding]:
        return {f.rule: f for f in gate_load(b.state, thing, (Source(g=9.0, batch=pale),), "vented", library)}

    found = against()
    assert found["held-unread"].effect == "flag" and "shed glaze" in found["held-unread"].say
    assert found["crucible-memory"].effect == "block" and not found["crucible-memory"].sure
    b.seen(thing, "clean")
    assert not {"held-unread", "crucible-memory"} & set(against()) and held_unread(b.state, thing) == ()


def test_a_crucible_refilled_on_paper_before_it_was_opened_holds_the_newer_charge(b: Builder) -> None:
    thing = b.crucible()
    older = b.charge({"batch": b.batch(), "g": 5.0}, crucible=thing)
    newer = b.charge({"batch": b.batch(), "g": 5.0}, crucible=thing)
    assert vessel(b, thing).holds == newer
    b.opened(newer)
    assert vessel(b, thing).holds == older


# Swatches ------------------------------------------------------------------------------------------------------


def paint_out(b: Builder, thing: str) -> Swatch:
    found = swatch(b.state, thing)
    assert found is not None
    return found


def test_the_states_of_a_swatch_in_turn(b: Builder) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    thing = b.swatch(powder, film_um=100.0)
    assert paint_out(b, thing).state == "made"
    b.add("swatch.measured", {"lab": [41.0, 5.5, -44.0], "se": [0.3, 0.2, 0.4], "method": "colorimeter"}, thing)
    b.add("swatch.measured", {"lab": [41.4, 5.2, -43.6], "method": "picture"}, thing)
    assert paint_out(b, thing).state == "measured"
    assert [m.lab for m in paint_out(b, thing).measured] == [(41.0, 5.5, -44.0), (41.4, 5.2, -43.6)]
    b.judged(thing)
    found = paint_out(b, thing)
    assert found.state == "judged" and found.judged is not None and found.judged.verdict == "keep"


def test_what_was_measured_again_the_same_way_is_one_colour_of_its_mean(b: Builder) -> None:
    """Of one photo the last counts, and what another method said does not: (42 + 44) / 2 is 43."""
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    thing = b.swatch(powder)
    for lightness, photo, method in (
        (30.0, None, "by eye"),
        (10.0, 75, "photo"),
        (42.0, 75, "photo"),
        (44.0, 76, "photo"),
    ):
        told = {"photo": ulid(photo)} if photo else {}
        b.add("swatch.measured", {"lab": [lightness, 0.0, 6.0], "method": method, **told}, thing)
    colour = paint_out(b, thing).colour
    assert colour is not None and colour.lab == pytest.approx((43.0, 0.0, 6.0))
    assert (colour.method, colour.photo, colour.se) == ("photo", ulid(76), None), "no error where none was told"


def test_the_files_of_a_thing_are_its_own(b: Builder) -> None:
    one, two = b.batch(), b.batch()
    told = {"sha256": SHA256, "bytes": 9, "name": "a.xy", "what": "diffraction-pattern"}
    for n, thing in ((72, one), (73, two), (74, one)):
        b.add("file.attached", {"of": thing, "file": ulid(n), **told}, one)  # the second by a slip of the subject
    b.add("file.attached", {"of": one, "file": ulid(75), **told}, two)
    assert [each.body.file for each in attached_to(b.state, one)] == [ulid(72), ulid(74), ulid(75)]
    assert [each.body.file for each in attached_to(b.state, two)] == [ulid(73)]


def test_the_pictures_of_a_thing_are_its_own(b: Builder) -> None:
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    one, two = b.swatch(powder), b.swatch(powder)
    b.add("photo.kept", {"of": one, "photo": ulid(70), "sha256": SHA256}, one)
    b.add("photo.kept", {"of": two, "photo": ulid(71), "sha256": SHA256}, one)  # a slip of the subject
    assert photos_of(b.state, one) == (ulid(70),) and paint_out(b, two).photos == (ulid(71),)


# Waste ---------------------------------------------------------------------------------------------------------


def test_a_waste_container_adds_up_and_is_collected(b: Builder) -> None:
    thing = ulid(80)
    powder = b.opened(b.charge({"batch": b.batch(), "g": 5.0}))
    assert waste(b.state, thing) is None
    first = {"container": thing, "from": powder, "volume_ml": 200.0, "contents": "first rinse"}
    b.add("waste.added", first, thing)
    b.add("waste.added", {"container": thing, "mass_g": 3.0, "contents": "swept up"}, thing)
    found = waste(b.state, thing)
    assert found is not None and found.fill_pct is None
    b.add("waste.added", {"container": thing, "capacity_ml": 800.0, "contents": "its size"}, thing)
    found = waste(b.state, thing)
    assert found is not None and found.fill_pct == 25.0
    assert found is not None and (found.volume_ml, found.mass_g) == (200.0, 3.0) and found.collected is None
    assert b.state.things("waste") == [thing]
    b.add("waste.collected", {"by": "the town", "date": "2026-03-20"}, thing)
    found = waste(b.state, thing)
    assert found is not None and found.collected is not None and found.collected.by == "the town"


def test_a_container_whose_only_entry_was_withdrawn_is_none_though_another_was_emptied_into_it(b: Builder) -> None:
    one, two = ulid(80), ulid(81)
    wrong = b.add("waste.added", {"container": one, "volume_ml": 5.0, "contents": "rinse"}, one)
    b.add("waste.added", {"container": two, "from": one, "volume_ml": 5.0, "contents": "rinse"}, two)
    b.withdraw(wrong)
    assert waste(b.state, one) is None and b.state.things("waste") == [two]
