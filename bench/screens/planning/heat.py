"""The heat and the cooling of a plan: segments, atmosphere, cooling with its ground, and what goes round the charge."""

from typing import Any

from bench.reference import Library, basis_of
from bench.reference.things import Target
from bench.screens.kit.declared import read_named
from bench.screens.kit.stretches import AIR_CHOICES, read_stretch
from bench.steps.plan_batch import STEP as PLAN
from bench.steps.stretches import STRETCH
from bench.web.forms import Form
from bench.web.words import _

SEGMENTS = 3
COOLINGS = tuple((one.value, _(one.words)) for one in PLAN.field("cooling_mode").options)
ATMOSPHERES = AIR_CHOICES
HOTTEST_C = STRETCH[0].high
FIRM = ("read", "planned")
"""The grounds on which a cooling may tell somebody to open hot."""
NO_TARGET = "-"


def start_heat(target: Target | None) -> dict[str, Any]:
    """The fields to begin with for a target: the middle of its window, its shortest time, its own cooling."""
    if target is None:
        return {"cooling": "unknown", "atmosphere": "oxidising"}
    known = {name for name, _words in ATMOSPHERES}
    start: dict[str, Any] = {"cooling": target.cooling_mode}
    start["atmosphere"] = target.atmosphere if target.atmosphere in known else "unknown"
    if target.soak_low_c is not None:
        high = target.soak_high_c if target.soak_high_c is not None else target.soak_low_c
        start["to_c.0"] = f"{round((target.soak_low_c + high) / 20) * 10:g}"
    if target.soak_min_minutes is not None:
        start["hold_min.0"] = f"{target.soak_min_minutes:g}"
    return start


def bring_heat(form: Form, target: Target | None, before: Target | None) -> bool:
    """Fill in the heat and cooling of a target that was typed since the fields were last filled; true where it did.

    `before` is the target they were filled in for. What the maker changed by hand since then stays as it is.
    """
    brought, old = start_heat(target), start_heat(before)
    changed = False
    for name in {*brought, *old}:
        typed, was, now = form.typed.get(name, "").strip(), str(old.get(name, "")), str(brought.get(name, ""))
        if typed in ("", was) and typed != now:
            form.typed[name] = now
            changed = True
    form.typed["heat_for"] = target.slug if target is not None else NO_TARGET
    return changed


def read_heat(form: Form, target: Target | None, library: Library) -> dict[str, Any]:
    """The plan's fields on heat and cooling. A cooling that is the target's own keeps the target's ground for it."""
    segments = [segment for segment in (read_stretch(form, n) for n in range(SEGMENTS)) if segment]
    said = read_named(form, PLAN, "atmosphere", "liquid", "binder", "packing")
    cooling = form.choice("cooling", [name for name, _words in COOLINGS], required=False) or "unknown"
    told: dict[str, Any] = {
        "schedule": segments,
        "cooling_mode": cooling,
        "cooling_basis": cooling_basis(cooling, target, form.flag("cooling_own")),
        "hot_pull": form.flag("hot_pull"),
        **said,
        "atmosphere": said["atmosphere"] or "unknown",
    }
    if told["hot_pull"] and told["cooling_basis"] not in FIRM:
        say = _("Never open hot on a cooling that is unknown or from memory.")
        form.refuse(f"{say} {_('Remove the hot pull, or decide the cooling yourself.')}", "hot_pull")
    return {name: value for name, value in told.items() if value is not None}


def cooling_basis(cooling: str, target: Target | None, own: bool = False) -> str:
    """On what ground a cooling stands: unknown, the target's own (read or from memory), or the maker's plan."""
    if cooling == "unknown":
        return "unknown"
    if own:
        return "planned"
    if target is not None and cooling == target.cooling_mode:
        return "read" if basis_of(target, "cooling_mode") == "read" else "memory"
    return "planned"


def peak_of(form: Form) -> float | None:
    """The hottest of the typed stretches, or None."""
    found = [form.number(f"to_c.{n}", low=20, high=HOTTEST_C, required=False) for n in range(SEGMENTS)]
    return max((c for c in found if c is not None), default=None)


def window_words(target: Target | None, segments: list[dict[str, Any]]) -> str | None:
    """A sentence where the plan's peak lies outside the target's window, else None."""
    if target is None or not segments or target.soak_low_c is None:
        return None
    peak = max(one["to_c"] for one in segments)
    high = target.soak_high_c if target.soak_high_c is not None else target.soak_low_c
    if target.decomposes_above_c is not None and peak > target.decomposes_above_c:
        return _("{name} decomposes above {c:g} °C.", name=target.name, c=target.decomposes_above_c)
    if not target.soak_low_c <= peak <= high:
        low = target.soak_low_c
        return _("{name} is fired at {low:g} to {high:g} °C; this plan goes to {peak:g} °C.",
                 name=target.name, low=low, high=high, peak=peak)  # fmt: skip
    return None
