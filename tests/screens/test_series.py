"""A series: the batch itself as the control, repeats, places by lot, its sheet, its results; and a blend of two."""

import re

import pypdfium2
import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.series_results import drawn_order
from tests.conftest import Keeper, Send
from tests.screens.making import Making
from tests.screens.powders import last
from tests.workshop.builder import lines

TAN = (("ZnO", 5.0), ("Fe2O3", 10.0))
SOAK = {"schedule": [{"to_c": 1000.0, "hold_min": 60.0}]}


def members(make: Making, series: str) -> list[tuple[float, str]]:
    plans = [(t, make.state.slot(t, "batch.planned").body) for t in make.state.things("batch")]
    return sorted((plan.level, plan.name) for _t, plan in plans if plan.series == series)


def test_the_batch_is_its_own_control_and_levels_are_repeated(
    app: Flask, client: FlaskClient, send: Send, keeper: Keeper
) -> None:
    make = Making(app, keeper)
    first = make.batch(lines(*TAN), name="tan", **SOAK)
    for n in range(4):
        make.coded(make.crucible(), f"AAAAA{n}")
    asked = client.get(f"/batch/{first}/copy?factor=to_c").get_data(as_text=True)
    assert '<option value="2" selected' in asked
    fields = {"factor": "to_c", "control": "1000", "level.0": "950", "level.1": "1050", "repeats": "2", "name": "T"}
    series = last(send(f"/batch/{first}/copy", fields).location)
    # Two levels twice, and the control once more: the batch itself is the other one.
    assert [level for level, _name in members(make, series)] == [950, 950, 1000, 1050, 1050]
    assert members(make, series)[2][1] == "T, Soak temperature 1000 °C, repeat 2"
    text = client.get(f"/series/{series}").get_data(as_text=True)
    assert f'href="/batch/{first}"' in text and text.count("control") == 2
    assert sorted(map(int, re.findall(r"(\d)\. (?:950|1000|1050) °C", text))) == [1, 2, 3, 4, 5, 6]
    assert f"/print/series/{series}" in text and "/print/tags?code=" in text
    sheet = pypdfium2.PdfDocument(client.get(f"/print/series/{series}?pdf=1").data)
    said = sheet[0].get_textpage().get_text_range()
    assert len(sheet) == 1 and "drawn by lot" in said and said.count("5.00 g") == 6


