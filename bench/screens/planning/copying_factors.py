"""What may be changed from one batch of a series to the next, and the plan of a copy at one level."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.records.kinds import BatchPlanned, Line
from bench.records.schema import read, write
from bench.science.refusal import Refusal
from bench.screens.kit.names import line_name
from bench.screens.planning.heat import COOLINGS, HOTTEST_C, cooling_basis
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.words import _
from bench.workshop.jar_water import line_ask
from bench.workshop.things.batches import Batch

Level = float | str
Data = dict[str, Any]
NAME_MAX = 80
GRIND = "grind_min"


@dataclass(frozen=True)
class Factor:
    """One thing that may change. `now` is what it is in the batch that is copied, None where the plan does not say.

    A factor is a number in `unit` between `low` and `high`, or one of `options` (value, words).
    """

    key: str
    words: str
    unit: str
    now: Level | None
    change: Callable[[Data, Any], None]
    low: float = 0.0
    high: float = 100_000.0
    options: tuple[tuple[str, str], ...] = ()

    @property
    def now_typed(self) -> str:
        """What it is now, as a field would hold it."""
        return "" if self.now is None else f"{self.now:g}" if isinstance(self.now, float) else self.now

    def read(self, form: Form, name: str) -> Level | None:
        """The level in a field; None where it is empty or was refused."""
        if self.options:
            return form.choice(name, [value for value, _words in self.options], required=False)
        return form.number(name, low=self.low, high=self.high, unit=self.unit, required=False)

    def text(self, level: Level) -> str:
        """A level with its unit, as a name carries it."""
        if self.options:
            return dict(self.options).get(str(level), str(level)).lower()
        return level_text(level, self.unit)


def level_text(level: Level, unit: str | None) -> str:
    """A level and its unit in words."""
    number = f"{level:g}" if isinstance(level, int | float) else str(level)
    return f"{number} {unit}" if unit else number


def factors(view: Batch) -> list[Factor]:
    """The grams of each line, the soak, the climb, the cooling, and the minutes in the mortar."""
    return [*_lines(view), *_soak(view), _cooling(view), _grinding()]


def _lines(view: Batch) -> list[Factor]:
    state, library = current_bench().state, current_bench().library
    found = []
    for n, line in enumerate(view.plan.lines):

        def change(data: Data, level: float, n: int = n) -> None:
            if level == 0 and len(data["lines"]) > 1:
                del data["lines"][n]  # nothing of it is a level too, such as a flux left out
            else:
                data["lines"][n]["target_g"] = level
            reckon_again(data)

        name = line_name(line, state, library)
        found.append(Factor(f"line.{n}", name, "g", float(f"{line.target_g:.4g}"), change))
    return found


def _soak(view: Batch) -> list[Factor]:
    if not view.plan.schedule:
        return []
    hottest = max(range(len(view.plan.schedule)), key=lambda n: view.plan.schedule[n].to_c)
    segment = view.plan.schedule[hottest]

    def changer(name: str) -> Callable[[Data, float], None]:
        def change(data: Data, level: float) -> None:
            data["schedule"][hottest][name] = level

        return change

    return [
        Factor("to_c", _("Soak temperature"), "°C", segment.to_c, changer("to_c"), 20, HOTTEST_C),
        Factor("hold_min", _("Soak time"), "min", segment.hold_min, changer("hold_min"), 0, 20_000),
        Factor("rate_c_per_h", _("Climb"), "°C/h", segment.rate_c_per_h, changer("rate_c_per_h"), 1, 3000),
    ]


def _cooling(view: Batch) -> Factor:
    target = current_bench().library.targets.get(view.plan.target or "")

    def change(data: Data, level: str) -> None:
        if level == data["cooling_mode"]:
            return
        # A hot pull was planned for the other cooling: it is not carried over to one that nobody decided it for.
        data |= {"cooling_mode": level, "cooling_basis": cooling_basis(level, target), "hot_pull": False}

    return Factor("cooling", _("Cooling"), "", view.plan.cooling_mode, change, options=COOLINGS)


def _grinding() -> Factor:
    def change(data: Data, level: float) -> None:
        say = _("Grind {n:g} min.", n=level)
        data["notes"] = f"{say} {data['notes']}" if data.get("notes") else say

    return Factor(GRIND, _("Grinding"), "min", None, change, 0, 10_000)


def reckon_again(data: Data) -> None:
    """The masses in theory of a changed mixture; what cannot be reckoned again is not claimed."""
    for name in ("fired_g", "washed_g"):
        data.pop(name, None)
    if not data.get("target_formula"):
        return
    state, library = current_bench().state, current_bench().library
    lines: list[Line] = [read(Line, line) for line in data["lines"]]
    weighed = [line_ask(state, line, line.target_g, library) for line in lines]
    try:
        told = reckon("balance", {"weighed": weighed, "target": data["target_formula"]}, library)
    except Refusal:
        return
    masses = {"fired_g": told["fired_unwashed_g"], "washed_g": told["washed_g"]}
    data |= {name: g for name, g in masses.items() if g is not None}


def copied(view: Batch, factor: Factor, level: Level, series: str, name: str) -> Data:
    """The plan of the copy at one level; `name` is what the series calls the batch, before what changes."""
    data: Data = write(view.plan)
    changes = f", {factor.words} {factor.text(level)}"
    # The end is what tells one of a series from the next.
    data |= {"series": series, "level": level, "name": f"{name[: max(0, NAME_MAX - len(changes))]}{changes}"[:NAME_MAX]}
    factor.change(data, level)
    read(BatchPlanned, data)
    return data
