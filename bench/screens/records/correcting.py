"""A form for any kind of record, made from the fields of its dataclass, with what stands typed in.

A field that tells the slot (a weighing's line, a placing's firing) or names the thing itself stays as it is: to say it
of another one, the record is withdrawn and made anew.
"""

import math
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass, replace
from typing import Any, Literal, Union, get_args, get_origin

from bench.records.kinds import Kind
from bench.records.schema import Ulid, When, json_name
from bench.science.refusal import Refusal
from bench.screens.kit.field_words import declared_field, field_unit, field_words
from bench.steps import BY_RECORD
from bench.steps.conditions import UNKNOWN, holds, names, parse
from bench.steps.declare import Step
from bench.steps.fields import Field as Declared
from bench.steps.named import tidy
from bench.web.forms import NOTE_MAX, Form
from bench.web.numbers import read_number
from bench.web.words import _

NOT_CORRECTED = frozenset(
    {
        "withdrawn",
        "code.issued",
        "photo.kept",
        "file.attached",
        "setting.changed",
        "card.changed",
        "timer.set",
        "series.planned",
    }
)
"""Kinds that are withdrawn, or said anew, but not corrected field by field."""
FIXED = frozenset(
    {"thing", "of", "rule", "step", "blank", "container", "photo", "areas", "card"} | {"illuminant", "residual"}
)
LONG_TEXTS = frozenset({"why", "packing"})
MOST_ROWS = 60
LARGEST = 1e9


@dataclass(frozen=True)
class Asked:
    """One field as the form asks for it.

    `look` is number, whole, words, lines, choice, yesno, thing, rows or fixed. `options` are for choice; `sort` for
    thing; `inner` for rows, one list of fields a row.
    """

    name: str
    key: str
    look: str
    required: bool
    options: tuple[str, ...] = ()
    sort: str = ""
    inner: tuple[tuple["Asked", ...], ...] = ()
    declared: Declared | None = None
    """Its declaration, where a step declares this kind of record: the bounds and words of its first form."""

    @property
    def label(self) -> str:
        """What it is called."""
        return field_words(self.key) if self.declared is None else _(self.declared.label)

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """Its options with their words."""
        if self.declared is not None:
            return [(option.value, _(option.words)) for option in self.declared.options]
        return [(option, _(option.replace("-", " "))) for option in self.options]

    @property
    def unit(self) -> str:
        """Its unit, or nothing."""
        if self.declared is None:
            return field_unit(self.key)
        return _(self.declared.unit) if self.declared.unit else ""


def asked(kind: Kind, body: Any) -> list[Asked]:
    """The fields of a kind, for a record that says `body`."""
    found = _asked(kind.data, body, "", kind.key)
    return [_declared_so(one, declared_field(one.key, kind.name), body) for one in found]


def _declared_so(one: Asked, declared: Declared | None, body: Any) -> Asked:
    """The field as its step declares it, and those of its rows."""
    if declared is None:
        return replace(one, look="fixed") if one.look == "thing" else one
    found = replace(one, declared=declared)
    if declared.fixed:
        return replace(found, look="fixed")
    if one.look == "rows":
        fields_of = {each.name: each for each in declared.rows}
        inner = (tuple(_declared_so(each, fields_of.get(each.key), None) for each in row) for row in one.inner)
        return replace(found, inner=tuple(inner))
    if one.look == "thing":
        return replace(found, look="thing" if declared.of else "fixed", sort=declared.of)
    if one.look == "words" and getattr(body, one.key, None) in declared.values:
        return replace(found, look="choice", options=declared.values)
    return replace(found, look="lines") if one.look == "words" and declared.lines else found


def _asked(schema: type, body: Any, prefix: str, slot_key: str | None) -> Iterator[Asked]:
    hints = typing.get_type_hints(schema)
    for field in fields(schema):
        key = json_name(field.name)
        value = getattr(body, field.name) if body is not None else None
        if field.name in FIXED or field.name == slot_key:
            yield Asked(prefix + key, key, "fixed", False)
        else:
            yield _field(hints[field.name], field, prefix + key, key, value)