def test_once_each_is_still_planned_where_nobody_asks_for_repeats(app: Flask, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    first = make.batch(lines(*TAN), name="tan", **SOAK)
    series = last(send(f"/batch/{first}/copy", {"factor": "to_c", "control": "1000", "level.0": "950"}).location)
    assert members(make, series) == [(950, "tan, Soak temperature 950 °C")]
    many = {"factor": "to_c", "repeats": "3"} | {f"level.{n}": str(900 + n) for n in range(8)} | {"control": "1000"}
    assert "26 batches" in send(f"/batch/{first}/copy", many).get_data(as_text=True)


def test_two_recipes_are_blended(app: Flask, client: FlaskClient, send: Send, keeper: Keeper) -> None:
    make = Making(app, keeper)
    first = make.batch(lines(*TAN), name="tan", **SOAK)
    second = make.batch(lines(("Fe2O3", 2.0), ("TiO2", 3.0)), name="pale")
    assert f"with={second}" in client.get(f"/batch/{first}/blend").get_data(as_text=True)
    assert "All are fired as tan" in client.get(f"/batch/{first}/blend?with={second}").get_data(as_text=True)
    series = last(send(f"/batch/{first}/blend", {"with": second, "steps": "4", "repeats": "1"}).location)
    made = [make.state.slot(t, "batch.planned").body for t in make.state.things("batch")]
    half = next(plan for plan in made if plan.series == series and plan.level == 50)
    # By hand: half of 5 ZnO + 10 Fe2O3, and half of 15 g in the shares 2 to 3 of Fe2O3 and TiO2.
    assert {line.formula: line.target_g for line in half.lines} == pytest.approx(
        {"ZnO": 2.5, "Fe2O3": 8.0, "TiO2": 4.5}
    )
    assert sorted(plan.level for plan in made if plan.series) == [25, 50, 75] and half.schedule[0].to_c == 1000
    text = client.get(f"/series/{series}").get_data(as_text=True)
    assert f'href="/batch/{first}"' in text and f'href="/batch/{second}"' in text
    assert send(f"/batch/{first}/blend", {"with": first, "steps": "4"}).status_code == 422
    assert send(f"/batch/{first}/blend", {"with": second, "steps": "7"}).status_code == 422


def grown(make: Making, series: str, *labs: tuple[float, float], together: bool = True) -> None:
    """Batches of a series, each a level and the lightness of its swatch, fired in one load or each in its own."""
    charges = []
    for level, _light in labs:
        thing = make.ready_batch(lines(*TAN), series=series, level=level)
        charges.append(make.charge({"batch": thing, "g": 10.0}, crucible=make.crucible()))
    for load in [charges] if together else [[one] for one in charges]:
        make.fired(*load)
    for one, (_level, light) in zip(charges, labs, strict=True):
        swatch = make.swatch(make.opened(one, 49.9, tare_after_g=40.0))
        make.add("swatch.measured", {"lab": [light, 10.0, 20.0], "method": "by eye"}, swatch)


@pytest.mark.parametrize(
    ("labs", "together", "say"),
    [
        # Spread of each pair 0.1/√2; t(5 %/4, 2) = 8.86 by scipy: the half-width is 0.63, far under 20.
        ([(1.0, 50.0), (1.0, 50.1), (2.0, 70.0), (2.0, 70.1)], True, "Differs."),
        ([(1.0, 50.0), (1.0, 58.0), (2.0, 56.0), (2.0, 61.0)], True, "Cannot tell."),
        ([(1.0, 50.0), (2.0, 70.0)], True, "Cannot tell."),
        ([(1.0, 50.0), (1.0, 50.1), (2.0, 70.0), (2.0, 70.1)], False, "Cannot tell."),
    ],
)
def test_what_a_level_did_is_told_where_repeats_allow(
    app: Flask, client: FlaskClient, keeper: Keeper, labs: list[tuple[float, float]], together: bool, say: str
) -> None:
    make = Making(app, keeper)
    series = make.add("series.planned", {"factor": "zinc oxide", "unit": "g", "levels": [1, 2], "control": 1}).id
    grown(make, series, *labs, together=together)
    text = client.get(f"/series/{series}").get_data(as_text=True)
    assert text.count('class="one-batch"') == 4 * (len(labs) if together else 1)  # four figures
    assert say in text and ("Differs." in text) == (say == "Differs.")
    assert ("+20.0 ± 0.6" in text) == (say == "Differs.")


def test_the_furnace_offers_the_place_that_was_drawn(app: Flask, client: FlaskClient, keeper: Keeper) -> None:
    make = Making(app, keeper)
    series = make.add("series.planned", {"factor": "zinc oxide", "unit": "g", "levels": [1, 2]}).id
    batches = [make.ready_batch(lines(*TAN), series=series, level=level) for level in (1, 1, 2, 2)]
    charges = {make.charge({"batch": one, "g": 10.0}, crucible=make.crucible()): one for one in batches}
    fire = make.firing(make.furnace(layout="grid", rows=2, columns=3))
    stranger = make.charge({"batch": make.ready_batch(lines(*TAN)), "g": 10.0}, crucible=make.crucible())
    make.placed(stranger, fire, row=1, column=2)
    order = drawn_order(series, batches)
    spare = ["1.1.1", "1.1.3", "1.2.1", "1.2.2", "1.2.3"]  # what the stranger left, row by row
    for thing, batch in charges.items():
        text = client.get(f"/charge/{thing}/place?firing={fire}").get_data(as_text=True)
        n = order[batch]
        assert re.findall(r'value="(1\.\d\.\d)"\s+checked', text) == [spare[n - 1]]
        assert f"place {n} of 4 in its series" in text
        make.placed(thing, fire, row=int(spare[n - 1][2]), column=int(spare[n - 1][4]))
    alone = client.get(f"/charge/{stranger}/place?firing={fire}").get_data(as_text=True)
    assert "Drawn by lot" not in alone
