"""What attacks a crucible's ware is flagged with the part that brings it, as the ware's row says (common practice)."""

import pytest

from bench.reckoning.rules import Part
from bench.records.kinds import Source
from bench.reference import load_library
from bench.workshop.gates import gate_load
from bench.workshop.ware_fit import TESTS, attacks
from tests.workshop.builder import Builder, lines

WARE = load_library().ware
NOT_BY_THE_CHARGE = {
    "acid", "fast-change-1000-1200", "hot-phosphoric-acid", "iron-sensitive-colours", "oxidising-above-600",
    "oxidising-above-800", "oxidising-sensitive-colours", "pale-colours", "phosphorus-with-carbon", "reducing-flame",
    "steam", "sulfur-with-carbon",
}  # fmt: skip


def test_every_word_of_the_rows_is_tested_or_left_out_on_purpose() -> None:
    assert {word for ware in WARE.values() for word in ware.avoid} == {*TESTS, *NOT_BY_THE_CHARGE} - {
        word for word in TESTS if all(word not in ware.avoid for ware in WARE.values())
    }


@pytest.mark.parametrize(
    ("ware", "formula", "attacked"),
    [
        ("glazed-porcelain", "Na2CO3", True),
        ("glazed-porcelain", "CaF2", True),
        ("glazed-porcelain", "NaAlSi3O8", False),
        ("mullite", "Bi2O3", True),
        ("mullite", "ZnO", False),
        ("zirconia", "B2O3", True),
        ("steel", "KCl", True),
        ("steel", "Fe2O3", False),
        ("fused-silica", "CaCO3", True),
        ("platinum", "KNO3", True),
        ("platinum", "SnO2", True),
        ("platinum", "Al2O3", False),
    ],
)
def test_attackers(ware: str, formula: str, attacked: bool) -> None:
    found = attacks(WARE[ware], [Part(formula, formula)])
    assert bool(found) == attacked
    assert all(f.effect == "flag" and f.because == (formula,) and f.sources for f in found)


def test_cobalt_counts_only_where_it_gets_hot() -> None:
    cobalt = [Part("CoO", "CoO")]
    assert [bool(attacks(WARE["alumina-99"], cobalt, c)) for c in (1000.0, 1250.0, None)] == [False, True, True]
    assert attacks(None, cobalt) == []


def test_loading_says_so_and_packing_counts() -> None:
    make = Builder()
    batch = make.ready_batch(lines(("CoCO3", 5.0), ("KNO3", 1.0)), schedule=[{"to_c": 900.0}])
    vessel = make.crucible(ware="glazed-porcelain", rated_c=1000.0)
    library = load_library()
    sources = (Source(g=6.0, batch=batch),)
    bare = {(f.rule, f.effect) for f in gate_load(make.state, vessel, sources, "loose", library)}
    packed = {(f.rule, f.effect) for f in gate_load(make.state, vessel, sources, "loose", library, packing="charcoal")}
    assert ("ware-attacked", "flag") in bare and ("nitrate-fuel", "refuse") not in bare
    assert ("nitrate-fuel", "refuse") in packed
