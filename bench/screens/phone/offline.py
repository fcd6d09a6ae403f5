"""What a phone keeps whole to work out of the laptop's reach: the bench itself, each batch and each firing under way.

A list names every page and file of one thing, each with its own mark, and tells how things stand as data. A phone takes
in those pages alone whose mark is another one (`marks.py`); the list of the bench says which lists have changed.
"""

import hashlib
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, cast

import orjson
from flask import Blueprint, Response, current_app, g, request

from bench.records.state import State
from bench.screens.kit.found import batch_or_404, firing_or_404
from bench.screens.kit.thing_label import thing_label
from bench.screens.phone.away_words import away_words
from bench.screens.phone.drawn import PATH as DRAWN_PATH
from bench.screens.phone.drawn import drawn_of_batch, drawn_told, facts_told, jars, pages_of, powders, vessels
from bench.screens.phone.find import way_to
from bench.screens.phone.fire_told import drawn_of_firing
from bench.screens.phone.marks import Kept, Marks, whose_phone
from bench.screens.phone.steps_file import steps_url
from bench.screens.phone.told import charges_told, told_batch, told_firing
from bench.settings import asset_folder
from bench.translation import as_said, spoken
from bench.web import styles
from bench.web.current import current_bench
from bench.web.page import page, static_url
from bench.workshop.things.charges import charge

blueprint = Blueprint("offline", __name__)

MOST_PINNED = 24
MOST_CHARGES = 100
SITTING_MS = 10 * 60_000
"""What was answered in this sitting ceases to stand with time alone: so often a list is made anew."""
SHELL = ("/", "/emergency", "/first-aid", "/help", "/find", "/outbox", "/firings", "/offline", DRAWN_PATH)
LOOSE = (".js", ".wasm")
NOT_ON_PHONES = ("css/", "worker/", "pictures/", "vendor/htmx", "vendor/manifest.json", "LICENSE")

List = dict[str, Any]


@blueprint.get("/offline")
def nowhere() -> Response:
    """The page in the place of one that is not on the phone."""
    return page("offline/nowhere.html")


@blueprint.get("/bench/offline.json")
def of_bench() -> Response:
    """The start page and what always has to be in reach, all files, and the other lists with their marks."""
    return _send(_list("/bench/offline.json", _of_bench).found)


@blueprint.get("/batch/<thing>/offline.json")
def of_batch(thing: str) -> Response:
    """All steps of a batch, and of the charges that it lies in."""
    return _send(_list_at(f"/batch/{thing}/offline.json").found)


@blueprint.get("/firing/<thing>/offline.json")
def of_firing(thing: str) -> Response:
    """All steps of a firing, and of the charges in it."""
    return _send(_list_at(f"/firing/{thing}/offline.json").found)


def _of_bench() -> List:
    state = current_bench().state
    under_way = [f"/batch/{one}/offline.json" for one in state.open_things("batch")]
    under_way = [f"/firing/{one}/offline.json" for one in state.open_things("firing")] + under_way
    more = under_way[:MOST_PINNED]
    told = charges_told(state.open_things("charge")[-MOST_CHARGES:])
    files = [[address, address.partition("v=")[2]] for address in _files()]
    revs = {}
    for address in more:
        kept = _list_at(address)
        state.notice_all(kept.reads)
        revs[address] = kept.found["rev"]
    drawn = drawn_told(told)
    said = {"more": more, "drawn": drawn, "revs": revs, "codes": _codes(state), "words": away_words()}
    draws = pages_of([*powders(), *vessels(), *jars(), *told])
    return {"items": [*_marked(SHELL), *files], "draws": draws, "told": told | facts_told(), **said}


def _of_batch(thing: str) -> List:
    state = current_bench().state
    view = batch_or_404(thing)
    charges = [one for one in state.open_things("charge") if thing in _batches(state, one)]
    told = {thing: told_batch(view), **charges_told(charges)}
    draws = [*pages_of([thing, *charges]), *(f"/batch/{thing}/weigh/{line.plan.line}" for line in view.lines)]
    return {"items": [], "draws": draws, "told": told, "drawn": drawn_of_batch(thing)}


