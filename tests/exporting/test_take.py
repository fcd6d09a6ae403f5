"""What is taken along reads back to the same figures: tables, JSON with its schema and its reader, a crate."""

import csv
import hashlib
import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.demo import fill
from bench.exporting.archive import reader_source
from bench.exporting.cells import Column, Table, csv_bytes, read_csv
from bench.exporting.json_schema import export_schema
from bench.exporting.summaries import tables
from bench.science.refusal import Refusal
from bench.settings import Settings
from bench.workshop.things.batches import batch
from tests.conftest import Keeper, app_of

NASTY = ["=1+1", "+cmd", "-2", "@x", "'=1", "'", "plain", "a,b", 'say "it"', "two\nlines", "\tx", "°C – µm", ""]


def test_a_table_reads_back_and_no_cell_is_run() -> None:
    rows = [[text, 0.1 + 0.2, 7, True, None] for text in NASTY]
    data = csv_bytes(
        Table("t", "", (Column("word"), Column("mass", "g"), Column("n"), Column("ok"), Column("no")), rows)
    )
    back = read_csv(data)
    assert back[0] == ["word", "mass [g]", "n", "ok", "no"]
    assert [row[0] for row in back[1:]] == NASTY
    assert all((float(row[1]), row[2:]) == (0.1 + 0.2, ["7", "yes", ""]) for row in back[1:])
    # What a spreadsheet sees, read by the standard library alone: nothing that it would run.
    seen = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert not [row[0] for row in seen if row[0][:1] in ("=", "+", "-", "@", "\t")]
    assert data.count(b"\r\n") == len(rows) + 1


def test_other_marks_are_read_and_what_is_no_table_is_refused() -> None:
    assert read_csv(b"a;b\r\n1,5;2\r\n") == [["a", "b"], ["1,5", "2"]]
    with pytest.raises(Refusal, match="UTF-8"):
        read_csv(b"\xff\xfe\x00")
    with pytest.raises(Refusal, match="empty"):
        read_csv(b"\r\n \r\n")


def test_every_table_reads_back_to_the_same_figures(app: Flask) -> None:
    bench = app.extensions["bench"]
    found = tables(bench.state, bench.library)
    assert {table.name: len(table.rows) for table in found}["batches"] == 8
    for table in found:
        head, *rows = read_csv(csv_bytes(table))
        assert head == [column.head for column in table.columns] and len(rows) == len(table.rows)
        for row, want in zip(rows, table.rows, strict=True):
            assert [_same(text, value) for text, value in zip(row, want, strict=True)] == [True] * len(want), table.name


def _same(text: str, value: object) -> bool:
    if value is None:
        return text == ""
    if isinstance(value, bool):
        return text == ("yes" if value else "no")
    return float(text) == value if isinstance(value, int | float) else text == value


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """The demo's bench, for all tests of this file: none of them writes."""
    made = app_of(Settings(data=tmp_path_factory.mktemp("take") / "data", open_browser=False), Keeper())
    fill(made.extensions["bench"])
    yield made
    made.extensions["listening"].stop()
    made.extensions["bench"].journal.close()


@pytest.fixture
def archive(client: FlaskClient) -> zipfile.ZipFile:
    answer = client.get("/take/everything.zip?photos=1")
    assert answer.mimetype == "application/zip" and "attachment" in answer.headers["Content-Disposition"]
    return zipfile.ZipFile(io.BytesIO(answer.data))


def test_the_json_fits_its_schema_and_the_example_reads_it(app: Flask, archive: zipfile.ZipFile, tmp_path: Any) -> None:
    state = app.extensions["bench"].state
    told = json.loads(archive.read("records.json"))
    schema = json.loads(archive.read("export.schema.json"))
    assert schema == json.loads(json.dumps(export_schema())) and len(told["records"]) == len(state.records)
    assert wrong(told, schema) == []
    told["records"][0]["data"]["unheard_of"] = 1
    del told["records"][1]["hlc"]
    assert len(wrong(told, schema)) == 2
    assert len(reader_source().splitlines()) < 40
    (tmp_path / "records.json").write_bytes(archive.read("records.json"))
    (tmp_path / "read.py").write_bytes(archive.read("read_export.py"))
    run = [sys.executable, "-S", str(tmp_path / "read.py"), str(tmp_path / "records.json")]
    said = subprocess.run(run, capture_output=True, check=True).stdout.decode().splitlines()
    head, *rows = read_csv(archive.read("tables/batches.csv"))
    grams = {row[0]: float(row[head.index("weighed [g]")]) for row in rows}
    assert {line.split()[0]: float(line.split()[1]) for line in said} == pytest.approx(grams, abs=6e-5)


def test_every_record_is_a_row_and_every_photo_is_there(app: Flask, archive: zipfile.ZipFile) -> None:
    state, folder = app.extensions["bench"].state, app.extensions["bench"].settings.photos
    kinds = {record.kind for record in state.records.values()}
    for kind in kinds:
        head, *rows = read_csv(archive.read(f"records/{kind}.csv"))
        assert len(rows) == sum(record.kind == kind for record in state.records.values())
        assert [row[head.index("stands")] for row in rows].count("yes") == sum(
            record.kind == kind and state.is_effective(record.id) for record in state.records.values()
        )
        figures = [name for name in head[10:] if "[" in name]
        for row in rows:
            data = state.records[row[0]].data
            for name in figures:
                assert _same(row[head.index(name)], data.get(name.split()[0])), (kind, name)
    lines = read_csv(archive.read("records/batch.planned.lines.csv"))
    assert lines[0][-5:] == ["target_g [g]", "jar", "name", "fate", "assay_pct [%]"]
    kept = {path.name for path in folder.iterdir()}
    assert kept and {f"photos/{name}" for name in kept} <= set(archive.namelist())


