"""Batches: all that were ever planned, the newest first, with what came of each; and one search over all one's own."""

from dataclasses import dataclass

from flask import Blueprint, Response, request

from bench.reference.search import near_text, search, words_of
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.known.known import PATHS
from bench.screens.powders.powder import VERDICT_WORDS
from bench.web.current import current_bench
from bench.web.forms import blank
from bench.web.page import code_text, page
from bench.web.paging import A_PAGE, paged
from bench.web.words import _
from bench.workshop.batch_list import OUTCOMES, Found, fits, found
from bench.workshop.next_steps import batch_step

blueprint = Blueprint("batches", __name__)

MOST_TYPED = 120
MOST_LOOKED_AT = 1000
"""Of so many batches, the newest, what came of them is looked at for a choice or a search."""
OTHERS = ("jar", "crucible", "firing", "furnace", "series", "waste")
MOST_OTHERS, MOST_KNOWN = 12, 8
STATES = {"open": _("Open"), "kept": _("Kept"), "failed": _("Failed"), "closed": _("Closed")}


@dataclass(frozen=True)
class Row:
    """A batch as the list shows it."""

    path: str
    name: str
    said: str
    when: str
    outcome: str
    fill: str | None
    photo: str | None


@blueprint.get("/batches")
def home() -> Response:
    """The list, a choice of it, or what fits what was typed."""
    here = current_bench()
    typed = request.args.get("q", "")[:MOST_TYPED]
    show = request.args.get("show", "")
    things = here.state.things("batch")[::-1]
    chosen = things if not typed.strip() and show not in OUTCOMES else _chosen(things[:MOST_LOOKED_AT], typed, show)
    part = paged(chosen, A_PAGE // 2)
    rows = [_row(one) for thing in part.found if (one := found(here.state, thing, here.library)) is not None]
    words = words_of(typed)[:12]
    return page(
        "batches/home.html",
        form=blank(q=typed),
        typed=typed.strip(),
        show=show if show in OUTCOMES else "",
        shows=[("", _("All")), *((one, STATES[one]) for one in OUTCOMES[:3])],
        rows=rows,
        part=part,
        total=len(things),
        others=_others(words) if words else [],
        known=_known(typed) if words else [],
        also=" ".join(words) if words and " ".join(words) != " ".join(typed.casefold().split()) else "",
    )


def _chosen(things: list[str], typed: str, show: str) -> list[str]:
    here = current_bench()
    words = words_of(typed)[:12]
    looked = [(thing, found(here.state, thing, here.library)) for thing in things]
    return [t for t, one in looked if one is not None and (not show or one.outcome == show) and fits(one, words)]


def _row(one: Found) -> Row:
    said = _said(one)
    heat = _("{c:g} °C", c=one.peak_c) if one.peak_c is not None else ""
    # One that was made again bears the same name: its code tells it from the first.
    code = code_text(one.view.code) if one.view.code else ""
    when = " · ".join(each for each in (one.at.strftime("%Y-%m-%d"), heat, code) if each)
    fill = lab_to_srgb_hex(one.lab).hex if one.lab is not None else None
    return Row(f"/batch/{one.view.id}", one.view.name, said, when, one.outcome, fill, one.photo)


def _said(one: Found) -> str:
    """What came of it: the verdict, why it failed, or the next step."""
    if one.outcome == "open":
        following = batch_step(current_bench().state, one.view.id)
        return _("Open: {step}", step=_(following.title).lower()) if following is not None else _("Open")
    verdict = VERDICT_WORDS.get(one.verdict or "", "").rstrip(".")
    state = STATES[one.outcome]
    return ": ".join(
        each for each in (str(state) if one.outcome != "kept" else verdict or str(state), one.words) if each
    )


def _others(words: tuple[str, ...]) -> list[ThingLabel]:
    """Jars, crucibles, firings and other things whose name or code fits."""
    here = current_bench()
    every = (thing_label(t) for sort in OTHERS for t in here.state.things(sort)[::-1][:200])
    fitting = (one for one in every if all(near_text(w, words_of(f"{one.name} {one.code or ''}")) for w in words))
    return [one for one, _n in zip(fitting, range(MOST_OTHERS), strict=False)]


def _known(typed: str) -> list[tuple[str, str, str]]:
    """What the library has: path, name, formula."""
    hits = [hit for hit in search(current_bench().library, typed) if hit.kind in PATHS][:MOST_KNOWN]
    return [(PATHS[hit.kind] + hit.slug, hit.name, pretty(hit.formula)) for hit in hits]
