"""What a powder of the wrong composition lacks: the grams that bring its cations to the ratio of its target."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.contents import Held, held
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import mass_g, pigment

ENOUGH_FRACTION = 0.005
"""A line that lacks less than this part of its need lies within the weighing and stays as it is (project default)."""


@dataclass(frozen=True)
class Lack:
    """One reagent of a powder, in grams: what it holds of it, what the ratio asks for, and what is to be added."""

    held: Held
    needs_g: float
    add_g: float


@dataclass(frozen=True)
class MakeUp:
    """What a powder lacks. `why_not` says why it cannot be reckoned; then there are no lines.

    `target` is a formula; `powder_g` is what is left of the powder.
    """

    target: str | None
    powder_g: float | None
    lines: tuple[Lack, ...]
    working: tuple[Step, ...]
    why_not: str | None = None

    @property
    def adds(self) -> tuple[Lack, ...]:
        """The lines of which something is to be added."""
        return tuple(one for one in self.lines if one.add_g > 0)


def make_up(state: State, thing: str, library: Library) -> MakeUp:
    """What is to be added to what is left of a powder, so that its cations stand as in its target.

    The reagent of which there is most for its need stays as it is, and the others are made up to it.
    """
    view = pigment(state, thing)
    target = _target(state, thing)
    left = view.left_g if view is not None else None
    share = _share(state, thing, left)
    reacting = [one for one in held(state, thing) if one.fate == "reacts" and one.g > 0]
    if target is None or not reacting:
        why = _("Its plan names no target.") if target is None else _("No weighing for it is recorded.")
        return MakeUp(target, left, (), (), why)
    try:
        told = _one_gram(reacting, target, library)
    except Refusal as refusal:
        return MakeUp(target, left, (), (), refusal.say)
    needs = [float(g) for g in told["weigh_g"]]
    product = max(one.g * share / need for one, need in zip(reacting, needs, strict=True) if need > 0)
    lines = tuple(_lack(one, one.g * share, need * product) for one, need in zip(reacting, needs, strict=True))
    steps = [
        *told["working"],
        step(_("The part of the powder that is left"), share),
        step(_("Grams of target that the most plentiful reagent makes"), product, "g"),
        step(_("Each other reagent: that target times its grams for 1 g, minus what is there")),
    ]
    return MakeUp(target, left, lines, tuple(steps))


def _lack(one: Held, has_g: float, needs_g: float) -> Lack:
    add = needs_g - has_g
    kept = Held(one.formula, one.name, has_g, one.fate, one.assay_pct, one.jar)
    return Lack(kept, needs_g, add if add > ENOUGH_FRACTION * needs_g else 0.0)


def _share(state: State, thing: str, left: float | None) -> float:
    whole = mass_g(state, thing)
    return 1.0 if left is None or not whole else max(0.0, min(1.0, left / whole))


def _one_gram(reacting: list[Held], target: str, library: Library) -> dict[str, Any]:
    """What one gram of the target asks for. Refusal where the reagents cannot be told apart, or bring not all of it."""
    reagents = [{"formula": one.formula, "assay_pct": min(one.assay_pct, 100.0)} for one in reacting]
    return reckon("weigh-up", {"target": target, "product_g": 1, "reagents": reagents}, library)


def _target(state: State, thing: str) -> str | None:
    for charge in earlier_charges(state, thing):
        for batch in batches_of(state, charge):
            plan = state.slot(batch, "batch.planned").body
            if plan is not None and plan.target_formula:
                return str(plan.target_formula)
    return None
