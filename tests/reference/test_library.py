"""The Library as the screens and calculations use it."""

from bench.reference import load_library


def test_it_holds_every_table() -> None:
    library = load_library()
    assert len(library.targets) >= 60
    assert len(library.reagents) >= 100
    assert len(library.hazards) >= 150
    assert len(library.gases) >= 20


def test_a_reagent_is_found_by_slug_name_synonym_and_formula() -> None:
    library = load_library()
    for text in ("cobalt-ii-iii-oxide", "Cobalt (II,III) oxide", "tricobalt tetraoxide", "Co3O4"):
        found = library.reagent(text)
        assert found is not None
        assert found.slug == "cobalt-ii-iii-oxide"
    assert library.reagent("unobtainium") is None
