"""A batch of a jar whose water nobody knows: no false loss, the range told, and what its fired mass tells of the jar.

Every expected mass is a balance of what goes in and what comes out, from the IUPAC abridged atomic weights.
"""

import math

import pytest

from bench.reference import Library, load_library
from bench.workshop.expectation import HEAVIER, LIGHTER, gap, theory
from bench.workshop.load_gas import load_gas
from bench.workshop.things.batches import batch
from bench.workshop.trying import next_tries
from bench.workshop.water_told import by_batch, by_jar, together
from tests.workshop.builder import Builder

CO, CL, TI, OX, HY = 58.933, 35.45, 47.867, 15.999, 1.008
WATER = 2 * HY + OX
COCL2, COO, TIO2 = CO + 2 * CL, CO + OX, TI + 2 * OX
SHARE = 0.7677
HALF = 1 - SHARE
SD_PCT = 100 * HALF / math.sqrt(3)
SALT_G = 4.780
MOL = SALT_G * SHARE / COCL2
OXIDE_G = MOL * TIO2
PRODUCT_G = MOL * (COO + TIO2)
MIXTURE_G = SALT_G + OXIDE_G
FALSE_G = PRODUCT_G + SALT_G * (1 - SHARE)
"""What plans used to say was left: the water counted as if it stayed."""
SALT = "cobalt-chloride-hexahydrate"


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture
def b() -> Builder:
    return Builder()


def salt_jar(b: Builder, **more: object) -> str:
    told = {"hydrate_known": False, "assay_pct": 100 * SHARE, "assay_sd_pct": SD_PCT} | more
    return b.jar("CoCl2", SALT, **told)


def titanate(b: Builder, jar: str, fired_g: float = FALSE_G, oxide_g: float = OXIDE_G) -> str:
    salt = {"line": 1, "formula": "CoCl2", "target_g": SALT_G, "jar": jar, "assay_pct": 100 * SHARE, "name": SALT}
    oxide = {"line": 2, "formula": "TiO2", "target_g": oxide_g}
    thing = b.batch([salt, oxide], target_formula="CoTiO3", fired_g=fired_g, washed_g=fired_g)
    b.weigh(thing, SALT_G, jar=jar)
    b.weigh(thing, oxide_g, first=2)
    return thing


def fired(b: Builder, thing: str, came_out_g: float, of_g: float = MIXTURE_G, **opened: object) -> tuple[str, str]:
    """Its charge, all in one crucible of 40 g, and the powder that came out."""
    charge = b.charge({"batch": thing, "g": of_g}, crucible=b.crucible(40.0))
    b.fired(charge)
    return charge, b.opened(charge, 40.0 + came_out_g, **opened)


def left_g(waters: float) -> float:
    """What the planned grams leave when the jar holds so much water to each chloride."""
    mol = SALT_G / (COCL2 + waters * WATER)
    return MOL * TIO2 + mol * COO


def test_a_faultless_batch_is_no_loss(b: Builder, library: Library) -> None:
    jar = salt_jar(b)
    charge, powder = fired(b, titanate(b, jar), PRODUCT_G)
    found = gap(b.state, charge, library)
    assert found is not None and found.expected_g == pytest.approx(PRODUCT_G, abs=1e-3)
    assert found.gap_g == 0 and found.meaning is None and not found.inside
    says = {one.say for one in next_tries(b.state, powder, library)}
    assert not says & {LIGHTER, HEAVIER}


def test_its_theory_is_told_with_the_range_that_the_jar_allows(b: Builder, library: Library) -> None:
    thing = titanate(b, salt_jar(b))
    view = batch(b.state, thing)
    assert view is not None
    told = theory(b.state, view, library)
    wettest = MOL * TIO2 + SALT_G * (SHARE - HALF) / COCL2 * COO
    driest = MOL * TIO2 + SALT_G / COCL2 * COO
    assert told.fired_g == pytest.approx(PRODUCT_G, abs=1e-3)
    assert told.fired_span_g == pytest.approx((wettest, driest), abs=1e-3)


