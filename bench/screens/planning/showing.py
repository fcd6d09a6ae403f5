"""What the sums say of a plan, made ready for the screen: lines, gas, losses, errors, and which crucibles hold it."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning.becoming import Fit as Fits
from bench.reckoning.ratio import too_much_pct
from bench.reckoning.rules import Finding, Part
from bench.records.kinds import BatchPlanned
from bench.records.schema import read
from bench.records.state import State
from bench.reference import Library
from bench.screens.kit.deciding import can_be_lifted
from bench.screens.loading.filling import Fit, fits, loose
from bench.screens.planning.air import Air, air_of
from bench.screens.planning.lines import Row
from bench.web.page import grams, grams_span
from bench.web.words import _
from bench.workshop.gates import gate_plan, reason
from bench.workshop.parts import plan_parts

FAR_OFF = 0.03
MOST_CRUCIBLES = 6
LEAST_MOL = 5e-6
"""An excess below this is the rounding of a weighing, not worth a sentence."""


@dataclass(frozen=True)
class Shown:
    """Everything that the page of a reckoned plan shows."""

    rows: tuple[Row, ...]
    grams: tuple[float, ...]
    told: dict[str, Any]
    data: dict[str, Any]
    findings: tuple[Finding, ...]
    holds: tuple[Fit, ...]
    fullest: Fit | None
    air: Air | None
    says: tuple[str, ...]
    fits: tuple[Fits, ...] = ()
    ratio: str = ""

    @property
    def stopped(self) -> bool:
        """Whether the plan cannot be kept as it stands, whatever is decided."""
        return any(one.effect != "flag" and not can_be_lifted(one) for one in self.findings)

    @property
    def parts(self) -> tuple[Part, ...]:
        """The lines as the rules see them."""
        return tuple(row.part for row in self.rows)


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
    filled = fits(state, sum(grams), mixture, library)
    holds = [one for one in filled if one.fits and _stands(one, plan)][:MOST_CRUCIBLES]
    others = [one for one in filled if _stands(one, plan)]
    return Shown(
        rows=tuple(rows),
        grams=tuple(grams),
        told=told,
        data=data,
        findings=(*questions, *gate_plan(plan, state, library)),
        holds=tuple(holds),
        fullest=max(others, key=lambda one: one.vessel.volume_ml, default=None),
        air=air_of(rows, grams, state, library, plan.packing),
        says=tuple(sentences(rows, told)),
    )


def _stands(one: Fit, plan: BatchPlanned) -> bool:
    """Whether a vessel is rated for the plan's heat; one without a rating is not counted on."""
    peak = max((segment.to_c for segment in plan.schedule), default=0.0)
    return one.vessel.rated_c is not None and one.vessel.rated_c >= peak


def sentences(rows: list[Row], told: dict[str, Any]) -> list[str]:
    """What a maker must be told in words: what runs short or over, what is too little to weigh, which jar is unsure."""
    found = ratio_says(told)
    for element, mol in (told.get("short") or {}).items():
        found.append(_("{element} runs short by {mmol:.3g} mmol: the fixed amounts do not reach the target.",
                       element=element, mmol=1000 * mol))  # fmt: skip
    for element, mol in (told.get("excess") or {}).items():
        if mol < LEAST_MOL:
            continue
        found.append(_("{element} is over by {mmol:.3g} mmol.", element=element, mmol=1000 * mol))
    return [*found, *_sureness(rows, told)]


def ratio_says(told: dict[str, Any]) -> list[str]:
    """A sentence for each element that is far over what the scarce one takes up; none where nothing limits."""
    found = []
    for element, off in far_off(told).items():
        meant, scarce = told["ratio_target"][element], told["limiting"]
        found.append(_("{element} is {off} % off the target’s ratio to {scarce}: {is_:.3g}, not {meant:g}.",
                       element=element, off=f"{off:.1f}" if off < 100 else f"{off:.0f}", scarce=scarce,
                       is_=meant * (1 + off / 100), meant=meant))  # fmt: skip
    return found


def _sureness(rows: list[Row], told: dict[str, Any]) -> list[str]:
    """How sure the grams are: the balance against the smallest line, the jars’ water, and their assays."""
    found = []
    least, product = told.get("smallest_sensible_product_g"), told.get("product_g") or 0.0
    if least is not None and least > product * 1.0001:
        found.append(
            _("Too little for this balance. From {g} g of product on, every line is within 1 %.", g=grams(least))
        )
    for one in told.get("premix") or []:
        found.append(
            _("{little}: grind {g} g with {with_g} g of {much}. Weigh {use} g of that mix and {rest} g of "
                "{much}. Its error is then {pct:.1g} %.", little=rows[one["reagent"]].name,
              much=rows[one["carrier"]].name, g=grams(one["grind_g"]), with_g=grams(one["with_g"]),
              use=grams(one["use_g"]), rest=grams(one["carrier_left_g"]), pct=one["error_pct"])
        )  # fmt: skip
    spread = told.get("jar_spread") or [None] * len(rows)
    water = told.get("rest_is_water") or [True] * len(rows)
    for row, range_, rest in zip(rows, spread, water, strict=True):
        by_water = range_ is not None and range_["why"] == "hydrate"
        if by_water and not rest:
            say = _("{name}: more than its water is unknown. The rest beside the assay counts as staying.",
                    name=row.name)  # fmt: skip
            found.append(say)
        if range_ is not None and by_water:
            found.append(_("{name}: water not known, so {range} g may be right. Fire a gram first.",
                           name=row.name, range=grams_span((range_["low_g"], range_["high_g"]))))  # fmt: skip
        elif range_ is not None and not row.hydrate_known:
            found.append(_("{name}: purity not known, so {range} g may be right. What is no {name} counts as staying.",
                           name=row.name, range=grams_span((range_["low_g"], range_["high_g"]))))  # fmt: skip
        elif not row.hydrate_known:
            found.append(_("{name}: purity not known, so the grams depend on its assay.", name=row.name))
        elif range_ is not None:
            found.append(_("{name}: {range} g, by the scatter of its assay.",
                           name=row.name, range=grams_span((range_["low_g"], range_["high_g"]))))  # fmt: skip
        found += [row.note] if row.note else []
    return found


def far_off(told: dict[str, Any]) -> dict[str, float]:
    """Elements of which there is more than the limiting one takes up, by over 3 % and beyond the error; in per cent."""
    errors = told.get("ratio_error_pct") or {}
    limiting = told.get("limiting")
    over = too_much_pct(told.get("ratio_actual") or {}, told.get("ratio_target") or {}, limiting)
    sure = errors.get(limiting) or 0.0
    least = {element: max(100 * FAR_OFF, 2 * max(sure, errors.get(element) or 0.0)) for element in over}
    return {element: pct for element, pct in over.items() if pct > least[element]}


def ratio_words(ratio: dict[str, float], errors: dict[str, float | None] | None = None) -> str:
    """A ratio as `Co 1 : Al 1.84 ±0.01`, with the weighing error where it is known."""
    said = []
    for element, value in ratio.items():
        error = (errors or {}).get(element)
        plus = f" ±{value * error / 100:.2g}" if error else ""
        said.append(f"{element} {value:.4g}{plus}")
    return " : ".join(said)
