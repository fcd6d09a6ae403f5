"""The page of anything: its records in order, where it came from, what came of it, flags and disagreements."""

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.records.listed import part_of
from bench.records.moments import to_ms
from bench.records.record import BENCH, Record
from bench.screens.kit.attached import attached_rows
from bench.screens.kit.record_view import describe_record, is_reason, moment_of
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.records.correcting import NOT_CORRECTED
from bench.screens.records.differing import disagreements
from bench.screens.shelf.labels import read_label
from bench.steps.lost import LOSES
from bench.web.current import current_bench
from bench.web.moments import local
from bench.web.page import page
from bench.web.words import _
from bench.workshop.flags import Flag, flags_of
from bench.workshop.lineage import Node, firings_of, offspring, origin, total_lost_g, weighed_lines
from bench.workshop.things.swatches import photos_of

blueprint = Blueprint("thing", __name__)

A_PAGE = 12


@blueprint.get("/thing/<thing>")
def show(thing: str) -> Response:
    """Everything about a thing."""
    here = current_bench()
    lists = records_of(thing)
    total = sum(len(each) for each in lists)
    if not total:
        abort(404)
    start = _start(total)
    tree = origin(here.state, thing)
    return page(
        "thing/show.html",
        called=thing_label(thing) if thing != BENCH else bench_itself(),
        exists=here.state.exists(thing) or thing == BENCH,
        records=[describe_record(one) for one in part_of(lists, start, A_PAGE)],
        start=start,
        total=total,
        a_page=A_PAGE,
        firm=NOT_CORRECTED,
        loses=LOSES,
        flags=[{"say": flag.say, "at": _flag_at(flag)} for flag in flags_of(here.state, thing, here.library)],
        disagreements=disagreements(thing),
        tree=_branch(tree) if tree is not None else None,
        summed=_summed(tree) if tree is not None else None,
        offspring=[thing_label(one) for one in offspring(here.state, thing)],
        photos=photos_of(here.state, thing),
        files=attached_rows(thing),
    )


def records_of(thing: str) -> list[Sequence[Record]]:
    """Every record about a thing, a list a kind, each in order; those of kinds that this bench does not know too."""
    state = current_bench().state
    known = {kind: state.listed(thing, kind) for kind in state.kinds_about(thing)}
    noted = [one for one in known.pop("noted", ()) if not is_reason(one)]
    return [*known.values(), noted, [one for one in state.unknown if one.subject == thing]]


def _start(total: int) -> int:
    typed = request.args.get("from", "")
    start = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 9 else 0
    return min(start, max(0, total - 1)) // A_PAGE * A_PAGE


def bench_itself() -> ThingLabel:
    """How the bench is called where it is the thing: of settings and codes."""
    return ThingLabel(BENCH, None, _("bench"), _("The bench itself"), None, "/settings")


def _flag_at(flag: Flag) -> str:
    """When it was: in the zone of the record that tells it, else in the bench's own."""
    record = current_bench().state.record(flag.record or "")
    if record is not None and record.when == flag.at:
        return moment_of(record)
    return f"{local(to_ms(flag.at), current_bench().zone_min()):%Y-%m-%d %H:%M}" if flag.at is not None else ""


def _branch(node: Node) -> dict[str, Any]:
    """One thing of a lineage with all that it came from, as the page draws it."""
    thing = thing_label(node.thing)
    named = _weighed_name(node.words) if node.what == "line" else thing.name
    return {
        "what": "" if node.what == "line" else thing.what,
        "name": named,
        "code": None if node.what == "line" else thing.code,
        "href": f"/thing/{node.thing}",
        "g": node.g,
        "lost_g": node.lost_g,
        "firings": [thing_label(one) for one in node.firings],
        "sources": [_branch(source) for source in node.sources],
    }


def _weighed_name(words: str) -> str:
    """What was weighed, by the library's name; a formula that several jars share stays a formula."""
    return read_label(words, "", current_bench().library).name


def _summed(tree: Node) -> dict[str, Any]:
    """A lineage in figures: every weighed gram, each firing once, and what was lost."""
    grams: dict[str, float | None] = {}
    for words, g in weighed_lines(tree):
        name = _weighed_name(words)
        before = grams.get(name, 0.0)
        grams[name] = None if g is None or before is None else before + g
    return {
        "lines": list(grams.items()),
        "total": sum(g for g in grams.values() if g is not None),
        "firings": [thing_label(one) for one in firings_of(tree)],
        "lost_g": total_lost_g(tree),
    }
