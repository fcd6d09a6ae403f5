"""The maker's own reagents, targets and limits: records over the library, seen by every screen, correctable."""

from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.reckoning import reckon
from bench.reference import basis_of, load_library
from bench.reference.tables import DATA
from bench.screens.known.owning.asked import TABLES
from tests.screens.making import errors

ID = "01K9V0000000000000000000A1"
OTHER = "01K9V0000000000000000000A2"
OCHRE = {
    "record_id": ID, "name": "Bank ochre", "formula": "FeOOH", "synonyms": "yellow earth; bank clay",
    "cas": "20344-49-4", "hydrates": "FeOOH, FeOOH*0.2H2O", "assay_formula": "Fe2O3", "assay_low_pct": "40",
    "assay_high_pct": "45,5", "residue_formula": "Fe2O3", "residue_per_formula": "0,5", "gas.0": "H2O", "mol.0": "0.5",
    "from_c.0": "250",
    "to_c.0": "350", "water_soluble": "no", "ground": "dug and fired by myself",
}  # fmt: skip


def library(app: Flask) -> Any:
    return app.extensions["bench"].library


def records(app: Flask) -> list[Any]:
    state = app.extensions["bench"].state
    return [r for r in state.records.values() if r.kind == "card.changed"]


def test_a_reagent_of_ones_own_is_seen_by_every_screen(app: Flask, client: FlaskClient, send: Any) -> None:
    before = {path.name: path.read_bytes() for path in Path(DATA).iterdir() if path.is_file()}
    answer = send("/known/own/reagent", OCHRE)
    assert answer.status_code == 303 and answer.location == "/known/reagent/bank-ochre", errors(answer.text)
    found = library(app).reagents["bank-ochre"]
    assert (found.own, found.assay_high_pct, found.basis_note) == (True, 45.5, "dug and fired by myself")
    assert found.hydrates == ("FeOOH", "FeOOH*0.2H2O") and found.synonyms == ("yellow earth", "bank clay")
    page = client.get("/known/reagent/bank-ochre").text
    assert "entered by you" in page and "the SDS of your jar" in page and "No card here: read the SDS" in page
    assert "bank-ochre" in client.get("/known?q=yellow+earth").text
    assert "Bank ochre" in client.get("/shelf/new?reagent=bank+ochre").text
    assert "13.6 %" in client.get("/known/reagent/bank-ochre/hydrate").text
    assert {path.name: path.read_bytes() for path in Path(DATA).iterdir() if path.is_file()} == before
    assert "bank-ochre" not in load_library().reagents


def test_its_gas_is_reckoned_by_its_own_steps(app: Flask, send: Any) -> None:
    """Half a mole of water from 88.85 g of FeOOH: 10.14 % (published molar masses)."""
    send("/known/own/reagent", OCHRE)
    ask = {"charges": [{"formula": "bank-ochre", "g": 100.0}]}
    [water] = [one for one in reckon("gas", ask, library(app))["evolved"] if one["gas"] == "H2O"]
    assert water["g"] == pytest.approx(100 * 0.5 * 18.015 / 88.85, rel=1e-3)


def test_a_repeat_is_one_record_and_a_second_submit_a_correction(app: Flask, send: Any) -> None:
    for _ in range(2):
        assert send("/known/own/reagent", OCHRE).status_code == 303
    assert len(records(app)) == 1
    revision = library(app).revision
    changed = OCHRE | {"record_id": OTHER, "slug": "bank-ochre", "assay_low_pct": "42"}
    assert send("/known/own/reagent", changed).status_code == 303
    assert library(app).reagents["bank-ochre"].assay_low_pct == 42.0
    assert library(app).revision != revision
    [first, second] = sorted(records(app), key=lambda one: one.order)
    assert second.subject == first.id and tuple(second.corrects) == (first.id,)
    assert len(app.extensions["bench"].state.cards()) == 1


