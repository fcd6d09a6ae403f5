"""What this browser recorded last, for the line with *Undo* on the pages of that thing, and what was typed for it."""

from collections import OrderedDict
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any, NamedTuple
from urllib.parse import urlsplit

from flask import current_app, request, session

from bench.records.store import by_order
from bench.web.current import current_bench

SHOWN_MS = 30 * 60_000
"""So long the line is offered, unless the thing is recorded on again before."""
NEW_MS = 2 * 60_000
MOST_CRUMBS, MOST_THINGS = 3, 4
MOST_TYPED, MOST_TYPED_CHARACTERS = 40, 64_000
KEY = "crumbs"
AGAIN = "typed"
"""In an address: the submit whose words stand in the form again."""
OF_THE_PAGE = frozenset({"token", "record_id", "from_page", "do"})


class Crumb(NamedTuple):
    """One submit of this browser: its first record, what it said, when, of which things, and the page of its form."""

    id: str
    say: str
    ms: int
    undone: bool
    things: list[str]
    page: str


def crumbs() -> list[Crumb]:
    """The last submits of this browser, the newest first."""
    try:
        return [Crumb(*one) for one in session.get(KEY, [])]
    except TypeError:
        return []


def recorded_here() -> Crumb | None:
    """What was recorded last of the thing of this page, or from this very page; None where that is long ago.

    It is the last of all records that touch the thing, whoever made it: no older one is taken back from under it.
    """
    args = (request.view_args or {}).values()
    here = {str(one) for one in args} | {request.args.get("charge", "")} - {""}
    recent = [one for one in crumbs() if 0 <= current_bench().now_ms() - one.ms < SHOWN_MS]
    last = [_last_of(thing) for thing in sorted(here)] if recent else []
    return next((one for one in recent if _is_offered(one, here, last)), None)


def _is_offered(one: Crumb, here: set[str], last: list[str]) -> bool:
    age_ms = current_bench().now_ms() - one.ms
    asked = request.args.get(AGAIN) == one.id or _from_here(one, age_ms)
    if one.undone:
        return asked or bool(here & set(one.things))
    return any(_is_of(one, each) for each in last) or (
        asked and any(_is_of(one, _last_of(thing)) for thing in one.things[:1])
    )


def _is_of(one: Crumb, record_id: str) -> bool:
    """Whether a record is of this submit: its records share the time of their ids (`ids.derived`)."""
    return record_id[:10] == one.id[:10]


def _last_of(thing: str) -> str:
    """The id of the last standing record that touches a thing, or nothing."""
    state = current_bench().state
    with state.unnoticed():
        lists = [state.listed(thing, kind).newest_first() for kind in state.kinds_about(thing)]
        standing = [one for rows in lists for one in islice((each for each in rows if state.is_effective(each.id)), 1)]
    return max(standing, key=by_order).id if standing else ""


def _from_here(one: Crumb, age_ms: int) -> bool:
    """Whether its form is this page, or for the first minutes one of this list."""
    page = urlsplit(one.page).path
    return request.path == page or (age_ms < NEW_MS and request.path != "/" and page.startswith(request.path + "/"))


def remember(ids: Sequence[str], say: str, *, things: Iterable[str] = (), page: str = "", undone: bool = False) -> None:
    """Keep in this browser's cookie what was recorded last; the other records of a submit follow from its first."""
    about = list(dict.fromkeys(one for one in things if one))[:MOST_THINGS]
    crumb = Crumb(ids[0], say[:120], current_bench().now_ms(), undone, about, page[:200])
    others = [one for one in crumbs() if one.id != crumb.id and not set(one.things) & set(about)]
    session[KEY] = [list(one) for one in [crumb, *others][:MOST_CRUMBS]]


def keep_typed(first: str, typed: Mapping[str, str]) -> None:
    """Hold what was typed for something new for a while, in memory alone, so that *Undo* can give it back."""
    kept = {name: value for name, value in typed.items() if name not in OF_THE_PAGE and value}
    if sum(map(len, kept.values())) <= MOST_TYPED_CHARACTERS:
        held = _held()
        held[first] = kept
        while len(held) > MOST_TYPED:
            held.popitem(last=False)


def typed_again() -> dict[str, str]:
    """What an address asks to stand in its form again; nothing where that was long ago."""
    return dict(_held().get(request.args.get(AGAIN, ""), {}))


def is_held(first: str) -> bool:
    """Whether what was typed for a submit can still be given back."""
    return first in _held()


def _held() -> OrderedDict[str, dict[str, str]]:
    held: Any = current_app.extensions.setdefault("typed", OrderedDict())
    found: OrderedDict[str, dict[str, str]] = held
    return found
