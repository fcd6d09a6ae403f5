"""Correcting a record: a new one says it right and names the old, which stays in sight; two that differ are settled."""

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, Response, abort, make_response, redirect, request, url_for

from bench.reckoning.questions import ask_formula
from bench.records import schema
from bench.records.kinds import KINDS, SINGLE
from bench.records.moments import to_ms
from bench.records.record import BENCH, Record
from bench.records.references import referenced_ids, undoes
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import free_code
from bench.screens.kit.names import slug_typed, slug_words
from bench.screens.kit.record_view import SLUGS, describe_record
from bench.screens.kit.tagging import chosen_code
from bench.screens.kit.thing_label import thing_label
from bench.screens.records import correcting
from bench.screens.records.correcting import NOT_CORRECTED, Asked, field_of
from bench.screens.records.differing import side_by_side
from bench.screens.shelf.labels import findings as label_findings
from bench.screens.shelf.labels import label_of, refusals
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.ids import is_ulid
from bench.web.moments import clock_text, date_text
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.gates import gate_plan

blueprint = Blueprint("correct", __name__)

MOST_OFFERED = 50
"""So many of the newest things of a sort can be chosen from; what stands is always among them."""

WHY_MAX = 400


@blueprint.get("/thing/<thing>/correct/<record>")
def ask(thing: str, record: str) -> Response:
    """The record as it stands, in a form."""
    found = _find(thing, record)
    start = correcting.start(_fields(found), schema.write(found.body)) if _can(found) else {}
    start |= {name: slug_words(name, start[name], current_bench().library) for name in SLUGS if name in start}
    return _show(thing, found, blank(**start, **_then(found), back=request.args.get("back", "")))


def _find(thing: str, record: str) -> Record:
    state = current_bench().state
    found = or_404(state.record(record))
    undone = [one for i in undoes(found) if (one := state.record(i)) is not None]
    about = {touched for one in (found, *undone) for touched in (*referenced_ids(one), state.made(one))}
    if thing not in about:
        abort(404)
    return found


def _can(record: Record) -> bool:
    """Whether there is a form for it: a kind that this bench knows, and that is corrected field by field."""
    return record.body is not None and record.kind not in NOT_CORRECTED


def _fields(record: Record) -> list[Asked]:
    return correcting.asked(KINDS[record.kind], record.body)


def _then(record: Record) -> dict[str, str]:
    """When it happened, as the form's fields of time show it."""
    ms, zone = to_ms(record.when), current_bench().zone_min()
    return {"happened": clock_text(ms, zone), "happened_date": date_text(ms, zone)}


def heads(record: Record) -> list[Record]:
    """The records that stand in the same slot, this one among them; itself alone where its kind has none."""
    known = KINDS.get(record.kind)
    state = current_bench().state
    if record.body is None or known is None or known.slot != SINGLE:
        return [record]
    key = record.data.get(known.key) if known.key else None
    found = list(state.slot(record.subject, record.kind, key).heads)
    return found if record in found else [record]


def sides(record: Record) -> list[Record]:
    """Everything that claims this record's slot or its id, each once; one alone where nothing disagrees."""
    found = heads(record)
    for conflict in current_bench().journal.conflicts:
        if conflict.id == record.id:
            found = [*conflict.records, *(one for one in found if one.id != record.id)]
    return [one for one in found if one.kind == record.kind and one.body is not None]


@blueprint.post("/thing/<thing>/correct/<record>")
def keep(thing: str, record: str) -> Response:
    """Record the correction, or the side that was taken."""
    form, found = read_form(), _find(thing, record)
    if not _can(found):
        form.refuse(_("This record cannot be corrected. Withdraw it and enter it again."))
        return _show(thing, found, form)
    why = form.text("why", max_len=WHY_MAX)
    taken = form.typed.get("take")
    if taken and repeated(form):
        return _back(form, thing)
    entries = _taken(form, found, taken) if taken else _said(form, found)
    if why and entries:
        note = {"what": "words", "value": why}
        entries.append(Entry("noted", found.subject, note, also={"record": form.record_id}))
    told_as = describe_record(found).title
    if form.ok and entries and record_all(entries, form=form, say=_("Corrected: {what}", what=told_as)):
        return _back(form, thing)
    return _show(thing, found, form)


def _back(form: Form, thing: str) -> Response:
    """To where the correction was asked for, else to the thing's history."""
    return make_response(redirect(_from(form) or url_for("thing.show", thing=thing), 303))


def _from(form: Form) -> str:
    back = own_path(form.typed.get("back", ""))
    return "" if back == "/" else back