def test_taken_back_it_is_gone(app: Flask, client: FlaskClient, send: Any) -> None:
    send("/known/own/reagent", OCHRE)
    send("/undo", {"ids": ID, "why": "wrong jar", "back": "/"})
    assert "bank-ochre" not in library(app).reagents
    assert library(app) is app.extensions["bench"].files
    assert client.get("/known/reagent/bank-ochre").status_code == 404


def test_a_known_row_changed_keeps_what_was_not_changed(app: Flask, client: FlaskClient, send: Any) -> None:
    start = typed(client, "/known/own/reagent?slug=zinc-oxide")
    answer = send("/known/own/reagent", start | {"record_id": ID, "how_to_tell": "white, goes yellow hot"})
    assert answer.status_code == 303, errors(answer.text)
    [kept] = records(app)
    assert kept.body.row == {"how_to_tell": "white, goes yellow hot"}
    found, files = library(app).reagents["zinc-oxide"], load_library().reagents["zinc-oxide"]
    assert basis_of(found, "how_to_tell") == "own" and basis_of(found, "assay_low_pct") == basis_of(
        files, "assay_low_pct"
    )
    assert "you changed it already" in client.get("/known/reagent/zinc-oxide").text


def typed(client: FlaskClient, path: str) -> dict[str, str]:
    """What the form of a page would send, untouched."""
    from html.parser import HTMLParser

    class Fields(HTMLParser):
        found: dict[str, str]
        select: str = ""
        area: str = ""

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            seen = {name: value or "" for name, value in attrs}
            checked = any(name == "checked" for name, _ in attrs)
            if tag == "input" and (seen.get("type") not in ("radio", "checkbox") or checked):
                self.found[seen.get("name", "")] = seen.get("value", "")
            elif tag == "select":
                self.select = seen["name"]
                self.found[self.select] = ""
            elif tag == "option" and any(name == "selected" for name, _ in attrs):
                self.found[self.select] = seen["value"]
            elif tag == "textarea":
                self.area = seen["name"]
                self.found[self.area] = ""

        def handle_data(self, data: str) -> None:
            if self.area:
                self.found[self.area] += data

        def handle_endtag(self, tag: str) -> None:
            if tag == "textarea":
                self.area = ""

    reader = Fields()
    reader.found = {}
    reader.feed(client.get(path).text)
    return {name: value for name, value in reader.found.items() if name and name not in ("token", "record_id")}


@pytest.mark.parametrize("what", ["reagent", "target", "card", "ware"])
def test_every_row_can_be_opened_and_nothing_changes_by_itself(
    app: Flask, client: FlaskClient, send: Any, what: str
) -> None:
    """A form that is sent as it was shown says nothing new, for every row of the library (every fourth card)."""
    changed = {}
    for slug in list(getattr(library(app), TABLES[what]))[:: 4 if what == "card" else 1]:
        start = typed(client, f"/known/own/{what}?slug={slug}")
        answer = send(f"/known/own/{what}", start)
        if answer.status_code != 422 or "Nothing differs from the library" not in answer.text:
            changed[slug] = errors(answer.text)
    assert not changed
    assert not records(app)


