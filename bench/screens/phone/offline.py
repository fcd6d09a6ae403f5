"""What a phone keeps whole to work out of the laptop's reach: the bench itself, each batch and each firing under way.

A list names every page and file of one thing with a mark of its state. The phone takes in all of it or nothing, and
shows that it is ready; a mark that differs later says that it has to be taken in anew.
"""

import hashlib
from collections.abc import Iterable
from typing import Any

from flask import Blueprint, Response, current_app, jsonify

from bench.science.thermocouples import reference_of
from bench.screens.furnace.curves import MINUTE_MS, planned_points, thinned
from bench.screens.furnace.firing_reading import letter_of
from bench.screens.furnace.firing_view import gasses_late
from bench.screens.kit import styles
from bench.screens.kit.ahead import all_kept_free, kept_free, placeable
from bench.screens.kit.called import called
from bench.screens.kit.door import device
from bench.screens.kit.existing import existing
from bench.screens.kit.joined import bench
from bench.screens.kit.page import page, static_url
from bench.screens.kit.taste import hand, theme
from bench.screens.phone.away_words import away_words
from bench.screens.phone.find import way_to
from bench.screens.phone.pinned import batch_pages, firing_pages, following
from bench.screens.phone.steps_file import steps_url
from bench.screens.weighing.weighing import aims
from bench.settings import asset_folder
from bench.workshop import snapshot
from bench.workshop.learning import learnt
from bench.workshop.state import State
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

blueprint = Blueprint("offline", __name__)

MOST_PINNED = 24
MOST_CHARGES = 100
NEWEST = 400
SHELL = ("/", "/emergency", "/first-aid", "/find", "/outbox", "/firings", "/offline")
LOOSE = (".js", ".wasm")
NOT_ON_PHONES = ("css/", "worker/", "pictures/", "vendor/htmx", "vendor/manifest.json", "LICENSE")


@blueprint.get("/offline")
def nowhere() -> Response:
    """The page in the place of one that is not on the phone."""
    return page("offline/nowhere.html")


@blueprint.get("/bench/offline.json")
def of_bench() -> Response:
    """The start page and what always has to be in reach, all files, and the list of what else to take in."""
    state = bench().state
    under_way = [f"/batch/{one}/offline.json" for one in state.open_things("batch")]
    under_way = [f"/firing/{one}/offline.json" for one in state.open_things("firing")] + under_way
    seen = [len(state.records)]
    told = _charges_told(state.open_things("charge")[-MOST_CHARGES:])
    more = under_way[:MOST_PINNED]
    return _list("bench", SHELL, seen, files=_files(), more=more, codes=_codes(state), words=away_words(), told=told)


@blueprint.get("/batch/<thing>/offline.json")
def of_batch(thing: str) -> Response:
    """All steps of a batch, and of the charges that it lies in."""
    state = bench().state
    view = existing(batch(state, thing), thing)
    charges = [one for one in state.open_things("charge") if thing in _batches(state, one)]
    free = kept_free(state, thing)
    pages = batch_pages(state, view, charges, free)
    seen = _seen(thing, *charges, *state.open_things("firing"))
    told = {thing: _told_batch(view), **_charges_told(charges)}
    return _list("batch", pages, seen, after=following(view), free={thing: free}, told=told)


@blueprint.get("/firing/<thing>/offline.json")
def of_firing(thing: str) -> Response:
    """All steps of a firing, and of the charges in it."""
    state = bench().state
    view = existing(firing(state, thing), thing)
    free = all_kept_free(state)
    seen = _seen(thing, *view.charges, *state.open_things("charge"), *state.open_things("batch"))
    slowest = learnt(state, view.plan.furnace, but=thing).slowest_min
    fire = snapshot.of_firing(state, thing, bench().library, slowest) or {}
    plan = [[ms / MINUTE_MS, c] for ms, c in planned_points(view.plan.segments, 0.0)]
    known = {"plan": plan, "carbonate": gasses_late(view), "probe": reference_of(letter_of(view))}
    known |= {"readings": _fewer(fire.get("readings", []))}
    told = {thing: fire | known, **_charges_told(view.charges)}
    return _list("firing", firing_pages(view, [*free, *placeable(state)]), seen, told=told)


