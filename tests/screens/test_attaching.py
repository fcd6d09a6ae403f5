"""Attached files: kept as they are, with their digest; handed out as downloads alone; what they let a page say."""

import hashlib
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.exporting.cells import read_csv
from bench.journal import attachments
from bench.journal.attachments import MOST_MB, plain_name
from bench.records.kinds import KINDS
from bench.science.refusal import Refusal
from bench.screens.kit.attached import WHAT_WORDS
from bench.screens.records import attaching
from bench.workshop.things.attached import attached_to
from tests.conftest import Keeper
from tests.screens.making import Making
from tests.screens.powders import powder

PATTERN = b"<script>alert(1)</script>\n10.0 120\n10.1 340\n"
SUM = hashlib.sha256(PATTERN).hexdigest()
BARE = "Intended: CoAl₂O₄. No analysis is attached that proves it."


def attach(send: Any, thing: str, data: bytes = PATTERN, name: str = "scan 1.xy", **fields: str) -> Any:
    told = {"what": "diffraction-pattern", **fields}
    return send(f"/thing/{thing}/file", **told, file=(io.BytesIO(data), name))


def stored(make: Making) -> list[Path]:
    return sorted(make.journal.photos.glob("*")) if make.journal.photos.is_dir() else []


@pytest.fixture
def make(app: Flask, keeper: Keeper) -> Making:
    return Making(app, keeper)


@pytest.fixture
def batch(make: Making) -> str:
    return make.ready_batch(name="blue", target_formula="CoAl2O4")


def test_the_words_cover_what_a_record_may_say() -> None:
    assert set(WHAT_WORDS) == set(KINDS["file.attached"].data.__annotations__["what"].__args__)


@pytest.mark.parametrize("sort", ["jar", "batch", "pigment"])
def test_a_file_is_kept_and_handed_out_as_a_download(make: Making, client: FlaskClient, send: Any, sort: str) -> None:
    thing = {"jar": make.jar, "batch": make.ready_batch, "pigment": lambda: powder(make)}[sort]()
    here = f"/{sort}/{thing}"
    assert f'href="/thing/{thing}/file?back={here}"' in client.get(here).text
    answer = attach(send, thing, instrument="Powder camera", at="2030-05-31", back=here)
    assert answer.status_code == 303 and answer.location == here
    [one] = attached_to(make.state, thing)
    assert (one.body.sha256, one.body.bytes, one.body.name) == (SUM, len(PATTERN), "scan 1.xy")
    assert [path.name for path in stored(make)] == [f"{one.body.file}.bin"]
    way = f"/thing/{thing}/file/{one.body.file}"
    for page in (here, f"/thing/{thing}"):
        text = client.get(page).text
        assert f'href="{way}" download' in text and SUM in text
        assert "diffraction pattern · Powder camera · 2030-05-31 · 44 bytes" in text
    got = client.get(way)
    assert got.data == PATTERN and got.mimetype == "application/octet-stream"
    assert got.headers["Content-Disposition"] == 'attachment; filename="scan 1.xy"'
    assert got.headers["X-Content-Type-Options"] == "nosniff" and "sandbox" in got.headers["Content-Security-Policy"]
    assert client.get(f"/photo/{one.body.file}").status_code == 404
    assert client.get(f"/photo/{one.body.file}/small").status_code == 404


def test_what_cannot_be_kept_is_refused_beside_its_field(
    make: Making, client: FlaskClient, send: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    for room in (attaching, attachments):
        monkeypatch.setattr(room, "MOST_BYTES", 1_000)  # the test's own client leaves larger forms open
    jar = make.jar()
    for data, name, say in (
        (b"", "empty.pdf", "That file is empty."),
        (b"", "", "Choose a file."),
        (b"x" * 1_001, "long.pdf", f"larger than {MOST_MB} MB"),
    ):
        answer = attach(send, jar, data, name, instrument="Balance")
        assert answer.status_code == 422 and say in answer.text and 'value="Balance"' in answer.text
        assert "File kept" not in answer.text
    assert not stored(make) and not attached_to(make.state, jar)
    assert client.get("/thing/01M7QGX6RTHH762F8X86RDX6DX/file").status_code == 404


def test_a_file_stays_with_a_form_that_is_refused_for_something_else(make: Making, send: Any) -> None:
    jar = make.jar()
    refused = attach(send, jar, what="", at="tomorrow")
    assert refused.status_code == 422 and "File kept: scan 1.xy" in refused.text and not stored(make)
    again = send(f"/thing/{jar}/file", what="certificate", digest=SUM, named="scan 1.xy")
    assert again.status_code == 303
    [one] = attached_to(make.state, jar)
    assert (one.body.name, one.body.sha256, one.body.what) == ("scan 1.xy", SUM, "certificate")


def test_the_largest_file_is_taken_and_no_larger_one() -> None:
    assert attachments.checked(b"x" * 25 * 1024 * 1024)
    with pytest.raises(Refusal, match="larger than 25 MB"):
        attachments.checked(b"x" * (25 * 1024 * 1024 + 1))


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\lab\\run 7.raw", "run 7.raw"),
        ("a\r\nSet-Cookie: x=1.pdf", "aSet-Cookie_ x=1.pdf"),
        ('say "it"<b>.pdf', "say _it__b_.pdf"),
        ("gpj.\u202eexe", "gpj.exe"),
        ("...", "file"),
        ("", "file"),
        ("n" * 300 + ".pdf", "n" * 96 + ".pdf"),
        ("Röntgen 2θ.xy", "Röntgen 2θ.xy"),
    ],
)
def test_a_name_keeps_what_can_be_read_and_nothing_else(typed: str, kept: str) -> None:
    assert plain_name(typed) == kept