def test_a_target_of_ones_own_is_planned(app: Flask, client: FlaskClient, send: Any) -> None:
    fields = {
        "record_id": ID, "name": "Shed green", "formula": "Co0.3Zn0.7Cr2O4", "pale": "1", "soak_low_c": "1150",
        "soak_high_c": "1200", "soak_min_minutes": "60", "soak_max_minutes": "180", "atmosphere": "oxidising",
        "cooling_mode": "fast", "routes": "zinc oxide + CoCO3 + chromium-iii-oxide\n",
        "fires_low": "1", "fires_high": "2",
    }  # fmt: skip
    answer = send("/known/own/target", fields)
    assert answer.status_code == 303, errors(answer.text)
    found = library(app).targets["shed-green"]
    assert found.cations == {"Co": 0.3, "Zn": 0.7, "Cr": 2.0} and found.pale
    assert found.routes[0].reagents == ("zinc-oxide", "cobalt-ii-carbonate", "chromium-iii-oxide")
    plan = client.get("/plan/target?target=shed-green").text
    assert "zinc oxide" in plan and "1180" in plan
    page = client.get("/known/target/shed-green").text
    assert "From memory only" in page or "do not plan a hot pull" in page or "entered by you" in page


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"formula": "Fe(OO"}, "not closed"),
        ({"formula": ""}, "Write something"),
        ({"name": "Zinc oxide"}, "The name zinc oxide is in use"),
        ({"name": "—"}, "letters"),
        ({"cas": "20344-49-5"}, "check digit"),
        ({"hydrates": "FeOOH, xyz"}, "not a number"),
        ({"assay_low_pct": "50"}, "lower than the first"),
        ({"residue_per_formula": "1"}, "does not hold the Fe"),
        ({"residue_per_formula": ""}, "how much of it"),
        ({"to_c.0": "200"}, "The end is before"),
        ({"mol.0": "-1"}, "Only oxygen"),
        ({"gas.0": "XeF6"}, "Choose one"),
        ({"from_c.0": ""}, "number"),
    ],
)
def test_wrong_input_stands_beside_its_field(app: Flask, send: Any, change: dict[str, str], words: str) -> None:
    answer = send("/known/own/reagent", OCHRE | change)
    assert answer.status_code == 422 and any(words in one for one in errors(answer.text)), errors(answer.text)
    assert "yellow earth; bank clay" in answer.text and not records(app)


@pytest.mark.parametrize("formula", ["PbO", "CdS", "K2Cr2O7", "As2O3", "HgO"])
def test_what_the_bench_refuses_is_no_row_of_ones_own(app: Flask, send: Any, formula: str) -> None:
    fields = {"name": "Harmless stuff", "formula": formula}
    for what in ("reagent", "target"):
        answer = send(f"/known/own/{what}", fields)
        assert answer.status_code == 422 and errors(answer.text), what
    assert not records(app)


def test_a_route_with_an_unknown_reagent_is_asked_about(send: Any) -> None:
    answer = send("/known/own/target", {"name": "New blue", "formula": "CoAl2O4", "routes": "zinc oxide + moon dust"})
    assert answer.status_code == 422 and any("moon dust" in one for one in errors(answer.text))


LIMIT = {
    "record_id": ID, "gas": "HCl", "body": "Our country's list", "year": "2024", "value": "0,5", "unit": "ppm",
    "period": "8h",
}  # fmt: skip


def test_a_limit_of_ones_country(app: Flask, client: FlaskClient, send: Any) -> None:
    assert send("/known/own/limit", LIMIT).status_code == 303
    strict = library(app).gases["HCl"].strict_8h
    assert (strict.value, strict.body, strict.year, strict.basis) == (0.5, "Our country's list", 2024, "own")
    page = client.get("/known/gases").text
    assert "Our country&#39;s list, 2024" in page and "entered by you" in page
    answer = reckon("exposure", {"gas": "HCl", "g": 1, "room_m3": 40, "air_changes_per_h": 5}, library(app))
    assert "Our country's list" in str(answer) or "0.5" in str(answer)


def test_a_limit_is_changed_and_a_looser_one_never_hides_a_lower(app: Flask, client: FlaskClient, send: Any) -> None:
    send("/known/own/limit", LIMIT)
    assert "2024" in client.get(f"/known/own/limit?card={ID}").text
    later = LIMIT | {"record_id": OTHER, "card": ID, "year": "2026", "value": "4"}
    assert send("/known/own/limit", later).status_code == 303
    gas = library(app).gases["HCl"]
    mine = [one for one in gas.limits if one.body == "Our country's list"]
    assert [(one.value, one.year) for one in mine] == [(4.0, 2026)]
    assert gas.strict_8h == load_library().gases["HCl"].strict_8h
    assert len(app.extensions["bench"].state.cards()) == 1


def test_the_same_body_and_time_is_one_limit(app: Flask, send: Any) -> None:
    send("/known/own/limit", LIMIT)
    send("/known/own/limit", LIMIT | {"record_id": OTHER, "value": "0.4"})
    assert len(app.extensions["bench"].state.cards()) == 1
    assert library(app).gases["HCl"].strict_8h.value == 0.4


