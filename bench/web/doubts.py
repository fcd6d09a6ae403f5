"""Whether what a form says is asked once more before it is recorded: a mass or a time that can hardly be right.

All that is recorded of a form comes by here, so no screen asks by itself. The question stands at the head of the page
(`templates/parts/doubt.html`); its key sends the form again with `sure`, which is good for these figures alone.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from flask import g

from bench.steps import BY_RECORD
from bench.steps.declare import Step
from bench.steps.doubting import MINUTE_END_MS, TIME, Doubted, doubted, unsure
from bench.steps.judging import figure
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.moments import clock_text, date_text
from bench.web.sending import attended, was_done_before
from bench.web.words import _
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.facts import look_on

DOUBT = _("Is it right? {value} {unit}: {label}")
DOUBT_TIME = _("Is the time right? {when}")
DOUBT_SLIP = _("{n} times what is expected. Is the decimal point in the right place?")
"""How a figure is asked, a time, and what is said of one that is ten or a hundred times what is expected."""


class Told(Protocol):
    """What is asked of one record of a submit."""

    @property
    def kind(self) -> str: ...
    @property
    def subject(self) -> str | None: ...
    @property
    def data(self) -> Mapping[str, Any]: ...
    @property
    def corrects(self) -> Any: ...
    @property
    def happened_ms(self) -> int | None: ...
    @property
    def imported(self) -> bool: ...


@dataclass(frozen=True)
class Question:
    """A figure that is asked once more, in words. `name` is its field, `key` what says that it is right."""

    name: str
    title: str
    says: tuple[str, ...]
    key: str


def must_ask(entries: Iterable[Told], form: Form) -> bool:
    """Whether the form waits for an answer; the questions then stand in `g.doubts` for the page."""
    here = current_bench()
    if here.state.record(form.record_id) is not None or (was_done_before() and not attended()):
        return False
    found = [one for entry in entries if not entry.imported for one in _of_entry(entry, form)]
    g.doubts = list({one.name: one for one in found}.values())
    return bool(g.doubts)


def _of_entry(entry: Told, form: Form) -> list[Question]:
    step = BY_RECORD.get(entry.kind)
    if step is None or not step.doubts:
        return []
    happened = form.happened_ms if entry.happened_ms is None else entry.happened_ms
    at = current_bench().now_ms() if happened is None else happened + MINUTE_END_MS
    state = current_bench().state
    data = {name: value for name, value in entry.data.items() if value is not None} | {"at": at}
    found = doubted(step, lambda fields: look_on(state, entry.subject, fields), data, _, _grams, _moment)
    # What corrects a record is held against facts that the record itself made.
    asked = [one for one in found if one.name == TIME or not entry.corrects]
    return [_question(step, one) for one in unsure(asked, form.typed.get("sure", ""))]


def _grams(g_: float) -> str:
    return grams_text(g_, readability_g(current_bench().state))


def _moment(ms: float) -> str:
    zone = current_bench().zone_min()
    return f"{date_text(int(ms), zone)} {clock_text(int(ms), zone)}"


def _question(step: Step, one: Doubted) -> Question:
    if one.name == TIME:
        title = _(DOUBT_TIME, when=_moment(one.value - MINUTE_END_MS))
        return Question(one.name, title, (one.say,), one.key)
    field = step.field(one.name)
    title = _(DOUBT, value=figure(one.value), unit=field.unit, label=_(one.called or field.label))
    return Question(one.name, title, (*slipped(one.slip), one.say), one.key)


def slipped(times: float | None) -> tuple[str, ...]:
    """That a figure is about ten or a hundred times what is expected, where it is."""
    if times is None:
        return ()
    return (_(DOUBT_SLIP, n=f"{times:g}"),)
