"""What the records, the plan and the settings say about the conditions of a step, in the words of the rules.

A condition that nobody recorded is left out: the rules then take the worse value.
"""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from bench.records.kinds import BatchPlanned
from bench.records.state import State
from bench.reference import Library
from bench.workshop import answered
from bench.workshop.answered import is_good
from bench.workshop.asked import listed, still_open
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import crucible, held_elements, held_unread
from bench.workshop.things.firings import Firing, firing

Conditions = dict[str, Any]
PURGE_VOLUMES = 4
ALONE = "left alone"
"""What is noted of the watch when a burning fire was left with nobody beside it."""
GUARDS = ("open-protection", "open-stand", "open-tongs")
"""What is checked before a charge is pulled hot."""
LIGHTING = "before-lighting"
CO_ALARM = "light-co-alarm"
CO_EXPIRES = "co_alarm_expires"
"""The setting that tells until when the sensor of the CO alarm may be relied on, as 2030-05-31."""


def of_bench(state: State) -> Conditions:
    """What the settings say: whether the person who works here may be pregnant is asked, and never kept with a name."""
    answer = state.setting("person_pregnant_or_planning")
    return {} if answer is None else {"person_pregnant_or_planning": answer}


def of_plan(plan: BatchPlanned, library: Library) -> Conditions:
    """What a plan says: its heat, atmosphere, cooling, and the target's own cooling and paleness."""
    found: Conditions = {"cooling": plan.cooling_mode, "atmosphere": plan.atmosphere}
    if plan.schedule:
        found["peak_c"] = max(s.to_c for s in plan.schedule)
    found["reducing"] = plan.atmosphere in ("reducing", "airless")
    target = library.target(plan.target) if plan.target else None
    if target is not None:
        found["target_cooling"] = target.cooling_mode
        found["target_pale"] = target.pale
    if plan.liquid:
        found["paste_solvent"] = plan.liquid
    return found


def of_batch(state: State, thing: str, library: Library) -> Conditions:
    """What is known at a batch's own steps: weighing, grinding, drying."""
    view = batch(state, thing)
    if view is None:
        return {}
    found = of_plan(view.plan, library)
    wetted = [r.body.medium for r in state.own(thing, "mixed") if r.body.medium not in ("dry", "none")]
    if wetted:
        found["paste_solvent"] = wetted[-1]
    found["undried"] = bool(wetted) and view.damp
    found["damp"] = view.damp
    found["was_hot"] = False  # no fire is behind it: its charges and powders are things of their own
    return found


def of_crucible(state: State, thing: str) -> Conditions:
    """What is known of a vessel: its ware, its rating and what it held since it was last seen clean."""
    view = crucible(state, thing)
    if view is None:
        return {}
    found: Conditions = {"ware": view.added.ware}
    if not held_unread(state, thing):  # else it may have held anything, and the rules take the worse
        found["crucible_held"] = tuple(sorted(held_elements(state, thing)))
    if view.rated_c is not None:
        found["crucible_rated_c"] = view.rated_c
    return found


def of_charge(state: State, thing: str, library: Library) -> Conditions:
    """What is known of a charge: of its batches together, of its crucible, its lid, its dampness and its heat."""
    view = charge(state, thing)
    if view is None:
        return {}
    found = of_plans([state.slot(b, "batch.planned").body for b in view.batches], library)
    found |= of_crucible(state, view.crucible)
    found |= {"lid": view.charged.lid, "damp": view.damp, "undried": view.damp and view.charged.wet_g is not None}
    found |= {"cooling": view.cooling_mode, "was_hot": view.was_hot}
    wet = [of_batch(state, b, library).get("paste_solvent") for b in view.batches]
    solvents = [w for w in wet if w and w != "water"]
    if any(wet):
        found["paste_solvent"] = solvents[0] if solvents else "water"
    found["own_reading_c"] = "none" if view.surface_c is None else view.surface_c
    return found


