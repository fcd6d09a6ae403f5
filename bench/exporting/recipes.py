"""A batch as a recipe that another bench can make: what was weighed and fired, without jar, lot, place and date."""

from collections.abc import Sequence

from bench.exporting.recipe_code import TEXTS, Recipe, RecipeDose, RecipeHeat
from bench.records.state import State
from bench.reference import Library
from bench.translation import _
from bench.workshop.again import doses
from bench.workshop.as_fired import fired, schedule_done
from bench.workshop.things.batches import Batch

UNKNOWN = "unknown"


def recipe_of(view: Batch, charges: Sequence[str], state: State, library: Library, note: bool) -> Recipe:
    """What was weighed of a batch in parts of a hundred, with the assay of each jar, and the heat as it was read."""
    taken = doses(state, view, library)
    whole = sum(one.then_g for one in taken) or 1.0
    unsure = [one.then.formula for one in taken if not one.then.sure]
    heard = [_("Water of a jar not known: {unsure}.", unsure=", ".join(unsure))] if unsure else []
    heard += [view.plan.notes] if note and view.plan.notes else []
    plan, fire = view.plan, schedule_done(view.plan.schedule, fired(state, charges))
    return Recipe(
        name=plan.name[: TEXTS["name"]],
        doses=tuple(
            RecipeDose(one.then.formula, 100 * one.then_g / whole, one.then.assay_pct, one.plan.fate) for one in taken
        ),
        target=plan.target_formula or "",
        fire=tuple(RecipeHeat(one.to_c, one.rate_c_per_h, one.hold_min) for one in fire),
        air=plan.atmosphere if plan.atmosphere != UNKNOWN else "",
        cool=plan.cooling_mode if plan.cooling_mode != UNKNOWN else "",
        liquid=(plan.liquid or "")[: TEXTS["liquid"]],
        packing=(plan.packing or "")[: TEXTS["packing"]],
        note="\n".join(heard)[: TEXTS["note"]],
    )
