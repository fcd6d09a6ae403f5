"""Files and pages are packed for browsers that can unpack them; a page's token is never written twice alike."""

import gzip
import os
import re
from typing import Any

import brotli
import pytest
import tinycss2

from bench.settings import asset_folder
from bench.web.modules import modules, without_remarks
from bench.web.styles import ALL, SHEETS, lean
from tests.screens.test_outbox import Phone

HOME = "https://bench.local"


@pytest.mark.parametrize(
    "name", ["css/tokens.css", "vendor/htmx.min.js", "icons/sprite.svg", "vendor/zxing_reader.wasm"]
)
@pytest.mark.parametrize(("way", "unpacked"), [("gzip", gzip.decompress), ("br", brotli.decompress)])
def test_a_file_packed_is_the_file(client: Any, name: str, way: str, unpacked: Any) -> None:
    """In the smaller way where a browser takes both; each is unpacked by its own library."""
    plain = (asset_folder("static") / name).read_bytes()
    takes = {"Accept-Encoding": "gzip" if way == "gzip" else "gzip, deflate, br"}
    with client.get(f"/static/{name}", headers=takes) as answer:
        assert answer.headers["Content-Encoding"] == way and "Accept-Encoding" in answer.headers["Vary"]
        assert unpacked(answer.data) == plain and len(answer.data) < len(plain)
        assert int(answer.headers["Content-Length"]) == len(answer.data)
        mark = answer.headers["ETag"]
    with client.get(f"/static/{name}", headers=takes | {"If-None-Match": mark}) as again:
        assert again.status_code == 304 and not again.data
    with client.get(f"/static/{name}") as answer:
        assert "Content-Encoding" not in answer.headers and answer.data == plain


def test_a_module_of_our_own_goes_without_its_remarks(client: Any) -> None:
    """What is left out is remarks, and all that is left stands in the file in the same order."""
    for path in sorted((asset_folder("static")).glob("*.js")):
        plain = path.read_text("utf-8")
        lean = without_remarks(plain)
        rest = iter(plain.splitlines())
        assert all(line in rest for line in lean.splitlines()), path.name
        gone = [line.strip() for line in plain.splitlines() if line not in lean.splitlines()]
        assert all(re.match(r"//|/\*\*|\*", line) for line in gone), path.name
        assert "`" not in "".join(gone) or lean.count("`") % 2 == 0
    with client.get("/static/outbox.js", headers={"Accept-Encoding": "gzip"}) as answer:
        lean = modules()["outbox.js"].text
        assert gzip.decompress(answer.data).decode() == lean and "//" not in lean.splitlines()[0]


def test_a_module_is_asked_for_by_a_mark_of_all_that_it_brings(client: Any) -> None:
    """Each import goes to an address that never changes, so that no cache asks again and no two versions meet."""
    found = modules()
    assert set(found) == {path.name for path in asset_folder("static").glob("*.js")}
    for name, (text, mark) in found.items():
        source = (asset_folder("static") / name).read_text("utf-8")
        wanted = set(re.findall(r'"\./(\w+\.js)"', source))
        assert dict(re.findall(r'"\./(\w+\.js)\?v=(\w{12})"', text)) == {one: found[one].mark for one in wanted}, name
        assert not re.search(r'"\./\w+\.js"', text), name
        with client.get(f"/static/{name}?v={mark}") as answer:
            assert answer.get_data(as_text=True) == text and answer.mimetype == "text/javascript"
            assert "immutable" in answer.headers["Cache-Control"]
    assert f"/static/outbox.js?v={found['outbox.js'].mark}" in {
        address for address, _mark in client.get("/bench/offline.json").json["items"]
    }


