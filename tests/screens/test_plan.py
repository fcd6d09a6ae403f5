"""Planning: from a target, from grams, from parts; what must not be planned; and the copies with one change."""

import re
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Send


def jar(app: Flask, slug: str, formula: str, **more: Any) -> str:
    data = {"reagent": slug, "formula": formula, **more}
    return str(app.extensions["bench"].journal.write("jar.opened", None, data).id)


def green(app: Flask) -> dict[str, str]:
    """The published cobalt zinc green: ZnO 5.7 g, CoO 1.5 g, about 20 g KCl washed out again (a preparative sheet)."""
    zinc, cobalt, salt = jar(app, "zinc-oxide", "ZnO"), jar(app, "cobalt-ii-oxide", "CoO"), jar(app, "KCl", "KCl")
    return {
        "target": "Zn0.78Co0.22O",
        "product_g": "7.2",
        "rows": "3",
        "jar.0": zinc,
        "jar.1": cobalt,
        "jar.2": salt,
        "fate.2": "washed-out",
        "fixed.2": "20",
        "unit.2": "g",
        "to_c.0": "1000",
        "hold_min.0": "240",
        "cooling": "in-furnace",
        "atmosphere": "oxidising",
        "name": "Yard green",
    }


def plans(app: Flask) -> list[Any]:
    state = app.extensions["bench"].state
    return [state.slot(b, "batch.planned").body for b in state.things("batch")]