@pytest.mark.parametrize(
    "change", [{"gas": "XeF6"}, {"body": ""}, {"year": "24"}, {"value": "0"}, {"unit": "spoons"}, {"period": "week"}]
)
def test_a_limit_that_is_none_is_refused(app: Flask, send: Any, change: dict[str, str]) -> None:
    answer = send("/known/own/limit", LIMIT | change)
    assert answer.status_code == 422 and errors(answer.text)
    assert not records(app)


def test_troubles_are_shown(app: Flask, client: FlaskClient) -> None:
    """A record from elsewhere whose row does not fit is left out, and said."""
    row = {"melts_c": "hot"}
    data = {"table": "reagents", "slug": "zinc-oxide", "row": row, "basis": "own"}
    app.extensions["bench"].journal.write("card.changed", None, data)
    for path in ("/known", "/known/own"):
        assert "are wrong and not used" in client.get(path).text


def test_unknown_rows_are_a_calm_404(client: FlaskClient, send: Any) -> None:
    for path in ("reagent?slug=none", "target?slug=none", f"limit?card={ID}", "spoon"):
        assert client.get(f"/known/own/{path}").status_code == 404, path
    assert send("/known/own/reagent", {"slug": "none", "name": "x"}).status_code == 404
    assert send("/known/own/limit", LIMIT | {"card": "none"}).status_code == 404
    assert send("/known/own").status_code == 405


def test_the_rows_are_listed(app: Flask, client: FlaskClient, send: Any) -> None:
    assert "There is none yet" in client.get("/known/own").text
    send("/known/own/reagent", OCHRE)
    send("/known/own/limit", LIMIT | {"record_id": OTHER})
    page = client.get("/known/own").text
    assert "/known/own/reagent?slug=bank-ochre" in page and f"/known/own/limit?card={OTHER}" in page


def test_it_is_laid_over_once(app: Flask, send: Any) -> None:
    """Every screen of one state sees the very same library."""
    send("/known/own/reagent", OCHRE)
    assert library(app) is library(app)
    app.extensions["bench"].journal.write("setting.changed", "0" * 26, {"name": "place", "value": "outdoors"})
    first = library(app)
    assert library(app) is first


ROWS = ["x", [1], {"formula": "?", "x_low": "a"}, {"routes": [{"reagents": 3}], "pale": "x"},
        {"gas_steps": [{"gas": "H2O"}], "hydrates": "FeOOH; ?("}, {"residue_formula": "?", "residue_per_formula": -1},
        {"gas_steps": [{"gas": "XeF6", "mol_per_formula": 1, "from_c": 20, "to_c": 90}]},
        {"value": "nan", "unit": 3, "body": [], "period": {}, "year": 1.5}, {"cations": [], "cooling_mode": 7},
        {"formula_family": "Zn(1-x", "soak_low_c": True, "assay_low_pct": 1e300, "words": {"a": 1}}]  # fmt: skip
KINDS = (
    ("reagents", "zinc-oxide"), ("reagents", "new"), ("targets", "egyptian-blue"), ("limits", "HCl"), ("gases", "HCl"),
    ("hazards", "zinc-oxide"), ("ware", "fireclay"),
)  # fmt: skip
PAGES = (
    "/known", "/known/own", "/known/gases", "/known/own/reagent?slug=zinc-oxide", "/known/target/egyptian-blue",
    "/known/own/target?slug=egyptian-blue", "/known/reagent/zinc-oxide", "/known/reagent/zinc-oxide/hydrate",
    "/plan/target?target=egyptian-blue", "/shelf/new?reagent=zinc-oxide",
)  # fmt: skip


