"""Records that disagree: what they say alike once, and side by side what differs."""

from collections.abc import Sequence
from typing import Any

from bench.journal.receipts import Conflict
from bench.records.record import Record
from bench.records.references import referenced_ids
from bench.screens.kit.field_words import kind_words
from bench.screens.kit.record_view import Facts, RecordView, describe_record
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.words import _


def disagreements(thing: str) -> list[dict[str, Any]]:
    """Every slot in which records differ, every id that two records claim, every code that two things bear."""
    here = current_bench()
    found = []
    for slot in here.state.disagreements(thing):
        say = _("Records disagree: {kind}", kind=kind_words(slot.heads[0].kind))
        found.append(_differ(thing, slot.heads, say))
    for one in here.journal.conflicts:
        if thing in _about(one):
            say = _("Two versions of one record: {kind}", kind=kind_words(one.records[0].kind))
            found.append(_differ(thing, one.records, say))
    code = here.state.code_of(thing)
    if code is not None and len(here.state.things_with(code)) > 1:
        others = [thing_label(one) for one in here.state.things_with(code)]
        sides = [{"value": one.name, "who": one.what, "when": code} for one in others]
        found.append({"say": _("One code on {n} things", n=len(others)), "sides": sides, "href": f"/find?code={code}"})
    return found


def _about(conflict: Conflict) -> set[str]:
    return {thing for record in conflict.records for thing in referenced_ids(record)}


def _differ(thing: str, records: Sequence[Record], say: str) -> dict[str, Any]:
    views = [describe_record(one) for one in records]
    alike, sides = side_by_side(views)
    return {
        "say": say,
        "about": alike[0][1] if alike else "",
        "sides": sides,
        "href": f"/thing/{thing}/correct/{records[0].id}",
    }


def side_by_side(views: Sequence[RecordView]) -> tuple[Facts, list[dict[str, str]]]:
    """What all records say, and of each what the others do not: one value with its name, or all on one line."""
    alike = [fact for fact in views[0].facts if all(fact in one.facts for one in views)]
    apart = [[fact for fact in one.facts if fact not in alike] for one in views]
    one_value = {tuple(name for name, _value in facts) for facts in apart}
    short = len(one_value) == 1 and len(apart[0]) == 1
    return alike, [_side(view, facts, short) for view, facts in zip(views, apart, strict=True)]


def _side(view: RecordView, facts: Facts, short: bool) -> dict[str, str]:
    line = " · ".join(f"{name} {value}" for name, value in facts)
    told = {"name": facts[0][0], "value": facts[0][1]} if short else {"name": "", "value": line or view.title}
    return told | {"who": view.device, "when": view.at}