@pytest.mark.parametrize("waters", [0.5, 4.0])
def test_a_mass_inside_the_range_says_so(b: Builder, library: Library, waters: float) -> None:
    charge, _ = fired(b, titanate(b, salt_jar(b)), left_g(waters))
    found = gap(b.state, charge, library)
    assert found is not None and found.meaning is None and found.gap_g == 0 and found.inside


@pytest.mark.parametrize(("off_g", "meaning"), [(-0.2, LIGHTER), (0.2, HEAVIER)])
def test_beyond_the_range_the_gap_is_told_from_its_nearer_end(
    b: Builder, library: Library, off_g: float, meaning: str
) -> None:
    end = MOL * TIO2 + SALT_G * (SHARE - HALF if off_g < 0 else 1) / COCL2 * COO
    charge, _ = fired(b, titanate(b, salt_jar(b)), end + off_g)
    found = gap(b.state, charge, library)
    assert found is not None and found.gap_g == pytest.approx(off_g, abs=2e-3)
    assert found.meaning == meaning and not found.inside


@pytest.mark.parametrize("waters", [0.6, 1.9, 2.18, 5.4])
def test_the_fired_mass_tells_the_water_of_the_jar(b: Builder, library: Library, waters: float) -> None:
    jar = salt_jar(b)
    thing = titanate(b, jar)
    fired(b, thing, left_g(waters))
    told = by_batch(b.state, thing, library)
    assert told is not None and told.jar == jar and told.formula == "CoCl2"
    assert told.water == pytest.approx(waters, abs=0.02) and told.low < waters < told.high
    # The spread is that of a mass which agrees within 1 % of the mixture.
    metal = SALT_G * COO / (COCL2 + waters * WATER) - 0.01 * MIXTURE_G
    assert told.high == pytest.approx((SALT_G * COO / metal - COCL2) / WATER, abs=0.03)
    assert by_jar(b.state, jar, library) == (told,)


def test_a_form_on_record_inside_the_spread_is_named(b: Builder, library: Library) -> None:
    thing = titanate(b, salt_jar(b))
    fired(b, thing, left_g(2.1))
    told = by_batch(b.state, thing, library)
    found = together((told,)) if told else None
    assert found is not None and found.fits == ("CoCl2*2H2O",) and found.agree


def test_two_batches_of_a_jar_are_taken_together(b: Builder, library: Library) -> None:
    jar = salt_jar(b)
    for waters in (1.8, 2.4):
        fired(b, titanate(b, jar), left_g(waters))
    told = by_jar(b.state, jar, library)
    found = together(told)
    assert found is not None and len(told) == 2 and found.water == pytest.approx(2.1, abs=0.02)
    assert found.low <= 1.81 and found.high >= 2.39 and found.agree and found.fits == ("CoCl2*2H2O",)
    fired(b, titanate(b, jar), left_g(5.5))
    more = together(by_jar(b.state, jar, library))
    assert more is not None and not more.agree
    assert together(()) is None


def test_where_some_was_lost_nothing_is_told(b: Builder, library: Library) -> None:
    def told_after(lose: str) -> bool:
        bench = Builder()
        thing = titanate(bench, salt_jar(bench))
        if lose == "weighed":
            bench.lost(thing, 0.1)
        g = MIXTURE_G / 2 if lose == "half of it" else MIXTURE_G
        more = {"stuck": {"stuck_g": 0.2}, "sign": {"signs": ["Boiled over"]}, "open": {"broken_open": True}}
        charge, _ = fired(bench, thing, left_g(2.0), g, **more.get(lose, {}))
        if lose == "spilt":
            bench.lost(charge, 0.1)
        return by_batch(bench.state, thing, library) is not None

    assert told_after("nothing")
    for lose in ("weighed", "half of it", "stuck", "sign", "open", "spilt"):
        assert not told_after(lose), lose


