"""Which hydrate is in the jar: weigh, dry or fire, weigh again, and see which of the forms on record fits.

What each form keeps at a heat follows from the reference data's gas steps and the atomic weights; what the two
weighings can tell follows from the balance.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from bench.reckoning.fire_assay import FLOOR_SD_PCT
from bench.reckoning.hydrate_forms import Form, evolution_of, forms_of, kept, window_c
from bench.reckoning.hydrate_words import verdict
from bench.reckoning.wide_assay import WEIGHTS, key_element
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.things import Reagent
from bench.science.evolution import GAS_G_MOL
from bench.science.formulas import parse, pretty
from bench.science.refusal import Refusal
from bench.translation import _

COVER: Final = 2.0
"""Within so many standard deviations a form fits: about 95 % of honest weighings (JCGM 100:2008, 6.2 and G.6.6)."""
APART: Final = 0.8
"""A drying temperature is good enough when it tells the forms at least this part as well as the best one does."""


@dataclass(frozen=True)
class HydrateTest:
    """What two weighings say. `fits` are the formulas within twice `sd_pct` of what stayed; `say` is the sentence.

    `water` is the moles of water a formula unit that would give this mass, where only water tells the forms apart;
    `enough_g` the sample that would tell the forms which this one does not, None where none is wanted or none would.
    """

    stays_pct: float
    loss_pct: float
    sd_pct: float
    forms: tuple[Form, ...]
    fits: tuple[str, ...]
    say: str
    working: tuple[Step, ...]
    water: float | None = None
    enough_g: float | None = None


def drying_c(reagent: Reagent, library: Library) -> float | None:
    """The lowest temperature, in °C, at which the forms are told apart well and nothing is leaving just then.

    None where fewer than two forms are on record, or no heat tells them.
    """
    texts = forms_of(reagent)
    if len(texts) < 2:
        return None
    ends = {
        math.ceil(window_c(one, text, reagent)[1] / 10) * 10.0
        for text in texts
        for one in evolution_of(parse(text), reagent, library).steps
        if not math.isinf(window_c(one, text, reagent)[1])
    }
    told = {c: _apart(kept(reagent, c, library)) for c in sorted(ends)}
    best = max(told.values(), default=0.0)
    return next((c for c, apart in told.items() if best > 0 and apart >= APART * best), None)


def which_hydrate(
    reagent: Reagent, before_g: float, after_g: float, at_c: float, library: Library, balance_d_g: float = 0.01
) -> HydrateTest:
    """Which of the forms of a reagent fits a sample of `before_g` that weighed `after_g` after `at_c` °C in air.

    Each mass is the difference of two readings of a balance with the last digit `balance_d_g`. Raises Refusal, naming
    the field, for masses that cannot be, and for a reagent with no metal to reckon by.
    """
    if before_g <= 0:
        raise Refusal(_("Weigh the sample before the heat."), "before_g")
    if after_g < 0:
        raise Refusal(_("A mass cannot be negative."), "after_g")
    forms = kept(reagent, at_c, library)
    if not forms:
        raise Refusal(_("{name} leaves nothing in the fire, so weighing cannot show its water.", name=reagent.name))
    stays = 100 * after_g / before_g
    sd = _sd_pct(before_g, after_g, balance_d_g)
    fits = tuple(form.formula for form in forms if abs(form.off_pct(stays)) <= COVER * sd)
    enough = _enough_g([form for form in forms if form.formula in fits], balance_d_g)
    water = _water(reagent, forms, stays)
    return HydrateTest(
        stays_pct=stays,
        loss_pct=100 - stays,
        sd_pct=sd,
        forms=forms,
        fits=fits,
        say=verdict([(f.formula, f.low_pct, f.high_pct) for f in forms], fits, stays, at_c, enough, water),
        working=_working(reagent, before_g, after_g, balance_d_g, at_c, stays, sd, forms),
        water=water,
        enough_g=enough,
    )


def _apart(forms: Sequence[Form]) -> float:
    """The smallest gap between two forms, in per cent of the sample; nothing where one of them is not certain."""
    if not all(form.certain for form in forms):
        return 0.0
    ends = sorted(form.low_pct for form in forms)
    return min(b - a for a, b in pairwise(ends))


def _sd_pct(before_g: float, after_g: float, balance_d_g: float) -> float:
    """The standard deviation of what stayed, in per cent of the sample: the balance, and what counts as constant."""
    one_mass_g = balance_d_g / math.sqrt(6)
    weighing = 100 * one_mass_g / before_g * math.hypot(1.0, after_g / before_g)
    return math.hypot(weighing, FLOOR_SD_PCT)


def _enough_g(forms: Sequence[Form], balance_d_g: float) -> float | None:
    """The sample, in g, that would tell these forms on this balance; None where there is nothing to tell or no way."""
    if len(forms) < 2:
        return None
    gap = _apart(forms)
    room = (gap / (2 * COVER)) ** 2 - FLOOR_SD_PCT**2
    if gap <= 0 or room <= 0:
        return None
    return 100 * balance_d_g / math.sqrt(6) * math.sqrt(2) / math.sqrt(room)


def _water(reagent: Reagent, forms: Sequence[Form], stays_pct: float) -> float | None:
    """The moles of water that a formula unit would hold, where the forms differ by water alone and one is dry."""
    key = key_element(parse(reagent.formula))
    if key is None or stays_pct <= 0 or not all(form.certain for form in forms) or len(forms) < 2:
        return None
    per_mole = {f.formula: parse(f.formula).molar_mass_g_mol / parse(f.formula).numbers[key] for f in forms}
    left = [per_mole[f.formula] * f.low_pct / 100 for f in forms]
    waters = [parse(f.formula).text.count("H2O") for f in forms]
    if max(left) - min(left) > 0.05 or not any(waters):
        return None
    bases = [_dry_mass(f.formula, key) for f in forms]
    if max(bases) - min(bases) > 0.05:
        return None
    return (left[0] / (stays_pct / 100) - bases[0]) / GAS_G_MOL["H2O"]


def _dry_mass(text: str, key: str) -> float:
    """Grams a mole of the metal without the water that the formula names apart."""
    formula = parse(text)
    dry = parse(text.rpartition("*")[0]) if text.endswith("H2O") and "*" in text else formula
    return dry.molar_mass_g_mol / dry.numbers[key]


def _working(
    reagent: Reagent,
    before_g: float,
    after_g: float,
    balance_d_g: float,
    at_c: float,
    stays: float,
    sd: float,
    forms: Sequence[Form],
) -> tuple[Step, ...]:
    source = reagent.sources[0] if reagent.sources else None
    steps = [
        step(
            _("Stayed at {at_c:g} °C: {after_g:g} g ÷ {before_g:g} g", at_c=at_c, after_g=after_g, before_g=before_g),
            stays,
            "%",
        ),
        step(
            _(
                "Its standard deviation: two masses, two readings each, balance {balance_d_g:g} g, plus "
                "{floor_sd_pct:g} % for constant mass (common practice)",
                balance_d_g=balance_d_g,
                floor_sd_pct=FLOOR_SD_PCT,
            ),
            sd,
            "%",
            "JCGM 100:2008, 4.3.7 and 5.1.2",
        ),
    ]
    for form in forms:
        mass = parse(form.formula).molar_mass_g_mol
        steps.append(step(_("Molar mass of {formula}", formula=pretty(form.formula)), mass, "g/mol", WEIGHTS))
        stays_words = (
            f"{form.low_pct:.2f} %"
            if form.certain
            else _("{low_pct:.1f} to {high_pct:.1f} %", low_pct=form.low_pct, high_pct=form.high_pct)
        )
        off = form.off_pct(stays)
        said = _(
            "{formula} keeps {stays_words} there; what stayed is {off:.2f} % off",
            formula=pretty(form.formula),
            stays_words=stays_words,
            off=abs(off),
        )
        steps.append(step(said, abs(off) / sd, _("standard deviations"), source))
    return (
        *steps,
        step(_("Within {cover:g} standard deviations a form fits.", cover=COVER), None, None, "JCGM 100:2008, 6.2"),
    )
