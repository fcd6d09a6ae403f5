"""Which member of a family a formula is: a letter that stands for several metals, and how much is too much.

Figures from published recipes: a preparative sheet for Thenard's blue (CoO 32.56 mmol on Al2O3 30.01 mmol, 8.5 % too
much cobalt), one for Rinmann's green (x = 0.222), iron-doped copper chromite with half of the copper replaced
(Bull. Mater. Sci. 46, 95).
"""

import pytest

from bench.reckoning.families import member_of, patterns_of
from bench.reckoning.ratio import too_much_pct
from bench.reference import Library, load_library
from bench.science.formulas import parse


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.mark.parametrize(
    ("formula", "slug", "x", "in_range"),
    [
        ("Cu0.5Fe0.5Cr2O4", "copper-chromite-black", 0.5, True),
        ("Cu0.8Mn0.2Cr2O4", "copper-chromite-black", 0.2, True),
        ("Cu0.2Fe0.8Cr2O4", "copper-chromite-black", 0.8, False),
        ("Zn0.78Co0.22O", "cobalt-zinc-green", 0.22, True),
        ("Zn0.5Co0.5O", "cobalt-zinc-green", 0.5, False),
        ("CoZnO2", "cobalt-zinc-green", 0.5, False),
        ("Ca3Bi7.44Y0.56O15", "calcium-bismuth-yttrium-red", None, True),
    ],
)
def test_the_member_and_its_x(library: Library, formula: str, slug: str, x: float | None, in_range: bool) -> None:
    found = member_of(parse(formula), library)
    assert found is not None and (found.target.slug, found.x, found.in_range) == (slug, x, in_range)


@pytest.mark.parametrize("formula", ["Cu0.5Ni0.5Cr2O4", "CuFeCr2O4", "FeCr2O5"])
def test_what_is_no_member_is_none(library: Library, formula: str) -> None:
    found = member_of(parse(formula), library)
    assert found is None or found.target.slug != "copper-chromite-black"


def test_a_letter_for_several_metals_is_written_out(library: Library) -> None:
    row = library.targets["copper-chromite-black"]
    assert patterns_of(row) == ["Cu(1-x)Fe(x)Cr2O4", "Cu(1-x)Mn(x)Cr2O4"]


def test_too_much_for_the_scarce_one() -> None:
    found = too_much_pct({"Co": 1.0, "Al": 2 * 30.01 / 32.56}, {"Co": 1, "Al": 2}, "Al")
    assert found == {"Co": pytest.approx(8.5, abs=0.05)}
    assert too_much_pct({"Co": 1.0, "Al": 2.0}, {"Co": 1, "Al": 2}, None) == {}
    assert too_much_pct({"Co": None, "Al": None}, {"Co": 1, "Al": 2}, "Co") == {}
