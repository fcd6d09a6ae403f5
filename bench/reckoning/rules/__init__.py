"""The rules of the bench: their language, the facts of the parts, and the judge that gates a step before it is
done."""

from bench.reckoning.rules.conditions import CONDITIONS, Condition
from bench.reckoning.rules.judge import (
    EFFECTS,
    STEPS,
    Decision,
    Finding,
    Standing,
    faults,
    judge,
    overridden,
    refuse_if_dangerous,
)
from bench.reckoning.rules.substances import ROLES, Facts, Part, facts_of

__all__ = [
    "CONDITIONS",
    "EFFECTS",
    "ROLES",
    "STEPS",
    "Condition",
    "Decision",
    "Facts",
    "Finding",
    "Part",
    "Standing",
    "facts_of",
    "faults",
    "judge",
    "overridden",
    "refuse_if_dangerous",
]
