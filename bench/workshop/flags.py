"""Flags: rules that were broken in fact, as the records tell. Nothing here was refused; it is kept in sight."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from bench.records.state import State
from bench.reference import Library
from bench.steps import HOUSE, STEPS
from bench.steps.judging import flags_after
from bench.translation import _
from bench.workshop.answered import answers, item_words
from bench.workshop.charge_flags import against_order
from bench.workshop.conditions import ALONE
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.things.charges import COOL_C, Charge, charge, powder_is_damp
from bench.workshop.things.crucibles import ENDS, charge_unread, crucible, held_unread
from bench.workshop.things.firings import charges_in, firing, readings_of
from bench.workshop.things.jars import jar
from bench.workshop.waste_gate import clashes_in_fact

PHASES = ("before-lighting", "before-opening", "after-shutdown")


@dataclass(frozen=True)
class Flag:
    """One rule that was broken in fact: in words, and when; `record` is what tells it, where one record does."""

    say: str
    at: datetime | None = None
    record: str | None = None


def flags_of(state: State, thing: str, library: Library) -> list[Flag]:
    """The flags of a thing, the earliest first; those without a moment at the end."""
    finders = {"firing": _firing, "charge": _charge, "crucible": _crucible, "jar": _jar, "pigment": _pigment}
    finders["waste"] = partial(_waste, library)
    sort = state.sort_of(thing) or ""
    found = [
        *_decisions(state, thing, library),
        *_not_done(state, thing, library),
        *_blank(state, thing, library),
        *(finders[sort](state, thing) if sort in finders else ()),
    ]
    return sorted(dict.fromkeys(found), key=lambda flag: (flag.at is None, flag.at.timestamp() if flag.at else 0.0))


def _decisions(state: State, thing: str, library: Library) -> Iterator[Flag]:
    for record in state.own(thing, "rule.overridden"):
        rule = library.rules.get(record.body.rule)
        reason = rule.in_general if rule is not None else record.body.rule
        say = _(
            "Overridden: {reason} By {who}: {why}",
            reason=reason,
            who=record.body.who,
            why=record.body.why,
        )
        yield Flag(say, record.when, record.id)


def _not_done(state: State, thing: str, library: Library) -> Iterator[Flag]:
    """What stands answered with *not done* at a firing."""
    if state.sort_of(thing) != "firing":
        return
    for item, record in answers(state, thing, library).items():
        if record.body.answer == "not-done" and record.body.list in PHASES:
            yield Flag(_("Not done: {item}", item=item_words(item, library)), record.when, record.id)


def _blank(state: State, thing: str, library: Library) -> Iterator[Flag]:
    """The hard stops that a sheet left blank, until somebody answers them."""
    answered = answers(state, thing, library)
    for record in (*state.own(thing, "lit"), *state.own(thing, "fire.off")):
        for item in record.body.blank:
            if item not in answered:
                say = _("Blank on the run sheet: {item}", item=item_words(item, library))
                yield Flag(say, record.when, record.id)


def _firing(state: State, thing: str) -> Iterator[Flag]:
    view = firing(state, thing)
    if view is None:
        return
    lit = state.slot(thing, "lit").record
    for words in view.deviations:
        yield Flag(_("Lit although: {words}", words=words), view.lit_at, lit.id if lit is not None else None)
    for record in state.own(thing, "noted"):
        if record.body.what == "watch" and record.body.value == ALONE:
            yield Flag(_("The fire was left burning unattended."), record.when, record.id)
    lining = view.furnace.lining_rated_c if view.furnace is not None else None
    hottest = _hottest(state, thing)
    if lining is not None and hottest is not None and hottest[1] > lining:
        say = _(
            "The furnace read {hottest:g} °C; the lining is rated to {lining:g} °C.", hottest=hottest[1], lining=lining
        )
        yield Flag(say, hottest[0])
    for one in charges_in(state, thing):
        yield from (flag for flag in _charge(state, one, thing))


def _hottest(state: State, thing: str) -> tuple[datetime, float] | None:
    return max(((r.when, r.body.c) for r in readings_of(state, thing)), key=lambda each: each[1], default=None)


def _charge(state: State, thing: str, only: str | None = None) -> Iterator[Flag]:
    """The flags of a charge; with `only`, those that this firing had a part in."""
    view = charge(state, thing)
    if view is None:
        return
    code = _read_out(view.crucible_code)
    yield from broken_with(state, view, only)
    vessel = crucible(state, view.crucible)
    rated = vessel.rated_c if vessel is not None else None
    for stay in view.residences:
        if stay.went_in is None or only not in (None, stay.firing):
            continue
        hottest = _hottest(state, stay.firing)
        if hottest is not None and rated is not None and hottest[1] > rated:
            yield Flag(
                _(
                    "{code} is rated to {rated:g} °C; the furnace read {hottest:g} °C.",
                    code=code,
                    rated=rated,
                    hottest=hottest[1],
                ),
                hottest[0],
            )
    if only is None:
        for text in charge_unread(state, thing):
            yield Flag(_("Not counted: {text}. The formula cannot be read, so the elements are not known.", text=text))
        yield from _opened(state, view, code)


def broken_with(state: State, view: Charge, only: str | None = None) -> Iterator[Flag]:
    """The rules of order that were broken with a charge; with `only`, those that this firing had a part in."""
    for words, at, record in against_order(state, view, only):
        yield Flag(f"{_read_out(view.crucible_code)} {words}", at, record)


def _read_out(code: str | None) -> str:
    return f"{code[:5]}-{code[5:]}" if code else _("Its crucible")


def _opened(state: State, view: Charge, code: str) -> Iterator[Flag]:
    opened = state.slot(view.id, "opened").record
    if opened is None or not view.was_hot:
        return
    read = [
        r.body.surface_c for r in state.rows(view.id, "touched") if r.body.thing == view.id and r.when <= opened.when
    ]
    if not any(c < COOL_C for c in read):
        yield Flag(
            _("{code} was opened before its own surface read below {cool_c:g} °C.", code=code, cool_c=COOL_C),
            opened.when,
            opened.id,
        )


def _pigment(state: State, thing: str) -> Iterator[Flag]:
    yield from _declared(state, thing, "pigment")
    for record in state.rows(thing, "opened"):
        yield from _charge(state, record.subject)


def _declared(state: State, thing: str, sort: str) -> Iterator[Flag]:
    """The gates of declared steps that were passed in fact, as far as is known how the thing stood then."""
    for step in (one for one in STEPS if sort in one.on and any(gate.after for gate in one.gates)):
        for record in state.own(thing, str(step.record)):
            then = {"sort": sort, "id": thing, "wet": powder_is_damp(state, thing, record.when)}
            look = HOUSE.look({thing: then}, thing, record.data)
            for _rule, say in flags_after(step, look, _):
                yield Flag(say, record.when, record.id)


def _crucible(state: State, thing: str) -> Iterator[Flag]:
    fills = [r for r in state.effective_records(thing, "charged") if r.body.crucible == thing]
    for text in held_unread(state, thing):
        yield Flag(_("Not counted: the crucible held {text}. The formula cannot be read.", text=text))
    still = [r for r in fills if not state.emptied(r.subject)]
    if len(still) > 1:
        yield Flag(_("{n} charges are recorded in it at the same time.", n=len(still)), still[-1].when, still[-1].id)
    ends = [r for r in state.by_time(thing, "crucible.seen") if r.body.condition in ENDS]
    for fill in fills:
        if ends and fill.when > ends[0].when:
            yield Flag(
                _("It was filled although seen {condition}.", condition=ends[0].body.condition), fill.when, fill.id
            )


def _waste(library: Library, state: State, thing: str) -> Iterator[Flag]:
    added = [r for r in state.rows(thing, "waste.added") if r.body.container == thing]
    for place, found in clashes_in_fact(state, thing, library):
        yield Flag(_("Went in although: {say}", say=found.say), added[place].when, added[place].id)


def _jar(state: State, thing: str) -> Iterator[Flag]:
    view = jar(state, thing)
    if view is not None and view.left_g is not None and view.left_g < 0:
        yield Flag(_("{g} g more came out than went in.", g=grams_text(-view.left_g, readability_g(state))))