def test_the_published_green_is_planned_within_two_per_cent(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    fields = green(app)
    shown = send("/plan/target", {**fields, "do": "show"})
    assert shown.status_code == 200 and not plans(app)
    text = shown.get_data(as_text=True)
    assert "5.72" in text and "1.48" in text and "7.20 g" in text  # as a balance of 0.01 g shows them
    kept = send("/plan/target", {**fields, "do": "keep"})
    assert kept.status_code == 303, re.findall(r'class="gate.*?</section>', kept.get_data(as_text=True), re.S)
    plan = plans(app)[0]
    assert [line.target_g for line in plan.lines] == pytest.approx([5.7, 1.5, 20.0], rel=0.02)
    assert plan.washed_g == pytest.approx(7.2) and plan.fired_g is None
    assert plan.target == "cobalt-zinc-green"


def test_a_target_alone_is_planned_from_the_jars_that_make_it(app: Flask, send: Send) -> None:
    """Typed and calculated without another word: the reagents of its route, each from its jar."""
    lime, copper, quartz = (
        jar(app, *one)
        for one in (
            ("calcium-carbonate", "CaCO3"),
            ("copper-carbonate-basic", "Cu2CO3(OH)2"),
            ("quartz-silica", "SiO2"),
        )
    )
    page = send("/plan/target", target="egyptian blue", product_g="10", rows="2", do="show").get_data(as_text=True)
    chosen = re.findall(r'<option value="(\w+)" selected', page)
    assert {lime, copper, quartz} <= set(chosen) and "to weigh" in page
    typed = send(
        "/plan/target", {"target": "egyptian blue", "product_g": "10", "rows": "2", "formula.0": "CuO", "do": "show"}
    )
    assert typed.status_code == 422, "what was typed is not added to"


def test_a_kept_plan_has_a_page_and_a_code(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    answer = send("/plan/target", {**green(app), "do": "keep"})
    page = client.get(answer.headers["Location"])
    assert page.status_code == 200
    assert "Yard green" in page.get_data(as_text=True) and "Weigh, 1 of 3" in page.get_data(as_text=True)
    state = app.extensions["bench"].state
    assert state.code_of(state.things("batch")[0])


def test_a_ratio_far_off_is_seen_before_anything_is_fired(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    fields = {"rows": "2", "target": "Fe2TiO5", "formula.0": "FeOOH", "g.0": "5", "formula.1": "TiO2", "g.1": "5"}
    text = send("/plan/grams", {**fields, "do": "show"}).get_data(as_text=True)
    # 56.27 mmol Fe limits: 28.137 mmol × 239.552 g/mol can form; of 62.61 mmol Ti, 34.469 × 79.865 g/mol is over.
    assert "At most 6.74 g" in text
    assert "TiO₂: 2.75 g" in text
    assert "off the target" in text


def test_parts_by_mole_make_up_a_total(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    fields = {"rows": "2", "by": "mol", "total_g": "10", "formula.0": "ZnO", "parts.0": "1", "formula.1": "Fe2O3"}
    kept = send("/plan/parts", {**fields, "parts.1": "1", "name": "Tan", "do": "keep"})
    assert kept.status_code == 303, kept.get_data(as_text=True)[:0]
    grams = [line.target_g for line in plans(app)[0].lines]
    # ZnO 81.379 and Fe2O3 159.687 g/mol (CIAAW): one mole of each.
    assert grams == pytest.approx([10 * 81.379 / 241.066, 10 * 159.687 / 241.066], rel=1e-4)


def test_one_more_row_keeps_all_that_was_typed(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    text = send("/plan/grams", {"rows": "2", "formula.0": "CaCO3", "g.0": "8,07", "do": "row"}).get_data(as_text=True)
    assert 'name="formula.2"' in text and 'value="8,07"' in text and 'value="CaCO3"' in text


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ({"formula.0": "PbO", "g.0": "1"}, "Lead"),
        ({"formula.0": "K2Cr2O7", "g.0": "1"}, "Chromium(VI)"),
        ({"formula.0": "potassium dichromate", "g.0": "1"}, "hromium(VI)"),
        ({"formula.0": "KNO3", "g.0": "1", "formula.1": "C", "g.1": "1"}, "Nitrate"),
        ({"formula.0": "CdS", "g.0": "1"}, "Cadmium"),
    ],
)
def test_what_must_not_be_planned_is_refused_with_its_reason(
    app: Flask, send, rows: dict[str, str], words: str
) -> None:  # type: ignore[no-untyped-def]
    answer = send("/plan/grams", {"rows": "2", **rows, "do": "keep"})
    assert answer.status_code == 422
    assert words in answer.get_data(as_text=True)
    assert not plans(app)


def test_a_stranger_without_a_card_is_flagged(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    text = send("/plan/grams", {"rows": "1", "formula.0": "Sc2(MoO4)3", "g.0": "1", "do": "show"}).get_data(
        as_text=True
    )
    first = text[text.index('id="answer"') :]
    assert 0 < first.index("Sc₂(MoO₄)₃ has no card. Read its safety data sheet first.") < first.index("<h2>")


def test_aluminium_chloride_is_held_until_its_form_is_chosen(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """The sums stand, and nothing is kept: the dry salt is another jar than its hexahydrate."""
    fields = {"rows": "1", "g.0": "5", "do": "keep", "heat_for": "-"}
    held = send("/plan/grams", {**fields, "formula.0": "AlCl3"})
    text = held.get_data(as_text=True)
    assert held.status_code == 422 and "Anhydrous or hexahydrate? AlCl₃ names both." in text and not plans(app)
    named = send("/plan/grams", {**fields, "formula.0": "anhydrous aluminium chloride"}).get_data(as_text=True)
    assert "reacts violently with water" in named and not plans(app)
    assert send("/plan/grams", {**fields, "formula.0": "AlCl3*6H2O"}).status_code == 303 and plans(app)


@pytest.mark.parametrize(
    ("way", "wrong", "field"),
    [
        ("target", {"target": "CoAl2O4", "product_g": "-1", "formula.0": "CoO"}, "product_g"),
        ("target", {"target": "", "product_g": "5", "formula.0": "CoO"}, "target"),
        ("target", {"target": "Co(Al2O4", "product_g": "5", "formula.0": "CoO"}, "target"),
        ("target", {"target": "CoAl2O4", "product_g": "1,2.3", "formula.0": "CoO"}, "product_g"),
        ("grams", {"formula.0": "CoO"}, "g.0"),
        ("grams", {"g.0": "5"}, "formula.0"),
        ("grams", {"formula.0": "Xx2O", "g.0": "5"}, "formula.0"),
        ("parts", {"formula.0": "CoO", "parts.0": "1", "total_g": "huge"}, "total_g"),
        ("grams", {"jar.0": "nothing", "g.0": "1"}, "jar.0"),
        ("grams", {"formula.0": "CoO", "g.0": "1", "hold_min.0": "60"}, "to_c.0"),
    ],
)
def test_wrong_input_stands_beside_its_field(app: Flask, send, way: str, wrong: dict[str, str], field: str) -> None:  # type: ignore[no-untyped-def]
    answer = send(f"/plan/{way}", {"rows": "2", **wrong, "do": "keep"})
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert f'id="{field}-no"' in text
    for value in wrong.values():
        assert value.replace("(", "(") in text
    assert not plans(app)


def test_outside_the_one_phase_range_asks_first(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    fields = green(app) | {"target": "Zn0.5Co0.5O"}
    asked = send("/plan/target", {**fields, "do": "keep"})
    assert asked.status_code == 422 and "is outside" in asked.get_data(as_text=True)
    assert send("/plan/target", {**fields, "sure": "1", "do": "keep"}).status_code == 303


def test_a_copy_with_one_change_is_a_series(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = send("/plan/target", {**green(app), "do": "keep"}).headers["Location"]
    fields = {"factor": "to_c", "level.0": "950", "level.1": "1000", "level.2": "1050"}
    answer = send(made + "/copy", fields)
    assert answer.status_code == 303
    text = client.get(answer.headers["Location"]).get_data(as_text=True)
    assert text.index("950") < text.index("1050")
    assert sorted(p.schedule[0].to_c for p in plans(app) if p.series) == [950, 1000, 1050]
    assert send(made + "/copy", {"factor": "to_c", "level.0": "950", "level.1": "950"}).status_code == 422
    assert send(made + "/copy", {"factor": "no", "level.0": "x"}).status_code == 422


def test_pages_open_and_strangers_are_404(client: FlaskClient) -> None:
    for path in ("/plan", "/plan/target", "/plan/grams", "/plan/parts", "/plan/target?target=egyptian-blue"):
        assert client.get(path).status_code == 200
    for path in ("/batch/x", "/batch/x/copy", "/series/x", "/plan/other"):
        assert client.get(path).status_code == 404


def test_a_trace_of_fluoride_brings_hydrogen_fluoride_onto_the_plan(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """0.2 g NaF hold 0.2 × 20.006 ÷ 41.988 = 0.095 g HF; the oxygen of the cobalt oxide is called oxygen."""
    fields = {"rows": "3", "formula.0": "Co3O4", "g.0": "4.54", "formula.1": "Al2O3", "g.1": "5.76"}
    fields |= {"formula.2": "NaF", "g.2": "0.2", "to_c.0": "1200", "hold_min.0": "60"}
    text = send("/plan/grams", {**fields, "do": "show"}).get_data(as_text=True)
    assert "Hydrogen fluoride, from 800 °C ◦" in text and "up to 0.10" in text
    assert "calcium gluconate" in text and "No particle mask stops a gas." in text and "temperature from memory" in text
    assert "fuel burned in closed space" not in text and "Oxygen, " in text


def test_charcoal_round_a_carbonate_brings_carbon_monoxide(app: Flask, send) -> None:  # type: ignore[no-untyped-def]
    """5 g CaCO3 give 5 × 28.010 ÷ 100.087 = 1.399 g CO at most where charcoal lies round them."""
    fields = {"rows": "1", "formula.0": "CaCO3", "g.0": "5", "to_c.0": "1000"}
    bare = send("/plan/grams", {**fields, "do": "show"}).get_data(as_text=True)
    packed = send("/plan/grams", {**fields, "packing": "charcoal grains", "do": "show"}).get_data(as_text=True)
    assert "Carbon monoxide" not in bare
    assert "up to 1.40" in packed and "A gas burner's own is not included" in unescape(packed)


def test_grams_without_a_target_are_told_what_they_can_become(client: FlaskClient, send: Send) -> None:
    fields = {"formula.0": "ZnO", "g.0": "5", "formula.1": "Fe2O3", "g.1": "11", "do": "show", "heat_for": "-"}
    text = send("/plan/grams", fields).get_data(as_text=True)
    assert "Zn 1 : Fe 2.242" in text and 'value="pick:zinc-iron-tan"' in text
    assert text.index("zinc ferrite tan") < text.index("lacks 0.98 g of Ti")
    again = send("/plan/grams", fields | {"do": "pick:zinc-iron-tan"}).get_data(as_text=True)
    assert "At most 14.81 g of" in again


def test_a_misspelt_target_is_asked_by_its_name_with_a_key_and_keeps_what_was_typed(send: Any) -> None:
    """Words are no formula: nobody is told of elements and spaces, but what they may mean."""
    page = send("/plan/target", {"target": "zinc ferite", "product_g": "10", "do": "show"}).text
    assert "No target is called that. Did you mean zinc ferrite tan?" in page and "Remove the space" not in page
    assert 'value="pick:zinc-iron-tan"' in page and 'value="zinc ferite"' in page
    assert "Type a known name, or a formula" in send("/plan/target", {"target": "qwrtzp", "product_g": "10"}).text
    assert "it is not a formula" in send("/plan/target", {"target": "Qq2O", "product_g": "10"}).text
