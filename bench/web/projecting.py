"""Pages for steps whose turn has not come: a phone takes them along, and what is done out there finds its next page.

Only while a phone takes pages in, a page is drawn from a state in which the steps before it are done too. Of a batch
that is not in a crucible yet, the next two fillings have their ids kept free for each phone: the phone records under
them, so that the pages which it took along are those of the charge that it made.
"""

from collections.abc import Iterator
from dataclasses import replace

from flask import Flask, g, request

from bench.records.projected import Step, imagined, reserved
from bench.records.state import State
from bench.web.channel import device
from bench.web.current import bench
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import fire_off, firing

HEADER = "X-Bench-Pin"
KEPT_FREE = 2
COLD_C = 20.0
LIT_PAGES = ("in", "out", "reading", "timer", "note", "off", "watch")
MOST_LOOKED_AT = 50
MOST_PLACED = 24
NO_MORE = ("closed", "failed", "used-up")


def look_ahead(app: Flask) -> None:
    """Let the pages that a phone takes in be drawn from what is to come."""
    app.before_request(_imagine)


def is_ahead() -> bool:
    """Whether this page shows what is to come."""
    return bool(g.get("ahead"))


def _imagine() -> None:
    if HEADER not in request.headers or request.method != "GET" or device() is None:
        return
    thing = (request.view_args or {}).get("thing")
    first, _, rest = request.path.strip("/").partition("/")
    if not isinstance(thing, str) or first not in ("charge", "firing"):
        return
    page = rest.partition("/")[2]
    steps = list(_of_firing(thing, page) if first == "firing" else _of_charge(thing))
    if steps:
        here = bench()
        g.ahead = True
        g.bench = replace(here, ahead=imagined(here.state, steps, here.now_ms()))


def kept_free(state: State, thing: str) -> list[str]:
    """The ids under which this phone records the next fillings from a batch."""
    here = device()
    view = batch(state, thing)
    if here is None or view is None or view.state in NO_MORE:
        return []
    found: list[str] = []
    n = 0
    while len(found) < KEPT_FREE:
        one = reserved(thing, here.id, n)
        n += 1
        if state.record(one) is None:
            found.append(one)
    return found


def all_kept_free(state: State) -> dict[str, str]:
    """Every id kept free for this phone, with the batch that it is for."""
    batches = state.open_things("batch")[-MOST_LOOKED_AT:]
    return {one: thing for thing in batches for one in kept_free(state, thing)}


def _charged(state: State, one: str, thing: str) -> Step:
    """A filling with what is in the mortar, or will be by the plan, in a crucible that nobody knows yet."""
    view = batch(state, thing)
    lines = view.lines if view is not None else ()
    ready = view is not None and view.next_line is None
    grams = max(view.left_g, 0.0) if view is not None and ready else sum(line.target_g for line in lines)
    vessel = reserved(one, "crucible", 0)
    return Step("charged", one, {"crucible": vessel, "sources": [{"batch": thing, "g": round(grams, 3)}]}, id=one)


def _of_firing(thing: str, page: str) -> Iterator[Step]:
    state = bench().state
    fire = firing(state, thing)
    if fire is None or fire.closed:
        return
    then = request.args.get("then")
    if page in ("in", "out"):
        for one, of in all_kept_free(state).items():
            yield _charged(state, one, of)
            yield Step("placed", one, {"firing": thing})
    one = request.args.get("charge", "")
    if page == "out" and one not in fire.charges and one in placeable(state):
        yield Step("placed", one, {"firing": thing})
    if fire.lit_at is None and (page in LIT_PAGES or then in ("lit", "off")):
        yield Step("lit", thing, {"deviations": []})
    if then == "off" and fire.off is None:
        yield Step("fire.off", thing, {"reason": "reached"})


def _of_charge(thing: str) -> Iterator[Step]:
    state = bench().state
    of = all_kept_free(state).get(thing)
    if of is not None:
        yield _charged(state, thing, of)
    then = request.args.get("then")
    if then not in ("out", "cool"):
        return
    view = charge(state, thing)
    stay = view.stay if view is not None else None
    where = stay.firing if stay is not None else next(iter(open_fires(state)), None)
    if where is None:
        return
    fire = firing(state, where)
    if stay is None:
        yield Step("placed", thing, {"firing": where})
    if fire is not None and fire.lit_at is None:
        yield Step("lit", where, {"deviations": []})
    if stay is None or stay.came_out is None:
        yield Step("came.out", thing, {"firing": where, "charge": thing})
    if then == "cool":
        yield Step("touched", thing, {"thing": thing, "surface_c": COLD_C})


def placeable(state: State) -> list[str]:
    """The newest charges that a firing may still be given, or another one than they have."""
    found = [charge(state, one) for one in state.open_things("charge")[-MOST_PLACED:]]
    return [one.id for one in found if one is not None and one.state in ("damp", "dry", "placed")]


def open_fires(state: State) -> list[str]:
    """The firings that a charge can still be placed in, the newest first. Their readings are not asked for."""
    found = reversed(state.open_things("firing"))
    return [one for one in found if not state.own(one, "closed") and fire_off(state, one) is None]