def test_no_row_from_elsewhere_breaks_a_page(app: Flask, client: FlaskClient) -> None:
    """Rows as another bench may have written them: every page still answers, and says what does not fit."""
    journal = app.extensions["bench"].journal
    for row in ROWS:
        made = []
        for table, slug in KINDS:
            data = {"table": table, "slug": slug, "row": row, "basis": "own"}
            made.append(journal.write("card.changed", None, data).id)
        for path in (*PAGES, f"/thing/{made[0]}"):
            assert client.get(path).status_code == 200, (path, row)
        assert client.get(f"/known/own/limit?card={made[3]}").status_code in (200, 404)
        journal.write("withdrawn", made[0], {"ids": made, "why": "not ours"})
    assert library(app) is app.extensions["bench"].files


PINK = {
    "record_id": ID, "name": "Shed pink", "formula": "Zn0.9Co0.1O", "formula_family": "Zn(1-x)Co(x)O", "x_low": "0.02",
    "x_high": "0,2", "lab_l": "61.5", "lab_a": "-18,2", "lab_b": "4", "lab_note": "our own reading",
    "flux_options.0.formula": "KCl", "flux_options.0.wt_pct_low": "5", "flux_options.0.wt_pct_high": "12,5",
    "flux_options.0.fate": "washed-out", "flux_options.0.not_with": "zinc sulfate heptahydrate",
    "left_overs.0.oxide": "Co3O4", "left_overs.0.colour": "black specks",
    "failure_signs.0.sign": "grey cast", "failure_signs.0.cause": "cobalt left over",
    "failure_signs.0.tells_apart": "specks under the lens",
}  # fmt: skip


def test_a_target_with_its_family_colour_fluxes_and_signs(app: Flask, client: FlaskClient, send: Any) -> None:
    answer = send("/known/own/target", PINK)
    assert answer.status_code == 303, errors(answer.text)
    found = library(app).targets["shed-pink"]
    assert (found.x_low, found.x_high, found.lab) == (0.02, 0.2, (61.5, -18.2, 4.0))
    [flux], [left], [sign] = found.flux_options, found.left_overs, found.failure_signs
    assert (flux.formula, flux.wt_pct_low, flux.wt_pct_high, flux.fate) == ("KCl", 5.0, 12.5, "washed-out")
    assert flux.not_with == ("zinc-sulfate-heptahydrate",) or flux.not_with
    assert (left.oxide, left.colour) == ("Co3O4", "black specks")
    assert (sign.sign, sign.cause, sign.tells_apart) == ("grey cast", "cobalt left over", "specks under the lens")
    page = client.get("/known/target/shed-pink").text
    assert all(one in page for one in ("x 0.02 to 0.2", "black specks", "grey cast", "L* 61.5", "5 to 12.5 %"))
    again = client.get("/known/own/target?slug=shed-pink").text
    assert 'value="grey cast"' in again and 'value="-18.2"' in again and 'value="12.5"' in again
    assert not library(app).troubles


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"lab_b": ""}, "lab_b", "or none of them"),
        ({"lab_l": "120"}, "lab_l", "most"),
        ({"formula_family": "Zn(1-x"}, "formula_family", "x in brackets"),
        ({"formula_family": "Mg(1-x)Ni(x)O"}, "formula_family", "x in brackets"),
        ({"formula_family": ""}, "formula_family", "family"),
        ({"x_low": ""}, "x_low", "range of x"),
        ({"x_low": "0.3"}, "x_high", "lower than the first"),
        ({"flux_options.0.formula": "K?"}, "flux_options.0.formula", ""),
        ({"flux_options.0.wt_pct_high": ""}, "flux_options.0.wt_pct_high", "number"),
        ({"flux_options.0.wt_pct_high": "1"}, "flux_options.0.wt_pct_high", "lower than the first"),
        ({"flux_options.0.fate": "eaten"}, "flux_options.0.fate", "Choose one"),
        ({"flux_options.0.not_with": "moon dust"}, "flux_options.0.not_with", "moon dust"),
        ({"left_overs.0.colour": ""}, "left_overs.0.colour", "Write something"),
        ({"failure_signs.0.sign": ""}, "failure_signs.0.sign", "Write something"),
        ({"failure_signs.0.cause": "x" * 400}, "failure_signs.0.cause", "at most 300"),
    ],
)
def test_wrong_tables_stand_beside_their_field(
    app: Flask, send: Any, change: dict[str, str], field: str, words: str
) -> None:
    answer = send("/known/own/target", PINK | change)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.text, errors(answer.text)
    assert any(words in one for one in errors(answer.text)) and not records(app)
    assert "specks under the lens" in answer.text


