"""The form of a declared step read: each field by its own reader, what is worked out of them, and what they need.

`read_step` gives what was typed and what of it is recorded; each refusal stands beside its field. A correction asks
the fields that a record holds, within the same bounds.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from bench.screens.kit.gating import repeated
from bench.screens.kit.last import last_of
from bench.steps.conditions import UNKNOWN, holds, names, parse
from bench.steps.declare import Step
from bench.steps.fields import Field
from bench.steps.judging import past
from bench.steps.looking import value_of
from bench.steps.named import FUNCTIONS, tidy
from bench.web.current import current_bench
from bench.web.forms import Asked, Form, blank
from bench.web.page import grams
from bench.web.sending import was_done_before
from bench.web.words import _
from bench.workshop.facts import look_on

Values = dict[str, Any]


@dataclass(frozen=True)
class Typed:
    """What a form said: `fields` as typed, without what was left empty; `data` as its record holds it."""

    fields: Values = field(default_factory=dict)
    data: Values = field(default_factory=dict)


def start_of(step: Step, thing: str) -> dict[str, Any]:
    """What stands in the form of a step before anything is typed."""
    look = look_on(current_bench().state, thing)
    return {one.name: _first_option(one, value_of(one.start, {}, look)) for one in step.asked}


def form_of(step: Step, thing: str, **start: Any) -> Form:
    """The form of a step before anything is typed: what is known of the thing, and habits as they were last time."""
    state = current_bench().state
    form = blank(**start_of(step, thing) | start)
    sort = state.kind_of.get(thing, "")
    last = last_of(sort, step.record) if step.record else None
    for one in step.asked:
        if one.as_last and last is not None:
            form.offer(**{one.name: getattr(last.body, one.name, None)})
    return form


def _first_option(one: Field, value: Any) -> Any:
    """A choice that has to be made begins with one of its options: the first where the fact is none of them."""
    begins = one.start is not None and bool(one.options) and value not in one.values
    return one.values[0] if begins else value


def read_step(form: Form, step: Step, thing: str) -> Typed:
    """What the form of a step on this thing says; `form.errors` holds what is refused."""
    typed: Values = {}
    for one in (*step.asked, *step.old):
        _take_alias(form, one)
        idle = bool(one.when) and holds(parse(one.when), look_on(current_bench().state, thing, typed)) is False
        value = read_field(form, one, required=one.required and not idle)
        if value is not None:
            typed[one.name] = value
    data = data_of(step, thing, typed)
    for need in step.needs:
        asked = {need.name, *names(parse(need.when))}
        # What was done is a fact: a form can be wrong by itself then, but not by what is left of a thing.
        of_things = any("." in name for name in asked)
        if asked & set(form.errors) or (of_things and _was_done(form)):
            continue
        if holds(parse(need.when), look_on(current_bench().state, thing, typed)) is True:
            form.refuse(_(need.say), need.name)
    return Typed(typed, data)


def _was_done(form: Form) -> bool:
    """Whether a form tells of what was done before it came: late, sent again, or after it waited on a phone."""
    return form.happened_ms is not None or form.flag("in_fact") or repeated(form) or was_done_before()


def _take_alias(form: Form, one: Field) -> None:
    for name in one.alias:
        if name in form.typed:
            form.typed.setdefault(one.name, form.typed[name])


def data_of(step: Step, thing: str, typed: Values) -> Values:
    """What the record holds of what was typed: the fields that are kept, and those that are worked out."""
    kept = {one.name for one in step.recorded}
    found = {name: value for name, value in typed.items() if name in kept}
    look = look_on(current_bench().state, thing, typed)
    for work in step.work_out:
        value = FUNCTIONS[work.function](*(value_of(given, typed, look) for given in work.given))
        if value is not UNKNOWN and value is not None:
            found[work.name] = tidy(value) if isinstance(value, float) else value
    starts = {one.name: one.default for one in step.recorded if one.default is not None and one.kind != "flag"}
    return starts | found


def read_named(form: Form, step: Step, *names: str) -> Values:
    """Some fields of a step as its form says them, for a screen that asks the rest in its own way."""
    found = [step.field(name) for name in names]
    return {one.name: read_field(form, one, one.required and one.default is None) for one in found}


def read_field(form: Form, one: Field, required: bool) -> Any:
    """One field as its kind is read; None where it is empty or refused."""
    match one.kind:
        case "number":
            return form.number(one.name, low=one.low, high=one.high, unit=one.unit, required=required)
        case "whole":
            return form.whole(one.name, low=int(one.low), high=int(one.high), unit=one.unit, required=required)
        case "choice":
            return form.choice(one.name, one.values, required=required)
        case "flag":
            return form.flag(one.name) or None
        case "thing":
            return form.choice(one.name, current_bench().state.open_things(one.of), required=required)
        case "code":
            return form.code(one.name, required=required)
    return form.text(one.name, max_len=one.most, required=required, lines=one.lines)


def past_words(step: Step, thing: str | None, data: Mapping[str, Any]) -> str:
    """What was done, as the next screens say it beside *Undo*."""
    return past(step, look_on(current_bench().state, thing, dict(data)), _, grams)


def shown_fields(form: Form, step: Step, thing: str) -> list[Field]:
    """The fields that the form of a step asks now: without those that only other answers or facts bring up.

    One that another field of the form brings up is drawn all the same, and folded away by the page; so is one that is
    asked no more, where an older page sent something in it that is refused.
    """
    own = {one.name for one in step.asked}
    for one in step.asked:
        if one.kind in ("number", "whole"):
            required = one.required and not one.when
            form.asks[one.name] = Asked(one.low, one.high, one.unit, one.kind == "whole", required)
    now = [one for one in step.asked if _may_be_asked(one, own, thing) or form.errors.get(one.name)]
    return now + [one for one in step.old if form.errors.get(one.name)]


def _may_be_asked(one: Field, own: Iterable[str], thing: str) -> bool:
    if not one.when or set(own) & set(names(parse(one.when))):
        return True
    return holds(parse(one.when), look_on(current_bench().state, thing)) is not False
