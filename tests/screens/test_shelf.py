"""The shelf: a jar from its label, what is refused when it is typed, the wide assay, what is left, the fire-assay."""

import re
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.assays import jar_assay
from bench.workshop.things.jars import jar

ID = "01K9V0000000000000000000A1"
MASS_CO_IN_COCO3 = 0.4955  # 58.933 ÷ 118.94, standard atomic weights


def add(send: Any, **more: Any) -> Any:
    """Add a jar of cobalt carbonate, as its page would."""
    fields = {"record_id": ID, "reagent": "cobalt-ii-carbonate", "formula": "", "water": "CoCO3", "net_g": "100"}
    return send("/shelf/new", fields | more)


def opened(app: Flask, thing: str = ID) -> Any:
    """The jar that was added."""
    view = jar(app.extensions["bench"].state, thing)
    assert view is not None
    return view


def test_an_empty_shelf(client: FlaskClient) -> None:
    """It says what to do."""
    assert "No jar yet" in client.get("/shelf").text


def test_a_jar_by_name(app: Flask, client: FlaskClient, send: Any) -> None:
    """Looked up by name, asked for what it holds, and given a code."""
    assert "Type a name or a formula." in client.get("/shelf/new?reagent=").text
    page = client.get("/shelf/new?reagent=Cobalt(II)+carbonate+(nominal)").text
    assert "CoCO₃" in page and "May cause cancer" in page and "the SDS of your jar" in page
    answer = add(send, lot="L 26", price="40,5")
    assert answer.status_code == 303 and answer.location == f"/jar/{ID}"
    view = opened(app)
    assert (view.opened.assay_pct, view.opened.hydrate_known, view.opened.price) == (100, True, 40.5)
    assert view.code and view.code in app.extensions["bench"].state.issued
    assert "100.00" in client.get(f"/jar/{ID}").text and "cobalt(II) carbonate" in client.get("/shelf").text


REFUSED = (
    "lead oxide", "PbO", "cadmium sulfide", "CdS", "As2O3", "HgS", "SeO2", "potassium dichromate",
    "ammonium dichromate", "(NH4)2Cr2O7", "K2Cr2O7", "CrO3", "Na2CrO4", "red lead",
)  # fmt: skip


def test_what_is_refused_already_when_typed(app: Flask, client: FlaskClient, send: Any) -> None:
    """By name and by formula, on looking up and on adding, and behind a harmless name; nothing is recorded."""
    for typed in REFUSED:
        assert "Refused" in client.get("/shelf/new", query_string={"reagent": typed}).text, typed
        answer = send("/shelf/new", reagent=typed, formula="", water=typed, net_g="100")
        assert answer.status_code == 422 and "efused" in answer.text, typed
    for formula in ("PbO", "K2Cr2O7", "CdS"):
        assert send("/shelf/new", reagent="Harmless stuff", formula=formula, water=formula).status_code == 422
    assert not app.extensions["bench"].journal.by("kind", "jar.opened")


def test_a_name_that_nobody_knows_asks_for_a_formula(app: Flask, client: FlaskClient, send: Any) -> None:
    """A typed formula works, and a substance without a card says so."""
    assert "Formula" in client.get("/shelf/new?reagent=Blubberstein").text
    page = client.get("/shelf/new?reagent=Blubberstein&formula=Y3Al5O12").text
    assert "No card here: read the SDS" in page
    answer = send("/shelf/new", record_id=ID, reagent="Blubberstein", formula="Y3Al5O12", water="Y3Al5O12")
    assert answer.status_code == 303 and opened(app).opened.reagent == "Blubberstein"
    assert "No card here: read the SDS" in client.get(f"/jar/{ID}").text


def test_elements_that_nobody_can_check_need_a_recorded_decision(app: Flask, send: Any) -> None:
    """An element outside the library blocks, until a named person records why."""
    fields = {"record_id": ID, "reagent": "Rare", "formula": "TeO2", "water": "TeO2", "net_g": "5"}
    refused = send("/shelf/new", fields)
    assert refused.status_code == 422 and "cannot be checked here" in refused.text
    decided = {"who.formula-unread": "Asha", "why.formula-unread": "SDS of the maker read on the day"}
    assert send("/shelf/new", fields, **decided).status_code == 303
    assert send("/shelf/new", fields, **decided).status_code == 303
    [kept] = app.extensions["bench"].journal.by("kind", "rule.overridden")
    assert kept.subject == ID and kept.data["who"] == "Asha"


