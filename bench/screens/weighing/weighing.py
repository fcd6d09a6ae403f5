"""What a weighing aims at, how the number came about, and what to do when it is missed."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.names import line_name
from bench.web.drawing import Gauge, gauge
from bench.web.words import _
from bench.workshop.digits import places_of, readability_g
from bench.workshop.jar_water import grams_range, line_ask
from bench.workshop.things.batches import Batch, BatchLine, batch
from bench.workshop.things.jars import Jar, jar

DIGITS_ALLOWED = 2
"""How many of the balance's last digits a weighing may miss its target by (project default)."""


@dataclass(frozen=True)
class WeighTarget:
    """One line of a batch as it is to be weighed. Masses in grams; `d_g` is the balance's readability.

    `span_g` is what may be right where the water of its jar is not known.
    """

    batch: Batch
    line: BatchLine
    name: str
    formula: str
    jar: Jar | None
    d_g: float
    span_g: tuple[float, float] | None = None

    @property
    def number(self) -> int:
        """The line's number in its batch."""
        return self.line.plan.line

    @property
    def target_g(self) -> float:
        return self.line.target_g

    @property
    def within_g(self) -> float:
        """What the weighing may miss the target by."""
        return DIGITS_ALLOWED * self.d_g

    @property
    def places(self) -> int:
        """Decimals that the balance shows."""
        return places_of(self.d_g)

    @property
    def short_g(self) -> float:
        """Grams to add to what is weighed since the batch was made larger; 0 where nothing is missing."""
        weighed = self.line.weighed_g
        missing = 0.0 if weighed is None else self.target_g - weighed
        rescaled = self.target_g > self.line.plan.target_g
        return missing if rescaled and missing > self.within_g + 1e-9 else 0.0

    def text(self, g: float) -> str:
        """A mass as this balance would show it."""
        return f"{g:.{self.places}f}"

    def off(self, net_g: float) -> str | None:
        """`over` or `under` where a mass misses the target by more than is allowed, else None."""
        miss = net_g - self.target_g
        return None if abs(miss) <= self.within_g + 1e-9 else "over" if miss > 0 else "under"

    def gauge(self, value: float | None = None) -> Gauge:
        """The graduation round the target, with a needle where there is a value."""
        low, high = self.target_g - self.within_g, self.target_g + self.within_g
        return gauge(low, high, value=value, places=self.places)


def aims(state: State, library: Library, view: Batch) -> list[WeighTarget]:
    """Every line of a batch, in the order of the plan."""
    d_g = readability_g(state)
    return [
        WeighTarget(
            view,
            line,
            line_name(line.plan, state, library),
            pretty(line.plan.formula),
            jar(state, line.plan.jar) if line.plan.jar else None,
            d_g,
            grams_range(state, line.plan, line.target_g, library),
        )
        for line in view.lines
    ]


def next_aim(found: list[WeighTarget]) -> WeighTarget | None:
    """The first line that is not weighed yet, else the first that must be topped up."""
    open_ones = [aim for aim in found if aim.line.weighed is None] or [aim for aim in found if aim.short_g]
    return open_ones[0] if open_ones else None


@dataclass(frozen=True)
class OvershootFix:
    """What an overshoot asks of the rest: the factor on the batch, each line's new target, what to add where."""

    factor: float
    targets_g: tuple[float, ...]
    rows: tuple[tuple[str, dict[str, str] | str], ...]
    working: list[Step]


def mend(found: list[WeighTarget], number: int, net_g: float, library: Library) -> OvershootFix | None:
    """The batch made larger to the overshoot of one line, whatever else is weighed; None where nothing is over."""
    weighed = [net_g if aim.number == number else aim.line.weighed_g for aim in found]
    planned = [aim.target_g for aim in found]
    answer = reckon("fix-up", {"planned_g": planned, "weighed_g": weighed}, library)
    factor = answer["product_factor"]
    if factor <= 1:
        return None
    targets = tuple(factor * g for g in planned)
    rows: list[tuple[str, dict[str, str] | str]] = []
    for aim, new, now in zip(found, targets, weighed, strict=True):
        if now is None:
            rows.append((aim.name, {"was": aim.text(aim.target_g), "now": aim.text(new)}))
        elif new - now > aim.within_g:
            rows.append((_("Add {name}", name=aim.name), f"+{aim.text(new - now)}"))
    return OvershootFix(factor, targets, tuple(rows), answer["working"])