def test_a_batch_as_a_crate(app: Flask, client: FlaskClient) -> None:
    bench = app.extensions["bench"]
    thing = bench.state.things("batch")[0]
    answer = client.get(f"/take/batch/{thing}.zip")
    packed = zipfile.ZipFile(io.BytesIO(answer.data))
    graph = {one["@id"]: one for one in json.loads(packed.read("ro-crate-metadata.json"))["@graph"]}
    assert graph["ro-crate-metadata.json"]["about"] == {"@id": "./"}
    named = [one["@id"] for one in graph["./"]["hasPart"]]
    assert {"ro-crate-metadata.json", *named} == set(packed.namelist())
    for name in named:
        data = packed.read(name)
        assert graph[name]["sha256"] == hashlib.sha256(data).hexdigest()
        assert graph[name]["contentSize"] == str(len(data))
    assert len(pypdfium2.PdfDocument(packed.read("batch-record.pdf"))) == 2
    records = [json.loads(line) for line in packed.read("records.jsonl").splitlines()]
    assert sum(one["kind"] == "weighed" for one in records) == 4
    assert {one["kind"] for one in records} >= {"batch.planned", "charged", "reading", "opened", "judged", "jar.opened"}
    read = read_csv(packed.read("readings.csv"))
    assert len(read) - 1 == sum(one["kind"] == "reading" for one in records)
    assert any(name.startswith("photos/") for name in named)
    assert client.get("/take/batch/01M7QGX6RTHH762F8X86RDX6DX.zip").status_code == 404


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_another_reader_finds_the_same_in_the_crate(app: Flask, client: FlaskClient, tmp_path: Path) -> None:
    from rocrate.rocrate import ROCrate

    thing = app.extensions["bench"].state.things("batch")[0]
    data = client.get(f"/take/batch/{thing}.zip").data
    (tmp_path / "crate.zip").write_bytes(data)
    packed = zipfile.ZipFile(io.BytesIO(data))
    packed.extractall(tmp_path / "crate")
    told = {one["@id"]: one for one in json.loads(packed.read("ro-crate-metadata.json"))["@graph"]}
    for source in (tmp_path / "crate.zip", tmp_path / "crate"):
        crate = ROCrate(str(source))
        read, root = crate.root_dataset, told["./"]
        assert crate.metadata["conformsTo"] == "https://w3id.org/ro/crate/1.1"
        assert all(read[name] == root[name] for name in ("name", "description", "license"))
        names = {one.id for one in read["hasPart"]}
        assert names == {one["@id"] for one in root["hasPart"]} == set(packed.namelist()) - {"ro-crate-metadata.json"}
        for one in map(crate.get, names):
            assert one.type == "File" and all(one[name] == told[one.id][name] for name in ("sha256", "contentSize"))
    # Written anew by that library, everything is there still.
    crate.write_zip(tmp_path / "again.zip")
    again = zipfile.ZipFile(tmp_path / "again.zip")
    assert {hashlib.sha256(again.read(name)).hexdigest() for name in names} == {told[name]["sha256"] for name in names}


def test_the_screen_leads_to_all_of_it(client: FlaskClient) -> None:
    text = client.get("/take").get_data(as_text=True)
    assert 'href="/take/everything.zip"' in text and client.get("/take/nothing.csv").status_code == 404
    assert client.get("/take/jars.csv").data.startswith(b"\xef\xbb\xbfid,code,reagent")
    assert client.get("/take/export.schema.json").get_json()["title"] == "Saggar export"


def wrong(value: Any, schema: dict[str, Any], where: str = "$") -> list[str]:
    """What of a value does not fit a schema: the words of draft 2020-12 that ours uses."""
    found: list[str] = []
    types = {"object": dict, "array": list, "string": str, "integer": int, "number": (int, float), "boolean": bool}
    kind = schema.get("type")
    names = [kind] if isinstance(kind, str) else kind or []
    if names and not any((value is None) if n == "null" else isinstance(value, types[n]) for n in names):
        return [f"{where} is no {kind}"]
    if "const" in schema and value != schema["const"]:
        found.append(f"{where} is not {schema['const']}")
    if "enum" in schema and value not in schema["enum"]:
        found.append(f"{where} is none of {schema['enum']}")
    if "anyOf" in schema and all(wrong(value, one, where) for one in schema["anyOf"]):
        found.append(f"{where} fits nothing")
    if isinstance(value, dict):
        known = schema.get("properties", {})
        found += [f"{where}.{name} is missing" for name in schema.get("required", []) if name not in value]
        if schema.get("additionalProperties") is False:
            found += [f"{where}.{name} is unknown" for name in value if name not in known]
        for name, one in known.items():
            found += wrong(value[name], one, f"{where}.{name}") if name in value else []
    if isinstance(value, list) and "items" in schema:
        found += [say for n, one in enumerate(value) for say in wrong(one, schema["items"], f"{where}[{n}]")]
    for one in schema.get("allOf", []):
        if not wrong(value, one["if"], where):
            found += wrong(value, one["then"], where)
    return found


def test_the_record_of_a_batch_that_was_never_fired_is_one_page(app: Flask, client: FlaskClient) -> None:
    state = app.extensions["bench"].state
    thing = next(one for one in state.things("batch") if not batch(state, one).charges)  # type: ignore[union-attr]
    made = pypdfium2.PdfDocument(client.get(f"/print/record/batch/{thing}?pdf=1").data)
    text = made[0].get_textpage().get_text_range()
    assert len(made) == 1 and state.slot(thing, "batch.planned").body.name in text and "licensed" in text
