"""Folds: long pages show rows with their present values; what was refused inside one is in sight."""

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.screens.known.families import OTHER, families, family
from tests.screens.making import Making

FOLD = re.compile(r'<details class="fold line[^>]*>.*?</details>', re.S)


def fold_with(page: str, words: str) -> str:
    """The fold that holds these words."""
    return next(one for one in FOLD.findall(page) if words in one)


def is_open(fold: str) -> bool:
    return " open" in fold.partition(">")[0]


def test_a_fold_says_its_present_value_and_opens_at_a_refusal(app: Flask, client: FlaskClient, send: Any) -> None:
    """The settings: what is refused inside a fold stands open with the focus; the other folds stay shut."""
    send("/settings", {"place": "roofed", "person_pregnant_or_planning": "no"})
    shut = fold_with(client.get("/settings").text, 'name="airflow"')
    assert not is_open(shut) and 'num">Under a roof</span>' in shut
    page = send("/settings", {"place": "roofed", "airflow": "much", "person_pregnant_or_planning": "no"}).text
    refused = fold_with(page, 'name="airflow"')
    assert is_open(refused) and "autofocus" in refused and 'value="much"' in refused
    assert not is_open(fold_with(page, "person_pregnant_or_planning"))


def test_a_place_that_nobody_said_is_asked_in_the_open(client: FlaskClient) -> None:
    assert is_open(fold_with(client.get("/settings").text, 'name="place"'))


def test_a_furnace_opens_only_the_fold_in_which_something_was_refused(send: Any) -> None:
    """The chamber's ceiling is no number: its fold stands open, the blower's and the flue's stay shut."""
    sent = {"name": "Lean-to", "fuel": "gas", "place": "open", "layout": "grid", "rows": "1", "columns": "2"}
    page = send("/furnaces/new", sent | {"ceiling_c": "hot"}).text
    assert is_open(fold_with(page, 'name="ceiling_c"')) and 'value="hot"' in page
    assert not any(is_open(fold_with(page, f'name="{name}"')) for name in ("blower", "flue"))


def test_a_plan_folds_what_it_brought_and_opens_only_what_was_refused(client: FlaskClient, send: Any) -> None:
    """The gas and what comes out are folded; what guards people stands outside; a refused target opens no heat."""
    typed = {"product_g": "10", "rows": "2", "formula.0": "CoCO3", "formula.1": "TiO2", "to_c.0": "950"}
    page = send("/plan/target", typed | {"target": "CoTiO3", "do": "show"}).text
    assert 'num">Carbon dioxide' in fold_with(page, "Gas, and when")
    assert "<b>No particle mask stops a gas.</b>" in re.sub(FOLD, "", page)
    assert not is_open(fold_with(page, 'name="formula.0"'))
    assert not is_open(fold_with(send("/plan/target", typed | {"target": "", "do": "show"}).text, 'name="to_c.0"'))
    page = send("/plan/target", typed | {"target": "CoTiO3", "formula.0": "Qq3", "to_c.0": "much"}).text
    assert is_open(fold_with(page, 'name="formula.0"')) and is_open(fold_with(page, 'name="to_c.0"'))
    assert not is_open(fold_with(page, 'name="formula.1"'))


def test_a_part_of_the_sheet_opens_where_it_was_written_in(
    app: Flask, keeper: Any, client: FlaskClient, send: Any
) -> None:
    """What was typed off stays in sight when another row is refused; parts without a word stay shut."""
    fire = Making(app, keeper).firing()
    path = f"/sheet/firing/{fire}"
    assert not is_open(fold_with(client.get(path).text, 'name="r3.1.c"'))
    page = send(path, {"day": "2026-11-10", "r2.1.at": "20:00", "r3.1.c": "300", "r6.1.at": "01:00"}).text
    assert is_open(fold_with(page, 'name="r3.1.c"')) and not is_open(fold_with(page, 'name="r4.1.value"'))
    refused = fold_with(page, 'name="r6.1.at"')
    assert is_open(refused) and "autofocus" in refused


def test_every_gas_has_an_address_of_its_own_and_its_limit_at_the_right(app: Flask, client: FlaskClient) -> None:
    page = client.get("/known/gases").text
    for slug, gas in app.extensions["bench"].library.gases.items():
        fold = next(one for one in FOLD.findall(page) if f'id="gas-{slug}"' in one)
        if gas.strict_8h:
            unit = {"ppm": "ppm", "mg/m3": "mg/m³"}[gas.strict_8h.unit]
            assert f"{gas.strict_8h.value:g} {unit}</span>" in fold, slug


def test_a_colour_belongs_to_the_family_of_its_first_words() -> None:
    said = {"greenish sky blue, opaque": "Blue", "deep blue-green": "Green", "violet-blue; pale": "Blue"}
    said |= {"ochre yellow": "Orange and yellow", "warm buff, golden ochre": "Brown and buff", "glassy": OTHER}
    said |= {"neutral to bluish jet black": "Black, grey and white", "": OTHER}
    assert {words: family(words) for words in said} == said


def test_no_target_is_lost_in_the_families(app: Flask, client: FlaskClient) -> None:
    targets = app.extensions["bench"].library.targets
    assert sum(map(len, families(targets.values()).values())) == len(targets)
    page = client.get("/known").text
    assert all(f"/known/target/{slug}" in page for slug in targets)
