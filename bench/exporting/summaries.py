"""What the records come to, as tables for a spreadsheet: one function a table, and `TABLES` is all of them."""

from collections.abc import Callable
from typing import Any

from bench.exporting.cells import Column, Table
from bench.records.moments import to_ms, utc_text
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.translation import _
from bench.workshop.again import REPEATS
from bench.workshop.as_fired import fired
from bench.workshop.assays import jar_assay
from bench.workshop.costing import CURRENCY, batch_cost
from bench.workshop.lineage import offspring
from bench.workshop.things.attached import attached_to
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import batches_of, charge
from bench.workshop.things.crucibles import crucible, earlier_charges
from bench.workshop.things.firings import firing
from bench.workshop.things.jars import jar
from bench.workshop.things.pigments import pigment
from bench.workshop.things.swatches import swatch

Make = Callable[[State, Library], Table]
Row = list[Any]


def columns(*names: str) -> tuple[Column, ...]:
    """Columns from `name` or `name [unit]`."""
    found = []
    for name in names:
        words, _sign, unit = name.partition(" [")
        found.append(Column(words, unit.rstrip("]")))
    return tuple(found)


def when(record: Record | None) -> str | None:
    """When something happened, in UTC."""
    return None if record is None else utc_text(to_ms(record.when))


def jars(state: State, library: Library) -> Table:
    """Every jar, with its price and what is left."""
    head = columns(
        "id", "code", "reagent", "formula", "water known", "lot", "assay [%]", "assay by", "held [g]", "price",
        "left [g]", "closed", "supplier", "received", "opened",
    )  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("jar"):
        view, assay = jar(state, thing), jar_assay(state, thing, library)
        if view is None or assay is None:
            continue
        o = view.opened
        rows.append([thing, view.code, o.reagent, o.formula, o.hydrate_known, o.lot, assay.assay_pct, assay.by, o.net_g,
                     o.price, view.left_g, view.closed, o.supplier, o.received, o.opened])  # fmt: skip
    money = state.setting(CURRENCY)
    return Table("jars", f"Jars. Prices are in {money}." if money else "Jars. No currency was set.", head, rows)


def crucibles(state: State, library: Library) -> Table:
    """Every crucible, with its last empty mass."""
    head = columns("id", "code", "ware", "volume [mL]", "rated [°C]", "mark", "empty [g]", "lid [g]", "condition")
    rows: list[Row] = []
    for thing in state.things("crucible"):
        view = crucible(state, thing)
        if view is not None:
            a = view.added
            rows.append(
                [thing, view.code, a.ware, a.volume_ml, a.rated_c, a.mark, view.tare_g, view.lid_g, view.condition]
            )
    return Table("crucibles", "Crucibles as they were last seen.", head, rows)


def batches(state: State, library: Library) -> Table:
    """Every batch: what was weighed, how it was fired, what came of it and what it cost."""
    head = columns(
        "id", "code", "name", "planned, UTC", "target", "formula", "repeats", "series", "level", "planned [g]",
        "weighed [g]", "state", "fired in theory [g]", "washed in theory [g]", "fires", "hottest read [°C]",
        "soak [°C]", "soak [min]", "climb [°C/h]", "cooling to 500 °C [°C/h]", "cost", "cost per gram", "notes",
    )  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("batch"):
        view, cost = batch(state, thing), batch_cost(state, thing)
        if view is None or cost is None:
            continue
        made = state.slot(thing, "batch.planned").record
        p, done = view.plan, fired(state, view.charges)
        rows.append([
            thing, view.code, p.name, when(made), p.target, p.target_formula,
            made.also.get(REPEATS) if made else None, p.series, p.level,
            sum(line.target_g for line in view.lines), view.weighed_g, view.state,
            p.fired_g, p.washed_g, done.fires, done.peak_c, done.soak_c, done.soak_min,
            done.climb_c_per_h, done.cooling_c_per_h, cost.known if cost.whole else None, cost.per_g, p.notes,
        ])  # fmt: skip
    return Table("batches", "Batches. A cost stands where every jar has a price.", head, rows)


def lines(state: State, library: Library) -> Table:
    """Every reagent of every batch."""
    head = columns(
        "batch", "line", "formula", "reagent", "jar", "assay in the plan [%]", "becomes", "planned [g]", "weighed [g]",
        "difference [g]", "weighed, UTC",
    )  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("batch"):
        view = batch(state, thing)
        for one in view.lines if view is not None else ():
            off = None if one.weighed_g is None else one.weighed_g - one.target_g
            jar_used = (one.weighed.body.jar if one.weighed is not None else None) or one.plan.jar
            rows.append([thing, one.plan.line, one.plan.formula, one.plan.name, jar_used, one.plan.assay_pct,
                         one.plan.fate, one.target_g, one.weighed_g, off, when(one.weighed)])  # fmt: skip
    return Table("batch-lines", "The reagents of the batches.", head, rows)


def charges(state: State, library: Library) -> Table:
    """Every filled crucible."""
    head = columns("id", "crucible", "batches", "filled [g]", "lid", "state", "firings", "lost [g]", "powder")
    rows: list[Row] = []
    for thing in state.things("charge"):
        view = charge(state, thing)
        if view is not None:
            fires = " ".join(stay.firing for stay in view.residences)
            rows.append([thing, view.crucible, " ".join(view.batches), view.dry_g, view.charged.lid, view.state, fires,
                         view.lost_g, view.pigment])  # fmt: skip
    return Table("charges", "Filled crucibles.", head, rows)


