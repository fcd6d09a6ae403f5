"""Equivalent soak and time above a mark, entered as readings and read off the page of what each crucible got.

The rows with their sources are in the tests' data. A hold is two readings an hour apart; the ramp is 20 to 1,000 °C at
5 °C/min, held 60 min, and down at 10 °C/min: four readings, between which the screens go straight, as the curve does.
"""

import csv
import re
from functools import cache
from html import unescape
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.firings import BAND_C
from tests.acceptance.loads import load_of, planned
from tests.conftest import Keeper

RAMP = ((0.0, 20.0), (196.0, 1000.0), (256.0, 1000.0), (354.0, 20.0))
WORDS = {200: "The same with E 200 kJ/mol", 300: "Heat work:", 400: "The same with E 400 kJ/mol"}


@cache
def table() -> list[dict[str, str]]:
    path = Path(__file__).parents[1] / "data" / "firing_curves.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def curve_of(name: str) -> tuple[tuple[float, float], ...]:
    return RAMP if name == "ramp" else ((0.0, float(name)), (60.0, float(name)))


def entered(curve: tuple[tuple[float, float], ...], to_c: float, app: Flask, send: Any, keeper: Keeper) -> str:
    """A firing planned to `to_c` in which these readings were taken; its only crucible was in from first to last."""
    load = load_of(app, (48.2,))
    firing = planned(app, load, [{"to_c": to_c, "hold_min": 60}])
    keeper.turn(1)
    send(f"/firing/{firing}/light", in_fact="1")
    for before, one in pairwise((None, *curve)):
        keeper.turn(one[0] - before[0] if before else 0)
        assert send(f"/firing/{firing}/reading", c=f"{one[1]:g}", unit="C").status_code == 303
    send(f"/firing/{firing}/out", charge=load.charges[0], in_fact="1", rest_place="brick")
    return firing


def cases(quantity: str) -> list[Any]:
    return [
        pytest.param(row, id=f"{row['curve']} {row['activation_kj_mol']} {row['mark_c']}")
        for row in table()
        if row["quantity"] == quantity
    ]


def heat_page(client: FlaskClient, firing: str) -> str:
    text = client.get(f"/firing/{firing}/heat").get_data(as_text=True)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", text)))


@pytest.mark.parametrize("row", cases("equivalent soak"))
def test_the_equivalent_soak_of_a_curve(
    row: dict[str, str], app: Flask, client: FlaskClient, send: Any, keeper: Keeper
) -> None:
    firing = entered(curve_of(row["curve"]), float(row["mark_c"]), app, send, keeper)
    said = heat_page(client, firing)
    shown = re.search(rf"{re.escape(WORDS[int(row['activation_kj_mol'])])}.*? ([\d.]+) min", said)
    assert shown, said
    # The working shows four figures or more; half of the last of them is added to the row's own tolerance.
    last = 0.5 * 10.0 ** -len(shown[1].partition(".")[2])
    assert float(shown[1]) == pytest.approx(float(row["expected_min"]), abs=float(row["tolerance_min"]) + last)


@pytest.mark.parametrize("row", cases("time above"))
def test_the_time_above_a_mark(row: dict[str, str], app: Flask, client: FlaskClient, send: Any, keeper: Keeper) -> None:
    """The band of a soak begins 10 °C under it: the soak is planned so that its band begins at the mark."""
    mark = float(row["mark_c"])
    firing = entered(curve_of(row["curve"]), mark + BAND_C, app, send, keeper)
    said = heat_page(client, firing)
    minutes = re.findall(rf"At or over {mark:g} °C (\d+) min", said)
    assert minutes == [f"{float(row['expected_min']):.0f}"], said
    assert re.search(
        rf"Minutes at or over {mark:g} °C, straight between the readings {float(row['expected_min']):g}(?:\.0+)? min",
        said,
    )
