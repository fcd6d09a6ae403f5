"""Any record in words: what it is, what it says, when, on which device, and what became of it."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import timedelta, timezone
from typing import Any

from bench.reckoning.rules.asking import said
from bench.records.kinds import Line
from bench.records.moments import instant
from bench.records.record import BENCH, Record
from bench.records.schema import is_ulid
from bench.science.formulas import pretty
from bench.screens.kit.attached import WHAT_WORDS
from bench.screens.kit.field_words import declared_field, field_unit, field_words, kind_words
from bench.screens.kit.names import line_name, slug_words
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.page import code_text
from bench.web.words import _
from bench.workshop.answered import item_words
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.things.firings import firing

Facts = list[tuple[str, str]]
HIDDEN = frozenset({"thing", "of", "photo", "file", "sha256", "slug", "library_rev"})
"""What says nothing to a person: the thing whose page it is, the marks of a file and of the library, a row's key."""
UNSAID = frozenset({"line"})
"""What says nothing inside a list: the number of a line."""
SLUGS = ("reagent", "target", "ware")
CHOSEN = frozenset({"cooling_mode", "fate", "list", "rule", "fuel"})
"""Fields whose value was one of a few words, written with hyphens in a record."""
GROUNDS = {
    "read": _("published sources"),
    "memory": _("memory"),
    "planned": _("your own plan"),
    "unknown": _("nothing"),
}
"""On what ground a cooling stands, behind *Cooling known from*."""
MOST_TEXT = 400
RECKONED_G = frozenset(["target_g", "targets_g", "fired_g", "washed_g"])
RECKONED = ("_pct", "_factor")
"""What a record holds that nobody typed: grams as the balance shows them, shares and factors to four digits."""


@dataclass(frozen=True)
class Undone:
    """By what a record was corrected or withdrawn: `how` says which, `why` is empty where nobody said."""

    how: str
    who: str
    at: str
    why: str
    record: str


@dataclass(frozen=True)
class RecordView:
    """A record as a page shows it: when it happened in its own zone, and when it was entered, where that was late."""

    id: str
    kind: str
    title: str
    facts: Facts
    at: str
    device: str
    late: str
    corrects: tuple[str, ...]
    why: str
    undone: tuple[Undone, ...]
    photo: str
    subject: str

    @property
    def line(self) -> str:
        """All that it says, on one line."""
        return " · ".join(f"{name} {value}" for name, value in self.facts)


def describe_record(record: Record) -> RecordView:
    """A record in words."""
    known = record.body is not None
    return RecordView(
        id=record.id,
        kind=record.kind,
        title=_title(record),
        facts=facts_of(record),
        at=moment_of(record),
        device=record.device,
        late=_entered(record) if record.how == "late" else "",
        corrects=record.corrects,
        why=reason_of(record.id),
        undone=tuple(undone(record)) if known else (),
        photo=record.body.photo if known and record.kind == "photo.kept" else "",
        subject=record.subject,
    )


def _title(record: Record) -> str:
    """What happened; an electric furnace is switched on, never lit."""
    if record.kind == "lit":
        fire = firing(current_bench().state, record.subject)
        return _("Switched on") if fire is not None and fire.fuel == "electric" else kind_words("lit")
    return kind_words(record.kind)


def moment_of(record: Record) -> str:
    """When it happened, in its own zone: `2026-03-01 12:00`, with the zone where that is not the reader's to know."""
    return record.local.strftime("%Y-%m-%d %H:%M")


def _entered(record: Record) -> str:
    zone = timezone(timedelta(minutes=record.tz_min))
    return instant(record.at).astimezone(zone).strftime("%Y-%m-%d %H:%M")


def undone(record: Record) -> Iterable[Undone]:
    """What stands against a record, oldest first; corrections that were withdrawn again are left out."""
    state = current_bench().state
    withdrawals = [state.records[i] for i in state.withdrawn_by.get(record.id, ()) if state.is_effective(i)]
    corrections = [state.records[i] for i in state.corrected_by.get(record.id, ()) if not _taken_back(i)]
    for one in sorted((*withdrawals, *corrections), key=lambda each: each.order):
        withdrawn = one.kind == "withdrawn"
        how = _("withdrawn") if withdrawn else _("corrected")
        why = one.data.get("why", "") if withdrawn else reason_of(one.id)
        yield Undone(how, one.device, _entered(one), str(why), one.id)


def _taken_back(record: str) -> bool:
    return any(current_bench().state.is_effective(i) for i in current_bench().state.withdrawn_by.get(record, ()))


def reason_of(correction: str) -> str:
    """Why a record was corrected: the words that were noted with the correction."""
    found = current_bench().state.rows(correction, "noted")
    return str(found[0].body.value) if found else ""


def is_reason(record: Record) -> bool:
    """Whether a note says why another record was corrected; it is shown there."""
    return record.kind == "noted" and "record" in record.also


