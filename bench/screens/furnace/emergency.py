"""Emergency: what to do now, and afterwards what happened. It looks like instructions, because it stops no machine."""

from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import emergency_lines
from bench.records.record import BENCH
from bench.science.element_names import ELEMENT_NAMES
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.load_gas import load_gas
from bench.workshop.things.crucibles import charge_elements, charge_unread
from bench.workshop.things.firings import Firing, firing

blueprint = Blueprint("emergency", __name__)

DIAL = "0123456789+*#"
NOTHING_TO_NAME = frozenset(["H", "C", "N", "O"])
"""Elements that stand for no metal or halogen: what they make when fired is named as a gas."""


def burning() -> list[Firing]:
    """The fires that are lit now."""
    state = current_bench().state
    found = [firing(state, t) for t in state.open_things("firing")]
    return [f for f in found if f is not None and f.burning]


@blueprint.get("/emergency")
def show() -> Response:
    """What to do now."""
    here = current_bench()
    state, fires = here.state, burning()
    fuels = {f.furnace.fuel for f in fires if f.furnace is not None}
    number, poison = state.setting("emergency_number"), state.setting("poison_number")
    return page(
        "emergency/show.html",
        items=here.library.phase_items("emergency", fuels.pop() if len(fuels) == 1 else "any"),
        lines=emergency_lines(number, poison),
        fires=fires,
        names=to_name(fires),
        number=number,
        dial=dialled(number),
    )


def dialled(number: Any) -> str:
    """A number as a phone dials it; empty where it holds none. What stands in words behind it is left out."""
    said = str(number or "")
    head = said.split("(")[0]
    return "".join(c for c in head if c in DIAL)


def to_name(fires: list[Firing]) -> list[str]:
    """What to name when calling: the gases that the burning loads give off, and the elements that are in them."""
    here = current_bench()
    gases = sorted({gas for f in fires for gas in load_gas(here.state, f.charges, here.library).harmful})
    charges = [c for f in fires for c in f.charges]
    held = {e for c in charges for e in charge_elements(here.state, c)} - NOTHING_TO_NAME
    unread = sorted({text for c in charges for text in charge_unread(here.state, c)})
    return [*gases, *sorted(ELEMENT_NAMES[e] for e in held), *unread]


@blueprint.get("/emergency/after")
def ask_after() -> Response:
    """Afterwards: what happened, and whether a fire was put out for it."""
    return _ask_after(blank())


def _ask_after(form: Form) -> Response:
    fires = [(f.id, f"{f.name} {code_text(f.code)}") for f in burning()]
    return page("emergency/after.html", form=form, fires=fires)


@blueprint.post("/emergency/after")
def keep_after() -> Response:
    """Keep what happened: the words, and the fire that was put out."""
    form = read_form()
    state = current_bench().state
    known = [f.id for f in burning()] + (
        [form.typed.get("off", "")] if state.record(form.record_id) is not None else []
    )
    off = form.choice("off", known, required=False)
    words = form.text("words", max_len=2000, required=True, lines=True)
    if form.ok and words is not None:
        entries = [Entry("noted", off or BENCH, {"what": "words", "value": _("Emergency: {words}", words=words)})]
        if off is not None:
            entries.insert(0, Entry("fire.off", off, {"reason": "emergency", "words": words[:400]}))
        if record_all(entries, form=form, say=_("What happened is saved")):
            return go("firing.show", thing=off) if off is not None else go("today.home")
    return _ask_after(form)
