"""Every address of the bench that can be opened, filled with the things that the records hold."""

from collections.abc import Iterator
from itertools import product

from flask import Flask
from werkzeug.routing import AnyConverter, Rule

from bench.records.state import State
from bench.screens.house.gallery import SHEETS
from bench.serving.onboarding import SYSTEMS
from bench.workshop.things.batches import batch

Value = str | int
SORTS = {"weigh": "jar", "known": "batch"}
"""The sort of thing that an address is about, where its first part does not name it."""
NO_PAGES = frozenset(
    {"static", "installable.worker", "installable.manifest", "installable.icon", "trust.certificate", "trust.profile"}
    | {
        "timers.calendar",
        "taking.everything",
        "taking.table",
        "taking.schema",
        "taking.crate",
        "attaching.hand_out",
        "wanted.held",
    }
    | {"showing.sheet", "showing.sheet_picture"}
)
"""Files and downloads, each with tests of its own."""
NOT_HERE = frozenset({"trust.by_address"} | {"borrowed.workshop", "borrowed.batch", "borrowed.picture"})
"""What is open on the network's doors only; and what other workshops share, which takes a hub."""


def addresses(app: Flask) -> dict[str, list[str]]:
    """Every address that GET answers, by the name of its view: one for each thing that it can show.

    A rule that nobody has told how to fill is an error, so that no new screen is forgotten here.
    """
    found: dict[str, list[str]] = {}
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if "GET" in (rule.methods or ()) and rule.endpoint not in NO_PAGES | NOT_HERE:
                paths = list(dict.fromkeys(_filled(app, rule)))
                assert paths, f"the records hold nothing that {rule} could show"
                found[rule.endpoint] = paths
    return found


def few(paths: list[str], most: int = 2) -> list[str]:
    """The first, the last and those between, at most so many."""
    step = (len(paths) - 1) / max(1, most - 1)
    return list(dict.fromkeys(paths[round(step * n)] for n in range(most)))


def _filled(app: Flask, rule: Rule) -> Iterator[str]:
    state = app.extensions["bench"].state
    build = app.url_map.bind("localhost").build
    if rule.endpoint.startswith("correct."):
        yield from (build(rule.endpoint, dict(told)) for told in _one_of_each(state))
        return
    names = sorted(rule.arguments)
    for values in product(*(_values(app, rule, name) for name in names)):
        told = dict(zip(names, values, strict=True))
        thing = str(told.get("thing", ""))
        if "thing" in told and "what" in told and state.kind_of.get(thing) != told["what"]:
            continue
        view = batch(state, thing) if "number" in told else None
        if view is not None and told["number"] not in [line.plan.line for line in view.lines]:
            continue
        yield build(rule.endpoint, told) + _asked(rule.endpoint, state)


def _values(app: Flask, rule: Rule, name: str) -> list[Value]:
    library, state = app.extensions["bench"].library, app.extensions["bench"].state
    parts = str(rule).split("/")
    if isinstance(one_of := rule._converters[name], AnyConverter):
        return sorted(one_of.items)
    if name == "thing":
        sort = {"record": parts[3], "series": "series"}.get(parts[2], parts[1]) if parts[1] == "print" else parts[1]
        return _things(state, SORTS.get(sort, sort))
    if name == "slug":
        rows = {"target": library.targets, "reagent": library.reagents, "card": library.hazards, "ware": library.ware}
        return sorted(rows[parts[2]])
    told: dict[str, list[Value]] = {
        "number": [1, 2, 3, 4],
        "phase": ["before-lighting", "firing", "before-opening", "after-shutdown"],
        "sheet": list(SHEETS),
        "system": list(SYSTEMS),
        "series": state.things("series"),
        "record": [r.id for r in state.records.values() if r.kind == "timer.set"],
        "photo": sorted(r.data["photo"] for r in state.records.values() if r.kind == "photo.kept"),
    }
    return told[name]


def _things(state: State, sort: str) -> list[Value]:
    """The things of a sort; of every sort where the address takes any."""
    sorts = {"furnace": ("furnace", "burner"), "sheet": ("batch", "firing"), "print": ("batch", "firing")}
    chosen = sorted(state.of_kind) if sort == "thing" else sorts.get(sort, (sort,))
    return [one for what in chosen for one in state.things(what)]


def _asked(endpoint: str, state: State) -> str:
    """What an address needs behind its question mark to show anything."""
    if endpoint == "printing.tags":
        return "?" + "&".join(f"code={state.code_of(one)}" for one in state.things("crucible"))
    if endpoint == "labelling.labels":
        things = [one for what in ("jar", "pigment", "waste") for one in state.things(what)]
        return "?" + "&".join(f"thing={one}" for one in things)
    return "?other=1" if endpoint == "firing.ask_reading" else ""


def _one_of_each(state: State) -> list[dict[str, str]]:
    """A record of each kind, with the thing that it is about."""
    seen: dict[str, dict[str, str]] = {}
    for record in state.records.values():
        if state.exists(record.subject):
            seen.setdefault(record.kind, {"thing": record.subject, "record": record.id})
    return [seen[kind] for kind in sorted(seen)]
