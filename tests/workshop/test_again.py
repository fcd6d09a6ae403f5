"""Make it again: what was done, in grams, minutes and degrees, and as much of it from the jars of today."""

import pytest

from bench.records.kinds import Segment
from bench.reference import load_library
from bench.workshop.again import doses, times, ware
from bench.workshop.as_fired import fired, schedule_done
from bench.workshop.things.batches import batch
from tests.workshop.builder import Builder, lines

LIBRARY = load_library()


def test_another_lot_is_dosed_by_its_assay() -> None:
    make = Builder()
    first = make.jar("ZnO", "zinc-oxide", net_g=9.0, assay_pct=99.5)
    thing = make.batch([dict(one, jar=first) for one in lines(("ZnO", 8.47))])
    make.weigh(thing, 8.45, jar=first)
    make.jar("ZnO", "zinc-oxide", net_g=100.0, assay_pct=98.7, lot="9")
    [dose] = doses(make.state, batch(make.state, thing), LIBRARY)  # type: ignore[arg-type]
    # What was weighed counts, not what was planned; by hand: 8.45 · 99.5 / 98.7.
    assert (dose.then_g, dose.how) == (8.45, "other-jar")
    assert dose.now_g == pytest.approx(8.5185, abs=5e-4)


def test_the_same_jar_needs_no_assay() -> None:
    make = Builder()
    salt = make.jar("CoCl2·6H2O", "cobalt-chloride-hexahydrate", net_g=50.0, hydrate_known=False)
    thing = make.batch([dict(one, jar=salt) for one in lines(("CoCl2·6H2O", 4.78))])
    make.weigh(thing, 4.80, jar=salt)
    [dose] = doses(make.state, batch(make.state, thing), LIBRARY)  # type: ignore[arg-type]
    assert dose.same and dose.sure and dose.how == "same-jar"


def test_a_jar_with_other_water_brings_the_same_metal() -> None:
    # Molar masses by CIAAW's weights: CuSO4·5H2O 249.68, CuSO4 159.60 g/mol.
    assert times("CuSO4·5H2O", "CuSO4") == pytest.approx(159.60 / 249.68, rel=1e-4)
    assert times("Ca(OH)2", "CaO") is None and times("Al(OH)3", "AlOOH") is None
    assert times("CuSO4", "CoSO4") is None and times("Co3O4", "CoO") is None


def test_what_no_jar_brings_is_said() -> None:
    make = Builder()
    first = make.jar("ZnO", "zinc-oxide", net_g=9.0)
    thing = make.batch([dict(one, jar=first) for one in lines(("ZnO", 8.0))])
    make.weigh(thing, 8.0, jar=first)
    make.closed(first)
    [dose] = doses(make.state, batch(make.state, thing), LIBRARY)  # type: ignore[arg-type]
    assert dose.how == "none-left" and dose.jar_now is None and dose.now_g == 8.0


def test_what_was_read_takes_the_place_of_what_was_planned() -> None:
    make = Builder()
    charge = make.charge({"batch": make.ready_batch(), "g": 20.0})
    fire = make.firing(peak_c=1050.0)
    make.placed(charge, fire)
    start = make.minutes
    make.lit(fire, happened=start)
    for minute, c in ((60, 300.0), (120, 700.0), (180, 1045.0), (240, 1052.0), (330, 1048.0)):
        make.reading(fire, c, happened=start + minute)
    make.off(fire, happened=start + 331)
    for minute, c in ((390, 848.0), (451, 545.0)):
        make.reading(fire, c, happened=start + minute)
    make.came_out(fire, charge, happened=start + 600)
    done = fired(make.state, [charge])
    assert done.fires == 1 and done.peak_c == 1052.0 and done.soak_c == 1048.0
    assert done.soak_min == pytest.approx(151, abs=1)
    assert done.climb_c_per_h == pytest.approx(60 * (1045 - 300) / 120, rel=0.01)
    assert done.cooling_c_per_h == pytest.approx(60 * (848 - 545) / 61, rel=0.02)
    plan = (Segment(1050.0, 300.0, 60.0),)
    assert schedule_done(plan, done) == (Segment(1050.0, 300.0, 151.0),)  # 1048 is 1050 for any probe


def test_a_vessel_of_the_same_kind_is_found() -> None:
    make = Builder()
    first, _other, twin = make.crucible(), make.crucible(volume_ml=15.0), make.crucible()
    charge = make.charge({"batch": make.ready_batch(), "g": 20.0}, crucible=first)
    found = ware(make.state, [charge])
    assert found is not None and found.now is not None and found.now.id == twin