def firings(state: State, library: Library) -> Table:
    """Every firing."""
    head = columns("id", "code", "name", "furnace", "lit, UTC", "off, UTC", "ended by", "planned [°C]",
                   "planned hold [min]", "hottest read [°C]", "readings", "state")  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("firing"):
        view = firing(state, thing)
        if view is None:
            continue
        lit = utc_text(to_ms(view.lit_at)) if view.lit_at else None
        off = utc_text(to_ms(view.off_at)) if view.off_at else None
        rows.append([thing, view.code, view.name, view.furnace.name if view.furnace else None, lit, off,
                     view.off.reason if view.off else None, view.soak.to_c, view.soak.hold_min,
                     max((c for _m, c in view.curve), default=None), len(view.readings), view.state])  # fmt: skip
    return Table("firings", "Firings.", head, rows)


def readings(state: State, library: Library) -> Table:
    """Every reading that stands."""
    rows: list[Row] = []
    for thing in state.things("firing"):
        view = firing(state, thing)
        for record, (minute, c) in zip(view.readings, view.curve, strict=True) if view is not None else ():
            rows.append([thing, when(record), minute, c, record.body.raw, record.body.raw_unit])
    head = columns("firing", "read, UTC", "since lit [min]", "furnace [°C]", "as read", "unit as read")
    return Table("readings", "Readings at the probe of the furnace.", head, rows)


def powders(state: State, library: Library) -> Table:
    """Every fired powder with its verdict."""
    head = columns("id", "code", "batches", "charges", "fires", "came out [g]", "dry [g]", "left [g]", "rinses",
                   "state", "verdict", "words", "suspected")  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("pigment"):
        view = pigment(state, thing)
        if view is None:
            continue
        made = dict.fromkeys(b for c in earlier_charges(state, thing) for b in batches_of(state, c))
        judged = view.judged
        causes = "; ".join(f"{s.cause} ({s.certainty})" for s in judged.suspected) if judged else None
        rows.append([thing, view.code, " ".join(made), " ".join(view.charges), view.generation, view.raw_g, view.dry_g,
                     view.left_g, view.washes, view.state, judged.verdict if judged else None,
                     judged.words if judged else None, causes])  # fmt: skip
    return Table("powders", "Fired powders and their verdicts.", head, rows)


def swatches(state: State, library: Library) -> Table:
    """Every paint-out with its last measured colour."""
    head = columns("id", "code", "powder", "binder", "oil to 1 g [g]", "white to 1", "film [µm]", "L*", "a*", "b*",
                   "error of L*", "error of a*", "error of b*", "measured by", "photos")  # fmt: skip
    rows: list[Row] = []
    for thing in state.things("swatch"):
        view = swatch(state, thing)
        if view is None:
            continue
        last = view.colour
        lab, se = (last.lab if last else (None,) * 3), (last.se if last and last.se else (None,) * 3)
        rows.append([thing, view.code, view.made.pigment, view.made.binder, view.made.oil_g,
                     view.made.white_per_pigment, view.made.film_um,
                     *lab, *se, last.method if last else None, " ".join(view.photos)])  # fmt: skip
    return Table("swatches", "Paint-outs, with the colour that was measured last (CIELAB, D65).", head, rows)


def attached_files(state: State, library: Library) -> Table:
    """Every attached file with its digest; its bytes lie in `files/` under its id."""
    head = columns("file", "of", "sort", "name", "what", "instrument", "date", "bytes", "SHA-256", "attached, UTC")
    found = [(thing, one) for thing in sorted(state.kind_of) for one in attached_to(state, thing)]
    rows: list[Row] = [
        [one.body.file, thing, state.kind_of[thing], one.body.name, one.body.what, one.body.instrument, one.body.at,
         one.body.bytes, one.body.sha256, when(one.record)]
        for thing, one in found
    ]  # fmt: skip
    return Table("attached-files", "Attached files. A copy is the same where its SHA-256 is.", head, rows)


TABLES: dict[str, tuple[str, Make]] = {
    "jars": (_("Jars"), jars),
    "crucibles": (_("Crucibles"), crucibles),
    "batches": (_("Batches"), batches),
    "batch-lines": (_("Reagents of the batches"), lines),
    "charges": (_("Filled crucibles"), charges),
    "firings": (_("Firings"), firings),
    "readings": (_("Readings"), readings),
    "powders": (_("Powders"), powders),
    "swatches": (_("Swatches"), swatches),
    "attached-files": (_("Attached files"), attached_files),
}
"""What can be taken along as one table, with its words."""


def tables(state: State, library: Library) -> list[Table]:
    """All of them."""
    return [make(state, library) for _words, make in TABLES.values()]


def family(state: State, thing: str) -> list[str]:
    """A batch with all that came of it, by way of charges, powders and later fires; the batch first."""
    found, ahead = {thing: None}, [thing]
    while ahead:
        for one in offspring(state, ahead.pop(0)):
            if one not in found:
                found[one] = None
                ahead.append(one)
    return list(found)
