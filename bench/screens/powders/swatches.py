"""Swatches side by side, by the factor that was changed; what differs between any two, and what to try next."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning import reckon
from bench.records.kinds import BatchPlanned, SeriesPlanned, SwatchMeasured
from bench.science.colour import JUST_SEEN_DE, lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.screens.kit.thing_label import pigment_name, thing_label
from bench.screens.planning.again_plan import takes_level
from bench.screens.powders.powder import VERDICT_WORDS
from bench.web.current import current_bench
from bench.web.drawing import Gauge, gauge
from bench.web.page import code_text, page
from bench.web.paging import paged
from bench.web.words import _
from bench.workshop.comparing import UNSAID, differences, direction, swatch_differences
from bench.workshop.share_changes import is_share
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.swatches import Swatch, photos_of, swatch
from bench.workshop.trying import next_tries

blueprint = Blueprint("swatches", __name__)

WIDEST_DE = 8.0
NO_SERIES = "~"
INCIDENTAL = ("place", "tier", "in the crucible", "out after the fire")
"""What always differs a little between two crucibles of one load, and is seldom meant."""


@dataclass(frozen=True)
class Tile:
    """One swatch on the mat, with what the mat's macro asks for. `series` is its series' id; `sort` its place there."""

    id: str
    masstone: str
    tint: str | None
    name: str
    unit: str
    say: str
    picked: bool
    series: str
    sort: tuple[int, float, str]
    code: str | None
    second: str
    photo: str | None = None


@dataclass(frozen=True)
class Group:
    """The swatches of one series, in the order of its levels."""

    title: str
    under: str
    tiles: list[Tile]


@dataclass(frozen=True)
class Compared:
    """Two swatches: how far apart their colours lie, and what differs in how they were made.

    `only` is the one thing that differed on purpose, where it was one. `say` is the verdict on the colours, or why
    there is none; `direction` how the second stands to the first.
    """

    names: tuple[str, str]
    de00: float | None
    uncertainty: float | None
    drawn: Gauge | None
    say: str
    direction: str
    working: list[Any]
    labs: list[tuple[str, SwatchMeasured]]
    paint: list[tuple[str, str, str]]
    differs: list[tuple[str, str, str]]
    incidental: list[tuple[str, str, str]]
    unsaid: list[tuple[str, str, str]]
    photos: list[tuple[str, str]]


@blueprint.get("/swatches")
def home() -> Response:
    """All swatches on the mat, and the two that were picked."""
    here = current_bench()
    part = paged(here.state.things("swatch")[::-1])
    found = [s for s in (swatch(here.state, t) for t in reversed(part.found)) if s is not None]
    picked = [s for s in found if request.args.get(f"pick.{s.id}")]
    tiles = [_tile(one, found, one in picked) for one in found]
    two = picked if len(picked) == 2 else []
    tries = next_tries(here.state, two[1].made.pigment, here.library) if two else ()
    return page(
        "swatch/home.html",
        groups=_groups([t for t in tiles if t is not None]),
        part=part,
        picked=len(picked),
        compared=_compared(two[0], two[1]) if two else None,
        tries=tries,
        doses=[one for one in tries if one.level is not None and takes_level(two[1].made.pigment)],
        powder=two[1].made.pigment if two else None,
        batch=_batch(two[1]) if two else None,
    )


def _tile(one: Swatch, others: list[Swatch], picked: bool) -> Tile | None:
    """A swatch on the mat; a tint lies under the masstone of its powder, and has no tile of its own where it does."""
    tints = [s for s in others if s.made.pigment == one.made.pigment and s.made.white_per_pigment and s.measured]
    alone = not any(s.made.pigment == one.made.pigment and not s.made.white_per_pigment for s in others)
    is_tint = bool(one.made.white_per_pigment)
    if is_tint and not alone and not picked:
        return None
    plan = _plan(one)
    level = plan.level if plan is not None else None
    number = float(level) if isinstance(level, int | float) and not isinstance(level, bool) else None
    name = pigment_name(one.made.pigment) or _("Swatch")
    words = name if one.measured else _("{name}, not measured", name=name)
    return Tile(
        id=one.id,
        masstone=_fill(one),
        tint=_fill(tints[-1]) if tints and not is_tint else None,
        name=f"{number:g}" if number is not None else str(level or _short(one)),
        unit="" if one.measured else " ?",
        say=_("{name}, tint", name=words) if is_tint else words,
        picked=picked,
        series=(plan.series if plan is not None else None) or NO_SERIES,
        sort=(0, number, "") if number is not None else (1, 0.0, name),
        code=one.code,
        second=_verdict(one),
        photo=next(iter(one.photos[::-1]), None) if not one.measured else None,
    )


def _short(one: Swatch) -> str:
    return one.code[:3] if one.code else "?"


def _verdict(one: Swatch) -> str:
    judged = current_bench().state.by_time(one.made.pigment, "judged")
    if not judged:
        return ""
    return " ".join(str(one) for one in (VERDICT_WORDS.get(judged[-1].body.verdict, ""), judged[-1].body.words) if one)


def _fill(one: Swatch) -> str:
    """Its colour; empty where it is not measured."""
    return lab_to_srgb_hex(one.colour.lab).hex if one.colour is not None else ""


def _batch(one: Swatch) -> str | None:
    """The first batch of a swatch's powder."""
    state = current_bench().state
    batches = [b for c in earlier_charges(state, one.made.pigment) for b in batches_of(state, c)]
    return batches[0] if batches else None


