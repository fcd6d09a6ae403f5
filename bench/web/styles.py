"""The style sheets as one file, so that a phone asks once for all of them. Each idea keeps a file of its own."""

import hashlib
import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Flask, Response, request

from bench.settings import asset_folder

SHEETS = (
    "tokens", "type", "layout", "keys", "fields", "figures", "lists", "records", "checks", "sheet", "plan", "signs",
    "curve", "furnace", "swatch", "wide", "beside", "phone", "sideways", "print",
)  # fmt: skip
"""In this order: a later sheet may say otherwise than an earlier one."""
ALL = "css/all.css"
REMARK = re.compile(r"/\*.*?\*/", re.DOTALL)


def gather(app: Flask) -> None:
    """Let the one file be asked for like any other static file."""
    single: Any = app.view_functions["static"]

    def static(**asked: Any) -> Any:
        if asked.get("filename") != ALL:
            return single(**asked)
        answer = Response(joined(), mimetype="text/css")
        answer.set_etag(version())
        answer.headers["Cache-Control"] = "no-cache"
        return answer.make_conditional(request)

    app.view_functions["static"] = static


def joined() -> str:
    """All sheets, one after the other, without what no browser needs."""
    return _joined(tuple(path.stat().st_mtime_ns for path in _paths()))


def version() -> str:
    """A mark of all sheets: another one means that one of them was changed."""
    return hashlib.sha256(joined().encode()).hexdigest()[:12]


def _paths() -> list[Path]:
    folder = asset_folder("static") / "css"
    return [folder / f"{name}.css" for name in SHEETS]


@lru_cache(maxsize=2)
def _joined(changed: tuple[int, ...]) -> str:
    return "\n".join(lean(path.read_text(encoding="utf-8")) for path in _paths())


def lean(sheet: str) -> str:
    """A sheet without its remarks, its indents and its blank lines: a fifth of what a phone loads of it."""
    lines = (line.strip() for line in REMARK.sub("", sheet).splitlines())
    return "\n".join(line for line in lines if line)