def _fewer(readings: list[Any]) -> list[Any]:
    """The newest readings whole, of those before them the lows and highs."""
    older = thinned([(ms, c) for ms, c in readings[:-NEWEST]])
    return [*older, *readings[-NEWEST:]]


def _told_batch(view: Batch) -> dict[str, Any] | None:
    found = aims(bench().state, bench().library, view)
    within = found[0].within_g if found else 0.0
    told = snapshot.of_batch(
        bench().state, view.id, bench().library, {aim.number: aim.name for aim in found}, within, bench().now()
    )
    return None if told is None else told | {"places": found[0].places if found else 2}


def _charges_told(charges: Iterable[str]) -> dict[str, Any]:
    return {one: snapshot.of_charge(bench().state, one) for one in charges}


def _codes(state: State) -> dict[str, list[str]]:
    """What each code of something under way stands for, and its page: a scan is answered without the laptop."""
    found = {}
    for what in ("jar", "crucible", "batch", "firing", "pigment"):
        for thing in state.open_things(what):
            code = state.code_of(thing)
            if code is not None and len(state.things_with(code)) == 1:  # which of two it is, the laptop asks
                found[code] = [called(thing, state, bench().library).name, way_to(thing)]
    return found


def _batches(state: State, thing: str) -> Iterable[str]:
    view = charge(state, thing)
    return view.batches if view is not None else ()


def _seen(*things: str) -> list[int]:
    """How many records stand about each thing: any new one changes the mark."""
    journal = bench().journal
    return [len(journal.by("subject", one)) for one in things] + [len(journal.by("kind", "setting.changed"))]


def _files() -> list[str]:
    """Every file that a phone's pages use, under the address that they use."""
    folder = asset_folder("static")
    app: Any = current_app
    found = [static_url(app, styles.ALL), steps_url()]
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if not path.is_file() or any(part in name for part in NOT_ON_PHONES):
            continue
        found.append(static_url(app, name))
        if name.startswith("vendor/") and path.suffix in LOOSE:
            # A decoder is asked for without its mark, by the module that needs it.
            found.append(f"/static/{name}")
    return found


def version() -> str:
    """A mark of all files together: another one means another version of the bench."""
    return hashlib.sha256("\n".join(_files()).encode()).hexdigest()[:12]


def _list(
    kind: str,
    pages: Iterable[str],
    seen: list[int],
    *,
    files: Iterable[str] = (),
    more: Iterable[str] = (),
    after: dict[str, str] | None = None,
    codes: dict[str, list[str]] | None = None,
    free: dict[str, list[str]] | None = None,
    told: dict[str, Any] | None = None,
    words: dict[str, str] | None = None,
) -> Response:
    """The list, as JSON.

    Without the laptop, `after` says which page comes after which, `codes` what a scan stands for, `free` under which
    ids the next fillings of a batch are recorded, `told` how things stand, to lay over it what happened since,
    and `words` what the phone says by itself.
    """
    pages = list(dict.fromkeys(pages))
    here = device()
    marks = [kind, version(), theme(), hand(), here.id if here else "", *map(str, seen), *pages]
    rev = hashlib.sha256("\n".join(marks).encode()).hexdigest()[:16]
    items = [[address, rev] for address in pages] + [[address, address.partition("v=")[2]] for address in files]
    at_ms = bench().now_ms()
    alone = {"after": after or {}, "codes": codes or {}, "free": free or {}, "told": told or {}}
    alone |= {"words": words} if words else {}
    answer = jsonify(rev=rev, at_ms=at_ms, items=items, more=list(more), **alone)
    answer.headers["Cache-Control"] = "no-store"
    return answer
