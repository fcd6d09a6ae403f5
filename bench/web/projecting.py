"""Pages for steps of a fire whose turn has not come: a phone takes them along, and finds the next one out there.

Only while a phone takes pages in, a page is drawn from a state in which the steps before it are done too. What is not a
fire's page the phone draws itself (`bench/screens/phone/drawn.py`).
"""

from collections.abc import Iterator
from dataclasses import replace

from flask import Flask, g, request

from bench.records.projected import Step, imagined
from bench.web.channel import device
from bench.web.current import bench
from bench.workshop.things.firings import firing

HEADER = "X-Bench-Pin"
LIT_PAGES = ("reading", "timer", "note", "off", "watch")


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
    if not isinstance(thing, str) or first != "firing":
        return
    steps = list(_of_firing(thing, rest.partition("/")[2]))
    if steps:
        here = bench()
        g.ahead = True
        g.bench = replace(here, ahead=imagined(here.state, steps, here.now_ms()))


def _of_firing(thing: str, page: str) -> Iterator[Step]:
    fire = firing(bench().state, thing)
    if fire is None or fire.closed:
        return
    then = request.args.get("then")
    if fire.lit_at is None and (page in LIT_PAGES or then in ("lit", "off")):
        yield Step("lit", thing, {"deviations": []})
    if then == "off" and fire.off is None:
        yield Step("fire.off", thing, {"reason": "reached"})
