"""The rows of *Make it again* that are no reagents, and the note of what was done that no field of a plan holds."""

from dataclasses import dataclass
from typing import Any

from bench.records.kinds import BatchPlanned
from bench.screens.kit.thing_label import ware_name
from bench.web.page import code_text, grams
from bench.web.words import _
from bench.workshop.again import Ware
from bench.workshop.as_fired import Fired

LIDS = {"none": _("no lid"), "loose": _("lid loose"), "vented": _("lid vented"), "sealed": _("lid sealed")}
MEDIA = {"dry": _("dry"), "none": _("dry"), "water": _("in water"), "alcohol": _("in alcohol")}


@dataclass(frozen=True)
class Row:
    """One thing, then and now. `now` None: the same; `why` says why it is not, or what to know of it."""

    name: str
    then: str
    now: str | None = None
    why: str | None = None

    @property
    def changed(self) -> bool:
        return self.now is not None or self.why is not None


def ware_rows(stood: Ware | None) -> list[Row]:
    """The crucible, its lid and what went in."""
    if stood is None:
        return []
    words = f"{ware_name(stood.then.added.ware).capitalize()}, {stood.then.volume_ml:g} mL"
    if stood.now is None:
        row = Row(_("Crucible"), words, None, _("None of this kind is free. Clean one first."))
    elif stood.now.id != stood.then.id:
        code = code_text(stood.now.code)
        row = Row(_("Crucible"), words, None, _("Take {code}: the crucible used then is not free.", code=code))
    else:
        row = Row(_("Crucible"), f"{words} {code_text(stood.then.code) if stood.then.code else ''}".strip())
    return [row, Row(_("Filled with, g"), f"{grams(stood.charge.dry_g)}, {LIDS[stood.charge.charged.lid]}")]


def heat_rows(plan: BatchPlanned, schedule: list[dict[str, Any]], done: Fired) -> list[Row]:
    """The soak as it was planned and as it is planned now: by what was read, where that was something else."""
    if not schedule:
        return []
    now = max(schedule, key=lambda one: one["to_c"])
    planned = max(plan.schedule, key=lambda one: one.to_c, default=None)
    if planned is None:
        return [Row(_("Heat, hold"), heat_words(now["to_c"], now.get("hold_min", 0.0)), None, _("As read."))]
    was = heat_words(planned.to_c, planned.hold_min)
    want = heat_words(now["to_c"], now.get("hold_min", 0.0))
    if was == want:
        return [Row(_("Heat, hold"), was)]
    return [Row(_("Heat, hold"), was, want, _("As planned; the reading is used instead."))]


def heat_words(to_c: float, hold_min: float) -> str:
    """A soak in words: `1020 °C, 180 min`."""
    hold = _("{h:g} h", h=round(hold_min / 60, 1)) if hold_min > 120 else _("{m:g} min", m=hold_min)
    return f"{to_c:g} °C, {hold}" if hold_min else f"{to_c:g} °C"


def notes_of(ground: tuple[str, float | None] | None, done: Fired, stood: Ware | None, before: str | None) -> str:
    """What was done last time and stands in no field of a plan: grinding, filling, peak, soak, climb, cooling."""
    said = []
    if ground is not None:
        medium, minutes = ground
        how = MEDIA.get(medium, medium)
        said.append(_("ground {m:g} min {how}", m=minutes, how=how) if minutes else _("ground {how}", how=how))
    if stood is not None:
        said.append(_("{g} g in one crucible, {lid}", g=grams(stood.charge.dry_g), lid=LIDS[stood.charge.charged.lid]))
    said += _fire_words(done)
    last = _("Last time: {what}.", what=", ".join(said)) if said else ""
    kept = "\n".join(one for one in (before or "").splitlines() if not one.startswith(_("Last time:")))
    return "\n".join(one for one in (last, kept) if one)


def _fire_words(done: Fired) -> list[str]:
    said = []
    if done.soak_c is not None and done.soak_min is not None:
        said.append(_("{m:.0f} min at {c:.0f} °C", m=done.soak_min, c=done.soak_c))
    if done.peak_c is not None:
        said.append(_("hottest {c:.0f} °C", c=done.peak_c))
    if done.climb_c_per_h is not None:
        said.append(_("climbed {n:.0f} °C/h", n=done.climb_c_per_h))
    if done.cooling_c_per_h is not None:
        said.append(_("cooled {n:.0f} °C/h down to 500 °C", n=done.cooling_c_per_h))
    return [*said, _("fired {n} times", n=done.fires)] if done.fires > 1 else said