def test_a_hostile_name_and_content_reach_no_page_and_no_header(make: Making, client: FlaskClient, send: Any) -> None:
    jar = make.jar()
    assert attach(send, jar, name="<img src=1 onerror=alert(1)>; x=y.html").status_code == 303
    [one] = attached_to(make.state, jar)
    assert "<img" not in client.get(f"/jar/{jar}").text
    got = client.get(f"/thing/{jar}/file/{one.body.file}")
    assert got.mimetype == "application/octet-stream" and got.headers["Content-Disposition"].startswith("attachment")
    assert one.body.name == "_img src=1 onerror=alert(1)_; x=y.html"
    assert got.headers["Content-Disposition"] == f'attachment; filename="{one.body.name}"'


def test_a_name_that_came_with_another_bench_is_cleaned_too(make: Making, client: FlaskClient) -> None:
    jar, file = make.jar(), "01M7QGX6RTHH762F8X86RDX6DX"
    told = {"of": jar, "file": file, "bytes": len(PATTERN), "name": "../x\nSet-Cookie: a=1.pdf", "what": "other"}
    make.add("file.attached", told | {"sha256": attachments.keep_attachment(make.journal.photos, file, PATTERN)}, jar)
    got = client.get(f"/thing/{jar}/file/{file}")
    assert got.data == PATTERN and "Set-Cookie" not in got.headers
    assert got.headers["Content-Disposition"] == 'attachment; filename="xSet-Cookie_ a=1.pdf"'


def test_a_file_that_is_not_as_it_was_is_not_handed_out(make: Making, client: FlaskClient, send: Any) -> None:
    jar = make.jar()
    attach(send, jar)
    [one] = attached_to(make.state, jar)
    [path] = stored(make)
    path.write_bytes(PATTERN + b" ")
    answer = client.get(f"/thing/{jar}/file/{one.body.file}")
    assert answer.status_code == 409 and "has changed since it was attached" in answer.text
    path.unlink()
    answer = client.get(f"/thing/{jar}/file/{one.body.file}")
    assert answer.status_code == 404 and "not here yet" in answer.text


def test_undo_takes_it_from_the_page(make: Making, client: FlaskClient, send: Any) -> None:
    jar = make.jar()
    attach(send, jar)
    [one] = attached_to(make.state, jar)
    make.journal.write("withdrawn", jar, {"ids": [one.record.id], "why": "the wrong one"})
    assert not attached_to(make.state, jar)
    assert client.get(f"/thing/{jar}/file/{one.body.file}").status_code == 404
    assert "File attached" in client.get(f"/thing/{jar}").text


def test_it_is_taken_along_with_its_digest(make: Making, client: FlaskClient, send: Any, batch: str) -> None:
    attach(send, batch, name="scan.XY")
    [one] = attached_to(make.state, batch)
    head, row = read_csv(client.get("/take/attached-files.csv").data)
    told = dict(zip(head, row, strict=True))
    assert (told["of"], told["name"], told["SHA-256"], told["bytes"]) == (batch, "scan.XY", SUM, str(len(PATTERN)))
    whole = zipfile.ZipFile(io.BytesIO(client.get("/take/everything.zip?photos=1").data))
    assert whole.read(f"files/{one.body.file}.bin") == PATTERN
    crate = zipfile.ZipFile(io.BytesIO(client.get(f"/take/batch/{batch}.zip").data))
    graph = {e["@id"]: e for e in json.loads(crate.read("ro-crate-metadata.json"))["@graph"]}
    path = f"files/{one.body.file}.xy"
    assert crate.read(path) == PATTERN and graph[path]["sha256"] == SUM
    assert graph[path]["name"] == "diffraction pattern: scan.XY"


def test_a_target_is_intended_until_evidence_is_attached(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make, ("Co3O4", 5.0), ("Al2O3", 5.0), target_formula="CoAl2O4")
    [batch] = make.state.things("batch")
    pages = [f"/pigment/{thing}", f"/batch/{batch}", f"/print/record/batch/{batch}"]
    attach(send, thing, what="element-analysis")
    for page in pages:
        assert BARE in client.get(page).text, page
    attach(send, thing)
    for page in pages:
        text = client.get(page).text
        assert "Target: CoAl₂O₄. Analysis attached: diffraction pattern." in text and BARE not in text, page


def test_the_show_sheet_says_so_too(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make, ("Co3O4", 5.0), ("Al2O3", 5.0), target_formula="CoAl2O4")
    swatch = make.swatch(thing)
    way = f"/show/sheet?pick.{swatch}=1&recipe=1"
    assert BARE in client.get(way).text
    attach(send, thing)
    assert "Analysis attached: diffraction pattern." in client.get(way).text