def test_the_tables_of_a_known_target_stay_where_untouched(app: Flask, client: FlaskClient, send: Any) -> None:
    """Only what differs is kept; the signs of the library's own row are shown in the form and stay."""
    before = library(app).targets["cobalt-aluminate-blue"]
    fields = typed(client, f"/known/own/target?slug={before.slug}")
    answer = send("/known/own/target", fields | {"failure_signs.0.cause": "too cold"})
    assert answer.status_code == 303, errors(answer.text)
    [record] = records(app)
    assert set(record.body.row) == {"failure_signs"}
    after = library(app).targets["cobalt-aluminate-blue"]
    assert after.failure_signs[0].cause == "too cold" and after.failure_signs[1:] == before.failure_signs[1:]
    assert after.flux_options == before.flux_options


CARD = {
    "record_id": ID, "name": "Bank ochre dust", "formulas": "FeOOH", "cas": "20344-49-4", "flag": "caution",
    "h_codes": "h317, H334, H350i", "p_codes": "P280, P302+P352", "other_limit": "our list 2024: 4 mg/m3 respirable",
    "never_combine": "aluminium powder", "ground": "SDS of the pit",
}  # fmt: skip


def test_a_hazard_card_of_ones_own_speaks_for_ones_own_reagent(app: Flask, client: FlaskClient, send: Any) -> None:
    send("/known/own/reagent", OCHRE)
    page = client.get("/known/reagent/bank-ochre").text
    assert "/known/own/card?for=bank-ochre" in page and "No card here: read the SDS" in page
    assert 'value="FeOOH"' in client.get("/known/own/card?for=bank-ochre").text
    answer = send("/known/own/card", CARD | {"record_id": OTHER})
    assert answer.status_code == 303 and answer.location == "/known/card/bank-ochre-dust", errors(answer.text)
    card = library(app).hazards["bank-ochre-dust"]
    # Respiratory sensitisation shows GHS08 and takes the exclamation mark of skin sensitisation away (CLP Article 26).
    assert (card.pictograms, card.signal_word, card.classified) == (("GHS08",), "Danger", True)
    page = client.get("/known/reagent/bank-ochre").text
    assert "Danger" in page and "H350i" in page and "Never together with: aluminium powder" in page
    # The library's own are whole orders.
    assert "<b>No acids in closed vessel" in client.get("/known/reagent/copper-carbonate-basic").text
    assert "/known/card/bank-ochre-dust" in page and "No card here" not in page
    said = client.get("/known/card/bank-ochre-dust").text
    assert "P302+P352" in said and "entered by you" in said and "20344-49-4" in said


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"h_codes": "H999"}, "h_codes", "H999"),
        ({"h_codes": "P280"}, "h_codes", "P280"),
        ({"p_codes": "P999"}, "p_codes", "P999"),
        ({"cas": "20344-49-5"}, "cas", "check digit"),
        ({"formulas": ""}, "formulas", "Write something"),
        ({"formulas": "Fe(OO"}, "formulas", "not closed"),
        ({"name": "—"}, "name", "letters"),
        ({"flag": "fine"}, "flag", "Choose one"),
        ({"h_codes": "H272", "signal_word": ""}, "signal_word", "do not decide the signal word"),
    ],
)
def test_a_card_that_cannot_be_is_refused(
    app: Flask, send: Any, change: dict[str, str], field: str, words: str
) -> None:
    answer = send("/known/own/card", CARD | change)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.text, errors(answer.text)
    assert any(words in one for one in errors(answer.text)) and not records(app)


