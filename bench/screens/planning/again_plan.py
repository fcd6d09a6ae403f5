"""The plan that makes a batch again: lines from the jars of today, the schedule as it was fired, one level changed."""

from dataclasses import dataclass, replace
from typing import Any

from flask import abort, request

from bench.records.schema import write
from bench.science.refusal import Refusal
from bench.screens.planning.again_rows import notes_of
from bench.screens.planning.copying_factors import Factor, factors, reckon_again
from bench.screens.planning.keeping import LEVEL_MAX
from bench.web.current import current_bench
from bench.web.numbers import read_number
from bench.workshop.again import Dose, Ware, doses, ground, ware
from bench.workshop.as_fired import Fired, fired, schedule_done
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import pigment

LEAST_G = 0.1


@dataclass(frozen=True)
class Change:
    """The one thing that is to be other than last time: a factor of a series, and the level that is suggested."""

    factor: Factor
    level: float
    series: str


@dataclass(frozen=True)
class Again:
    """A batch that is to be made again: what was done of it, and the plan that repeats it."""

    view: Batch
    doses: list[Dose]
    fired: Fired
    ware: Ware | None
    change: Change | None
    data: dict[str, Any]
    batches: int = 1
    scale: float = 1.0
    """How many times as much is made as was."""

    @property
    def to_weigh_g(self) -> float:
        return float(sum(line["target_g"] for line in self.data["lines"]))


def of_powder(thing: str) -> Again:
    """The batch that brought most of a powder, with the fires of all its charges."""
    view, charges = _main_batch(thing)
    if pigment(current_bench().state, thing) is None or view is None:
        abort(404)
    held = {b for charge in charges for b in batches_of(current_bench().state, charge)}
    return replace(of_batch_again(view, charges), batches=len(held))


def _main_batch(thing: str) -> tuple[Batch | None, list[str]]:
    state = current_bench().state
    charges = list(dict.fromkeys(earlier_charges(state, thing)))
    views = [batch(state, b) for c in charges for b in batches_of(state, c)]
    return max((one for one in views if one is not None), key=lambda one: one.weighed_g, default=None), charges


def of_batch_again(view: Batch, charges: list[str]) -> Again:
    """A batch with the fires of these charges, as the address or the form asks for it."""
    here = current_bench()
    taken = doses(here.state, view, here.library, request.values.get("jar"))
    done, stood = fired(here.state, charges), ware(here.state, charges)
    change = _change(view)
    data = _data(view, taken, done, stood)
    if change is not None:
        _apply(data, change, view, taken)
    scale = _scaled(data)
    return Again(view, taken, done, stood, change, data, scale=scale)


def _data(view: Batch, taken: list[Dose], done: Fired, stood: Ware | None) -> dict[str, Any]:
    """The plan that repeats what was done. Of a series that is not closed it is one more batch of the same level."""
    data: dict[str, Any] = write(view.plan)
    series = view.plan.series
    if series is not None and (not current_bench().state.exists(series) or current_bench().state.own(series, "closed")):
        for name in ("series", "level"):
            data.pop(name, None)
    data |= {
        "lines": [_line(dose) for dose in taken],
        "schedule": [write(segment) for segment in schedule_done(view.plan.schedule, done)],
        "library_rev": current_bench().library.revision,
        "notes": notes_of(ground(current_bench().state, view.id), done, stood, view.plan.notes),
    }
    if stood is not None and stood.charge.charged.packing:
        data["packing"] = stood.charge.charged.packing
    if any(not dose.same or dose.weighed for dose in taken):
        reckon_again(data)
    return data


def _scaled(data: dict[str, Any]) -> float:
    """Makes as much as the address or the form asks for, `g` grams to weigh, and gives back how many times that is."""
    typed = request.values.get("g", "")[:LEVEL_MAX].strip()
    whole = sum(line["target_g"] for line in data["lines"])
    if not typed or whole <= 0:
        return 1.0
    try:
        wanted = read_number(typed, low=LEAST_G, high=100_000)
    except Refusal:
        return 1.0
    for line in data["lines"]:
        line["target_g"] = round(line["target_g"] * wanted / whole, 5)
    reckon_again(data)
    return float(wanted / whole)


def _line(dose: Dose) -> dict[str, Any]:
    told: dict[str, Any] = write(dose.plan)
    told |= {"target_g": round(dose.now_g, 5), "formula": dose.now.formula, "assay_pct": dose.now.assay_pct}
    told.pop("jar", None)
    return told | ({"jar": dose.jar_now.id, "name": dose.jar_now.opened.reagent} if dose.jar_now is not None else {})


def _change(view: Batch) -> Change | None:
    """What the address or the form asks to be other than last time: a level of the factor of the batch's series."""
    typed = request.values.get("level", "")[:LEVEL_MAX]
    if not typed or view.plan.series is None:
        return None
    factor = factor_of(view)
    try:
        level = read_number(typed, low=factor.low, high=factor.high) if factor is not None else None
    except Refusal:
        level = None
    if factor is None or level is None:
        abort(404)  # no key of ours leads there
    return Change(factor, level, view.plan.series)


def factor_of(view: Batch) -> Factor | None:
    """The factor of a batch's series, where it is a number that a plan can be given."""
    series = current_bench().state.slot(view.plan.series, "series.planned").body if view.plan.series else None
    if series is None:
        return None
    return next((one for one in factors(view) if one.words == series.factor and not one.options), None)


def takes_level(thing: str) -> bool:
    """Whether the batch that brought most of a powder can be planned at another level of its series."""
    view = _main_batch(thing)[0]
    return view is not None and factor_of(view) is not None


def _apply(data: dict[str, Any], change: Change, view: Batch, taken: list[Dose]) -> None:
    """Puts the level in. Grams were meant of the jar of then: of another one as many as bring the same."""
    level = change.level
    if change.factor.key.startswith("line."):
        number = view.plan.lines[int(change.factor.key.removeprefix("line."))].line
        for dose, line in zip(taken, data["lines"], strict=True):
            if line["line"] == number:
                line["target_g"] = round(level * dose.now_g / dose.then_g, 5)
        data["lines"] = [line for line in data["lines"] if line["target_g"] > 0]
        reckon_again(data)
    else:
        change.factor.change(data, level)
    name = f"{view.name.partition(', ' + change.factor.words)[0]}, {change.factor.words} {change.factor.text(level)}"
    data |= {"series": change.series, "level": level, "name": name[:80]}
