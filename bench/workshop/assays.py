"""The assay by formula that a jar is to be dosed with: its own fire-assays where they tell it, else its label."""

import statistics
from dataclasses import dataclass
from typing import Literal

from bench.reckoning.fire_assay import FLOOR_SD_PCT, FireAssay, fire_assay
from bench.reckoning.working import Step, step
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.things.jars import jar


@dataclass(frozen=True)
class Fired:
    """One fire-assay of a jar: its record and what it says; `says` None where its masses or formula cannot be read."""

    record: Record
    says: FireAssay | None


SAID = {
    "label": _("As on the label"),
    "assumed": _("Assumed: the label gave none"),
    "wide": _("Not known: anything in a range is right"),
}


@dataclass(frozen=True)
class JarAssay:
    """How much of its formula a jar holds, in per cent, with its standard deviation (None: not stated), and why.

    `by` is fire, label, assumed where nobody read its label, or wide where the water is not known and nothing was
    fired. `formula` is what the assay counts; `hydrate_known` is what a plan must be told: false only while nothing
    settled it.
    """

    formula: str
    assay_pct: float
    assay_sd_pct: float | None
    by: Literal["fire", "label", "assumed", "wide"]
    working: tuple[Step, ...]

    @property
    def hydrate_known(self) -> bool:
        return self.by != "wide"


def fired(state: State, thing: str, library: Library, balance_d_g: float = 0.01) -> list[Fired]:
    """Every standing fire-assay of a jar, oldest first."""
    return list(
        state.memoize(("fired", thing, library.mark, balance_d_g), lambda: _fired(state, thing, library, balance_d_g))
    )


def _fired(state: State, thing: str, library: Library, balance_d_g: float) -> list[Fired]:
    view = jar(state, thing)
    if view is None:
        return []
    return [
        Fired(record, _says(record, view.opened.formula, view.opened.reagent, library, balance_d_g))
        for record in state.by_time(thing, "jar.assayed")
    ]


def _says(record: Record, formula: str, slug: str, library: Library, balance_d_g: float) -> FireAssay | None:
    body = record.body
    try:
        return fire_assay(formula, slug, body.before_g, body.after_g, body.at_c, library, balance_d_g)
    except Refusal:
        return None


def jar_assay(state: State, thing: str, library: Library, balance_d_g: float = 0.01) -> JarAssay | None:
    """The assay to dose a jar with; None when there is no such jar."""
    key = ("jar-assay", thing, library.mark, balance_d_g)
    return state.memoize(key, lambda: _jar_assay(state, thing, library, balance_d_g))


def _jar_assay(state: State, thing: str, library: Library, balance_d_g: float) -> JarAssay | None:
    view = jar(state, thing)
    if view is None:
        return None
    opened = view.opened
    found = [each.says for each in fired(state, thing, library, balance_d_g) if each.says is not None]
    told = [each for each in found if each.assay_pct]
    if told:
        return _by_fire(opened.formula, told)
    by = _without_fire(state, thing, opened.hydrate_known)
    why = (step(_(SAID[by]), opened.assay_pct, "%"),)
    return JarAssay(opened.formula, opened.assay_pct, opened.assay_sd_pct, by, why)


def _without_fire(state: State, thing: str, hydrate_known: bool) -> Literal["label", "assumed", "wide"]:
    record = state.slot(thing, "jar.opened").record
    if not hydrate_known:
        return "wide"
    return "assumed" if record is not None and "assay_pct" in record.assumed else "label"


def _by_fire(formula: str, told: list[FireAssay]) -> JarAssay:
    """The mean of the fire-assays; their scatter where it is more than what one weighing allows."""
    values = [each.assay_pct or 0.0 for each in told]
    mean = statistics.fmean(values)
    own = max(each.assay_sd_pct or FLOOR_SD_PCT for each in told)
    sd = max(own, statistics.stdev(values)) if len(values) > 1 else own
    steps = told[-1].working
    if len(values) > 1:
        steps = (*steps, step(_("Mean of {values} fire-assays", values=len(values)), mean, "%"))
    return JarAssay(formula, mean, sd, "fire", (*steps, step(_("Its standard deviation"), sd, "%")))
