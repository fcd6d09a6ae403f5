"""The maker's own reagents, targets, cards, wares and limits: records over the library. Its files are never edited."""

from typing import Any

from flask import Blueprint, Response, abort, request

from bench.records.store import Slot
from bench.reference import Library
from bench.reference.library import composition
from bench.reference.provenance import OWN
from bench.reference.surroundings import FRACTIONS, Ware
from bench.science.evolution import GASES
from bench.screens.kit.thing_label import ware_name
from bench.screens.known.owning import limits, reading
from bench.screens.known.owning.asked import LABELS, ROWS, TABLES
from bench.screens.known.owning.holding import check_target, read_card
from bench.screens.known.owning.parts import TABLES_OF, read_tables, start_tables
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page, shown
from bench.web.paging import paged
from bench.web.recording import record
from bench.web.words import _

blueprint = Blueprint("own", __name__, url_prefix="/known/own")

TITLES = {
    "reagent": _("Reagent of your own"),
    "target": _("Target of your own"),
    "card": _("Hazard card of your own"),
    "ware": _("Crucible ware of your own"),
}
GROUND_MAX = 200
SAME_LIMIT = ("body", "period", "form", "fraction")
"""What two limits of one substance share where the later takes the place of the earlier."""
LABELS = LABELS | {table.name: table.title for tables in TABLES_OF.values() for table in tables}
SAID = frozenset({*LABELS, "gas_steps"})
"""Fields of a row that its line in the list names; what follows from its formula is left out."""


@blueprint.get("")
def home() -> Response:
    """All rows of the maker's own, and what of them does not fit."""
    here = current_bench()
    part = paged(list(cards().items())[::-1])
    own = [_listed(thing, slot) for thing, slot in part.found]
    return page("own/home.html", own=own, part=part, troubles=here.library.troubles)


def cards() -> dict[str, Slot]:
    """The maker's rows that stand: each thing with its slot."""
    state = current_bench().state
    found = {thing: state.slot(thing, "card.changed") for thing in state.things("card")}
    return {thing: slot for thing, slot in found.items() if slot.record is not None}


def _listed(thing: str, slot: Slot) -> dict[str, Any]:
    body, library = slot.body, current_bench().library
    row = body.row if isinstance(body.row, dict) else {}
    if body.table == "limits":
        gas = library.gases.get(body.slug) or library.hazards.get(body.slug)
        name = _("Limit: {gas}", gas=gas.name if gas else body.slug)
        second = ", ".join(shown(row[part]) for part in ("words", "body", "year") if row.get(part))
        return {"thing": thing, "path": f"/known/own/limit?card={thing}", "name": name, "second": second}
    what = {table: what for what, table in TABLES.items()}.get(body.table)
    known = getattr(library, body.table).get(body.slug)
    fields = ", ".join(str(LABELS.get(name) or _("gas, as it is heated")) for name in row if name in SAID)
    name = name_of(known) if known is not None and what else body.slug
    path = f"/known/own/{what}?slug={body.slug}" if what else f"/thing/{thing}"
    return {"thing": thing, "path": path, "name": name, "second": fields}


def name_of(row: Any) -> str:
    """What a row is called; a ware goes by its slug."""
    return ware_name(row.slug) if isinstance(row, Ware) else str(row.name)


def _card_of(table: str, slug: str) -> tuple[str, Slot] | None:
    """The record that holds the maker's row of this slug."""
    found = ((t, s) for t, s in cards().items() if s.body.table == table and s.body.slug == slug)
    return next(found, None)


@blueprint.get("/<any(reagent, target, card, ware):what>")
def ask(what: str) -> Response:
    """A new row, or a known one to change for this bench."""
    slug = request.args.get("slug", "")[:80]
    row = getattr(current_bench().library, TABLES[what]).get(slug)
    if slug and row is None:
        abort(404)
    start = reading.start(row, ROWS[what]) | start_tables(what, row) | {"slug": slug}
    if row is None and what == "card":
        start |= _of_reagent(request.args.get("for", "")[:80])
    if isinstance(row, Ware):
        start["name"] = ware_name(slug)
    kept = _card_of(TABLES[what], slug) if slug else None
    basis = kept[1].body.basis if kept else ""
    return _show(what, blank(**start, ground="" if basis == OWN else basis))


def _of_reagent(slug: str) -> dict[str, str]:
    """What a new card begins with, where it is for a reagent that has none."""
    row = current_bench().library.reagents.get(slug)
    return {} if row is None else {"name": row.name, "formulas": row.formula, "cas": row.cas}


@blueprint.post("/<any(reagent, target, card, ware):what>")
def keep(what: str) -> Response:
    """Record the row, or the correction of the one that stands."""
    form = read_form()
    slug = form.text("slug", max_len=80) or ""
    files = getattr(current_bench().files, TABLES[what]).get(slug)
    laid = getattr(current_bench().library, TABLES[what]).get(slug)
    if slug and laid is None:
        abort(404)
    standing = current_bench().state.record(form.record_id)
    if standing is not None and standing.kind == "card.changed":
        return _done(what, str(standing.data["slug"]))
    row = _row(what, form, files, laid)
    ground = form.text("ground", max_len=GROUND_MAX) or OWN
    name = name_of(laid) if laid is not None else row.get("name", "")
    if form.ok and not slug:
        slug = reading.check_new(form, what, row, current_bench().library) or ""
    if what == "ware":
        row.pop("name", None)  # a ware goes by its slug
    if form.ok and not row:
        form.refuse(_("Nothing differs from the library. Change something first."))
    if form.ok:
        data = {"table": TABLES[what], "slug": slug, "row": row, "basis": ground}
        if _record(form, data, _card_of(TABLES[what], slug), _("Your own row: {name}", name=name)):
            return _done(what, slug)
    return _show(what, form)


