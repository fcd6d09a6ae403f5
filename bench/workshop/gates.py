"""Gates: what stands against a step before it is done, in plain reasons. What was done in fact is never refused.

A gate joins the order of the work (a batch is weighed before it is mixed) with the rules of safety, for one step of one
thing. A step is open when nothing in its findings refuses or blocks.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from bench.reckoning.rules import Decision, Finding, Part, judge, overridden
from bench.records.kinds import BatchPlanned, Source
from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import EFFECTS
from bench.science.leaps import CONFIRMS_MIN
from bench.steps import BY_VERB
from bench.steps.judging import against
from bench.translation import _
from bench.workshop import conditions
from bench.workshop.asked import fires_before, listed, still_open
from bench.workshop.facts import look_on
from bench.workshop.parts import batch_parts, charge_parts, plan_parts, source_parts
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import Charge, batches_of, charge, wet_with
from bench.workshop.things.crucibles import charges_before, crucible, earlier_charges, held_unread
from bench.workshop.things.firings import Firing, firing, occupied
from bench.workshop.ware_fit import attacks

Findings = list[Finding]
AFTER = "after-shutdown"
COLD_C = 40.0
"""Below this a chamber counts as cold (project default)."""
STAYS_IN_FIRE = ("line", "target")
"""Roles of the parts that a fired powder is still made of. Liquids and binders have left."""
GONE_IN_FIRE = ("paste_solvent", "damp", "undried", "lid")
"""Conditions of a charge that say nothing of the powder that came out of it."""
NO_PLACE = ("charge-ended", "charge-elsewhere", "firing-closed")
"""Rules for which no place of a firing is better than another."""
DECLARED_AS = {"mix": "grind"}
"""The steps of the rules that are parts of a declared step."""


def reason(rule: str, say: str, step: str, effect: str = "block", because: tuple[str, ...] = ()) -> Finding:
    """A reason of the work's own order, in the form that the rules use."""
    return Finding(rule, effect, say, (), "project default", "none", because, step)


def declared(
    state: State, verb: str, thing: str | None, step: str = "", fields: dict[str, Any] | None = None
) -> Findings:
    """What a declared step has against it in the order of the work, with what its form says; nothing for another."""
    if verb not in BY_VERB:
        return []
    look = look_on(state, thing, fields)
    found = against(BY_VERB[verb], look, _)
    return [
        Finding(one.gate.rule, one.gate.effect, one.say, (), one.gate.source, "none", (), step or verb) for one in found
    ]


def stops(findings: Iterable[Finding]) -> Findings:
    """Those findings that keep the step from being done."""
    return [f for f in findings if f.effect in ("refuse", "block")]


def gate_plan(plan: BatchPlanned, state: State, library: Library) -> Findings:
    """What stands against planning this, before it is recorded."""
    return judged("plan", plan_parts(plan, state), conditions.of_plan(plan, library), state, library, None)


def gate_batch(state: State, step: str, thing: str, library: Library, **more: Any) -> Findings:
    """What stands against weighing, mixing, grinding or drying a batch. `more` adds conditions, such as a liquid."""
    view = batch(state, thing)
    if view is None:
        return [reason("no-such-thing", _("There is no such batch on this bench."), step)]
    own = declared(state, DECLARED_AS.get(step, step), thing, step)
    found = conditions.of_bench(state) | conditions.of_batch(state, thing, library) | more
    parts = batch_parts(state, thing) + [Part(None, m, role="liquid") for m in _liquids(more)]
    return own + judged(step, parts, found, state, library, thing)


def _liquids(more: Mapping[str, Any]) -> list[str]:
    liquid = more.get("paste_solvent")
    return [liquid] if isinstance(liquid, str) and liquid not in ("none", "dry", "unknown") else []


def gate_load(
    state: State,
    vessel: str,
    sources: tuple[Source, ...],
    lid: str,
    library: Library,
    packing: str | None = None,
    **more: Any,
) -> Findings:
    """What stands against filling a crucible with these sources under this lid, with what is packed round them."""
    view = crucible(state, vessel)
    if view is None:
        return [reason("no-such-thing", _("There is no such crucible on this bench."), "load")]
    own = declared(state, "load", None, fields={"crucible": vessel}) + _not_reckoned(held_unread(state, vessel))
    for source in (one.batch for one in sources if one.batch is not None):
        own += [one for one in declared(state, "load", source) if one.rule == "weigh-first"]
    # A fired powder is fired again as its batches were planned: its plan still says how hot.
    batches = [b for s in sources for c in charges_before(state, s) for b in batches_of(state, c)]
    batches += [s.batch for s in sources if s.batch]
    plans = [state.slot(b, "batch.planned").body for b in dict.fromkeys(batches)]
    terms = conditions.of_bench(state) | conditions.of_plans(plans, library) | conditions.of_crucible(state, vessel)
    parts = source_parts(state, sources) + ([Part(None, packing, role="packing")] if packing else [])
    own += attacks(library.ware.get(view.added.ware), parts, terms.get("peak_c"))
    return own + judged("load", parts, terms | {"lid": lid} | more, state, library, None)


def _not_reckoned(unread: tuple[str, ...]) -> Findings:
    if not unread:
        return []
    say = _("Not counted: {unread}. The crucible held it; the formula cannot be read.", unread=", ".join(unread))
    return [reason("held-unread", say, "load", effect="flag", because=unread)]


def gate_place(
    state: State, thing: str, firing_id: str, place: tuple[int, int | None, int | None, int | None]
) -> Findings:
    """What stands against placing a charge at a place of a firing."""
    view, fire = charge(state, thing), firing(state, firing_id)
    if view is None or fire is None:
        return [reason("no-such-thing", _("There is no such charge or firing on this bench."), "load")]
    order = declared(state, "place", thing, "load", {"firing": firing_id})
    if any(one.rule in NO_PLACE for one in order):
        return order
    own = chamber_hot(state, fire)
    there = occupied(state, firing_id).get(place)
    if there is not None and there != thing:
        own.append(reason("place-taken", _("Another crucible is at this place already."), "load"))
    return own + order


