"""What a firing's page says of its climb: that it stands still, whether and when it gets there, where it heads."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.working import Step
from bench.science.forecast import SMALL_RISE_C
from bench.science.forecast import thinned as averaged
from bench.science.refusal import Refusal
from bench.screens.furnace.firing_view import gasses_late, span, zone_of
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.aiming import WeighTarget, aim_of
from bench.workshop.heat import curve_of
from bench.workshop.learning import learnt
from bench.workshop.things.firings import Firing, firing

LEAST_FORECAST = 3
HEADS = {
    "will-reach": _("It should get there."),
    "will-not-reach": _("It will not get there."),
}
REASONS = {
    "too-few": _("Eight readings are needed since the start or the last change."),
    "steam": _("Water may still be leaving the load or the lining."),
    "dipped": _("A lid or a door was open."),
    "carbonate": _("Carbonate in the load may delay it an hour or more."),
    "steady": _("It climbs steadily."),
    "below": _("More readings must agree first."),
    "possible": _("Its slope may still reach it."),
}
NOTED = {"any": ("flame", "lid", "gas-change", "wind"), "electric": ("lid", "power")}
"""What may make a fire stand still, by its fuel."""


@dataclass(frozen=True)
class Standing:
    """The fact that a fire stands still: how it is said, in bold and after, and what was noted of it."""

    strong: str
    levels: str
    look: str
    sooty: bool
    noted: tuple[str, ...]


@dataclass(frozen=True)
class Outlook:
    """Where a fire is heading: the fact, the verdict, its sentences, and their working."""

    standing: Standing | None
    verdict: str
    head: str
    said: tuple[str, ...]
    working: list[Step]


def outlook(fire: Firing, words: Mapping[tuple[str, str], str]) -> Outlook | None:
    """What can be said of a climb; None with too few readings or no climb. `words` are those of notes, by what was."""
    return current_bench().state.memoize(
        ("outlook", fire.id), lambda: _outlook(firing(current_bench().state, fire.id) or fire, words)
    )


def _outlook(fire: Firing, words: Mapping[tuple[str, str], str]) -> Outlook | None:
    aim = aim_of(fire) if fire.burning and fire.soak_start is None else None
    if aim is None:
        return None
    points = averaged(curve_of(fire))
    if len(points) < LEAST_FORECAST:
        return None
    taught = learnt(current_bench().state, fire.plan.furnace, but=fire.id)
    ask: dict[str, Any] = {"readings": [list(one) for one in points], "target_c": aim.to_c}
    changed = changed_min(fire, aim)
    ask |= {"changed_at_min": changed} if changed is not None else {}
    ask |= {"slowest_tau_min": taught.slowest_min, "carbonate": gasses_late(fire)}
    try:
        told = reckon("forecast", ask, current_bench().library)
    except Refusal:
        return None
    said = (_verdict(told, aim), _interval(told), _time(fire, told, aim))
    working = [*told["working"], *taught.working]
    standing = _standing(fire, told["fact"], aim, words)
    return Outlook(standing, told["verdict"], _head(told["verdict"], aim), tuple(s for s in said if s), working)


def changed_min(fire: Firing, aim: WeighTarget) -> float | None:
    """Minutes from lighting to the last change of the burner or the start of this climb, from which all begins anew."""
    notes = [r.when for r in current_bench().state.own(fire.id, "noted") if r.body.what == "burner-change"]
    if fire.lit_at is None:
        return None
    changes = [max(0.0, (when - fire.lit_at).total_seconds() / 60) for when in notes]
    return max([*changes, *([aim.since_min] if aim.since_min is not None else [])], default=None)


def _standing(
    fire: Firing, fact: dict[str, float] | None, aim: WeighTarget, words: Mapping[tuple[str, str], str]
) -> Standing | None:
    if fact is None:
        return None
    then_c, now_c, minutes = round(fact["then_c"]), round(fact["now_c"]), span(fact["minutes"])
    if fact["fell_c"] > 0:
        strong = _("Has fallen {c:.0f} °C since its highest, {span} ago:", c=fact["fell_c"], span=minutes)
    elif now_c - then_c > SMALL_RISE_C:
        strong = _("Has risen only {c} °C in {span}:", c=now_c - then_c, span=minutes)
    else:
        strong = _("Has not risen for {span}:", span=minutes)
    levels = _("{then} °C then, {now} °C now; the plan wants {to:.0f} °C.", then=then_c, now=now_c, to=aim.to_c)
    look = _("Does the load look hotter than {c} °C? A probe can be dead.", c=now_c)
    flame = _newest(fire).get("flame")
    return Standing(strong, levels, look, flame is not None and flame[0] == "sooty", _noted(fire, words))


def _newest(fire: Firing) -> dict[str, tuple[str, str]]:
    """The newest note of each sort, with its time on the clock."""
    found = {}
    for one in current_bench().state.by_time(fire.id, "noted"):
        found[one.body.what] = (str(one.body.value), one.local.strftime("%H:%M"))
    return found


def _noted(fire: Firing, words: Mapping[tuple[str, str], str]) -> tuple[str, ...]:
    newest = _newest(fire)
    here = NOTED.get(fire.fuel, NOTED["any"])
    found = [(what, *newest[what]) for what in here if what in newest]
    return tuple(f"{words[what, value]} {clock}" for what, value, clock in found if (what, value) in words)


def _head(verdict: str, aim: WeighTarget) -> str:
    if verdict == "cannot-say-yet":
        return _("Too early to say whether {c} °C will be reached.", c=f"{aim.to_c:.0f}")
    return HEADS[verdict]


def _verdict(told: dict[str, Any], aim: WeighTarget) -> str:
    if told["verdict"] == "cannot-say-yet":
        return REASONS[told["reason"]]
    if told["verdict"] == "will-reach":
        return ""
    said = _("{c:.0f} °C will not be reached unless something is changed.", c=aim.to_c)
    return said + " " + _("At this slope it reaches {c:.0f} °C at most.", c=told["bound_c"])


def _interval(told: dict[str, Any]) -> str:
    if told["interval95_c"] is None:
        return ""
    low, high = told["interval95_c"]
    return _("Heading for {low:.0f} to {high:.0f} °C if nothing changes.", low=low, high=high)


def _time(fire: Firing, told: dict[str, Any], aim: WeighTarget) -> str:
    if told["eta_min"] is None:
        return ""
    early, late = (None if minute is None else _clock(fire, minute) for minute in told["eta_min"])
    if late is None:
        return _("{c:.0f} °C not before {at}.", c=aim.to_c, at=early)
    return _("{c:.0f} °C between {at} and {until} if nothing changes.", c=aim.to_c, at=early, until=late)


def _clock(fire: Firing, minute: float) -> str:
    """A minute since lighting on the clock there; of a day or more ahead it is the same clock, and says so."""
    start = fire.lit_at or fire.readings[0].when
    local = start + timedelta(minutes=minute + zone_of(fire))
    days = int(minute - curve_of(fire)[-1][0]) // 1440
    return local.strftime("%H:%M") + (" " + _("in {n} days", n=days) if days else "")
