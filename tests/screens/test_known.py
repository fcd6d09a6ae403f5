"""What is known: every row has a page, search forgives spelling, and what is remembered is marked so."""

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reference import load_library

LIBRARY = load_library()


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("egiptian blue", "egyptian-blue"),
        ("CoAl2O4", "cobalt-aluminate-blue"),
        ("PB28", "cobalt-aluminate-blue"),
        ("cobalt carbonat", "cobalt-ii-carbonate"),
        ("whiting", "calcium-carbonate"),
    ],
)
def test_search_forgives(client: FlaskClient, typed: str, found: str) -> None:
    assert f"/{found}" in client.get("/known", query_string={"q": typed}).get_data(as_text=True)


def test_search_of_nonsense_says_so(client: FlaskClient) -> None:
    for typed in ("zzzzqqq", "%", "<b>", "a" * 5000, "\x00"):
        page = client.get("/known", query_string={"q": typed})
        assert page.status_code == 200
        assert "<b>" not in page.get_data(as_text=True).split('name="q"')[1][:80]


def test_every_row_has_its_page(client: FlaskClient) -> None:
    for kind, rows in (("target", LIBRARY.targets), ("reagent", LIBRARY.reagents), ("card", LIBRARY.hazards)):
        for slug in rows:
            page = client.get(f"/known/{kind}/{slug}")
            assert page.status_code == 200, slug
            assert "SDS" in page.get_data(as_text=True), slug


def test_a_remembered_cooling_opens_nothing_hot(client: FlaskClient) -> None:
    page = client.get("/known/target/cobalt-zinc-green").get_data(as_text=True)
    assert "fast" in page or "it stays in" in page
    if "fast, in air" in page:
        assert "do not plan a hot pull" in page or "read" in page


def test_a_swatch_only_where_a_value_was_published(client: FlaskClient) -> None:
    with_value = next(t for t in LIBRARY.targets.values() if t.lab)
    without = next(t for t in LIBRARY.targets.values() if t.lab is None)
    assert 'class="swatch"' in client.get(f"/known/target/{with_value.slug}").get_data(as_text=True)
    assert 'class="swatch"' not in client.get(f"/known/target/{without.slug}").get_data(as_text=True)


def test_gases_show_body_and_year(client: FlaskClient) -> None:
    page = client.get("/known/gases").get_data(as_text=True)
    assert "Hydrogen chloride" in page and "2025" in page


def test_what_nobody_knows_is_a_calm_404(app: Flask, client: FlaskClient) -> None:
    for path in ("/known/target/x", "/known/reagent/../../etc", "/known/card/none"):
        assert client.get(path).status_code == 404