def test_two_jars_of_unknown_water_cannot_be_told_apart(b: Builder, library: Library) -> None:
    jar, other = salt_jar(b), b.jar("Al(OH)3", "aluminium-hydroxide", hydrate_known=False, assay_pct=100.0)
    salt = {"line": 1, "formula": "CoCl2", "target_g": SALT_G, "jar": jar, "assay_pct": 100 * SHARE, "name": SALT}
    hydroxide = {"line": 2, "formula": "Al(OH)3", "target_g": 4.0, "jar": other}
    thing = b.batch([salt, hydroxide], target_formula="CoAl2O4", fired_g=6.0)
    b.weigh(thing, SALT_G, 4.0)
    fired(b, thing, 5.0, SALT_G + 4.0)
    assert by_batch(b.state, thing, library) is None


def test_a_fire_assay_that_came_later_settles_the_theory(b: Builder, library: Library) -> None:
    """The dihydrate leaves 45.2 % as CoO: 1.0000 g becomes 0.4517 g over the heat where Co3O4 gives way."""
    jar = salt_jar(b)
    thing = titanate(b, jar)
    dihydrate = COCL2 + 2 * WATER
    b.add("jar.assayed", {"before_g": 10.0, "after_g": 10.0 * COO / dihydrate, "at_c": 1150.0}, jar)
    view = batch(b.state, thing)
    assert view is not None
    told = theory(b.state, view, library)
    assert told.fired_g == pytest.approx(left_g(2.0), abs=5e-3) and told.fired_span_g is None


def test_a_plan_by_a_fire_assay_counts_what_was_left_over_as_gone(b: Builder, library: Library) -> None:
    jar = b.jar("Al(OH)3", "aluminium-hydroxide")
    pure = 101.961 / (2 * 78.003)
    b.add("jar.assayed", {"before_g": 10.0, "after_g": 9.5 * pure, "at_c": 1200.0}, jar)
    line = {"line": 1, "formula": "Al(OH)3", "target_g": 10.0, "jar": jar, "assay_pct": 95.0}
    thing = b.batch([line], target_formula="Al2O3", fired_g=9.5 * pure + 0.5)
    view = batch(b.state, thing)
    assert view is not None
    assert theory(b.state, view, library).fired_g == pytest.approx(9.5 * pure, abs=2e-3)


def test_a_label_that_is_known_keeps_the_plan_as_it_is(b: Builder, library: Library) -> None:
    jar = b.jar("CoCl2*6H2O", SALT)
    line = {"line": 1, "formula": "CoCl2*6H2O", "target_g": 5.0, "jar": jar}
    thing = b.batch([line, {"line": 2, "formula": "TiO2", "target_g": 1.0}], fired_g=2.5, washed_g=2.4)
    view = batch(b.state, thing)
    assert view is not None
    told = theory(b.state, view, library)
    assert (told.fired_g, told.washed_g, told.fired_span_g) == (2.5, 2.4, None)


def test_the_water_of_such_a_jar_is_in_the_gas_of_the_load(b: Builder, library: Library) -> None:
    """At its wettest it holds most water beside the salt; CoCl2 + H2O gives CoO + 2 HCl and takes some of it up."""
    thing = titanate(b, salt_jar(b))
    charge = b.charge({"batch": thing, "g": MIXTURE_G / 2})
    found = load_gas(b.state, [charge], library)
    wettest = SHARE - HALF
    water = SALT_G * (1 - wettest) - SALT_G * wettest / COCL2 * WATER
    assert found.grams["H2O"] == pytest.approx(water / 2, abs=1e-3) and "H2O" in found.bounds
    assert found.grams["HCl"] == pytest.approx(SALT_G / COCL2 * (HY + CL), abs=1e-3)


def test_a_plan_that_left_no_rest_stays_as_it_is(b: Builder, library: Library) -> None:
    jar = b.jar("FeOOH", "goethite", assay_pct=95.0)
    b.add("jar.assayed", {"before_g": 10.0, "after_g": 8.8, "at_c": 900.0}, jar)
    line = {"line": 1, "formula": "FeOOH", "target_g": 10.0, "jar": jar}
    thing = b.batch([line], target_formula="Fe2O3", fired_g=8.7)
    view = batch(b.state, thing)
    assert view is not None and theory(b.state, view, library).fired_g == 8.7