def test_a_formula_that_cannot_be_read(client: FlaskClient, send: Any) -> None:
    """A sentence beside the field, and what was typed kept."""
    for formula in ("Xx2O3", "", "CuSO4.5H2O.", "9" * 5_000, "<script>", "Cu(OH"):
        answer = send("/shelf/new", reagent="Blubberstein", formula=formula, water=formula)
        assert answer.status_code == 422 and "Blubberstein" in answer.text and "<script>" not in answer.text
        looked_up = client.get("/shelf/new", query_string={"reagent": "Blubberstein", "formula": formula})
        assert looked_up.status_code in (200, 422)


def test_several_reagents_of_one_formula_are_asked_about(client: FlaskClient) -> None:
    """SiO2 stands in more than one jar of the library."""
    page = client.get("/shelf/new?reagent=SiO2").text
    assert "Is it one of these?" in page and "quartz" in page and "fumed" in page


@pytest.mark.parametrize(
    "typed", ["zinc acetate", "zinc acetate hydrate", "Zinc acetate (hydrated)", "Zn(CH3COO)2*xH2O", "Zn(CH3COO)2.nH2O"]
)
def test_a_label_that_leaves_the_water_open_leads_to_its_forms(client: FlaskClient, typed: str) -> None:
    """And the jar keeps the name that it is sold by, and may be added without its water."""
    page = client.get("/shelf/new", query_string={"reagent": typed}).text
    assert "white pearly flakes" in page and "No reagent has that name" not in page
    form = client.get("/shelf/new", query_string={"reagent": "zinc acetate", "formula": "Zn(CH3COO)2*2H2O"}).text
    assert "/shelf/new?reagent=zinc+acetate&amp;formula=Zn(CH3COO)2*2H2O" in page
    assert "the plan shows a range" in form and "zinc acetate" in form


def test_unknown_water_gives_a_wide_assay(app: Flask, client: FlaskClient, send: Any) -> None:
    """Soda of unknown water holds 37.04 to 100 % soda; the page explains, the plan is told."""
    assert "37 to 100 %" in client.get("/shelf/new?reagent=sodium-carbonate").text
    answer = add(send, reagent="sodium-carbonate", water="unknown")
    assert answer.status_code == 303
    body = opened(app).opened
    assert not body.hydrate_known and body.assay_pct == pytest.approx((37.04 + 100) / 2, abs=0.02)
    assert body.assay_sd_pct == pytest.approx((100 - 37.04) / 12**0.5, abs=0.02)
    assert "water is not known" in client.get(f"/jar/{ID}").text


def test_an_assay_by_element(app: Flask, send: Any) -> None:
    """46 % cobalt on the label is 92.8 % by CoCO3, whose theory is 49.55 %."""
    assert add(send, assay_pct="46", assay_of="Co", water="CoCO3").status_code == 303
    assert opened(app).opened.assay_pct == pytest.approx(46 / MASS_CO_IN_COCO3, abs=0.02)


BAD_JARS = (
    ({"water": ""}, "Choose one of these"),
    ({"water": "CoO"}, "Choose one of these"),
    ({"assay_pct": "60", "assay_of": "Co"}, "cannot hold that much"),
    ({"assay_pct": "-3"}, "minus sign"),
    ({"assay_pct": "abc"}, "digit"),
    ({"water": "unknown", "assay_pct": "98", "assay_of": "formula"}, "water"),
    ({"net_g": "1,000.5"}, "comma and a point"),
    ({"net_g": "1e99"}, ""),
    ({"lot": "x" * 100_000}, "at most 200"),
    ({"lot": "a\x00b"}, "control character"),
    ({"code": "T5C7HK"}, "One character is wrong"),
    ({"code": "T5C7HJ"}, "never issued"),
    ({"happened": "25:61"}, "hours and minutes"),
)


def test_bad_input_stands_beside_its_field(app: Flask, send: Any) -> None:
    """A plain sentence, what was typed kept, nothing recorded."""
    for fields, words in BAD_JARS:
        answer = add(send, **({"price": "12345"} | fields))
        assert answer.status_code == 422 and words in answer.text, fields
        assert "12345" in answer.text
    assert not app.extensions["bench"].journal.by("kind", "jar.opened")


