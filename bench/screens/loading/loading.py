"""What goes into a crucible: the batch or the powder it comes from, what else, and what its form says."""

from dataclasses import dataclass, replace
from typing import Any

from bench.reckoning.rules import Part
from bench.records.kinds import Source
from bench.records.schema import Ulid
from bench.records.state import State
from bench.screens.kit.declared import read_field
from bench.screens.kit.thing_label import pigment_name
from bench.steps.load import STEP
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.page import grams
from bench.web.words import _
from bench.workshop.parts import source_parts
from bench.workshop.things.batches import DRY_MEDIA, Batch, batch, masses_since, wets
from bench.workshop.things.charges import powder_is_damp
from bench.workshop.things.crucibles import Crucible, crucible
from bench.workshop.things.pigments import pigment

MORE_ROWS = 3
OVER = 1.01
"""A filling may take this much more than is reckoned to be left, for what stuck to a spoon before (project default)."""
SLACK_G = 0.05
LEAST_DRIED, CLEARLY_LESS = 0.4, 0.99
"""Between these shares of what was weighed, a mass of the dish tells that water of crystals left (project default)."""
SORTS = ("batch", "pigment", "jar")


@dataclass(frozen=True)
class Main:
    """What a crucible is filled from first of all: a batch, or a fired powder for its next fire. Masses in grams."""

    sort: str
    id: str
    name: str
    code: str | None
    left_g: float | None
    damp: bool
    wet: bool
    path: str
    home: str
    closed: bool = False
    dried_g: float | None = None
    """What all of it weighed when it was dry, where that is clearly less: the water of its crystals left it."""

    def parts(self, g: float | None) -> list[Part]:
        """What it is made of, with the grams of each in so many grams of it."""
        found = source_parts(current_bench().state, (_source(self.sort, self.id, g or 1.0),))
        return [part for part in found if part.role == "line"]


def of_batch(state: State, thing: str) -> Main | None:
    """A batch to fill from, or None where there is none."""
    view = batch(state, thing)
    if view is None or not state.exists(thing):
        return None
    mixed = state.by_time(thing, "mixed")
    wet = bool(mixed) and mixed[-1].body.medium not in DRY_MEDIA and view.damp
    home = f"/batch/{thing}"
    closed = view.state in ("closed", "failed")
    dried_g = _dried_g(state, view)
    return Main(
        "batch", thing, view.name, view.code, view.left_g, view.damp, wet, f"{home}/load", home, closed, dried_g
    )


def _dried_g(state: State, view: Batch) -> float | None:
    wetted = [r for r in state.by_time(view.id, "mixed") if wets(r)]
    masses = masses_since(state, view.id, wetted[-1] if wetted else None)
    if view.damp or view.loaded_g or view.lost_g or not masses or not view.weighed_g:
        return None
    g: float = masses[-1].body.mass_g
    return g if LEAST_DRIED < g / view.weighed_g < CLEARLY_LESS else None


def of_pigment(state: State, thing: str) -> Main | None:
    """A fired powder for its next fire, or None where there is none."""
    view = pigment(state, thing)
    if view is None:
        return None
    name = pigment_name(thing) or _("Powder")
    home = f"/pigment/{thing}"
    damp = powder_is_damp(state, thing)
    return Main("pigment", thing, name, view.code, view.left_g, damp, damp, f"{home}/refire", home)


@dataclass(frozen=True)
class Filled:
    """A filling as read. Masses in grams."""

    vessel: Crucible
    sources: tuple[Source, ...]
    lid: str
    wet_g: float | None
    gross_g: float | None
    packing: str | None

    def data(self) -> dict[str, Any]:
        """The data of its record."""
        sources = [{k: v for k, v in vars(one).items() if v is not None} for one in self.sources]
        return {
            "crucible": self.vessel.id,
            "sources": sources,
            "lid": self.lid,
            "wet_g": self.wet_g,
            "gross_g": self.gross_g,
            "packing": self.packing,
        }


def read_filling(form: Form, main: Main) -> Filled | None:
    """What the form says, or None where something was refused beside its field."""
    vessel = read_crucible(form)
    lid = read_field(form, STEP.field("lid"), required=True)
    wet, gross, packing = (read_field(form, STEP.field(one), False) for one in ("wet_g", "gross_g", "packing"))
    left = _left_g(form, main)
    g = _main_g(form, left, vessel, wet, gross)
    more = [one for one in (_more(form, n) for n in range(MORE_ROWS)) if one is not None]
    if g is not None and left is not None and form.happened_ms is None and g > left * OVER + SLACK_G:
        form.refuse(_("Only {g} g are left.", g=grams(max(left, 0.0))), "g")
    if not form.ok or vessel is None or lid is None or g is None:
        return None
    sources = (_source(main.sort, main.id, g), *more)
    _weigh_again(form, vessel, gross, wet, sum(one.g for one in sources))
    return Filled(vessel, sources, lid, wet, gross, packing) if form.ok else None


