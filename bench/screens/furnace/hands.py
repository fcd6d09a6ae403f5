"""Hands full: one touch a crucible as it comes out, in the order of unloading. Which was which is checked later."""

from typing import NamedTuple

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.records.record import Record
from bench.screens.furnace.firing_view import inside
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.loading.charge import COOLINGS
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.moments import clock_text
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing
from bench.workshop.unloading import HOT, NextOut, unloading

blueprint = Blueprint("hands", __name__)


class Row(NamedTuple):
    """One crucible in the order: what it is, how it cools, why it stays in if it does, and what stands by its code."""

    charge: str
    what: ThingLabel
    cooling: str
    why: str
    words: str


@blueprint.get("/firing/<thing>/hands")
def show(thing: str) -> Response:
    """The next crucible in large letters; a touch anywhere records it as out."""
    fire = firing_or_404(thing)
    here = current_bench()
    turns = unloading(here.state, fire, here.library)
    rows = [_row(one) for one in turns]
    out = [one for one in inside(fire) if one.out]
    parts = [part for one in turns for part in charge_parts(here.state, one.charge.id)]
    return page(
        "firing/hands.html",
        fire=fire,
        rows=[one for one in rows if not one.why],
        staying=[one for one in rows if one.why],
        out=out,
        to_check=len(unchecked(fire)),
        furnace_c=fire.proved_c if fire.burning else None,
        foot=cautions("open", parts),
    )


def _row(turn: NextOut) -> Row:
    what = thing_label(turn.charge.id)
    why = " ".join(dict.fromkeys(_(one.say) for one in turn.against))
    mode = turn.charge.cooling_mode
    words = ", ".join([what.name, *([COOLINGS[mode]] if mode in HOT else [])])
    return Row(turn.charge.id, what, COOLINGS[mode], why, words)


def unchecked(fire: Firing) -> list[Record]:
    """What came out of this firing and was taken for one of its charges, oldest first, until its tag is checked."""
    state = current_bench().state
    found = [r for one in fire.charges for r in state.own(one, "came.out") if r.body.firing == fire.id]
    return sorted((r for r in found if r.body.unconfirmed), key=lambda r: (r.when, r.id))


@blueprint.get("/firing/<thing>/checked")
def ask(thing: str) -> Response:
    """The first that was not checked yet: scan the tag of the one that came out then."""
    return _ask(firing_or_404(thing), blank())


def _ask(fire: Firing, form: Form) -> Response:
    left = unchecked(fire)
    rows = [(thing_label(r.subject), clock_text(to_ms(r.when), current_bench().zone_min())) for r in left]
    return page("firing/checked.html", form=form, fire=fire, rows=rows, first=left[0] if left else None)


@blueprint.post("/firing/<thing>/checked")
def keep(thing: str) -> Response:
    """Confirm the crucible whose tag was scanned, or give it the time of the one that it was taken for."""
    fire, form = firing_or_404(thing), read_form()
    if current_bench().state.record(form.record_id) is not None:
        return go("hands.ask", thing=thing)
    left = unchecked(fire)
    code = form.code("code")
    asked = next((r for r in left if r.id == form.typed.get("out")), None)
    if asked is None:
        form.refuse(_("This one was checked already. Go on with the next."))
    entries = _entries(form, fire, left, asked, code) if code is not None and asked is not None else []
    if form.ok and entries and record_all(entries, form=form, say=_("{code} checked", code=code_text(code))):
        return go("hands.ask", thing=thing)
    return _ask(fire, form)


def _entries(form: Form, fire: Firing, left: list[Record], asked: Record, code: str) -> list[Entry]:
    state = current_bench().state
    views = [view for view in (charge(state, one) for one in fire.charges) if view is not None]
    scanned = next((view for view in views if view.crucible_code == code), None)
    if scanned is None:
        form.refuse(_("No crucible with this code belongs to this firing."), "code")
        return []
    if scanned.id == asked.subject:
        return [_out(asked, asked, True)]
    own = next((r for r in left if r.subject == scanned.id), None)
    if own is not None:
        return [_out(own, asked, True), _out(asked, own, False)]
    if all(one.out for one in inside(fire) if one.charge == scanned.id):
        form.refuse(_("This crucible is checked already. Look at the tag again."), "code")
        return []
    return _was_in(form, asked, scanned.id)


def _was_in(form: Form, asked: Record, scanned: str) -> list[Entry]:
    """The scanned one counts as in still: then the one that it was taken for is in, once that is said."""
    if not form.flag("other_in"):
        form.refuse(_("This crucible is recorded as still in. Tick below if the other one is."), "code")
        return []
    data = {"firing": asked.body.firing, "charge": scanned, "rest_place": asked.body.rest_place}
    also = {"firing": asked.body.firing}
    why = _("another crucible came out then")
    return [
        Entry("came.out", scanned, data, also=also, happened_ms=to_ms(asked.when)),
        Entry("withdrawn", asked.subject, {"ids": [asked.id], "why": why}),
    ]


def _out(own: Record, at: Record, sure: bool) -> Entry:
    """The coming out of one charge, corrected to when another record has it; `sure` where its tag was read."""
    data = {"firing": own.body.firing, "charge": own.subject, "rest_place": at.body.rest_place}
    if not sure:
        data["unconfirmed"] = True
    also = {"firing": own.body.firing}
    return Entry("came.out", own.subject, data, also=also, corrects=[own.id], happened_ms=to_ms(at.when))
