"""Which hydrate is in the jar: against stoichiometry worked out by hand from the published molar masses.

Standard atomic weights of IUPAC's commission (2021, abridged): H 1.008, O 15.999, C 12.011, S 32.06, Ca 40.078,
Na 22.990, Cu 63.546, Co 58.933, B 10.81, Fe 55.845, Mg 24.305. So H2O 18.015, CaSO4 136.14, CuSO4 159.60, CoSO4 154.99,
Na2CO3 105.99, Na2B4O7 201.22, MgO 40.304 g/mol. Losses that handbooks print for these salts agree: gypsum 20.9 %,
plaster 6.2 %, blue vitriol 36.1 %, washing soda 63.0 %.
"""

import pytest

from bench.reckoning.hydrate_forms import forms_of, kept
from bench.reckoning.hydrates import drying_c, which_hydrate
from bench.reference import Library, load_library
from bench.science.refusal import Refusal

WATER = 18.015
CASES = [
    ("calcium-sulfate-dihydrate", 200, "CaSO4*2H2O", 2 * WATER / (136.14 + 2 * WATER)),
    ("calcium-sulfate-dihydrate", 200, "CaSO4*0.5H2O", 0.5 * WATER / (136.14 + 0.5 * WATER)),
    ("calcium-sulfate-dihydrate", 200, "CaSO4", 0.0),
    ("copper-sulfate-pentahydrate", 250, "CuSO4*5H2O", 5 * WATER / (159.60 + 5 * WATER)),
    ("copper-sulfate-pentahydrate", 250, "CuSO4*3H2O", 3 * WATER / (159.60 + 3 * WATER)),
    ("copper-sulfate-pentahydrate", 250, "CuSO4*1H2O", WATER / (159.60 + WATER)),
    ("cobalt-sulfate-heptahydrate", 300, "CoSO4*7H2O", 7 * WATER / (154.99 + 7 * WATER)),
    ("cobalt-sulfate-heptahydrate", 300, "CoSO4*6H2O", 6 * WATER / (154.99 + 6 * WATER)),
    ("sodium-carbonate", 280, "Na2CO3*10H2O", 10 * WATER / (105.99 + 10 * WATER)),
    ("sodium-carbonate", 280, "Na2CO3*1H2O", WATER / (105.99 + WATER)),
    ("borax-decahydrate", 400, "Na2B4O7*10H2O", 10 * WATER / (201.22 + 10 * WATER)),
    ("borax-decahydrate", 400, "Na2B4O7*5H2O", 5 * WATER / (201.22 + 5 * WATER)),
    ("iron-ii-sulfate-heptahydrate", 800, "FeSO4*7H2O", 1 - 159.687 / 2 / (151.90 + 7 * WATER)),
    ("iron-ii-sulfate-heptahydrate", 800, "FeSO4*1H2O", 1 - 159.687 / 2 / (151.90 + WATER)),
    ("magnesium-carbonate-basic", 1000, "Mg5(CO3)4(OH)2*4H2O", 1 - 5 * 40.304 / 467.64),
    ("cobalt-ii-carbonate", 1000, "CoCO3", 1 - 74.932 / 118.94),
    ("cobalt-ii-carbonate", 600, "CoCO3", 1 - 240.795 / 3 / 118.94),
]


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.mark.parametrize(("slug", "at_c", "formula", "loss"), CASES)
def test_each_form_is_told_from_the_others(library: Library, slug: str, at_c: float, formula: str, loss: float) -> None:
    """Two grams that lost what stoichiometry says are that form and no other."""
    found = which_hydrate(library.reagents[slug], 2.0, 2.0 * (1 - loss), at_c, library, balance_d_g=0.001)
    assert found.fits == (formula,)
    assert found.loss_pct == pytest.approx(100 * loss, abs=1e-9)
    own = next(form for form in found.forms if form.formula == formula)
    assert 100 - own.high_pct == pytest.approx(100 * loss, abs=0.02) and own.certain
    assert "That fits" in found.say


def test_the_uncertainty_is_that_of_two_differences(library: Library) -> None:
    """JCGM 100:2008: each reading d/√12, each mass two readings, the quotient by its partial derivatives."""
    row = library.reagents["calcium-sulfate-dihydrate"]
    found = which_hydrate(row, 0.50, 0.40, 200, library, balance_d_g=0.01)
    mass_g = 0.01 * (2 / 12) ** 0.5
    weighing = ((mass_g / 0.50) ** 2 + (0.40 * mass_g / 0.50**2) ** 2) ** 0.5
    assert found.sd_pct == pytest.approx(100 * (weighing**2 + 0.002**2) ** 0.5, rel=1e-9)


