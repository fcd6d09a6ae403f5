"""The checklists as a phone is told of them: what is asked, in its words, and the lines that are to be kept in mind.

What stands answered is told as facts (`bench/workshop/snapshot.py`), and what waits in the outbox is laid over those.
"""

from collections.abc import Iterable
from typing import Any

from bench.reference.cautions import ASK, DERIVED, REMIND
from bench.screens.kit.checking import Check, checks, lines, of_asked, turned
from bench.web.current import current_bench
from bench.workshop.asked import LATER, MISSING, Asked

LINES = (MISSING, REMIND, DERIVED)
"""In the order in which they stand under a list."""


def lists_told(thing: str, phases: Iterable[str]) -> dict[str, Any]:
    """Each phase of a thing: `asks` in the order of its page, and `lines` with their kind."""
    here = current_bench()
    found = {}
    for phase in phases:
        one = turned(checks(here.state, here.library, phase, thing, here.now()), thing)
        by_kind = lines(one)
        found[phase] = {
            "asks": [_words(check) for check in one if check.kind in (ASK, LATER)],
            "lines": [[kind, check.says] for kind in LINES for check in by_kind[kind]],
        }
    return found


def item_told(asked: Asked) -> dict[str, Any]:
    """One item that a step asks by itself."""
    return _words(of_asked(asked, current_bench().library))


def _words(check: Check) -> dict[str, Any]:
    item = check.item
    told = {
        "slug": check.slug,
        "says": check.says,
        "why": " ".join(filter(None, (item.why, check.ground))),
        "without": check.asked.if_not_done,
        "apart": item.does_not_apply_when,
        "fitting": check.fitting_answers,
    }
    return {name: value for name, value in told.items() if value} | {"holds": list(item.holds)}
