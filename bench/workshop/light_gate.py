"""What stands against lighting a firing: the checks before it, and each charge that is in it."""

from bench.reckoning.rules import Finding
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import DERIVED
from bench.translation import _
from bench.workshop import answered, conditions
from bench.workshop.asked import listed, still_open
from bench.workshop.gates import Findings, judged, one_a_rule, reason
from bench.workshop.load_gas import estimates, most_g
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing

EMPTY = {"damp": False, "lid": "none", "crucible_rated_c": 9999.0, "evolves": "none", "undried": False}
"""The conditions of a furnace that is lit with nothing in it."""
CO_DATE = "light-co-date"
OF_PLACE = frozenset(
    {"chloride-indoors", "fluoride-indoors", "carbon-monoxide-charge", "release-indoors", "flame-no-flue"}
    | {"ventilation-unknown", "exposure-screen", "lining-rating"}
)
"""Rules that another place, known air or another furnace settles: nothing that is done before the fire does."""
COOLINGS_ALIKE = {"either", "in-furnace"}
OFF_PLAN_C = 25.0
"""A firing's peak this far from what a batch was planned for is pointed out (project default)."""


def gate_light(state: State, thing: str, library: Library) -> Findings:
    """What stands against lighting a firing: its checks, and every charge in it judged with its own crucible."""
    fire = firing(state, thing)
    if fire is None:
        return [reason("no-such-thing", _("There is no such firing on this bench."), "light")]
    own: Findings = []
    if fire.lit_at is not None:
        own.append(reason("already-lit", _("This firing has begun already."), "light"))
    if not state.setting("emergency_number"):
        say = _("Set the emergency number before the first firing.")
        own.append(reason("no-emergency-number", say, "light"))
    own += _of_guards(state, fire, library)
    here = conditions.of_bench(state) | conditions.of_firing(state, thing, library)
    load = [c for c in fire.charges if _still_here(state, c, thing)]
    if not load:
        own.append(reason("nothing-placed", _("No crucible is placed in this firing."), "light", effect="flag"))
        return own + judged("light", [], here | EMPTY, state, library, thing)
    here |= estimates(state, thing, load, library) | most_g(state, load, library)
    for one in load:
        terms = conditions.of_charge(state, one, library) | here
        code = _read_out(state.code_of(state.slot(one, "charged").body.crucible))
        own += [_of(f, code) for f in judged("light", charge_parts(state, one), terms, state, library, thing)]
    return _said_once(one_a_rule(own + _load_reasons(state, load, fire.peak_c)))


def _said_once(found: Findings) -> Findings:
    """Without the estimate of gas that nobody could make: that the air is not known says it already, and stops too."""
    if not any(one.rule == "ventilation-unknown" for one in found):
        return found
    return [one for one in found if one.rule != "exposure-screen" or one.sure]


def _of_guards(state: State, fire: Firing, library: Library) -> Findings:
    """What the checks, the CO alarm and a burner that did not light say against lighting."""
    found = listed(state, library, conditions.LIGHTING, fire.id)
    own: Findings = []
    not_done = tuple(one.says for one in still_open(found, "light") if one.answered is not None)
    if not_done:
        say = _("A check before the fire was answered with not done. Do it first.")
        own.append(reason("check-says-stop", say, "light", because=not_done))
    if any(one.kind == DERIVED and one.item.slug == CO_DATE for one in found):
        own += _of_alarm(state, answered.of_firing(state, fire.id, library).get(conditions.CO_ALARM))
    missed = answered.failed_to_light(state, fire.id)
    purge = answered.of_firing(state, fire.id, library).get(answered.PURGE)
    if missed is not None and purge is None:
        say = _("It did not light: gas off, wait five minutes, purge again.")
        own.append(reason("did-not-light", say, "light"))
    return own


def _of_alarm(state: State, tested: Record | None) -> Findings:
    if not state.setting(conditions.CO_EXPIRES):
        say = _("CO alarm’s expiry date is not known. Read it on its back.")
        return [reason("co-alarm-date", say, "light", effect="flag")]
    if tested is not None and conditions.co_alarm_is_old(state, tested.when):
        say = _("CO alarm is past its date: its sensor may be blind. Replace it.")
        return [reason("co-alarm-old", say, "light")]
    return []


def _still_here(state: State, thing: str, firing_id: str) -> bool:
    view = charge(state, thing)
    return view is not None and view.stay is not None and view.stay.firing == firing_id


def _read_out(code: str | None) -> str:
    return f"{code[:5]}-{code[5:]}" if code else _("a crucible")


def _of(finding: Finding, code: str) -> Finding:
    return Finding(**{**finding.__dict__, "because": (*finding.because, code)})


def _load_reasons(state: State, load: list[str], peak_c: float) -> Findings:
    """Clashes inside one load: coolings that cannot both be kept, and peaks that differ from what was planned."""
    own: Findings = []
    views = [v for v in (charge(state, c) for c in load) if v is not None]
    coolings = {v.cooling_mode for v in views} - COOLINGS_ALIKE
    if len(coolings) > 1:
        words = ", ".join(sorted(c.replace("-", " ") for c in coolings))
        say = _("Crucibles of this load need different coolings: {words}.", words=words)
        own.append(reason("cooling-clash", say, "light", effect="flag"))
    for view in views:
        for batch_id in view.batches:
            plan = state.slot(batch_id, "batch.planned").body
            wanted = max((s.to_c for s in plan.schedule), default=None) if plan else None
            if wanted is not None and abs(wanted - peak_c) > OFF_PLAN_C:
                say = _(
                    "{name} was planned for {wanted:.0f} °C; this firing goes to {peak_c:.0f} °C.",
                    name=plan.name,
                    wanted=wanted,
                    peak_c=peak_c,
                )
                own.append(reason("window-clash", say, "light", effect="flag", because=(plan.name,)))
    return own