def test_another_mark_below_is_another_mark_above(tmp_path: Any, monkeypatch: Any) -> None:
    """A change in what is imported changes the address of each module above it, and of no other; no circles."""
    monkeypatch.setattr("bench.web.modules.asset_folder", lambda _name: tmp_path)
    (tmp_path / "low.js").write_text("export const n = 1;\n")
    (tmp_path / "mid.js").write_text('import { n } from "./low.js";\nexport const m = () => import("./low.js");\n')
    (tmp_path / "top.js").write_text('import "./mid.js";\n')
    (tmp_path / "aside.js").write_text("export {};\n")
    before = modules()
    (tmp_path / "low.js").write_text("export const n = 22;\n")
    os.utime(tmp_path / "low.js", ns=(1, 1))
    after = modules()
    assert {name for name in before if before[name].mark != after[name].mark} == {"low.js", "mid.js", "top.js"}
    assert after["mid.js"].text.count(f'"./low.js?v={after["low.js"].mark}"') == 2
    (tmp_path / "low.js").write_text('import "./top.js";\n')
    with pytest.raises(ValueError, match="circle"):
        modules()


def rules(sheet: str) -> list[str]:
    """What another reader of style sheets finds in one, word by word, spaces alike."""
    found = tinycss2.parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True)
    return [re.sub(r"/\*.*?\*/|\s+", " ", one.serialize(), flags=re.DOTALL).replace("  ", " ") for one in found]


def test_the_sheets_are_one_file(client: Any) -> None:
    """All that lie in the folder, each whole, in their order."""
    text = client.get(f"/static/{ALL}").get_data(as_text=True)
    sheets = [(asset_folder("static") / "css" / f"{name}.css").read_text("utf-8") for name in SHEETS]
    places = [text.index(lean(sheet)) for sheet in sheets]
    assert places == sorted(places) and "/*" not in text
    assert [rules(lean(sheet)) == rules(sheet) for sheet in sheets] == [True] * len(sheets)
    assert {path.stem for path in (asset_folder("static") / "css").glob("*.css")} == {*SHEETS, "paper"}  # a print's own
    with client.get(f"/static/{ALL}?v=1", headers={"Accept-Encoding": "gzip"}) as answer:
        assert gzip.decompress(answer.data).decode() == text and answer.mimetype == "text/css"
        assert "immutable" in answer.headers["Cache-Control"]
        mark = answer.headers["ETag"]
    assert client.get(f"/static/{ALL}", headers={"If-None-Match": mark}).status_code == 304


def test_pages_are_packed_over_the_air_and_never_repeat_their_token(app: Any) -> None:
    """The token is written anew in each answer, and every writing of it is good."""
    phone = Phone(app)
    texts = []
    for _ in range(2):
        headers = {"Accept-Encoding": "gzip"}
        answer = phone.client.get("/settings", headers=headers, environ_overrides=phone.door, base_url=HOME)
        assert answer.headers["Content-Encoding"] == "gzip" and "Accept-Encoding" in answer.headers["Vary"]
        texts.append(gzip.decompress(answer.data).decode())
    tokens = [re.findall(r'name="token" value="([0-9a-f]{64})"', text) for text in texts]
    assert tokens[0] and set(tokens[0]).isdisjoint(tokens[1])
    for one in (tokens[0][0], tokens[1][0]):
        sent = {"token": one, "room_m3": "40"}
        assert phone.post("/settings", sent).status_code == 303
    good = tokens[0][0]
    slip = good[:-1] + ("0" if good[-1] != "0" else "1")
    for wrong in ("", "0" * 64, good[:-2], good[:-1] + "g", good + "00", slip):
        assert phone.post("/settings", {"token": wrong, "room_m3": "50"}).status_code == 403


def test_what_must_not_be_packed(client: Any) -> None:
    packs = {"Accept-Encoding": "gzip"}
    assert "Content-Encoding" not in client.get("/", headers=packs).headers
    assert "Content-Encoding" not in client.get("/static/none.js", headers=packs).headers
    with client.get("/static/icons/app-192.png", headers=packs) as picture:
        assert "Content-Encoding" not in picture.headers
    with client.get("/static/outbox.js", headers=packs | {"Range": "bytes=0-9"}) as part:
        assert "Content-Encoding" not in part.headers