def chamber_hot(state: State, fire: Firing) -> Findings:
    """Whether the furnace was last hot: by its last reading in another fire, and after an unread fire in any case."""
    last = last_fire(state, fire)
    if fire.lit_at is not None or fire.last_reading is not None or last is None:
        return []
    if last.proved_c is None or last.proved_c >= COLD_C:
        said = _("Chamber was hot when last read. Read it now, or wait.")
        return [reason("chamber-hot", said, "load", because=(last.name,))]
    return []


def last_fire(state: State, fire: Firing) -> Firing | None:
    """The fire of the same furnace before this one that was lit last; None where there is none."""
    last = next(fires_before(state, fire), None)
    return firing(state, last) if last is not None else None


def one_a_rule(findings: Findings) -> Findings:
    """One finding a rule, with all the crucibles that it speaks of."""
    found: dict[tuple[str, str], Finding] = {}
    for f in findings:
        before = found.get((f.rule, f.effect))
        because = tuple(dict.fromkeys((*(before.because if before else ()), *f.because)))
        found[(f.rule, f.effect)] = Finding(**{**f.__dict__, "because": because})
    return sorted(found.values(), key=lambda f: EFFECTS.index(f.effect))


def gate_dry(state: State, thing: str, library: Library, **more: Any) -> Findings:
    """What stands against drying a charge in its crucible. `more` adds conditions, such as where it dries."""
    view = charge(state, thing)
    if view is None:
        return [reason("no-such-thing", _("There is no such charge on this bench."), "dry")]
    own = declared(state, "dry", thing)
    if view.state in ("opened", "lost"):
        return own
    terms = conditions.of_bench(state) | conditions.of_charge(state, thing, library) | more
    return own + judged("dry", charge_parts(state, thing), terms, state, library, thing)


def gate_out(state: State, thing: str, library: Library) -> Findings:
    """What stands against taking a charge out of the heat, or opening it, now."""
    view = charge(state, thing)
    if view is None:
        return [reason("no-such-thing", _("There is no such charge on this bench."), "open")]
    if view.state in ("opened", "lost"):
        return declared(state, "open", thing)
    terms = conditions.of_bench(state) | conditions.of_opening(state, thing, library)
    own = _not_off(state, view, library) + _doubted(state, view)
    return own + judged("open", charge_parts(state, thing), terms, state, library, thing)


def _doubted(state: State, view: Charge) -> Findings:
    """That the furnace it stands in was read cold too soon: what it fell from still counts."""
    fire = firing(state, view.stay.firing) if view.stay is not None and view.state == "in-heat" else None
    if fire is None or fire.doubted is None or fire.last_reading is None:
        return []
    minutes, before_c = fire.doubted
    say = _(
        "{c:.0f} °C was read {n:.0f} min after {before_c:.0f} °C. The probe may be loose. "
        "Read it again in {wait:.0f} min.",
        c=fire.last_reading.body.c,
        n=max(minutes, 1.0),
        before_c=before_c,
        wait=CONFIRMS_MIN,
    )
    return [reason("reading-doubted", say, "open", effect="flag")]


def _not_off(state: State, view: Charge, library: Library) -> Findings:
    """Whether it stands in a furnace whose gas or power was not off when that was asked after the fire."""
    if view.stay is None or view.state != "in-heat":
        return []
    found = still_open(listed(state, library, AFTER, view.stay.firing), "open")
    not_done = tuple(one.says for one in found if one.answered is not None)
    say = _("A check after the fire was answered with not done. Do it first.")
    return [reason("check-says-stop", say, "open", because=not_done)] if not_done else []


def gate_pigment(
    state: State,
    step: str,
    thing: str,
    library: Library,
    liquid: str | None = None,
    binder: str | None = None,
    **more: Any,
) -> Findings:
    """What stands against washing, grinding, drying or swatching a fired powder.

    What it was ground in and bound with before its fire is gone. `liquid` is what it is ground in now (else what it was
    last ground in and not dried of), `binder` what it is painted out with. `more` adds conditions, such as an acid.
    """
    parts: list[Part] = []
    hot = False
    found: dict[str, Any] = {}
    for earlier in earlier_charges(state, thing):
        parts += [p for p in charge_parts(state, earlier) if p.role in STAYS_IN_FIRE]
        view = charge(state, earlier)
        hot = hot or (view is not None and view.too_hot_to_touch)
        told = conditions.of_charge(state, earlier, library)
        found |= {name: value for name, value in told.items() if name not in GONE_IN_FIRE}
    wet = wet_with(state, thing) if liquid is None else liquid
    parts += [Part(None, wet, role="liquid")] if wet not in (None, "", "dry", "none") else []
    parts += [Part(None, binder, role="binder")] if binder else []
    found |= {"was_hot": hot, "damp": wet is not None, "undried": wet is not None}
    return judged(step, parts, conditions.of_bench(state) | found | more, state, library, thing)


def judged(
    step: str, parts: list[Part], terms: Mapping[str, Any], state: State, library: Library, thing: str | None
) -> Findings:
    found = judge(step, parts, terms, library)
    if thing is None:
        return found
    return list(overridden(found, decisions(state, thing)).still)


def decisions(state: State, thing: str) -> list[Decision]:
    """The recorded decisions to go on in spite of a rule, for one thing."""
    rows = [r.body for r in state.own(thing, "rule.overridden")]
    return [Decision(b.rule, b.step, b.who, b.why) for b in rows]
