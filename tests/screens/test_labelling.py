"""Jar labels: the hazards of the cards in words and signs, never cut off, and read back by another decoder."""

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.test_printing import pages_of, symbols


def a_jar(app: Flask, slug: str, formula: str, code: str) -> str:
    journal = app.extensions["bench"].journal
    jar = journal.write("jar.opened", None, {"reagent": slug, "formula": formula, "lot": "26-114"}).id
    journal.write("code.assigned", jar, {"code": code, "thing": jar})
    return str(jar)


def test_a_label_says_what_is_in_it_and_what_it_does(app: Flask, client: FlaskClient) -> None:
    jar = a_jar(app, "cobalt-ii-iii-oxide", "Co3O4", "T5C7HJ")
    page = client.get("/print/labels", query_string={"thing": jar, "sheet": "a4-4"})
    text = page.get_data(as_text=True)
    assert page.status_code == 200
    for words in ("Co₃O₄", "lot 26-114", "CAS 1308-06-1", "Danger", "H350i", "H334", "GHS08", "T5C7H-J"):
        assert words in text, words
    data = client.get("/print/labels", query_string={"thing": jar, "sheet": "a4-4", "pdf": "1"}).data
    assert symbols(data) == ["T5C7HJ"] and pages_of(data) == 1


def test_a_label_that_does_not_fit_is_refused_with_the_size_that_would(app: Flask, client: FlaskClient) -> None:
    jar = a_jar(app, "cobalt-ii-iii-oxide", "Co3O4", "T5C7HJ")
    answer = client.get("/print/labels", query_string={"thing": jar, "sheet": "roll-50"})
    assert answer.status_code == 422
    text = answer.get_data(as_text=True)
    assert "does not fit" in text and "It fits on" in text and "sheet=a4-" in text


@pytest.mark.parametrize("start", ["1", "2"])
def test_a_label_that_outgrows_the_usual_size_takes_the_next_one_at_once(
    app: Flask, client: FlaskClient, start: str
) -> None:
    """No size was asked for, so none is refused; a place that the larger sheet lacks is its last."""
    jar = a_jar(app, "cobalt-ii-chloride", "CoCl2", "T5C7HJ")
    answer = client.get("/print/labels", query_string={"thing": jar, "start": start})
    assert answer.status_code == 200 and "H350i" in answer.get_data(as_text=True)


def test_what_is_not_classified_bears_no_sign(app: Flask, client: FlaskClient) -> None:
    jar = a_jar(app, "calcium-carbonate", "CaCO3", "T5C7HJ")
    text = client.get("/print/labels", query_string={"thing": jar, "sheet": "a4-8"}).get_data(as_text=True)
    assert "GHS0" not in text and "Danger" not in text and "Warning" not in text


def test_a_stranger_without_a_card_never_looks_harmless(app: Flask, client: FlaskClient) -> None:
    jar = a_jar(app, "Scandium molybdate", "Sc2(MoO4)3", "T5C7HJ")
    text = client.get("/print/labels", query_string={"thing": jar, "sheet": "a4-4"}).get_data(as_text=True)
    assert "read the SDS" in text


def test_the_shelf_list_names_every_jar(app: Flask, client: FlaskClient) -> None:
    a_jar(app, "calcium-carbonate", "CaCO3", "T5C7HJ")
    a_jar(app, "zinc-oxide", "ZnO", "7K3MQX")
    text = client.get("/print/shelf").get_data(as_text=True)
    assert "T5C7H-J" in text and "7K3MQ-X" in text
    assert pages_of(client.get("/print/shelf?pdf=1").data) == 1


@pytest.mark.parametrize("query", ["", "?thing=x", "?sheet=none", "?start=0"])
def test_nothing_to_print_is_a_calm_404(app: Flask, client: FlaskClient, query: str) -> None:
    assert client.get("/print/labels" + query).status_code == 404


def test_a_jar_with_many_hazards_finds_room_on_letter_paper(app: Flask, client: FlaskClient) -> None:
    jar = a_jar(app, "cobalt-ii-chloride", "CoCl2", "T5C7HJ")
    answer = client.get("/print/labels", query_string={"thing": jar, "sheet": "letter-21"})
    assert answer.status_code == 422 and "sheet=letter-" in answer.get_data(as_text=True)
    text = client.get("/print/labels", query_string={"thing": jar, "sheet": "letter-4"}).get_data(as_text=True)
    assert "size: 215.9mm 279.4mm" in text and "Danger" in text and "H350i" in text


def test_waste_says_its_contents_first_and_leaves_lines_for_the_collector(app: Flask, client: FlaskClient) -> None:
    journal = app.extensions["bench"].journal
    can = "01M8PK2GTVFN78GM4R9SBQ25JC"
    journal.write("waste.added", can, {"container": can, "contents": "rinse water with copper", "volume_ml": 400.0})
    text = client.get("/print/labels", query_string={"thing": can}).get_data(as_text=True)
    assert "Hazardous waste" in text and "Never down the drain" in text and "<h1>Rinse water with copper</h1>" in text
    assert "400 mL" in text and "Handed to, on" in text and "297mm" in text


def test_labels_printed_together_each_take_the_size_that_their_text_needs(app: Flask, client: FlaskClient) -> None:
    a_jar(app, "calcium-carbonate", "CaCO3", "T5C7HJ")
    a_jar(app, "copper-ii-carbonate-basic", "Cu2CO3(OH)2", "7K3MQX")
    text = client.get("/print/labels?all=1").get_data(as_text=True)
    assert text.count('class="page"') == 2 and "height: 67.7mm" in text and "height: 139mm" in text
    assert text.index("height: 67.7mm") < text.index("height: 139mm") and "A4, sizes to fit" in text
    assert "sheet=a4-each&amp;all=1" in client.get("/print/labels?all=1&sheet=a4-8").get_data(as_text=True)
    assert pages_of(client.get("/print/labels?all=1&sheet=letter-each&pdf=1").data) == 1