def working(aim: WeighTarget, library: Library) -> list[Step]:
    """Why this many grams, from the plan to the graduation of the balance."""
    plan = aim.line.plan
    steps = [step(_("Planned of {name}, as the jar holds it", name=aim.name), plan.target_g, "g")]
    steps += _amount(aim, library)
    if aim.target_g != plan.target_g:
        factor = aim.target_g / plan.target_g if plan.target_g else 1.0
        steps.append(step(_("The batch was made larger by this factor"), factor))
        steps.append(step(_("So this much now"), aim.target_g, "g"))
    said = _("Tolerance: {n} last digits of {d:g} g each (our own default)", n=DIGITS_ALLOWED, d=aim.d_g)
    steps.append(step(said, aim.within_g, "g"))
    if aim.target_g > 0:
        pct = 100 * aim.d_g / aim.target_g
        steps.append(step(_("One last digit is this much of the target"), pct, "%"))
    return steps


def _amount(aim: WeighTarget, library: Library) -> list[Step]:
    plan = aim.line.plan
    try:
        mass = reckon("molar-mass", {"formula": plan.formula}, library)["molar_mass_g_mol"]
    except Refusal:
        return [step(_("Its formula cannot be read, so the plan’s grams are kept."))]
    pure = plan.target_g * plan.assay_pct / 100
    steps = [
        step(_("By its assay, {pct:g} % of that is {formula}", pct=plan.assay_pct, formula=aim.formula), pure, "g")
    ]
    steps.append(step(_("Molar mass of {formula}", formula=aim.formula), mass, "g/mol", "ciaaw"))
    steps.append(step(_("{g:.4g} g ÷ {mass:.4f} g/mol", g=pure, mass=mass), 1000 * pure / mass, "mmol"))
    if aim.batch.plan.target_formula:
        meant = pretty(aim.batch.plan.target_formula)
        steps.append(step(_("The plan takes this much for {target}.", target=meant)))
    return steps


@dataclass(frozen=True)
class Becomes:
    """What the grams in the mortar can become, against the target that was meant."""

    answer: dict[str, Any]

    @cached_property
    def misses(self) -> list[tuple[str, float]]:
        """Each element of the target by how many per cent it is over or under its share, the worst first.

        Each is set against the target's first element, as the reckoning does.
        """
        actual, wanted = self.answer["ratio_actual"], self.answer["ratio_target"]
        pairs = [(s, actual.get(s), w) for s, w in wanted.items()]
        found = [(s, 100 * (a / w - 1)) for s, a, w in pairs if a is not None and w]
        return sorted(found, key=lambda pair: -abs(pair[1]))


def becomes(state: State, view: Batch, d_g: float, library: Library) -> Becomes | None:
    """What a weighed batch can become; None where no target was meant, or the sum cannot be done."""
    if not view.plan.target_formula or view.next_line is not None:
        return None
    weighed = [line_ask(state, line.plan, line.weighed_g or 0.0, library) for line in view.lines]
    ask = {"weighed": weighed, "target": view.plan.target_formula, "balance_d_g": d_g}
    try:
        return Becomes(reckon("balance", ask, library))
    except Refusal:
        return None


def mortars(state: State, library: Library, taken: Jar) -> list[WeighTarget]:
    """Every line that comes from a jar, of all open batches, those of one series together by its levels."""
    views = [v for v in (batch(state, t) for t in state.open_things("batch")) if v is not None]
    taking = [view for view in views if any(line.plan.jar == taken.id for line in view.lines)]
    found = [aim for view in taking for aim in aims(state, library, view) if aim.line.plan.jar == taken.id]
    return sorted(found, key=lambda aim: (aim.batch.plan.series or "~", _level(aim.batch.plan.level)))


def _level(level: object) -> tuple[int, float, str]:
    number = isinstance(level, int | float) and not isinstance(level, bool)
    return (0, float(level), "") if number else (1, 0.0, str(level))  # type: ignore[arg-type]
