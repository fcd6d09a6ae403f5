"""`fix-up`: what to weigh after an overshoot."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.science.rescale import rescale
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Grams of what is not weighed yet, so that the ratio of the largest overshoot holds."""
    planned_g = ask.numbers("planned_g", above=0, high=1e6, most=100)
    weighed_g = ask.numbers("weighed_g", low=0, high=1e6, most=100, nulls=True)
    if len(weighed_g) != len(planned_g):
        raise Refusal(
            _(
                "planned_g has {planned} entries, weighed_g {weighed}: give null for what is not weighed.",
                planned=len(planned_g),
                weighed=len(weighed_g),
            ),
            "weighed_g",
        )
    found = rescale(planned_g, weighed_g)
    working = [
        step(
            _("{n}: {weighed:g} g weighed ÷ {planned:g} g planned", n=i + 1, weighed=weighed, planned=planned),
            weighed / planned,
        )
        for i, (planned, weighed) in enumerate(zip(planned_g, weighed_g, strict=True))
        if weighed is not None
    ]
    if found.product_factor > 1:
        working.append(step(_("The largest overshoot sets the factor for the whole batch."), found.product_factor))
    else:
        working.append(step(_("Nothing is over: the plan holds."), found.product_factor))
    if any(g is not None for g in found.top_up_g):
        working.append(step(_("A reagent below its part of the batch needs top_up_g more.")))
    return {
        "rescaled_g": list(found.rescaled_g),
        "product_factor": found.product_factor,
        "top_up_g": list(found.top_up_g),
        "working": working,
    }


KIND = Kind(
    name="fix-up",
    summary="grams of what is not weighed yet, after an overshoot",
    fields=(
        Field("planned_g", "list of g", "The planned grams, in order."),
        Field("weighed_g", "list of g", "What was weighed, in the same order; null for what was not yet."),
    ),
    example={"planned_g": [7.21, 1.83, 17.51], "weighed_g": [7.21, 1.95, None]},
    run=run,
)