def _taken(form: Form, record: Record, taken: str) -> list[Entry]:
    """The side that was taken, said once more in place of all."""
    found = sides(record)
    if not (taken.isascii() and taken.isdigit() and int(taken) < len(found)):
        form.refuse(_("Choose one of the sides."))
        return []
    side = found[int(taken)]
    against = [side.id, *(one.id for one in found if one.id != side.id)]
    return [_entry(side, side.data, against, None)]


def _said(form: Form, record: Record) -> list[Entry]:
    """What the form says in place of the record."""
    moved = _moved(form, record)
    if record.kind == "code.assigned":
        code = chosen_code(form, record.subject) or _fresh(form, record)
        data = dict(record.data) | {"code": code}
    else:
        data = correcting.read(form, _fields(record), KINDS[record.kind], record.data)
        data |= {name: _slug(name, data[name], record) for name in SLUGS if isinstance(data.get(name), str)}
    if form.ok:
        _check(form, record, data)
    if form.ok and not moved and schema.read(KINDS[record.kind].data, data) == record.body and not repeated(form):
        form.refuse(_("You changed nothing. Change what is wrong, or go back."))
    if not form.ok:
        return []
    kept = current_bench().state.record(form.record_id)
    others = [one.id for one in heads(record) if one.id != record.id]
    against = list(kept.corrects) if kept is not None else [record.id, *others]
    issued = [Entry("code.issued", BENCH, {"codes": [data["code"]]})] if record.kind == "code.assigned" else []
    return [_entry(record, data, against, form.happened_ms if moved else None), *issued]


def _slug(name: str, typed: str, record: Record) -> str:
    """What a field that holds a slug is to hold: what stands where its name was left as it was shown."""
    stands, library = str(record.data.get(name, "")), current_bench().library
    return stands if typed == slug_words(name, stands, library) else slug_typed(name, typed, library)


def _fresh(form: Form, record: Record) -> str:
    """A fresh code for a thing; for a submit that is delivered again the one that it was given."""
    before = current_bench().state.record(form.record_id)
    return str(before.data["code"]) if before is not None else free_code()


def _moved(form: Form, record: Record) -> bool:
    """Whether another time was typed; the one that was shown, to the minute, leaves the exact one standing."""
    same = {name: form.typed.get(name, "") for name in ("happened", "happened_date")} == _then(record)
    moved = form.happened_ms is not None and not same
    if not moved:
        form.happened_ms = None
    return moved


def _entry(record: Record, data: Any, against: Sequence[str], happened_ms: int | None) -> Entry:
    return Entry(record.kind, record.subject, data, also=record.also, corrects=against, happened_ms=happened_ms)


def _check(form: Form, record: Record, data: dict[str, Any]) -> None:
    """Refuses what the schema refuses, beside its field, and what is never planned or kept here."""
    try:
        body = schema.read(KINDS[record.kind].data, data)
        if record.kind == "jar.opened":
            here = current_bench()
            if body.formula != record.body.formula:
                ask_formula(body.formula, here.library, "formula")
            parse(body.formula, "formula")
            label = label_of(body)
            for finding in refusals(label_findings(label, here.state, here.library)):
                form.refuse(finding.say, "formula")
        if record.kind == "batch.planned":
            for finding in refusals(gate_plan(body, current_bench().state, current_bench().library)):
                form.refuse(f"{finding.say} {', '.join(finding.because)}")
    except Refusal as refusal:
        form.refuse(refusal, field_of(refusal))


def _show(thing: str, record: Record, form: Form) -> Response:
    here = current_bench()
    found = sides(record)
    alike, apart = side_by_side([describe_record(one) for one in found])
    can = _can(record)
    return page(
        "thing/correct.html",
        form=form,
        thing=thing,
        back=_from(form),
        called=thing_label(thing),
        told=describe_record(record),
        fields=_fields(record) if can else [],
        alike=alike,
        sides=apart if len(found) > 1 else [],
        stands=here.state.is_effective(record.id),
        things=_things(_fields(record), form) if can else {},
    )


def _things(found: Sequence[Asked], form: Form) -> dict[str, list[tuple[str, str]]]:
    """For each sort of thing that a field names, the things to choose from; what stands is always among them."""
    naming = [*found, *(each for one in found for row in one.inner for each in row)]
    chosen: dict[str, list[str]] = {one.sort: [] for one in naming if one.sort}
    for one in naming:
        value = form.typed.get(one.name, "")
        if one.sort and is_ulid(value):
            chosen[one.sort].append(value)
    return {
        sort: [
            _option(thing) for thing in dict.fromkeys([*current_bench().state.things(sort)[-MOST_OFFERED:], *values])
        ]
        for sort, values in chosen.items()
    }


def _option(thing: str) -> tuple[str, str]:
    one = thing_label(thing)
    return thing, f"{one.code[:5]}-{one.code[5:]} · {one.name}" if one.code else one.name
