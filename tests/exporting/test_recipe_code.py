"""A recipe as a QR code: packed, printed, read by another decoder, and planned on another bench with other jars."""

import io
import zlib
from html import unescape
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.exporting.recipe_code import base45, from_base45, packed, unpacked
from bench.exporting.recipes import plan_fields
from bench.printing.paper import pdf
from bench.reference import load_library
from bench.science.refusal import Refusal
from bench.settings import Settings
from tests.conftest import Keeper, app_of
from tests.screens.making import Making
from tests.screens.powders import powder

RECIPE = {
    "v": 1, "name": "Iron brown", "target": "ZnFe2O4", "mix": [["ZnO", 33.8, 99.5], ["Fe2O3", 66.2]],
    "flux": [["NaCl", 2]], "fire": [[300, 600, 10], [200, 1050, 120]], "cool": "in-furnace", "note": "µ – °C",
}  # fmt: skip


def test_base45_as_published() -> None:
    # RFC 9285, section 4.3 and 4.4.
    for text, code in (
        (b"AB", "BB8"),
        (b"Hello!!", "%69 VD92EX0"),
        (b"base-45", "UJCLQE7W581"),
        (b"ietf!", "QED8WEX0"),
    ):
        assert base45(text) == code and from_base45(code) == text
    for wrong in (":::", "GGW", "A", "ab"):
        with pytest.raises((ValueError, ArithmeticError)):
            from_base45(wrong)


def test_a_recipe_reads_back_and_what_is_new_is_told() -> None:
    assert unpacked(packed(RECIPE)).recipe == RECIPE
    newer = unpacked(packed(RECIPE | {"press": 3}))
    assert newer.unknown == ("press",) and newer.say == ""
    assert "press" in unpacked(packed(RECIPE | {"press": 3, "needs": ["press"]})).say


def squeezed(data: bytes) -> str:
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    return "SAGGAR1:" + base45(packer.compress(data) + packer.flush())


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("https://example.org", "not a recipe"),
        ("SAGGAR2:ABC", "newer Saggar"),
        (packed(RECIPE)[:-4], "damaged"),
        ("SAGGAR1:", "damaged"),
        (squeezed(b"[1]"), "damaged"),
        (squeezed(b'{"v":1,"name":"x","mix":[["ZnO",-1]]}'), "damaged"),
        (squeezed(b'{"v":1,"name":"x","mix":[["ZnO",1]],"note":"' + b"a" * 100_000 + b'"}'), "damaged"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(text: str, say: str) -> None:
    with pytest.raises(Refusal, match=say):
        unpacked(text)


def test_another_benchs_jars_are_dosed_by_what_they_hold(tmp_path: Path) -> None:
    app = app_of(Settings(data=tmp_path / "other", open_browser=False), Keeper())
    make = Making(app, Keeper())
    zinc = make.jar("ZnO", "zinc-oxide", net_g=100.0, assay_pct=90.0)
    found = plan_fields(RECIPE, make.state, load_library())
    # By hand: 33.8 parts at 99.5 % are 37.37 of a jar of 90 %.
    assert found["jar.0"] == zinc and float(found["parts.0"]) == pytest.approx(33.8 * 99.5 / 90, rel=1e-4)
    assert found["formula.1"] == "Fe2O3" and found["fate.2"] == "washed-out" and found["to_c.1"] == "1050"
    make.jar("CuSO4", "copper-sulfate-anhydrous", net_g=50.0)
    salt = plan_fields({"v": 1, "name": "x", "mix": [["CuSO4·5H2O", 10]]}, make.state, load_library())
    assert float(salt["parts.0"]) == pytest.approx(10 * 159.60 / 249.68, rel=1e-4)  # CIAAW's weights
    app.extensions["listening"].stop()
    app.extensions["bench"].journal.close()


def test_from_the_show_sheet_to_a_plan_elsewhere(
    app: Flask, client: FlaskClient, keeper: Keeper, tmp_path: Path
) -> None:
    make = Making(app, keeper)
    thing = make.swatch(powder(make, schedule=[{"to_c": 1050.0, "hold_min": 120.0}], target_formula="ZnFe2O4"))
    assert f"pick.{thing}" in client.get(f"/show?pick.{thing}=1").get_data(as_text=True)
    asked = f"pick.{thing}=1&recipe=1&amounts=1&code=1&notes=1"
    text = client.get(f"/show/sheet?{asked}").get_data(as_text=True)
    assert "not colour-true" in text and "33.3 %" in text and "licensed practice decide" in text
    hidden = client.get(f"/show/sheet?pick.{thing}=1&recipe=1").get_data(as_text=True)
    assert "33.3 %" not in hidden and "zinc oxide" in hidden and "licensed practice decide" in hidden
    page = pypdfium2.PdfDocument(pdf(text))[0]
    image = page.render(scale=150 / 72).to_pil()
    [read] = [one.text for one in zxingcpp.read_barcodes(image) if one.text.startswith("SAGGAR1:")]
    assert unpacked(read).recipe["target"] == "ZnFe2O4"
    shown = Image.open(io.BytesIO(client.get(f"/show/sheet.png?{asked}").data))
    assert shown.size[0] == 1080 and shown.size[1] > 400
    other = app_of(Settings(data=tmp_path / "empty", open_browser=False), Keeper())
    with other.test_client() as friend:
        token = friend.get("/looks/").get_data(as_text=True).partition('name="bench-token" content="')[2][:64]
        told = friend.post("/recipe", data={"token": token, "text": read}).get_data(as_text=True)
        path = unescape(told.partition('href="/plan/parts')[2].partition('"')[0])
        plan = friend.get(f"/plan/parts{path}").get_data(as_text=True)
        assert 'value="Fe2O3"' in plan and 'value="1050"' in plan and 'value="120"' in plan
        assert "not a recipe" in friend.post("/recipe", data={"token": token, "text": "x"}).get_data(as_text=True)
    other.extensions["listening"].stop()
    other.extensions["bench"].journal.close()
