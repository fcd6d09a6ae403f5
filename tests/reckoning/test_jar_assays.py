"""A jar of unknown water, and the fire that tells: against the gravimetric factors of handbooks and a hydrate's share.

The factors stand in the tables of quantitative analysis handbooks (recalled, not read again): Co in Co3O4 0.7342, Co in
CoO 0.7865, CaO from CaCO3 0.5603, Fe2O3 from FeSO4·7H2O 0.2872, Na2CO3 in Na2CO3·10H2O 0.3704, CuO from
CuSO4·5H2O 0.3186.
"""

import math

import pytest

from bench.reckoning import reckon
from bench.reckoning.fire_assay import FLOOR_SD_PCT, fire_assay
from bench.reckoning.wide_assay import wide_assay, wide_assay_of
from bench.reference import Library, load_library
from bench.science.refusal import Refusal


@pytest.fixture(scope="module")
def library() -> Library:
    """The reference data."""
    return load_library()


@pytest.mark.parametrize(
    ("slug", "factor", "at_c"),
    [
        ("calcium-carbonate", 0.5603, 1000),
        ("iron-ii-sulfate-heptahydrate", 0.2872, 900),
        ("copper-sulfate-pentahydrate", 0.3186, 950),
    ],
)
def test_what_a_pure_salt_leaves(library: Library, slug: str, factor: float, at_c: float) -> None:
    """A sample that leaves the handbook's share is pure; one that leaves less holds less."""
    formula = library.reagents[slug].formula
    found = fire_assay(formula, slug, 2.0, 2.0 * factor, at_c, library)
    assert found.theory_pct == pytest.approx(100 * factor, rel=4e-4)
    assert found.assay_pct == pytest.approx(100, abs=0.04)
    damp = fire_assay(formula, slug, 2.0, 1.9 * factor, at_c, library)
    assert damp.assay_pct == pytest.approx(95, abs=0.04)


@pytest.mark.parametrize(("at_c", "oxide", "factor"), [(800, "Co3O4", 0.7342), (1000, "CoO", 0.7865)])
def test_the_oxide_is_the_one_of_that_heat(library: Library, at_c: float, oxide: str, factor: float) -> None:
    """Cobalt is weighed as Co3O4 below 900 °C and as CoO above; the metal in the jar follows."""
    found = fire_assay("CoCO3", "cobalt-ii-carbonate", 1.0, 0.6, at_c, library)
    assert found.residue == oxide
    assert dict(found.metals)["Co"] == pytest.approx(60 * factor, rel=3e-4)
    assert ("takes oxygen" in " ".join(found.notes) or "Co3O4" in " ".join(found.notes)) is (oxide == "CoO")


def test_slow_cooling_weighs_more_by_the_ratio_of_the_factors(library: Library) -> None:
    """From CoO back to Co3O4: 0.7865 ÷ 0.7342 is 7.1 % more."""
    [note] = fire_assay("CoCO3", "cobalt-ii-carbonate", 1.0, 0.6, 1000, library).notes
    assert "7.1 %" in note


@pytest.mark.parametrize(
    ("formula", "slug", "at_c", "words"),
    [
        ("CoCO3", "cobalt-ii-carbonate", 300, "some gas remains"),
        ("Na2CO3", "sodium-carbonate", 800, "no known residue"),
        ("NH4Cl", "ammonium-chloride", 600, "leaves nothing"),
    ],
)
def test_what_a_fire_cannot_tell(library: Library, formula: str, slug: str, at_c: float, words: str) -> None:
    """The share that stayed is still shown; no assay is made up from it."""
    found = fire_assay(formula, slug, 1.0, 0.5, at_c, library)
    assert found.residue_pct == 50 and found.assay_pct is None and words in found.why_not


def test_how_sure_a_fire_assay_is(library: Library) -> None:
    """Never surer than what counts as constant mass; a coarse balance makes it less sure."""
    fine = fire_assay("CaCO3", "calcium-carbonate", 2.0, 1.12, 1000, library, balance_d_g=0.001)
    coarse = fire_assay("CaCO3", "calcium-carbonate", 0.5, 0.28, 1000, library, balance_d_g=0.01)
    assert fine.assay_sd_pct == FLOOR_SD_PCT
    # two readings, each even within its last digit: d/√12 · √2 over 0.28 g
    assert coarse.assay_sd_pct == pytest.approx(100 * 0.01 / math.sqrt(6) / 0.28, rel=0.01)


def test_masses_that_cannot_be(library: Library) -> None:
    """A sample of no mass is refused beside its field."""
    with pytest.raises(Refusal) as refused:
        fire_assay("CaCO3", "calcium-carbonate", 0.0, 0.0, 1000, library)
    assert refused.value.field == "before_g"


def test_the_share_of_a_hydrate() -> None:
    """Soda crystals hold 37.04 % soda: the middle of 37.04 and 100, and half the width over √3."""
    wide = wide_assay("Na2CO3", ["Na2CO3*10H2O", "Na2CO3"])
    assert wide is not None and dict(wide.forms)["Na2CO3*10H2O"] == pytest.approx(37.04, abs=0.01)
    assert wide.assay_pct == pytest.approx((37.04 + 100) / 2, abs=0.01)
    assert wide.assay_sd_pct == pytest.approx((100 - 37.04) / (2 * 3**0.5), abs=0.01)


def test_a_wet_formula_is_counted_as_its_dry_salt(library: Library) -> None:
    """An assay far above 100 cannot be planned with, so the driest form is what counts."""
    wide = wide_assay_of(library.reagents["cobalt-chloride-hexahydrate"])
    assert wide is not None and wide.formula == "CoCl2" and wide.high_pct == pytest.approx(100)
    assert dict(wide.forms)["CoCl2*6H2O"] == pytest.approx(100 * 129.839 / 237.93, rel=1e-3)


def test_every_reagents_wide_assay_can_be_planned_with(library: Library) -> None:
    """The middle and its spread stay within what a plan takes, for every row."""
    for slug, row in library.reagents.items():
        wide = wide_assay_of(row)
        if wide is not None:
            assert 0 < wide.low_pct < wide.high_pct and wide.assay_pct <= 110 and wide.assay_sd_pct <= 50, slug


def test_nothing_known_gives_no_range() -> None:
    """Without hydrates and without a usual assay nothing is made up."""
    assert wide_assay("ZnO", []) is None


def test_the_plan_shows_the_range(library: Library) -> None:
    """Of a jar of unknown water the grams that may be right run over all its forms, whatever middle was taken."""
    wide = wide_assay_of(library.reagents["sodium-carbonate"])
    assert wide is not None
    jar = {"formula": "Na2CO3", "hydrate_known": False}
    silica = {"formula": "SiO2"}
    plain = reckon("weigh-up", {"target": "Na2SiO3", "product_g": 10, "reagents": [jar, silica]}, library)
    told = jar | {"assay_pct": wide.assay_pct, "assay_sd_pct": wide.assay_sd_pct}
    middle = reckon("weigh-up", {"target": "Na2SiO3", "product_g": 10, "reagents": [told, silica]}, library)
    assert middle["weigh_g"][0] == pytest.approx(plain["weigh_g"][0] * 100 / wide.assay_pct)
    for key in ("low_g", "high_g"):
        assert middle["jar_spread"][0][key] == pytest.approx(plain["jar_spread"][0][key])
