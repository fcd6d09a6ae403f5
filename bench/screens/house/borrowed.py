"""Shared by others: what other workshops of the hub let all read, kept apart and shown as theirs."""

from dataclasses import dataclass, replace

from flask import Blueprint, Response, abort, session

from bench.exporting.recipe_code import pack
from bench.exporting.recipes import recipe_of
from bench.journal import Trouble
from bench.journal.hub.borrowed import key_of
from bench.journal.photos import find_photo
from bench.journal.pictures import KINDS
from bench.records.state import State
from bench.reference import Library, over
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.house.batches import STATES
from bench.screens.powders.powder import VERDICT_WORDS
from bench.web.channel import door
from bench.web.current import current_bench
from bench.web.ids import is_ulid
from bench.web.page import go, page
from bench.web.paging import A_PAGE, paged
from bench.web.turns import act_once, out_of_turn
from bench.web.words import _
from bench.workshop.as_fired import Fired, fired
from bench.workshop.batch_list import Found, found
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.things.batches import BatchLine

blueprint = Blueprint("borrowed", __name__, url_prefix="/backups/hub/shared")


@blueprint.before_request
def only_here() -> None:
    """The hub is the laptop's, and so is what was read there."""
    if door() != "local":
        abort(403, _("Only the laptop reaches the hub. Open this page there."))


@dataclass(frozen=True)
class Row:
    """One other workshop: how many records it shares, as far as that was asked, and how many were read here."""

    key: str
    name: str
    there: int | None
    here: int


@blueprint.get("")
def home() -> Response:
    """Every workshop that shares something, and what was read of it."""
    hub = current_bench().journal.hub
    names = sorted({*hub.told.others, *hub.borrowed.workshops()} - {hub.told.own})
    part = paged(names, A_PAGE)
    rows = [Row(key_of(name), name, hub.told.others.get(name), _count(name)) for name in part.found]
    own = hub.told.others.get(hub.told.own)
    said, connected = session.pop("borrowed_said", None), hub.address is not None
    return page("backups/others.html", told=hub.told, rows=rows, part=part, own=own, connected=connected, said=said)


@blueprint.post("/look")
def look() -> Response:
    """Ask the hub who shares what."""
    act_once()
    current_bench().journal.hub.ask("look")
    return go("borrowed.home")


@blueprint.get("/<key>")
def workshop(key: str) -> Response:
    """What one workshop shares: what is new there, and the batches that were read."""
    hub, name = current_bench().journal.hub, _name(key)
    state = _state(name)
    things = state.things("batch")[::-1] if state is not None else []
    part = paged(things, A_PAGE)
    library = _library(state) if state is not None else current_bench().files
    rows = [one for thing in part.found if state is not None and (one := found(state, thing, library)) is not None]
    told = hub.told.reading if hub.told.reading is not None and hub.told.reading.workshop == name else None
    return page(
        "backups/other.html",
        name=name,
        key=key,
        said=session.pop("borrowed_said", None),
        told=hub.told,
        reading=told,
        records=len(state.records) if state is not None else 0,
        rows=[(one, _came_of(one)) for one in rows],
        part=part,
        connected=hub.address is not None,
    )


@blueprint.post("/<key>/peek")
def peek(key: str) -> Response:
    """Ask the hub what is new there."""
    return _asked("peek", key)


@blueprint.post("/<key>/read")
def take(key: str) -> Response:
    """Read what is new there."""
    return _asked("read", key)


@blueprint.post("/<key>/undo")
def undo(key: str) -> Response:
    """Go back to what was read before."""
    name = _name(key)
    act_once()
    try:
        with out_of_turn():
            undone = current_bench().journal.hub.borrowed.undo(name)
        done, none = _("Undone. What was read is kept aside."), _("Nothing was read from there.")
        session["borrowed_said"] = done if undone else none
    except OSError as error:
        session["borrowed_said"] = _("The disk refused: {why}.", why=error.strerror or error)
    except Trouble as trouble:
        session["borrowed_said"] = trouble.say
    left = name in current_bench().journal.hub.borrowed.workshops() or name in current_bench().journal.hub.told.others
    return go("borrowed.workshop", key=key) if left else go("borrowed.home")


