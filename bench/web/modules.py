"""Our own modules as a browser gets them: without remarks, each import by an address with the mark of what it brings.

A module that is asked for by its mark never changes, so no cache has to ask for it again, and a page never runs with
a module of another version: the mark of a module is of all that it imports as well.
"""

import hashlib
import os
import re
from functools import lru_cache
from typing import Any, NamedTuple

from flask import Flask, Response, g, has_app_context, request

from bench.settings import asset_folder

IMPORT = re.compile(r'((?:\bfrom|\bimport) ?\(?)"\./(\w+\.js)"')


class Module(NamedTuple):
    """What is sent, and its mark."""

    text: str
    mark: str


def gather(app: Flask) -> None:
    """Let the modules be asked for like any other static file."""
    single: Any = app.view_functions["static"]

    def static(**asked: Any) -> Any:
        found = modules().get(asked.get("filename", ""))
        if found is None:
            return single(**asked)
        answer = Response(found.text, mimetype="text/javascript")
        answer.set_etag(found.mark)
        answer.headers["Cache-Control"] = "no-cache"
        return answer.make_conditional(request)

    app.view_functions["static"] = static


def modules() -> dict[str, Module]:
    """Every module that lies in static/ itself, by its file's name; looked for once a request."""
    if not has_app_context():
        return _modules(_changed())
    if "modules" not in g:
        g.modules = _modules(_changed())
    found: dict[str, Module] = g.modules
    return found


def _changed() -> tuple[tuple[str, int], ...]:
    with os.scandir(asset_folder("static")) as folder:
        return tuple(sorted((one.name, one.stat().st_mtime_ns) for one in folder if one.name.endswith(".js")))


@lru_cache(maxsize=2)
def _modules(changed: tuple[tuple[str, int], ...]) -> dict[str, Module]:
    folder = asset_folder("static")
    lean = {name: without_remarks((folder / name).read_text(encoding="utf-8")) for name, _ms in changed}
    found: dict[str, Module] = {}

    def marked(name: str, above: tuple[str, ...] = ()) -> Module:
        if name in above:
            raise ValueError(f"Modules import each other in a circle: {' '.join(above)} {name}")
        if name not in found:
            below = (*above, name)
            text = IMPORT.sub(lambda one: f'{one[1]}"./{one[2]}?v={marked(one[2], below).mark}"', lean[name])
            found[name] = Module(text, hashlib.sha256(text.encode()).hexdigest()[:12])
        return found[name]

    return {name: marked(name) for name in lean}


def without_remarks(source: str) -> str:
    """A module without the lines that are remarks alone, which no phone needs."""
    kept, inside = [], False
    for line in source.splitlines(keepends=True):
        bare = line.strip()
        inside = inside or bare.startswith("/**")
        if not inside and not bare.startswith("//"):
            kept.append(line)
        inside = inside and not bare.endswith("*/")
    return "".join(kept)
