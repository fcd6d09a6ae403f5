"""Take along: everything as tables and JSON, one table, the schema, one batch as a crate. All of it a download."""

import tempfile
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path
from typing import IO

from flask import Blueprint, Response, abort, current_app, request

from bench.exporting.archive import Part, parts, picture_parts, schema_json, taken, write_zip
from bench.exporting.cells import csv_bytes
from bench.exporting.crate import CrateFile, crate_parts, data_files
from bench.exporting.summaries import TABLES
from bench.exporting.to_file import about_batch, all_records, photo_files
from bench.printing.paper import can_set, pdf
from bench.records.moments import utc_text
from bench.science.refusal import Refusal
from bench.screens.kit.found import batch_or_404
from bench.screens.paper.batch_record import record_html
from bench.screens.paper.paper_screen import set_apart
from bench.web.current import current_bench
from bench.web.page import date_here, page
from bench.web.turns import out_of_turn
from bench.web.words import _

blueprint = Blueprint("taking", __name__, url_prefix="/take")

PIECE = 1 << 18
IN_MEMORY = 8 << 20


@blueprint.get("")
def home() -> Response:
    """What can be taken along."""
    here = current_bench()
    return page(
        "take/home.html",
        tables={name: words for name, (words, _make) in TABLES.items()},
        records=len(here.state.records),
    )


@blueprint.get("/everything.zip")
def everything() -> Response:
    """All of it in one archive; the photos too where they are asked for."""
    here = current_bench()
    photos = here.settings.photos if request.args.get("photos") else None
    found = parts(taken(all_records(here.journal), here.state, here.library, _made(), _program()))
    return _archive(found, f"saggar-{_day()}.zip", photos)


@blueprint.get("/<name>.csv")
def table(name: str) -> Response:
    """One table."""
    here = current_bench()
    if name not in TABLES:
        abort(404)
    made = TABLES[name][1](here.state, here.library)
    return _file(csv_bytes(made), f"{name}.csv", "text/csv; charset=utf-8; header=present")


@blueprint.get("/export.schema.json")
def schema() -> Response:
    """The published schema of the JSON."""
    return _file(schema_json(), "export.schema.json", "application/schema+json")


@blueprint.get("/batch/<thing>.zip")
def crate(thing: str) -> Response:
    """One batch as a crate: its records, readings, photos, and its record as PDF where this computer can set pages."""
    here, view = current_bench(), batch_or_404(thing)
    files = [*data_files(here.state, thing), *photo_files(here.state, thing, here.settings.photos)]
    about = about_batch(here.state, thing, _made(), current_app.config["VERSION"])
    text = record_html(view)
    if can_set():
        try:
            files.insert(0, CrateFile("batch-record.pdf", set_apart(pdf, text), _("The batch on two pages")))
        except Refusal:
            files.insert(0, CrateFile("batch-record.html", text.encode(), _("The batch on two pages")))
    else:
        files.insert(0, CrateFile("batch-record.html", text.encode(), _("The batch on two pages")))
    return _archive(crate_parts(about, files), f"batch-{view.code or view.id}.zip")


def _made() -> str:
    return utc_text(current_bench().now_ms())


def _day() -> str:
    return date_here(current_bench().now_ms())


def _program() -> str:
    return f"Saggar {current_app.config['VERSION']}"


def _file(data: bytes, name: str, mimetype: str) -> Response:
    answer = Response(data, content_type=mimetype)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _archive(found: Iterable[Part], name: str, photos: Path | None = None) -> Response:
    """A zip, packed while others have their turns, and read from a file that goes when it was sent."""
    kept: IO[bytes] = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115
    with out_of_turn():
        write_zip(chain(found, picture_parts(photos)), kept)
    size = kept.tell()
    kept.seek(0)
    answer = Response(_pieces(kept), content_type="application/zip")
    answer.headers["Content-Length"] = str(size)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _pieces(kept: IO[bytes]) -> Iterator[bytes]:
    with kept:
        while piece := kept.read(PIECE):
            yield piece