@blueprint.get("/<key>/<thing>")
def batch(key: str, thing: str) -> Response:
    """One batch of another workshop."""
    name = _name(key)
    state = _state(name)
    library = _library(state) if state is not None else current_bench().files
    one = found(state, thing, library) if state is not None else None
    if state is None or one is None:
        abort(404)
    done = fired(state, one.view.charges)
    return page(
        "backups/other_batch.html",
        name=name,
        key=key,
        one=one,
        came=_came_of(one),
        lines=[(pretty(line.plan.formula), _weighed(line, state)) for line in one.view.lines],
        heat=_heat(done),
        fill=lab_to_srgb_hex(one.lab).hex if one.lab is not None else None,
        recipe=_recipe(name, one, state, library),
    )


@blueprint.get("/<key>/photo/<photo>")
def picture(key: str, photo: str) -> Response:
    """A photo of another workshop, as it was stored."""
    folder = current_bench().journal.hub.borrowed.photos(_name(key))
    path = find_photo(folder, photo) if is_ulid(photo) else None
    if path is None or path.suffix[1:] not in KINDS:
        abort(404)
    return Response(path.read_bytes(), mimetype=KINDS[path.suffix[1:]])


def _asked(what: str, key: str) -> Response:
    name = _name(key)
    act_once()
    current_bench().journal.hub.ask(what, [name])
    return go("borrowed.workshop", key=key)


def _name(key: str) -> str:
    """The workshop that an address means."""
    hub = current_bench().journal.hub
    known = {key_of(name): name for name in (*hub.told.others, *hub.borrowed.workshops()) if name != hub.told.own}
    if key not in known:
        abort(404)
    return known[key]


def _state(name: str) -> State | None:
    """What was read of a workshop; None where nothing was, or where it cannot be read now."""
    try:
        return current_bench().journal.hub.borrowed.state(name)
    except (OSError, Trouble, ValueError):
        return None


def _count(name: str) -> int:
    try:
        return current_bench().journal.hub.borrowed.count(name)
    except (OSError, Trouble):
        return 0


def _library(state: State) -> Library:
    """What is known, with that workshop's own rows laid over it."""
    return state.memoize(("library-of-others",), lambda: over(current_bench().files, state.cards()))


def _came_of(one: Found) -> str:
    verdict = VERDICT_WORDS.get(one.verdict or "", "").rstrip(".")
    return ": ".join(each for each in (verdict or STATES[one.outcome], one.words) if each)


def _weighed(line: BatchLine, state: State) -> str:
    """What was weighed, in the digits of their balance."""
    digits = readability_g(state)
    planned = _("{g} g planned", g=grams_text(line.target_g, digits))
    return planned if line.weighed_g is None else f"{grams_text(line.weighed_g, digits)} g, {planned}"


def _heat(done: Fired) -> list[tuple[str, str]]:
    """What the fires were read as, in words."""
    told = [(_("Fires"), str(done.fires))] if done.fires else []
    told += [(_("Hottest read"), f"{done.peak_c:.0f} °C")] if done.peak_c is not None else []
    told += [(_("Soak"), f"{done.soak_min:.0f} min")] if done.soak_min is not None else []
    told += [(_("Climb"), f"{done.climb_c_per_h:.0f} °C/h")] if done.climb_c_per_h is not None else []
    return told


def _recipe(name: str, one: Found, state: State, library: Library) -> str | None:
    """The batch as a recipe's text that says whose it is; None where it does not fit into one."""
    source = _("Made by {workshop}, read from the hub. Not measured here.", workshop=name)
    try:
        return pack(replace(recipe_of(one.view, one.view.charges, state, library, note=False), source=source))
    except Refusal:
        return None