def _of_firing(thing: str) -> List:
    view = firing_or_404(thing)
    told = {thing: told_firing(view), **charges_told(view.charges)}
    draws = pages_of([thing, *view.charges])
    return {"items": [], "draws": draws, "told": told, "drawn": drawn_of_firing(view)}


def _list_at(address: str) -> Kept:
    _, sort, thing, _ = address.split("/")
    make = {"batch": _of_batch, "firing": _of_firing}[sort]
    return _list(address, lambda: make(thing))


def _list(address: str, make: Callable[[], List]) -> Kept:
    """A list with its mark; the one that was made before as long as nothing that it was made from has changed."""
    marks, state, now_ms = _marks(), current_bench().state, current_bench().now_ms()
    stamp = (marks.count, _look(), now_ms // SITTING_MS, spoken())
    known = marks.lists.get((address, whose_phone()))
    if known is None or known.stamp != stamp or not state.is_unchanged(known.reads, known.revision):
        with state.noticing() as reads:
            found = as_said(make())
        mark = hashlib.sha256(orjson.dumps([_look(), found])).hexdigest()[:16]
        known = Kept(stamp, frozenset(reads), state.revision, {"rev": mark, **found})
        marks.lists[address, whose_phone()] = known
    return known


def _send(found: List) -> Response:
    """The list, as JSON; nothing of it where the phone has it already.

    Without the laptop, `codes` says what a scan stands for, `told` how things stand, to lay over it what happened
    since, `draws` which pages the phone draws, and `words` what it says by itself.
    """
    at_ms = current_bench().now_ms()
    etag = f'"{found["rev"]}"'
    same = request.headers.get("If-None-Match") == etag
    none: List = {"more": [], "codes": {}, "told": {}}
    text = b"" if same else orjson.dumps({**none, **found, "at_ms": at_ms})
    answer = Response(text, 304 if same else 200, mimetype="application/json")
    answer.headers.update({"Cache-Control": "no-store", "ETag": etag, "X-Bench-At": str(at_ms)})
    return answer


def _marks() -> Marks:
    return cast(Marks, current_app.extensions["marks"])


def _look() -> str:
    if "look" not in g:
        g.look = _marks().look(version())
    return cast(str, g.look)


def _marked(pages: Iterable[str]) -> list[list[str | None]]:
    marks, state, whose = _marks(), current_bench().state, whose_phone()
    return [[address, marks.mark(address, whose, state, _look())] for address in dict.fromkeys(pages)]


def _codes(state: State) -> dict[str, list[str]]:
    """What each code of something under way stands for, and its page: a scan is answered without the laptop."""
    found = {}
    for what in ("jar", "crucible", "batch", "firing", "pigment"):
        for thing in dict.fromkeys([*state.open_things(what), *(powders() if what == "pigment" else ())]):
            code = state.code_of(thing)
            if code is not None and len(state.things_with(code)) == 1:  # which of two it is, the laptop asks
                found[code] = [thing_label(thing).name, way_to(thing)]
    return found


def _batches(state: State, thing: str) -> Iterable[str]:
    view = charge(state, thing)
    return view.batches if view is not None else ()


def _files() -> list[str]:
    """Every file that a phone's pages use, under the address that they use."""
    app: Any = current_app
    found = [static_url(app, styles.ALL), steps_url()]
    for name in _file_names(asset_folder("static")):
        found.append(static_url(app, name))
        if name.startswith("vendor/") and name.endswith(LOOSE):
            # A decoder is asked for without its mark, by the module that needs it.
            found.append(f"/static/{name}")
    return found


def _file_names(folder: Path) -> list[str]:
    """The files for phones. Each list asks for all of them, so they are walked as quickly as a system can."""
    found = [
        f"{under}/{name}".removeprefix("./")
        for top, _folders, names in os.walk(folder)
        for under in (Path(top).relative_to(folder).as_posix(),)
        for name in names
    ]
    return sorted(name for name in found if not any(part in name for part in NOT_ON_PHONES))


def version() -> str:
    """A mark of all files together: another one means another version of the bench."""
    return hashlib.sha256("\n".join(_files()).encode()).hexdigest()[:12]