def test_sent_again_it_is_one_jar_with_one_code(app: Flask, send: Any) -> None:
    """Ten deliveries of one submit are one jar."""
    assert {add(send).status_code for _ in range(10)} == {303}
    here = app.extensions["bench"]
    assert len(here.journal.by("kind", "jar.opened")) == 1 and len(here.journal.by("kind", "code.assigned")) == 1


def test_a_second_jar_like_one_on_the_shelf_is_asked_about_once(app: Flask, send: Any) -> None:
    """The same label word by word may be the same jar; another lot is another jar, and a tick says that it is."""
    jars = app.extensions["bench"].journal
    assert add(send, lot="7").status_code == 303
    again = add(send, lot="7", record_id="01K9V0000000000000000000A2")
    assert again.status_code == 422 and "holds the same" in again.text and 'name="another"' in again.text
    assert add(send, lot="7", record_id="01K9V0000000000000000000A2", another="1").status_code == 303
    assert add(send, lot="8", record_id="01K9V0000000000000000000A3").status_code == 303
    assert len(jars.by("kind", "jar.opened")) == 3


def test_a_spare_tag(app: Flask, send: Any) -> None:
    """A spare that was issued is bound; one that another thing bears is not."""
    here = app.extensions["bench"]
    here.journal.write("code.issued", "0" * 26, {"codes": ["T5C7HJ"]})
    assert add(send, code="t5c7h-j").status_code == 303 and opened(app).code == "T5C7HJ"
    assert add(send, code="t5c7h-j").status_code == 303
    second = add(send, record_id="01K9V0000000000000000000A2", code="T5C7HJ")
    assert second.status_code == 422 and "Something else has this code already" in second.text


def test_a_fire_assay_settles_it(app: Flask, client: FlaskClient, send: Any) -> None:
    """CoCO3 leaves 63.0 % as CoO; 58 % left is 92.1 %; the jar is then dosed by it."""
    add(send, water="unknown")
    answer = send(f"/jar/{ID}/assay", before_g="1,00", after_g="0,58", at_c="1000")
    assert answer.status_code == 303
    page = client.get(f"/jar/{ID}").text
    assert "58.00 % stayed" in page and "92.1" in page and "By its own fire-assay" in page
    here = app.extensions["bench"]
    found = jar_assay(here.state, ID, here.library)
    assert found is not None and found.by == "fire" and found.hydrate_known
    assert found.assay_pct == pytest.approx(100 * 58 / 63.0, abs=0.02)
    send(f"/jar/{ID}/assay", before_g="1.00", after_g="0.60", at_c="1000")
    again = jar_assay(here.state, ID, here.library)
    assert again is not None and again.assay_pct == pytest.approx(100 * 59 / 63.0, abs=0.02)


def test_a_fire_that_tells_nothing_is_kept_and_says_why(client: FlaskClient, send: Any) -> None:
    """Too cold to drive the gas out: a record, no assay."""
    add(send, assay_pct="98")
    assert send(f"/jar/{ID}/assay", before_g="1", after_g="0.9", at_c="250").status_code == 303
    page = client.get(f"/jar/{ID}").text
    assert "some gas remains" in page and "By its label" in page


def test_an_assay_that_nobody_read_is_said_as_assumed(client: FlaskClient, send: Any) -> None:
    """Left empty it counts as 100 %, and says so; typed, 100 % is what the label says."""
    told = {"reagent": "zinc-oxide", "water": "ZnO"}
    assert send("/shelf/new", told, record_id=ID).status_code == 303
    page = client.get(f"/jar/{ID}").text
    assert "Assumed: 100 %" in page and "By its label" not in page and "100 %, assumed" in page
    other = ID[:-1] + "2"
    assert send("/shelf/new", told, record_id=other, assay_pct="100", lot="2").status_code == 303
    page = client.get(f"/jar/{other}").text
    assert "By its label" in page and "ssumed" not in page