def _field(hint: Any, field: Field[Any], name: str, key: str, value: Any) -> Asked:
    inner, optional = _bare(hint)
    required = field.default is MISSING and not optional
    if get_origin(inner) is Literal:
        return Asked(name, key, "choice", required, options=tuple(map(str, get_args(inner))))
    if get_origin(inner) is tuple:
        return _listed(inner, name, key, value, required)
    if inner is bool:
        return Asked(name, key, "yesno", not optional, options=("yes", "no", *(("unknown",) if optional else ())))
    if inner is Ulid:
        return Asked(name, key, "thing", required)
    looks = {float: "number", int: "whole", When: "fixed"}
    text = "lines" if key in LONG_TEXTS else "words"
    return Asked(name, key, looks.get(inner, text), required)


def _bare(hint: Any) -> tuple[Any, bool]:
    """A hint without its None, and whether it had one."""
    if get_origin(hint) in (Union, types.UnionType):
        return next(h for h in get_args(hint) if h is not type(None)), True
    return hint, False


def _listed(hint: Any, name: str, key: str, value: Any, required: bool) -> Asked:
    of = get_args(hint)[0]
    if not is_dataclass(of):
        return Asked(name, key, "lines", required)
    rows = [*(value or ()), None][:MOST_ROWS]
    inner = tuple(tuple(_asked(typing.cast(type, of), row, f"{name}.{n}.", None)) for n, row in enumerate(rows))
    return Asked(name, key, "rows", required, inner=inner)


def start(found: list[Asked], data: Any, prefix: str = "") -> dict[str, str]:
    """What stands, as it is typed into the form: `data` is the record's plain JSON."""
    typed: dict[str, str] = {}
    for one in found:
        value = data.get(one.key) if isinstance(data, dict) or hasattr(data, "get") else None
        if one.look == "rows":
            for n, row in enumerate(one.inner):
                typed |= start(list(row), (value or [])[n] if n < len(value or []) else {})
        elif one.look == "yesno":
            typed[one.name] = {True: "yes", False: "no"}.get(value, "unknown")  # type: ignore[arg-type]
        elif isinstance(value, list | tuple):
            typed[one.name] = "\n".join(_plain(part) for part in value)
        elif value is not None:
            typed[one.name] = _plain(value)
    return typed


def _plain(value: Any) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def read(form: Form, found: list[Asked], kind: Kind, data: Any) -> dict[str, Any]:
    """The record's data as the form says it, fixed fields as they stand; every refusal stands beside its field."""
    hints = typing.get_type_hints(kind.data)
    said: dict[str, Any] = {}
    for one in found:
        hint = next(hints[f.name] for f in fields(kind.data) if json_name(f.name) == one.key)
        said[one.key] = _read(form, one, hint, data.get(one.key))
    kept = _worked_out_anew(form, BY_RECORD.get(kind.name), said, data)
    refuse_needs(form, BY_RECORD.get(kind.name), kept, data)
    return kept


def _worked_out_anew(
    form: Form, step: Step | None, said: Mapping[str, Any], stands: Mapping[str, Any]
) -> dict[str, Any]:
    """What was said, a difference left as it stood taken anew where what was taken off is said otherwise.

    What the balance showed is not recorded: it is what stands and what was taken off together.
    """
    kept = {key: value for key, value in said.items() if value is not None}
    for work in step.work_out if step is not None else ():
        less = work.given[-1].name if work.function == "minus" else ""
        before, now = stands.get(less), said.get(less)
        if form.errors or before is None or now == before or said[work.name] != stands.get(work.name):
            continue
        if said[work.name] is not None:
            kept[work.name] = tidy(said[work.name] + before - (now or 0.0))
            if kept[work.name] <= 0:
                form.refuse(_("It must weigh less than {g:g} g.", g=tidy(said[work.name] + before)), less)
    return kept


