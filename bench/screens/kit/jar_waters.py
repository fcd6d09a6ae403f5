"""What batches tell of the water of a jar, in words: on the jar's page, and on that of a powder."""

from dataclasses import dataclass

from bench.reckoning.working import Step
from bench.science.formulas import pretty
from bench.screens.kit.names import reagent_name
from bench.web.current import current_bench
from bench.web.words import _, many
from bench.workshop.things.jars import jar
from bench.workshop.water_told import Together, WaterTold, by_batch, by_jar, together


@dataclass(frozen=True)
class JarWater:
    """What is said of one jar: the sentence, what stands behind it, where the jar is, and how it came about."""

    say: str
    behind: str
    path: str
    name: str
    working: tuple[Step, ...]


def waters_of_jar(thing: str) -> list[JarWater]:
    """What all batches of a jar tell together; nothing where none does."""
    here = current_bench()
    said = _said(thing, by_jar(here.state, thing, here.library))
    return [said] if said is not None else []


def waters_by_batch(batches: list[str]) -> list[JarWater]:
    """What each of some batches tells of its jar."""
    here = current_bench()
    found = (by_batch(here.state, one, here.library) for one in dict.fromkeys(batches))
    said = (_said(one.jar, (one,)) for one in found if one is not None)
    return [one for one in said if one is not None]


def _said(thing: str, told: tuple[WaterTold, ...]) -> JarWater | None:
    here = current_bench()
    view = jar(here.state, thing)
    found = together(told)
    if found is None:
        return None
    steps = tuple(step for one in told for step in one.working)
    formula = pretty(told[0].formula)
    if found.agree:
        say = _("This jar looks like a {n:.1f}-hydrate of {formula} ({low:.1f} to {high:.1f})", n=found.water,
                formula=formula, low=found.low, high=found.high)  # fmt: skip
        by = many("By the mass of one batch.", "By the mass of {n} batches.", len(told))
        behind = f"{by} {_fits(found)} " + _("This is right if nothing was lost and all gas is gone.")
    else:
        waters = ", ".join(f"{one.water:.1f}" for one in told)
        say = _("Its batches disagree: {waters} H₂O to each {formula}", waters=waters, formula=formula)
        behind = _("Some was lost unseen, or the jar is uneven. Fire-assay it.")
    name = reagent_name(view.name, here.library) if view is not None else ""
    return JarWater(say, behind, f"/jar/{thing}", name, steps)


def _fits(found: Together) -> str:
    """The forms on record that lie within the spread."""
    if not found.fits:
        return _("No known form fits. The jar may be partly dried, damp or mixed.")
    names = _(" and ").join(pretty(text) for text in found.fits)
    return _("{names} fits.", names=names) if len(found.fits) == 1 else _("{names} fit alike.", names=names)