def test_a_coarse_balance_cannot_tell_and_says_how_much_would(library: Library) -> None:
    """Six or seven waters lie 3.8 % apart: half a gram on a 0.1 g balance leaves it open, and says what is enough."""
    row = library.reagents["cobalt-sulfate-heptahydrate"]
    found = which_hydrate(row, 2.0, 1.14, 300, library, balance_d_g=0.1)
    assert set(found.fits) == {"CoSO4*6H2O", "CoSO4*7H2O"}
    assert found.enough_g is not None and f"{found.enough_g:.1f} g" in found.say
    more = found.enough_g * 1.01
    again = which_hydrate(row, more, more * 0.5514, 300, library, balance_d_g=0.1)
    assert again.fits == ("CoSO4*7H2O",)


def test_between_two_forms_nothing_is_guessed(library: Library) -> None:
    """30 % lies between 3 and 5 waters: neither is claimed; the water is given as a number, from 159.60 g/mol."""
    row = library.reagents["copper-sulfate-pentahydrate"]
    found = which_hydrate(row, 2.0, 1.4, 250, library)
    assert found.fits == () and "between" in found.say and "partly dried" in found.say
    assert found.water == pytest.approx((159.60 / 0.7 - 159.60) / WATER, abs=0.01)


def test_outside_all_forms(library: Library) -> None:
    row = library.reagents["copper-sulfate-pentahydrate"]
    assert "lost more than any" in which_hydrate(row, 2.0, 1.1, 250, library).say
    assert "lost less than any" in which_hydrate(row, 2.0, 2.1, 250, library).say


def test_a_heat_at_which_gas_is_just_leaving_is_no_proof(library: Library) -> None:
    """At 100 °C blue vitriol loses four waters slowly: what stays is a range, and several forms fit."""
    row = library.reagents["copper-sulfate-pentahydrate"]
    found = which_hydrate(row, 2.0, 1.9, 100, library)
    assert len(found.fits) > 1 and "another heat" in found.say


@pytest.mark.parametrize(
    ("slug", "low_c", "high_c"),
    [
        ("calcium-sulfate-dihydrate", 150, 250),
        ("copper-sulfate-pentahydrate", 200, 260),
        ("cobalt-sulfate-heptahydrate", 250, 350),
        ("sodium-carbonate", 150, 300),
        ("borax-decahydrate", 300, 420),
    ],
)
def test_the_heat_to_dry_at_is_that_of_practice(library: Library, slug: str, low_c: float, high_c: float) -> None:
    """As the handbooks say: above the last water, below the next loss (common practice)."""
    found = drying_c(library.reagents[slug], library)
    assert found is not None and low_c <= found <= high_c


def test_every_reagent_can_be_asked(library: Library) -> None:
    """At any heat, no row breaks, and what stays lies between nothing and all (oxygen may be taken up)."""
    for row in library.reagents.values():
        for at_c in (25, 110, 300, 700, 1000, 1300):
            for form in kept(row, at_c, library):
                assert 0 <= form.low_pct <= form.high_pct <= 130, (row.slug, at_c, form)
        assert drying_c(row, library) is None or len(forms_of(row)) > 1


def test_masses_that_cannot_be_are_refused(library: Library) -> None:
    row = library.reagents["calcium-sulfate-dihydrate"]
    for before, after, field in ((0.0, 0.0, "before_g"), (1.0, -0.1, "after_g")):
        with pytest.raises(Refusal) as refused:
            which_hydrate(row, before, after, 200, library)
        assert refused.value.field == field
    with pytest.raises(Refusal, match="leaves nothing in the fire"):
        which_hydrate(library.reagents["ammonium-chloride"], 1.0, 0.5, 200, library)


def test_the_working_shows_masses_and_sources(library: Library) -> None:
    found = which_hydrate(library.reagents["calcium-sulfate-dihydrate"], 2.0, 1.58, 200, library)
    said = " ".join(step["say"] for step in found.working)
    assert "CaSO₄·2H₂O" in said and "1.58 g ÷ 2 g" in said
    masses = [step["value"] for step in found.working if step["unit"] == "g/mol"]
    assert sorted(masses) == pytest.approx([136.14, 145.15, 172.17], abs=0.02)