def _row(what: str, form: Form, files: Any, laid: Any) -> dict[str, Any]:
    """The fields of the record: those that differ from the files, with what follows from a new formula."""
    library: Library = current_bench().library
    told = reading.read_row(form, ROWS[what], files, library)
    told |= read_tables(form, what, laid, library)
    if what == "card":
        read_card(form, told, files, library)
    if what == "target":
        check_target(form, told, files)
    formula = getattr(files, "formula", "") or told.get("formula", "")
    if what == "reagent":
        told["gas_steps"] = reading.read_gas_steps(form)
        reading.check_residue(form, told, formula)
    row = reading.changed(told, files)
    if files is None and formula and "formula" not in form.errors:
        row |= reading.computed(what, formula)
        if laid is not None and composition(formula) != composition(laid.formula):
            form.refuse(_("Another formula needs its own row: add that one."), "formula")
    return row


def _record(form: Form, data: dict[str, Any], kept: tuple[str, Slot] | None, say: str) -> bool:
    if kept is None:
        return record("card.changed", None, data, form=form, say=say)
    thing, slot = kept
    return record("card.changed", thing, data, form=form, say=say, corrects=[head.id for head in slot.heads])


def _done(what: str, slug: str) -> Response:
    return go(f"known.{what}", slug=slug)


def _show(what: str, form: Form) -> Response:
    here = current_bench()
    slug = form.typed.get("slug", "")
    row = getattr(here.library, TABLES[what]).get(slug)
    in_files = slug in getattr(here.files, TABLES[what])
    kept = _card_of(TABLES[what], slug) if slug else None
    asked = [one for one in ROWS[what] if not (in_files and one.new_only)]
    return page(
        "own/row.html",
        form=form,
        what=what,
        title=TITLES[what],
        row=row,
        asked=asked,
        steps=range(reading.STEPS) if what == "reagent" else (),
        tables=TABLES_OF.get(what, ()),
        name=name_of(row) if row is not None else "",
        gases=[(gas, gas) for gas in GASES],
        thing=kept[0] if kept else None,
    )


@blueprint.get("/limit")
def ask_limit() -> Response:
    """A limit of another body, year or country; with `card`, one that was entered before."""
    card, gas = request.args.get("card", "")[:40], request.args.get("gas", "")[:80]
    if card:
        slot = _limit_slot(card)
        form = blank(**limits.start_limit(slot.body.slug, dict(slot.body.row)), card=card)
    else:
        form = blank(gas=gas, unit="ppm", period="8h")
    return _show_limit(form)


def _limit_slot(card: str) -> Slot:
    slot = cards().get(card)
    if slot is None or slot.body.table != "limits" or not isinstance(slot.body.row, dict):
        abort(404)
    return slot


@blueprint.post("/limit")
def keep_limit() -> Response:
    """Record the limit, or its correction."""
    form = read_form()
    card = form.text("card", max_len=40) or ""
    kept = (card, _limit_slot(card)) if card else None
    read = limits.read_limit(form, current_bench().library)
    ground = form.text("ground", max_len=GROUND_MAX) or OWN
    if form.ok and read is not None:
        gas, row = read
        kept = kept or _same_limit(gas, row)
        data = {"table": "limits", "slug": gas, "row": row, "basis": ground}
        if _record(form, data, kept, _("Limit for {gas}: {words}", gas=gas, words=row["words"])):
            return go("known.gases") if gas in current_bench().library.gases else go("known.card", slug=gas)
    return _show_limit(form)


def _same_limit(gas: str, row: dict[str, Any]) -> tuple[str, Slot] | None:
    """An own limit by the same body for the same period, which the new one takes the place of."""
    for thing, slot in cards().items():
        body = slot.body
        of_gas = body.table == "limits" and body.slug == gas and isinstance(body.row, dict)
        if of_gas and all(body.row.get(name) == row.get(name) for name in SAME_LIMIT):
            return thing, slot
    return None


def _show_limit(form: Form) -> Response:
    gases = sorted(current_bench().library.gases.values(), key=lambda gas: gas.name)
    cards = sorted(current_bench().library.hazards.values(), key=lambda card: card.name)
    bodies = sorted({one.body for gas in gases for one in gas.limits} | {one.body for c in cards for one in c.limits})
    return page(
        "own/limit.html",
        form=form,
        gases=[(gas.slug, f"{gas.name} {gas.slug}") for gas in gases],
        dusts=[(card.slug, card.name) for card in cards],
        fractions=[(one, one) for one in FRACTIONS if one],
        periods=list(limits.PERIODS.items()),
        units=[(unit, unit.replace("m3", "m³")) for unit in limits.UNITS],
        bodies=bodies,
    )
