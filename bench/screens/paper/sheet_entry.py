"""From the filled rows of a run sheet to records: each row with the time written beside it, all of them late."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from bench.records.state import State
from bench.screens.kit.declared import data_of
from bench.screens.kit.issuing import code_entries
from bench.steps import BY_RECORD
from bench.web.forms import Form
from bench.web.moments import date_text, read_moment
from bench.web.recording import Entry, entry_id
from bench.web.words import _
from bench.workshop.sheets import Blank, Row, Section, blank_stops

DAY_MS = 86_400_000
BACK_MS = 6 * 3_600_000
"""A time this much earlier than the row before it is taken for the next day: a firing runs past midnight."""


@dataclass(frozen=True)
class Filled:
    """A row with what was read of it, and when it happened."""

    row: Row
    values: dict[str, Any]
    at_ms: int


def read_sheet(form: Form, sections: list[Section]) -> list[Filled]:
    """Every row of which something is filled in, read in order; what is wrong stands beside its field."""
    found: list[Filled] = []
    last: int | None = None
    day = form.typed.get("day", "")
    for row in (row for section in sections for row in section.rows):
        values = {blank.name: _read(form, f"{row.field}.{blank.name}", blank) for blank in row.blanks}
        values = {name: value for name, value in values.items() if value not in (None, False)}
        typed = form.typed.get(f"{row.field}.at", "").strip()
        idle = not values and row.what != "lit" and typed
        if idle and _moment(form, row, typed, day, last) is not None and not _refused(form, row):
            form.refuse(_("Type what happened at this time, or clear the time."), f"{row.field}.at")
        if not values and not (typed and row.what == "lit"):
            continue
        moment = _moment(form, row, typed, day, last)
        if moment is None:
            continue
        last = moment if row.timed else last
        found.append(Filled(row, values, moment))
    return found


def _refused(form: Form, row: Row) -> bool:
    return any(f"{row.field}.{blank.name}" in form.errors for blank in row.blanks)


def _read(form: Form, name: str, blank: Blank) -> Any:
    if blank.kind == "number":
        return form.number(name, low=blank.low, high=blank.high, unit=blank.unit, required=False)
    if blank.kind == "choice":
        return form.choice(name, blank.options, required=False)
    if blank.kind == "tick":
        return form.flag(name)
    if blank.kind == "code":
        return form.code(name, required=False)
    return form.text(name, required=False)


def _moment(form: Form, row: Row, typed: str, day: str, last: int | None) -> int | None:
    name = f"{row.field}.at"
    if not typed:
        if last is not None:
            return last
        form.refuse(_("Type the time of the first filled row, such as 16:04."), name)
        return None
    with form.beside(name):
        moment = read_moment(typed, day, now_ms=form.now_ms, zone_min=form.zone_min)
        if last is not None and moment < last - BACK_MS:
            tomorrow = date_text(moment + DAY_MS, form.zone_min)
            return read_moment(typed, tomorrow, now_ms=form.now_ms, zone_min=form.zone_min)
        return moment
    return None


def entries_of(filled: list[Filled], sections: list[Section], state: State, form: Form) -> list[Entry]:
    """The records that the filled rows make, in the order of the sheet; refusals go beside their fields.

    What is lit or put out by the sheet names the hard stops that the sheet leaves blank.
    """
    found: list[Entry] = []
    for one in filled:
        made = MAKERS[one.row.what](one, state, form, len(found))
        blank = blank_stops(sections, [each.row for each in filled], STOPS_OF.get(one.row.what, ()))
        found += [replace(entry, data={**entry.data, "blank": blank}) for entry in made] if blank else made
    return found


def _entry(one: Filled, data: dict[str, Any], **more: Any) -> Entry:
    corrects = (one.row.standing_id,) if one.row.standing_id else ()
    return Entry(one.row.what, one.row.thing, data, corrects=corrects, happened_ms=one.at_ms, **more)


def _missing(one: Filled, form: Form, name: str, say: str) -> bool:
    if one.values.get(name) is None:
        form.refuse(say, f"{one.row.field}.{name}")
        return True
    return False


def _weighed(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    plan = state.slot(one.row.thing, "batch.planned").body
    line = int(one.row.key)
    jar = next((each.jar for each in plan.lines if each.line == line), None) if plan else None
    data = {"line": line, "net_g": one.values["g"], "jar": jar}
    return [_entry(one, data | {"balance_d_g": state.setting("balance_d_g", 0.01)})]


def _declared(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    step = BY_RECORD[one.row.what]
    data = data_of(step, one.row.thing, one.values)
    for each in step.recorded:
        if each.required and data.get(each.name) is None:
            form.refuse(_(each.missing), f"{one.row.field}.{each.name}")
            return []
    return [_entry(one, data)]


def _charged(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    if _missing(one, form, "code", _("Type the code of the crucible.")):
        return []
    vessels = [t for t in state.things_with(one.values["code"]) if state.sort_of(t) == "crucible"]
    if len(vessels) != 1:
        form.refuse(_("No crucible on this bench has this code."), f"{one.row.field}.code")
        return []
    if _missing(one, form, "g", _("Type how many grams of the batch went in.")):
        return []
    data = {"crucible": vessels[0], "sources": [{"batch": one.row.thing, "g": one.values["g"]}]}
    rest = {name: one.values[name] for name in ("wet_g", "gross_g") if name in one.values}
    also = {"batch": one.row.thing, "crucible": vessels[0]}
    kept = data | rest | {"lid": one.values.get("lid", "none")}
    return [Entry("charged", None, kept, also=also, happened_ms=one.at_ms)]


def _words(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    data = {"what": "words", "value": one.values["value"]}
    return [Entry("noted", one.row.thing, data, happened_ms=one.at_ms)]


def _check(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    if _missing(one, form, "fine", _("Tick what was signed, or clear the initials.")):
        return []
    phase, item = one.row.key.split(" ", 1)
    return [_entry(one, {"list": phase, "item": item, "answer": "done", "by": one.values.get("by")})]


def _lit(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    return [_entry(one, {"deviations": []})]


def _out(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    thing, firing = one.row.thing, one.row.key
    data = {"firing": firing, "charge": thing, "rest_place": one.values.get("rest_place")}
    out = Entry("came.out", thing, data, also={"firing": firing}, happened_ms=one.at_ms)
    surface = one.values.get("surface_c")
    if surface is None:
        return [out]
    return [out, Entry("touched", thing, {"thing": thing, "surface_c": surface}, happened_ms=one.at_ms)]


def _opened(one: Filled, state: State, form: Form, n: int) -> list[Entry]:
    signs = [s.strip() for s in (one.values.get("signs") or "").split(",") if s.strip()]
    numbers = {k: one.values[k] for k in ("gross_g", "tare_after_g", "stuck_g") if k in one.values}
    data = numbers | {"signs": signs, "broken_open": bool(one.values.get("broken"))}
    opened = _entry(one, data)
    # What comes out is a powder of its own, named by this record; it gets a code as every powder does.
    return [opened, *code_entries(form, thing=entry_id(form, n))]


Maker = Callable[[Filled, State, Form, int], list[Entry]]
STOPS_OF = {"lit": ("before-lighting",), "fire.off": ("before-opening", "after-shutdown")}
"""Which hard stops belong to which act."""
MAKERS: dict[str, Maker] = {
    **dict.fromkeys(BY_RECORD, _declared),
    "weighed": _weighed,
    "charged": _charged,
    "words": _words,
    "check.answered": _check,
    "lit": _lit,
    "came.out": _out,
    "opened": _opened,
}
"""How each sort of row becomes records. `n` is the number of records that come before it in the submit."""


def rows_of(sections: list[Section]) -> Iterator[Row]:
    """All rows in the order of the sheet."""
    return (row for section in sections for row in section.rows)