BAD_ASSAYS = (
    ({"before_g": "", "after_g": "1", "at_c": "1000"}, "Type a number"),
    ({"before_g": "0", "after_g": "1", "at_c": "1000"}, "At least"),
    ({"before_g": "1", "after_g": "31", "at_c": "1000"}, "without its crucible"),
    ({"before_g": "1", "after_g": "-1", "at_c": "1000"}, "minus sign"),
    ({"before_g": "1", "after_g": "0.6", "at_c": "20"}, "At least"),
    ({"before_g": "1", "after_g": "0.6", "at_c": "9000"}, "At most"),
)


def test_bad_fire_assays(app: Flask, send: Any) -> None:
    """Refused beside the field."""
    add(send)
    for fields, words in BAD_ASSAYS:
        answer = send(f"/jar/{ID}/assay", fields)
        assert answer.status_code == 422 and words in answer.text, fields
    assert not app.extensions["bench"].journal.by("kind", "jar.assayed")


def test_what_is_left_and_a_jar_that_gave_more_than_it_held(app: Flask, client: FlaskClient, send: Any) -> None:
    """Left = held − weighed out; Enter 0 or more is pointed out, never hidden."""
    add(send, net_g="10")
    batch = "01K9V0000000000000000000C1"
    app.extensions["bench"].journal.write("weighed", batch, {"line": 0, "jar": ID, "net_g": 4.0})
    assert "6.00" in client.get(f"/jar/{ID}").text
    app.extensions["bench"].journal.write("weighed", batch, {"line": 1, "jar": ID, "net_g": 7.5})
    page = client.get(f"/jar/{ID}").text
    assert "-1.50" in page and "More was weighed out than it held" in page


def test_no_such_jar(client: FlaskClient, send: Any) -> None:
    """The calm page."""
    for path in ("/jar/nothing", "/jar/01K9V0000000000000000000ZZ", "/jar/x/assay", "/jar/%00"):
        assert client.get(path).status_code == 404
        assert send(path, before_g="1", after_g="1", at_c="1000").status_code in (404, 405)


def test_wrong_methods(client: FlaskClient, send: Any) -> None:
    """A page is not posted to, and nothing is deleted."""
    assert send("/shelf").status_code == 405 and client.delete("/shelf/new").status_code in (403, 405)


def test_a_jar_of_aluminium_chloride_says_which_form_it_is(client: FlaskClient, send: Any) -> None:
    """The dry salt bursts in water and is no jar of this bench; its hexahydrate is."""
    refused = send("/shelf/new", reagent="AlCl3", water="AlCl3", net_g="5")
    assert refused.status_code == 422 and "Anhydrous or hexahydrate?" in refused.text
    assert "fume are anhydrous: refused" in client.get("/shelf/new?reagent=AlCl3").text
    kept = send("/shelf/new", record_id=ID, reagent="aluminium-chloride-hexahydrate", water="AlCl3*6H2O", net_g="5")
    assert kept.status_code == 303


@pytest.mark.parametrize("typed", ["zinc acetate", "zinc acetate hydrate", "Zinc acetate (hydrated)"])
def test_a_name_of_two_forms_offers_both_and_keeps_the_name(app: Flask, client: FlaskClient, typed: str) -> None:
    page = client.get("/shelf/new", query_string={"reagent": typed}).text
    assert "Is it one of these?" in page and "No reagent has that name" not in page
    [path] = re.findall(r'href="(/shelf/new\?[^"]*2H2O[^"]*)"', unescape(page))
    asked = client.get(path).text
    assert re.search(r'name="reagent" value="zinc acetate"', asked)
    assert "(CH₃COO)₂·2H₂O" in asked


def test_an_oxide_without_water_is_not_asked_for_its_hydrate(app: Flask, client: FlaskClient) -> None:
    journal = app.extensions["bench"].journal
    for formula, slug, there in (("Fe2O3", "iron-iii-oxide", False), ("Al(OH)3", "aluminium-hydroxide", True)):
        unsure = {"hydrate_known": False, "assay_pct": 99.5, "assay_sd_pct": 0.3}
        thing = journal.write("jar.opened", None, {"reagent": slug, "formula": formula, **unsure}).id
        page = client.get(f"/jar/{thing}").text
        assert ("Which hydrate is it?" in page) is ("water is not known" in page) is there
        assert ("purity is not known" in page) is not there
        assert ("Which hydrate is it?" in client.get(f"/known/reagent/{slug}").text) is there