def _plan(one: Swatch) -> BatchPlanned | None:
    batch = _batch(one)
    found: BatchPlanned | None = current_bench().state.slot(batch, "batch.planned").body if batch else None
    return found


def _groups(tiles: list[Tile]) -> list[Group]:
    """One group a series, the newest first; then those that belong to none."""
    state = current_bench().state
    found: dict[str, list[Tile]] = {}
    for tile in tiles:
        found.setdefault(tile.series, []).append(tile)
    groups = []
    for series in sorted((s for s in found if s != NO_SERIES), reverse=True):
        plan: SeriesPlanned | None = state.slot(series, "series.planned").body
        title = plan.factor if plan is not None else _("A series")
        groups.append(Group(title, plan.unit or "" if plan is not None else "", _sorted(found[series])))
    if NO_SERIES in found:
        groups.append(Group(_("By themselves"), "", _sorted(found[NO_SERIES])))
    return groups


def _sorted(tiles: list[Tile]) -> list[Tile]:
    return sorted(tiles, key=lambda tile: tile.sort)


def _compared(first: Swatch, second: Swatch) -> Compared:
    here = current_bench()
    told = _colours(first, second)
    told_apart = differences(here.state, first.made.pigment, second.made.pigment)
    rows = [(_pretty(name), one, two) for name, one, two in told_apart]
    names = (_named(first), _named(second))
    labs = [(name, s.colour) for name, s in zip(names, (first, second), strict=True) if s.colour is not None]
    de00, uncertainty = told.get("de00"), told.get("uncertainty")
    return Compared(
        names=names,
        de00=de00,
        uncertainty=uncertainty,
        drawn=_drawn(de00, uncertainty) if de00 is not None else None,
        say=told.get("say") or _("One of them is not measured, so no difference can be shown."),
        direction=_direction(names[1], first, second) if told else "",
        working=told.get("working", []),
        labs=labs,
        paint=swatch_differences(here.state, first.id, second.id),
        differs=[row for row in rows if row[0] not in INCIDENTAL and not _unsaid(row)],
        incidental=[row for row in rows if row[0] in INCIDENTAL],
        unsaid=[row for row in rows if row[0] not in INCIDENTAL and _unsaid(row)],
        photos=[(photo, name) for s, name in zip((first, second), names, strict=True) for photo in _photo(s)],
    )


def _unsaid(row: tuple[str, str, str]) -> bool:
    """Whether something was recorded of one alone: it may have been so with the other too. A missing reagent counts."""
    return not is_share(row[0]) and any(words in UNSAID for words in row[1:])


def _pretty(name: str) -> str:
    """The name of a fact with the subscripts of its formula, where it begins with one."""
    formula, comma, rest = name.partition(", ")
    return f"{pretty(formula)}{comma}{rest}" if comma else name


def _photo(one: Swatch) -> tuple[str, ...]:
    return photos_of(current_bench().state, one.id)[-1:]


def _named(one: Swatch) -> str:
    name = thing_label(one.id).name or _("Swatch")
    tint = _(", tint") if one.made.white_per_pigment else ""
    return f"{name}{tint}{f' ({code_text(one.code)})' if one.code and not _plan(one) else ''}"


def _colours(first: Swatch, second: Swatch) -> dict[str, Any]:
    one, two = first.colour, second.colour
    if one is None or two is None:
        return {}
    ask: dict[str, Any] = {"lab1": list(one.lab), "lab2": list(two.lab)}
    ask |= {name: list(m.se) for name, m in (("se1", one), ("se2", two)) if m.se}
    return reckon("colour-difference", ask, current_bench().library)


def _drawn(de00: float, uncertainty: float | None) -> Gauge:
    """The difference on a scale whose band is what most eyes do not see."""
    top = max(WIDEST_DE, 5 * (int((de00 + (uncertainty or 0.0)) / 5) + 1.0))
    words = _("unseen")
    return gauge(0.0, JUST_SEEN_DE, value=de00, plus_minus=uncertainty, reach=(0.0, top), band_words=words)


def _direction(name: str, first: Swatch, second: Swatch) -> str:
    one, two = first.colour, second.colour
    words = direction(one.lab, two.lab, one.se, two.se) if one is not None and two is not None else []
    return _("{name} is {words}.", name=name, words=", ".join(words)) if words else ""
