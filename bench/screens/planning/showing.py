"""What the sums say of a plan, made ready for the screen: lines, gas, losses, errors, and which crucibles hold it."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning.rules import Finding, HazardSummary, hazard_summary
from bench.reference import Library
from bench.screens.filling import Fit, fits, loose
from bench.screens.planning.lines import Row
from bench.screens.words import _
from bench.workshop.gates import gate_plan, reason
from bench.workshop.kinds import BatchPlanned
from bench.workshop.parts import plan_parts
from bench.workshop.schema import read
from bench.workshop.state import State

FAR_OFF = 0.03
MOST_CRUCIBLES = 6


@dataclass(frozen=True)
class Shown:
    """Everything that the page of a reckoned plan shows."""

    rows: tuple[Row, ...]
    grams: tuple[float, ...]
    told: dict[str, Any]
    data: dict[str, Any]
    findings: tuple[Finding, ...]
    hazards: HazardSummary
    holds: tuple[Fit, ...]
    says: tuple[str, ...]


def shown(
    rows: list[Row],
    grams: list[float],
    told: dict[str, Any],
    data: dict[str, Any],
    asks: list[str | None],
    state: State,
    library: Library,
) -> Shown:
    """The plan of these lines with its gate, its hazards and what holds it. `asks` are questions that block it."""
    plan: BatchPlanned = read(BatchPlanned, data)
    parts = plan_parts(plan, state)
    questions = [reason("ask-first", say, "plan") for say in asks if say]
    mixture = loose(parts, library)
    holds = [one for one in fits(state, sum(grams), mixture, library) if one.fits][:MOST_CRUCIBLES]
    return Shown(
        rows=tuple(rows),
        grams=tuple(grams),
        told=told,
        data=data,
        findings=(*questions, *gate_plan(plan, state, library)),
        hazards=hazard_summary(parts, library),
        holds=tuple(holds),
        says=tuple(sentences(rows, told)),
    )


def sentences(rows: list[Row], told: dict[str, Any]) -> list[str]:
    """What a maker must be told in words: what runs short or over, what is too little to weigh, which jar is unsure."""
    found = []
    for element, mol in (told.get("short") or {}).items():
        found.append(_("{element} runs short by {mmol:.3g} mmol: the fixed amounts do not reach the target.",
                       element=element, mmol=1000 * mol))  # fmt: skip
    for element, mol in (told.get("excess") or {}).items():
        found.append(_("{element} is over by {mmol:.3g} mmol.", element=element, mmol=1000 * mol))
    for element, error in _far_off(told).items():
        found.append(_("{element} is {pct:.1f} % off the target’s ratio.", element=element, pct=error))
    least = told.get("smallest_sensible_product_g")
    if least is not None and least > told.get("product_g", 0.0):
        found.append(_("Too little for this balance: from {g:.3g} g of product on, every line is within 1 %.", g=least))
    for one in told.get("premix") or []:
        found.append(one["say"] if isinstance(one, dict) and "say" in one else str(one))
    for row in rows:
        if not row.hydrate_known:
            found.append(
                _("{name}: its water is not known, so the grams are only as sure as its assay.", name=row.name)
            )
    return found


def _far_off(told: dict[str, Any]) -> dict[str, float]:
    """Elements whose ratio to the first is more than 3 % off the target's, beyond the weighing error; in per cent."""
    actual, wanted = told.get("ratio_actual") or {}, told.get("ratio_target") or {}
    errors = told.get("ratio_error_pct") or {}
    found = {}
    for element, want in wanted.items():
        if not want:
            continue
        off = 100 * (actual.get(element, 0.0) / want - 1)
        if abs(off) > max(100 * FAR_OFF, 2 * (errors.get(element) or 0.0)):
            found[element] = off
    return found


def ratio_words(ratio: dict[str, float], errors: dict[str, float | None] | None = None) -> str:
    """A ratio as `Co 1 : Al 1.84 ±0.01`, with the weighing error where it is known."""
    said = []
    for element, value in ratio.items():
        error = (errors or {}).get(element)
        plus = f" ±{value * error / 100:.2g}" if error else ""
        said.append(f"{element} {value:.4g}{plus}")
    return " : ".join(said)
