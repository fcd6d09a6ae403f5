"""The furnace from above: who stands where, placed by tap or by code, moved while it is not lit, and its photos."""

from collections.abc import Iterable

from flask import Blueprint, Response, request

from bench.screens.furnace.firing_view import Inside, inside
from bench.screens.furnace.placing import Spot, in_words, picture, read_place, spots, tiers, waiting, way_to_place
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.gates import gate_place
from bench.workshop.neighbours import bad_neighbours
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import Firing, firing
from bench.workshop.things.swatches import photos_of

blueprint = Blueprint("firing_map", __name__)

PLACEABLE = ("damp", "dry", "placed", "out-hot", "cool")
STANDS = {"in": _("placed"), "hot": _("at heat"), "out": _("out"), "empty": _("empty")}


@blueprint.get("/firing/<thing>/map")
def show(thing: str) -> Response:
    """The furnace from above; with `place`, what is to stand there."""
    fire = firing_or_404(thing)
    return _show(fire, blank(place=request.args.get("place", "")[:12]))


def _show(fire: Firing, form: Form) -> Response:
    state, library = current_bench().state, current_bench().library
    found = spots(state, fire)
    chosen = read_place(form.typed.get("place", ""), found)
    known = tiers(found)
    tier = chosen.tier if chosen is not None else _tier(known)
    load = {one.charge: one for one in inside(fire)}
    return page(
        "firing/map.html",
        form=form,
        fire=fire,
        picture=picture(found, fire, tier),
        ways=[(spot.mark, _way(fire, spot, load)) for spot in found if spot.tier == tier],
        words=in_words(found, tier),
        tier=tier,
        tiers=known,
        here=[(spot, load.get(spot.charge or ""), STANDS[spot.state]) for spot in found if spot.tier == tier],
        loose=[one for one in load.values() if all(spot.charge != one.charge for spot in found)],
        chosen=chosen,
        could=_could(fire, chosen),
        following=_following(fire, load.values()),
        findings=bad_neighbours(state, fire, library) if not fire.closed else [],
        nothing_filled=not load and not waiting(state),
        gaps=library.advice["gaps"].says if "gaps" in library.advice else "",
        shots=_shots(fire),
        photos=[(photo, _("The load of {name}", name=fire.name)) for photo in photos_of(state, fire.id)],
    )


def _following(fire: Firing, load: Iterable[Inside]) -> tuple[str, str, str]:
    """The main key of the map: place, then light, then unload. Its words, its address, its glyph."""
    state, home = current_bench().state, f"/firing/{fire.id}"
    inside_now = any(not one.out for one in load)
    place = way_to_place(state, fire) if fire.off is None and not fire.closed else ""
    if fire.lit_at is None and place:
        return _("Place crucibles"), place, "inplace"
    if fire.lit_at is None and inside_now and not fire.closed:
        return (_("Go on to switch on") if fire.fuel == "electric" else _("Go on to light")), home, "flame"
    if fire.lit_at is not None and inside_now:
        return _("Unload"), f"{home}/out", "outof"
    return (_("Place crucibles"), place, "inplace") if place else (_("Back to the firing"), home, "flame")


def _way(fire: Firing, spot: Spot, load: dict[str, Inside]) -> str:
    """Where a tap on a place leads: to what stands there, or to what is to stand there."""
    here = load.get(spot.charge or "")
    return here.path if here is not None else f"/firing/{fire.id}/map?place={spot.value}#what"


def _shots(fire: Firing) -> list[tuple[str, bool]]:
    """Which of the two photos of the load are there: before it was closed and lit, and when it was opened."""
    taken = [r.when for r in current_bench().state.rows(fire.id, "photo.kept") if r.body.of == fire.id]
    found = [(_("Photo before closing"), any(fire.lit_at is None or when <= fire.lit_at for when in taken))]
    if fire.off_at is not None:
        found.append((_("Photo at opening"), any(when >= fire.off_at for when in taken)))
    return found


def _tier(known: list[int]) -> int:
    asked = request.args.get("tier", "")
    return int(asked) if asked.isascii() and asked.isdecimal() and len(asked) < 4 and int(asked) in known else known[0]


def _could(fire: Firing, chosen: Spot | None) -> list[tuple[str, str, str]]:
    """The charges that may stand at a place: (charge, code, name and where it stands now)."""
    if chosen is None or chosen.charge is not None or fire.closed or fire.off is not None:
        return []
    state = current_bench().state
    views = [charge(state, one) for one in state.open_things("charge")]
    found = [v for v in views if v is not None and v.state in PLACEABLE]
    return [(v.id, code_text(v.crucible_code), _said_of(v)) for v in found]


def _said_of(view: Charge) -> str:
    """What a charge is, by the codes of its batches too, and where it stands already."""
    state = current_bench().state
    codes = [code_text(code) for one in view.batches if (code := state.code_of(one))]
    fire = firing(state, view.stay.firing) if view.state == "placed" and view.stay is not None else None
    at = next((spot.name for spot in spots(state, fire) if spot.charge == view.id), "") if fire is not None else ""
    placed = [_("now in {fire}: {place}", fire=fire.name, place=at)] if fire is not None and at else []
    return ", ".join(str(one) for one in (thing_label(view.id).name, *codes, *placed))


@blueprint.post("/firing/<thing>/map")
def keep(thing: str) -> Response:
    """Place a charge by tap or by code. One that stands elsewhere in this firing is moved: its place is corrected."""
    fire = firing_or_404(thing)
    state, form = current_bench().state, read_form()
    spot = read_place(form.typed.get("place", ""), spots(state, fire))
    if spot is None:
        form.refuse(_("Choose one of the places."), "place")
    one = _charge_of(form)
    if spot is None or one is None or not form.ok:
        return _show(fire, form)
    if not may_record(form, gate_place(state, one, thing, spot.where)):
        for finding in gate_place(state, one, thing, spot.where):
            form.refuse(finding.say, "charge")
        return _show(fire, form)
    tier, row, column, clock = spot.where
    data = {"firing": thing, "tier": tier, "row": row, "column": column, "clock": clock}
    before = [r.id for r in state.slot(one, "placed", thing).heads if r.id != form.record_id]
    known = state.record(form.record_id)
    corrects = list(known.corrects) if known is not None else before
    view = charge(state, one)
    code = code_text(view.crucible_code) if view is not None else ""
    said = _("{code} at {place}", code=code, place=spot.name)
    if record("placed", one, data, form=form, say=said, corrects=corrects, also={"firing": thing}):
        return go("firing_map.show", thing=thing)
    return _show(fire, form)


def _charge_of(form: Form) -> str | None:
    """The charge that is meant, by tap or by the code of its crucible."""
    state = current_bench().state
    code = form.code("code", required=False)
    if code is not None:
        views = [charge(state, one) for one in state.open_things("charge")]
        found = next((v.id for v in views if v is not None and v.crucible_code == code), None)
        if found is None:
            form.refuse(_("No filled crucible has this code."), "code")
        return found
    if form.errors.get("code"):
        return None
    thing = form.ulid("charge")
    if thing is not None and charge(state, thing) is None:
        form.refuse(_("Choose one of these."), "charge")
        return None
    return thing
