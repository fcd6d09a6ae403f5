"""From a label's assay to the assay by formula."""

import pytest

from bench.reference import load_library
from bench.reference.assay import formula_pct, theory_pct, usual_formula_pct
from bench.science.refusal import Refusal


@pytest.mark.parametrize(
    ("slug", "theory"),
    [
        # Theory figures as printed on such jars or in handbooks; common practice, from memory.
        ("cobalt-ii-carbonate", 49.5),  # Co in CoCO3
        ("cobalt-ii-iii-oxide", 73.4),  # Co in Co3O4
        ("copper-carbonate-basic", 57.5),  # Cu in Cu2CO3(OH)2
        ("manganese-carbonate", 47.8),  # Mn in MnCO3
        ("goethite", 89.9),  # Fe2O3 in FeOOH
        ("zinc-oxide", 100.0),
        ("charcoal", 100.0),
    ],
)
def test_theory(slug: str, theory: float) -> None:
    assert theory_pct(load_library().reagents[slug]) == pytest.approx(theory, abs=0.06)


def test_cobalt_carbonate_by_its_formula_is_5_to_9_per_cent_short() -> None:
    """45 to 47 % Co against 49.55 % for CoCO3 (Co 58.933, C 12.011, O 15.999: 58.933/118.94)."""
    low, high = usual_formula_pct(load_library().reagents["cobalt-ii-carbonate"]) or (0, 0)
    assert 100 - high == pytest.approx(5.1, abs=0.1)
    assert 100 - low == pytest.approx(9.2, abs=0.1)


def test_every_usual_range_is_near_its_formula() -> None:
    for reagent in load_library().reagents.values():
        low, high = usual_formula_pct(reagent) or (0, 0)
        assert 40 < low <= high < 126, reagent.slug


@pytest.mark.parametrize("pct", [0, -1, 100.5, float("nan")])
def test_an_assay_out_of_range_is_refused(pct: float) -> None:
    with pytest.raises(Refusal) as refused:
        formula_pct(load_library().reagents["zinc-oxide"], pct)
    assert refused.value.field == "assay_pct"