def facts_of(record: Record) -> Facts:
    """Each field that a record fills, with its unit; of a kind that this bench does not know, its plain data."""
    if record.body is None:
        return [(name, _cut(json.dumps(value, ensure_ascii=False))) for name, value in record.data.items()]
    found: Facts = []
    for name, value in record.data.items():
        if value is None or name in HIDDEN or value == [] or _says_nothing_more(name, record):
            continue
        text = _value(name, value, record)
        found.append(
            (field_words(name, record.kind), _("{value}, assumed", value=text) if name in record.assumed else text)
        )
    return found


def _says_nothing_more(name: str, record: Record) -> bool:
    """Whether a field only says again what another one of its record does: a reading in °C as read, a note in words."""
    if record.kind == "reading":
        return name in ("raw", "raw_unit") and record.data.get("raw_unit", "C") == "C"
    return record.kind == "noted" and name == "what" and record.data["what"] == "words"


def _value(name: str, value: Any, record: Record) -> str:
    if name == "line":
        return _line(record)
    if name.endswith("_at") and isinstance(value, str):
        return instant(value).astimezone(timezone(timedelta(minutes=record.tz_min))).strftime("%Y-%m-%d %H:%M")
    if name == "cooling_basis" and value in GROUNDS:
        return _(GROUNDS[value])
    if name == "lines" and record.kind == "batch.planned":
        return _cut("; ".join(_planned_line(line) for line in record.body.lines))
    said_so = chosen_words(name, record.kind, value)
    if said_so:
        return said_so
    if record.kind == "file.attached" and name == "what":
        return WHAT_WORDS[value]
    return value_text(name, value, record.kind)


def chosen_words(name: str, kind: str, value: Any) -> str:
    """The words of a choice that a step declares, as they stand inside a line; nothing for any other value."""
    declared = declared_field(name, kind)
    options = declared.options if declared is not None else ()
    return next((_inside(_(one.words)) for one in options if one.value == value), "")


def _inside(words: str) -> str:
    """Without its capital, which an abbreviation keeps."""
    return words if words[1:2].isupper() else words.lower()


def _line(record: Record) -> str:
    """The line of a batch that was weighed, by its name."""
    here = current_bench()
    plan = here.state.slot(record.subject, "batch.planned").body
    lines = plan.lines if plan is not None else ()
    named = next((line_name(one, here.state, here.library) for one in lines if one.line == record.data["line"]), None)
    return named or str(record.data["line"])


def _planned_line(line: Line) -> str:
    """One line of a plan: what, how much, of which jar, what becomes of it, and how pure it counts."""
    here = current_bench()
    name = line_name(line, here.state, here.library)
    code = here.state.code_of(line.jar) if line.jar else None
    parts = [pretty(name) if name == line.formula else name, value_text("target_g", line.target_g)]
    parts += [code_text(code)] if code else []
    return " ".join([*parts, _text("fate", line.fate), value_text("assay_pct", line.assay_pct)])


def line_of(record: Record) -> str:
    """What a record says, on one line."""
    return " · ".join(f"{name} {value}" for name, value in facts_of(record))


def value_text(name: str, value: Any, kind: str | None = None) -> str:
    """One value in words: numbers with their unit, things by name, codes as they are read out."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, int | float):
        unit = field_unit(name, kind)
        return f"{_number(name, value)} {unit}" if unit else _number(name, value)
    if isinstance(value, str):
        return _text(name, value)
    if isinstance(value, tuple | list):
        return _cut("; ".join(value_text(name, one) for one in value))
    if isinstance(value, Mapping) and name != "row":
        parts = [(n, v) for n, v in value.items() if v is not None and n not in UNSAID]
        return " ".join(value_text(n, v) for n, v in parts)
    if isinstance(value, Mapping):
        return _cut("; ".join(_of_row(n, v) for n, v in value.items() if v not in (None, "", [])))
    return _cut(str(value))


def _of_row(name: str, value: Any) -> str:
    """One field of a row of the maker's own, by its name."""
    return f"{field_words(name)}: {said(value) if isinstance(value, str) else value_text(name, value)}"


def _number(name: str, value: float) -> str:
    """A number as it was typed; one that was reckoned as far as it is known."""
    if name in RECKONED_G:
        return grams_text(value, readability_g(current_bench().state))
    return f"{value:.4g}" if name.endswith(RECKONED) else f"{value:.10g}"


def _text(name: str, value: str) -> str:
    if is_ulid(value):
        if value == BENCH or value not in current_bench().state.kind_of:
            return _("something not known here")
        thing = thing_label(value)
        return f"{thing.name} {code_text(thing.code)}" if thing.code else thing.name
    if name in ("item", "blank"):
        return _cut(item_words(value, current_bench().library))
    if name in ("formula", "target_formula"):
        return pretty(value)
    if name in ("code", "codes"):
        return code_text(value)
    if name in SLUGS:
        return _cut(slug_words(name, value, current_bench().library))
    return _cut(_(value.replace("-", " ")) if name in CHOSEN else value)


def _cut(text: str) -> str:
    return text if len(text) <= MOST_TEXT else text[: MOST_TEXT - 1] + "…"
