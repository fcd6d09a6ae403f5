"""Search finds by name, formula, Colour Index name, colour word and number, and forgives spelling."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.reference import load_library, over
from bench.reference.search import search
from bench.reference.spelling import distance


@pytest.mark.parametrize(
    ("text", "kind", "slug"),
    [
        ("cobalt blue", "target", "cobalt-aluminate-blue"),
        ("Thenard blue", "target", "cobalt-aluminate-blue"),
        ("PB28", "target", "cobalt-aluminate-blue"),
        ("pigment blue 36", "target", "cobalt-chromite-blue-green"),
        ("P.Br. 24", "target", "chrome-antimony-titanium-buff"),
        ("77346", "target", "cobalt-aluminate-blue"),
        ("CoAl2O4", "target", "cobalt-aluminate-blue"),
        ("Al2CoO4", "target", "cobalt-aluminate-blue"),
        ("coal2o4", "target", "cobalt-aluminate-blue"),
        ("egyption blue", "target", "egyptian-blue"),
        ("cuprorivaite", "target", "egyptian-blue"),
        ("ultramarin", "target", "ultramarine-blue"),
        ("wine red", "target", "chrome-tin-pink"),
        ("turquoise", "target", "cobalt-chromite-blue-green"),
        ("prasodymium yellow", "target", "praseodymium-zircon-yellow"),
        ("Co3O4", "reagent", "cobalt-ii-iii-oxide"),
        ("coblat oxide", "reagent", "cobalt-ii-oxide"),
        ("aluminum hydroxide", "reagent", "aluminium-hydroxide"),
        ("sulphur", "reagent", "sulfur"),
        ("malachite", "reagent", "copper-carbonate-basic"),
        ("soda ash", "reagent", "sodium-carbonate"),
        ("Na2CO3·10H2O", "reagent", "sodium-carbonate"),
        ("Cu2CO3(OH)2", "reagent", "copper-carbonate-basic"),
        ("titanium dioxde", "reagent", "titania-anatase"),
        ("1308-06-1", "reagent", "cobalt-ii-iii-oxide"),
        ("vermilion", "card", "mercury-compounds"),
    ],
)
def test_it_finds_what_is_meant_first(text: str, kind: str, slug: str) -> None:
    found = search(load_library(), text)
    assert found, text
    assert (found[0].kind, found[0].slug) == (kind, slug)


def test_an_anhydrous_formula_finds_the_hydrate_in_the_jar() -> None:
    found = search(load_library(), "CoCl2")
    assert ("reagent", "cobalt-chloride-hexahydrate") in [(hit.kind, hit.slug) for hit in found]


def test_an_element_finds_what_holds_it() -> None:
    found = {hit.slug for hit in search(load_library(), "Bi")}
    assert {"bismuth-oxide", "bismuth-vanadate-yellow"} <= found
    assert "zinc-oxide" not in found


def test_own_rows_are_found_too() -> None:
    row = {"name": "Lilac clay", "formula": "Al2Si2O7"}
    library = over(load_library(), [{"table": "reagents", "slug": "lilac-clay", "row": row, "basis": "own"}])
    assert search(library, "lilak clay")[0].slug == "lilac-clay"


def test_nothing_is_found_for_nothing() -> None:
    for text in ("", "   ", "?!", "qqqqqqqqqqqqq"):
        assert search(load_library(), text) == []


@given(st.text(max_size=60))
@settings(max_examples=60, deadline=None)
def test_any_text_gives_a_list(text: str) -> None:
    hits = search(load_library(), text)
    assert len(hits) <= 30
    assert hits == sorted(hits, key=lambda hit: -hit.score)


@pytest.mark.parametrize(
    ("one", "other", "edits"),
    [
        ("kitten", "sitting", 3),  # Wagner and Fischer's well-known example
        ("ca", "abc", 3),  # optimal string alignment, where the unrestricted distance is 2
        ("cobalt", "coblat", 1),
        ("zinc", "zinc", 0),
        ("zinc", "tin", 2),
    ],
)
def test_distance(one: str, other: str, edits: int) -> None:
    assert distance(one, other, 5) == edits
    assert distance(other, one, 5) == edits
    assert distance(one, other, 0) == (0 if edits == 0 else 1)