def _left_g(form: Form, main: Main) -> float | None:
    """What is left of it, as if this very submit had not been recorded yet."""
    if main.left_g is None:
        return None
    own = current_bench().state.slot(form.record_id, "charged").body
    share = sum(one.g for one in own.sources if main.id in (one.batch, one.pigment)) if own is not None else 0.0
    return main.left_g + share


def _main_g(
    form: Form, left: float | None, vessel: Crucible | None, wet: float | None, gross: float | None
) -> float | None:
    """Grams of it, reckoned dry: as typed, else its share of the paste, else what the balance shows in the crucible."""
    typed: float | None = read_field(form, STEP.field("g"), required=False)
    paste: float | None = read_field(form, STEP.field("paste_g"), required=False)
    if "g" in form.errors or "paste_g" in form.errors or typed is not None:
        return typed
    if wet is not None and paste is not None and left is not None:
        if wet > paste * OVER:
            form.refuse(_("No more than all of the paste can go in."), "wet_g")
        return round(left * min(wet / paste, 1.0), 3)
    tare = vessel.tare_g if vessel is not None else None
    if wet is None and gross is not None and tare is not None and gross > tare:
        return round(gross - tare, 6)
    form.refuse(_("Type how much goes in."), "g")
    return None


def _weigh_again(form: Form, vessel: Crucible, gross: float | None, wet: float | None, dry: float) -> None:
    """A crucible that weighs otherwise than what is said to be in it: look again, or say that it is so."""
    if gross is None or vessel.tare_g is None or form.flag("gross_sure") or form.happened_ms is not None:
        return
    inside, said = gross - vessel.tare_g, wet if wet is not None else dry
    if abs(inside - said) > max(0.2, 0.05 * said):
        say = _("The balance shows {inside} g inside, but you typed {said} g.",
                inside=grams(inside), said=grams(said))  # fmt: skip
        form.refuse(say + " " + _("Check again, or tick below to confirm."), "gross_g")


def read_crucible(form: Form) -> Crucible | None:
    """The crucible, by the code on it or from the list."""
    state = current_bench().state
    code = form.code("code", required=False)
    listed = form.ulid("crucible", required=False)
    if code is not None:
        things = state.things_with(code)
        found = [one for one in (crucible(state, thing) for thing in things) if one is not None]
        if not found:
            what = (state.sort_of(things[0]) or "thing") if things else None
            say = _("No item has this code. Check it again.")
            form.refuse(_("This is the tag of a {what}, not of a crucible.", what=what) if what else say, "code")
            return None
        if listed is not None and listed != found[0].id:
            form.refuse(_("The code and the list name two crucibles. Clear one of them."), "code")
        return found[0]
    if "code" in form.errors:
        return None
    chosen = crucible(state, listed) if listed is not None else None
    if chosen is None:
        form.refuse(_("Type the crucible’s code, or choose one of these."), "crucible" if listed else "code")
    return chosen


def _more(form: Form, n: int) -> Source | None:
    """One further source by its code, with its grams."""
    code_name, g_name = f"more_code.{n}", f"more_g.{n}"
    code = form.code(code_name, required=False)
    g = read_field(form, replace(STEP.field("g"), name=g_name), required=code is not None)
    if code is None:
        if g is not None and code_name not in form.errors:
            form.refuse(_("Type the code of this batch, pigment or jar."), code_name)
        return None
    state = current_bench().state
    known = {thing: state.sort_of(thing) for thing in state.things_with(code)}
    thing = next((thing for thing, sort in known.items() if sort in SORTS), None)
    if thing is None:
        form.refuse(_("This is not the code of a batch, a pigment or a jar."), code_name)
        return None
    return _source(str(known[thing]), thing, g) if g is not None else None


def _source(sort: str, thing: str, g: float) -> Source:
    """So many grams of a batch, a fired powder or a jar."""
    of = {sort: Ulid(thing)}
    return Source(g=g, batch=of.get("batch"), pigment=of.get("pigment"), jar=of.get("jar"))