def test_what_is_published_of_a_substance_is_never_made_milder(app: Flask, client: FlaskClient, send: Any) -> None:
    card = library(app).hazards["cobalt-ii-carbonate"]
    plain = {"slug": card.slug, "cas": ", ".join(card.cas), "p_codes": ", ".join(card.p_codes)}
    codes = {"flag": card.flag, "h_codes": ", ".join(card.h_codes)}
    assert 'value="H317, H334' in client.get(f"/known/own/card?slug={card.slug}").text
    for change in ({"h_codes": "H317"}, {"flag": "ok"}):
        answer = send("/known/own/card", plain | codes | change)
        assert answer.status_code == 422 and f'id="{next(iter(change))}-no"' in answer.text
    more = plain | {"flag": "avoid", "h_codes": codes["h_codes"] + ", H302"}
    assert send("/known/own/card", more).status_code == 303
    assert library(app).hazards[card.slug].flag == "avoid" and "H302" in library(app).hazards[card.slug].h_codes


WARE = {
    "record_id": ID, "name": "River clay", "continuous_max_c": "1050", "short_max_c": "1100", "max_ramp_c_per_min": "3",
    "avoid.alkali-melt": "1", "avoid.fluoride": "1", "shock_note": "never onto cold iron", "ground": "thrown here",
}  # fmt: skip


def test_a_ware_of_ones_own_is_offered_and_held_to(app: Flask, client: FlaskClient, send: Any) -> None:
    answer = send("/known/own/ware", WARE)
    assert answer.status_code == 303 and answer.location == "/known/ware/river-clay", errors(answer.text)
    row = library(app).ware["river-clay"]
    assert (row.continuous_max_c, row.avoid, row.own) == (1050.0, ("alkali-melt", "fluoride"), True)
    assert "River clay, to 1050 °C" in client.get("/crucibles/new").text
    assert "River clay" in client.get("/known/wares").text
    page = client.get("/known/ware/river-clay").text
    assert "never onto cold iron" in page and "alkali melt" in page and "entered by you" in page
    hot = {"ware": "river-clay", "volume_ml": "30", "rated_c": "1250"}
    answer = send("/crucibles/new", hot)
    assert answer.status_code == 422 and "River clay takes at most 1100" in answer.text
    again = client.get("/known/own/ware?slug=river-clay").text
    assert 'name="avoid.fluoride" value="1" checked' in again and 'value="River clay"' not in again
    assert not library(app).troubles


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "Glazed porcelain"}, "name"),
        ({"continuous_max_c": ""}, "continuous_max_c"),
        ({"continuous_max_c": "30"}, "continuous_max_c"),
        ({"short_max_c": "900"}, "short_max_c"),
        ({"max_ramp_c_per_min": "fast"}, "max_ramp_c_per_min"),
    ],
)
def test_a_ware_that_cannot_be_is_refused(app: Flask, send: Any, change: dict[str, str], field: str) -> None:
    answer = send("/known/own/ware", WARE | change)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.text, errors(answer.text)
    assert not records(app) and "never onto cold iron" in answer.text


def test_a_limit_of_a_dust_by_form(app: Flask, client: FlaskClient, send: Any) -> None:
    fields = LIMIT | {"gas": "cobalt-ii-chloride", "value": "0,003", "unit": "mg/m3", "counted_as": "Co",
                      "form": "soluble", "fraction": "inhalable"}  # fmt: skip
    answer = send("/known/own/limit", fields)
    assert answer.status_code == 303 and answer.location == "/known/card/cobalt-ii-chloride", errors(answer.text)
    page = client.get("/known/card/cobalt-ii-chloride").text
    assert "0.003 mg/m³ as Co, soluble, inhalable" in page and "Our country&#39;s list, 2024" in page
    page = client.get("/known/reagent/cobalt-chloride-hexahydrate").text
    assert "Strictest limit for a day that fits this form: 0.003" in page and "as low as possible" in page
    assert "soluble" in client.get(f"/known/own/limit?card={ID}").text
    for change, field in (({"gas": "HCl"}, "fraction"), ({"fraction": "coarse"}, "fraction")):
        again = send("/known/own/limit", fields | {"record_id": OTHER} | change)
        assert again.status_code == 422 and f'id="{field}-no"' in again.text
