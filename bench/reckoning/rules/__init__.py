"""The rules of the bench: their language, the facts of the parts, and the judge that gates a step before it is
done."""

from bench.reckoning.rules.cautions import DEFER, OLD_LINING, Caution, cautions_for
from bench.reckoning.rules.conditions import CONDITIONS, Condition
from bench.reckoning.rules.first_aid import FIRST_AID, FirstAid, emergency_lines
from bench.reckoning.rules.hazard_words import HazardSummary, PartHazard, hazard_summary
from bench.reckoning.rules.judge import (
    LEAST_TELLING,
    Decision,
    Finding,
    Standing,
    faults,
    forms_to_choose,
    judge,
    may_hold,
    overridden,
    refuse_if_dangerous,
)
from bench.reckoning.rules.substances import ROLES, Facts, Part, facts_of
from bench.reference.cautions import EFFECTS, STEPS

__all__ = [
    "CONDITIONS",
    "DEFER",
    "EFFECTS",
    "FIRST_AID",
    "LEAST_TELLING",
    "OLD_LINING",
    "ROLES",
    "STEPS",
    "Caution",
    "Condition",
    "Decision",
    "Facts",
    "Finding",
    "FirstAid",
    "HazardSummary",
    "Part",
    "PartHazard",
    "Standing",
    "cautions_for",
    "emergency_lines",
    "facts_of",
    "faults",
    "forms_to_choose",
    "hazard_summary",
    "judge",
    "may_hold",
    "overridden",
    "refuse_if_dangerous",
]
