"""Swatches shown on a page or a picture; the recipe's code read off it and planned on another bench with other jars."""

import io
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.exporting.recipe_code import unpack
from bench.settings import Settings
from tests.conftest import TOKEN, Keeper, Send, app_of
from tests.screens.making import Making
from tests.screens.powders import TAN, last, powder

PLAN = {"schedule": [{"to_c": 1050.0, "hold_min": 120.0}], "target_formula": "ZnFe2O4", "cooling_mode": "in-furnace"}


def words(pdf: bytes) -> str:
    """All text of a PDF, which must be of one page."""
    document = pypdfium2.PdfDocument(pdf)
    assert len(document) == 1
    return " ".join(document[0].get_textpage().get_text_range().split())


def codes(image: Image.Image) -> list[str]:
    return [one.text for one in zxingcpp.read_barcodes(image) if one.text.startswith("SAGGAR1:")]


@pytest.fixture
def shown(app: Flask, keeper: Keeper) -> str:
    """A swatch of a batch with notes, from a jar with a lot."""
    make = Making(app, keeper)
    jar = make.jar("ZnO", "zinc-oxide", net_g=50.0, assay_pct=99.5, lot="L-77")
    thing = powder(make, *TAN, notes="My own note.", **PLAN)
    batch = next(one for one in make.state.things("batch"))
    make.correct(make.state.slot(batch, "weighed", 1).record, jar=jar)  # type: ignore[arg-type]
    return make.swatch(thing)


def test_the_page_and_the_picture_are_one_and_its_code_is_planned_elsewhere(
    client: FlaskClient, shown: str, tmp_path: Path
) -> None:
    asked = f"pick.{shown}=1&recipe=1&amounts=1&curve=1&code=1&title=Tan+to+show&words=Fired+twice"
    pdf = client.get(f"/show/sheet?{asked}&pdf=1").data
    text = words(pdf)
    for said in ("Tan to show", "Fired twice", "not colour-true", "33.3 %", "holds 99.5 %", "licensed practice decide"):
        assert said in text, said
    assert "My own note" not in text and "L-77" not in text
    page = pypdfium2.PdfDocument(pdf)[0].render(scale=150 / 72).to_pil()
    picture = Image.open(io.BytesIO(client.get(f"/show/sheet.png?{asked}").data))
    assert picture.size == page.size and not picture.info.get("exif")
    [code] = codes(page)
    assert codes(picture) == [code]
    read = unpack(code).recipe
    assert read is not None and (read.target, read.cool, read.note) == ("ZnFe2O4", "in-furnace", "")
    other = app_of(Settings(data=tmp_path / "empty", open_browser=False), Keeper())
    make = Making(other, Keeper())
    own = make.jar("ZnO", "zinc-oxide", net_g=500.0, assay_pct=90.0)
    with other.test_client() as friend:
        found = TOKEN.search(friend.get("/looks/").get_data(as_text=True))
        assert found
        kept = {"token": found[1], "text": code, "to_weigh_g": "30", "do": "keep"}
        planned = last(friend.post("/recipe", data=kept).location)
    plan = make.state.slot(planned, "batch.planned").body
    other.extensions["listening"].stop()
    other.extensions["bench"].journal.close()
    # By hand: 10 g of ZnO at 99.5 % are 11.056 g of a jar of 90 %; of the other no jar stands there.
    assert [line.target_g for line in plan.lines] == pytest.approx([10 * 99.5 / 90, 20], rel=1e-4)
    assert [line.jar for line in plan.lines] == [own, None] and plan.schedule[0].to_c == 1200  # as it was read


def test_what_is_hidden_is_hidden_and_what_warns_stays(client: FlaskClient, shown: str) -> None:
    bare = client.get(f"/show/sheet?pick.{shown}=1&chosen=1").get_data(as_text=True)
    assert "33.3" not in bare and "ZnO" not in bare and "licensed practice decide" in bare and "Crucible:" in bare
    names = client.get(f"/show/sheet?pick.{shown}=1&recipe=1&code=1").get_data(as_text=True)
    # A code would tell the amounts that are hidden.
    assert "zinc oxide" in names and "33.3" not in names and "Make it on your bench" not in names
    noted = client.get(f"/show/sheet?pick.{shown}=1&notes=1&recipe=1&lots=1").get_data(as_text=True)
    assert "My own note." in noted and "lot L-77" in noted
    assert client.get("/show/sheet?pick.x=1").status_code == 404


def test_the_screen_looks_at_the_page_before_it_is_made(client: FlaskClient, send: Send, shown: str) -> None:
    assert f'name="pick.{shown}"' in client.get("/show").get_data(as_text=True)
    text = client.get(f"/show?pick.{shown}=1").get_data(as_text=True)
    assert f"/show/sheet.png?pick.{shown}=1" in text and 'formaction="/show/sheet.png"' in text
    assert 'name="recipe" value="1" checked' in text and 'name="notes" value="1">' in text


def test_a_swatch_without_a_colour_shows_its_photo(client: FlaskClient, send: Send, shown: str) -> None:
    kept = io.BytesIO()
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (47.0, 30.0, 0.0)}
    Image.new("RGB", (600, 400), "#a04020").save(kept, "JPEG", exif=exif)
    kept.seek(0)
    assert send(f"/thing/{shown}/photo", photo=(kept, "x.jpg")).status_code == 303
    text = client.get(f"/show/sheet?pick.{shown}=1&chosen=1").get_data(as_text=True)
    assert "Its colour is not measured." in text and 'src="data:image/jpeg;base64,' in text
    page = pypdfium2.PdfDocument(client.get(f"/show/sheet?pick.{shown}=1&chosen=1&pdf=1").data)[0]
    colours = page.render(scale=1).to_pil().convert("RGB").getcolors(100_000)
    assert colours and any(abs(r - 160) < 8 and abs(g - 64) < 8 and abs(b - 32) < 8 for _n, (r, g, b) in colours)