def refuse_needs(form: Form, step: Step | None, data: dict[str, Any], stands: Mapping[str, Any]) -> None:
    """What the first form refuses of several fields together is refused here too, as far as this form changes them."""
    held = {one.name for one in step.recorded} if step is not None else set()
    open_ = {one.name for one in step.recorded if not one.fixed} if step is not None else set()
    for need in step.needs if step is not None else ():
        asked = {need.name, *names(parse(need.when))}
        changed = any(data.get(name) != stands.get(name) for name in asked)
        if need.name in open_ and asked <= held and changed and _surely(need.when, data):
            form.refuse(_(need.say), need.name)


def _surely(when: str, data: Mapping[str, Any]) -> bool:
    return holds(parse(when), lambda name: data.get(name, UNKNOWN)) is True


def _read(form: Form, one: Asked, hint: Any, stands: Any) -> Any:
    match one.look:
        case "fixed":
            return stands
        case "rows":
            return _read_rows(form, one, stands)
        case "number" | "whole":
            return _read_number(form, one, stands)
        case "choice":
            return form.choice(one.name, one.options, required=one.required)
        case "yesno":
            return {"yes": True, "no": False}.get(form.choice(one.name, one.options, required=one.required) or "")
        case "thing":
            return form.ulid(one.name, required=one.required)
    inner, _optional = _bare(hint)
    if inner is Any and isinstance(stands, int | float) and not isinstance(stands, bool):
        return form.number(one.name, low=-LARGEST, high=LARGEST, required=one.required)
    if get_origin(inner) is tuple:
        return _read_list(form, one, get_args(inner)[0])
    most = one.declared.most if one.declared is not None else NOTE_MAX
    return form.text(one.name, max_len=most, lines=one.look == "lines", required=one.required)


def _read_number(form: Form, one: Asked, stands: Any = None) -> float | int | None:
    if stands is not None and form.typed.get(one.name, "").strip() == _plain(stands):
        return typing.cast(float, stands)  # left as it was: whoever corrects another field need not mend this one
    low, high = _span(one)
    if one.look == "whole":
        return form.whole(one.name, low=math.ceil(low), high=int(high), unit=one.unit, required=one.required)
    return form.number(one.name, low=low, high=high, unit=one.unit, required=one.required)


def _span(one: Asked) -> tuple[float, float]:
    """The least and the most that a field may hold, as it is declared; else its schema says."""
    return (-LARGEST, LARGEST) if one.declared is None else (one.declared.low, one.declared.high)


def _read_rows(form: Form, one: Asked, stands: Any) -> list[dict[str, Any]]:
    """The rows that say something; one that was emptied is left out."""
    before = list(stands or [])
    rows: list[dict[str, Any]] = []
    for n, row in enumerate(one.inner):
        old = before[n] if n < len(before) else {}
        typed = [each for each in row if each.look not in ("fixed", "choice", "yesno")]
        if not any(form.typed.get(each.name, "").strip() for each in typed):
            continue
        new = {each.key: _read(form, each, str, old.get(each.key)) for each in row}
        if any(each.key == "line" for each in row) and new.get("line") is None:
            new["line"] = max([part.get("line", -1) for part in (*before, *rows)], default=-1) + 1
        rows.append({key: value for key, value in new.items() if value is not None})
    if one.required and not rows:
        form.refuse(_("Keep at least one of these."), one.name)
    return rows


def _read_list(form: Form, one: Asked, of: Any) -> list[Any] | None:
    """One value a line: numbers, or words."""
    text = form.text(one.name, lines=True, required=one.required)
    parts = [part.strip() for part in (text or "").split("\n") if part.strip()]
    if of is not float:
        return list(parts)
    numbers: list[Any] = []
    low, high = _span(one)
    for part in parts:
        with form.beside(one.name):
            numbers.append(read_number(part, low=low, high=high))
    return numbers or None


def field_of(refusal: Refusal) -> str:
    """The form's name of the field that a refused record names: `sources[0].g` is `sources.0.g`."""
    return (refusal.field or "").replace("[", ".").replace("]", "")