def of_plans(plans: list[BatchPlanned | None], library: Library) -> Conditions:
    """The worse of several plans' conditions: the hottest peak, pale when one is pale, unlike coolings unknown."""
    found: Conditions = {}
    for plan in plans:
        for key, value in (of_plan(plan, library) if plan is not None else {}).items():
            if key == "peak_c":
                found[key] = max(value, found.get(key, value))
            elif key in ("target_pale", "reducing"):
                found[key] = bool(value) or found.get(key, False)
            elif found.get(key, value) != value:
                found[key] = "unknown"
            else:
                found[key] = value
    return found


def of_firing(state: State, thing: str, library: Library) -> Conditions:
    """What is known of a firing: its furnace, its place, its checks and what its readings prove."""
    view = firing(state, thing)
    if view is None:
        return {}
    found = _of_furnace(view) | _of_checks(state, view, library) | {"peak_c": view.peak_c}
    if view.proved_c is not None:
        found["furnace_c"] = view.proved_c
    found["fire"] = "lit" if view.burning else "out"
    found |= _of_notes(state, thing)
    return found


def _of_furnace(view: Firing) -> Conditions:
    furnace = view.furnace
    if furnace is None:
        return {}
    found: Conditions = {"furnace_fuel": furnace.fuel, "place": furnace.place}
    optional: Mapping[str, Any] = {
        "flue": furnace.flue,
        "lining_rated_c": furnace.lining_rated_c,
        "airflow": furnace.air_changes_per_h,
    }
    return found | {k: v for k, v in optional.items() if v is not None}


def _of_checks(state: State, view: Firing, library: Library) -> Conditions:
    found = answered.of_firing(state, view.id, library)
    return {
        "checklist": LIGHTING,
        "ticks_missing": len(still_open(listed(state, library, LIGHTING, view.id), "light")),
        "co_alarm_tested": is_good(found.get(CO_ALARM)) and not co_alarm_is_old(state, found[CO_ALARM].when),
        "purge_volumes": PURGE_VOLUMES if is_good(found.get(answered.PURGE)) else 0,
    }


def co_alarm_is_old(state: State, when: datetime) -> bool | None:
    """Whether the CO alarm was past its date at a moment; None where nobody told its date."""
    try:
        return when.date() > date.fromisoformat(state.setting(CO_EXPIRES) or "")
    except (TypeError, ValueError):
        return None


def _of_notes(state: State, thing: str) -> Conditions:
    found: Conditions = {}
    for record in state.own(thing, "noted"):
        if record.body.what == "flame":
            found["flame"] = "lost" if record.body.value == "lost" else "lit"
        if record.body.what == "co":
            found |= _co(record.body.value)
        if record.body.what == "watch":
            found["leave"] = record.body.value == ALONE
    return found


def _co(value: str) -> Conditions:
    if value == "alarm":
        return {"co_alarm": "sounding"}
    try:
        return {"co_ppm": float(value), "co_alarm": "silent"}
    except ValueError:
        return {}


def of_opening(state: State, thing: str, library: Library) -> Conditions:
    """What is known when a charge is to be taken out or opened hot: the plan's hot pull and its protection."""
    found = of_charge(state, thing, library)
    view = charge(state, thing)
    if view is None or view.stay is None:
        return found
    found |= of_firing(state, view.stay.firing, library)
    found |= {"cooling": view.cooling_mode, "hot_pull_planned": hot_pull_planned(view), "was_hot": view.was_hot}
    told = answered.answers(state, view.stay.firing, library)
    found["protection_checked"] = all(is_good(told.get(one)) for one in GUARDS)
    if view.state == "cool":
        # It stands outside and was itself read cold: what the furnace says no longer matters.
        found |= {"open_hot": False, "furnace_c": view.surface_c}
    return found


PULLS_BY = frozenset({"read", "planned"})
"""The grounds of a cooling by which a charge may be pulled hot."""


def hot_pull_planned(view: Charge) -> bool:
    """Whether the maker planned this charge to be pulled hot. A cooling known only from memory never counts."""
    return view.hot_pull and view.cooling_basis in PULLS_BY
