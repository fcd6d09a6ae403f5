"""The fire-assay of a jar: what a sample leaves in the fire tells how much of its formula the jar holds."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from bench.reckoning.substances import Substance, substance
from bench.reckoning.wide_assay import WEIGHTS, grams_a_mole_of
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.charge import grams
from bench.science.evolution import Choices, Evolution
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.science.weights import G_MOL
from bench.translation import _

FLOOR_SD_PCT: Final = 0.2
"""Two masses nearer than this count as constant (common practice); no fire-assay is taken as surer."""
ROOM_C: Final = 25.0


@dataclass(frozen=True)
class FireAssay:
    """What a fired sample says, in per cent of the mass taken.

    `residue_pct` stayed; `theory_pct` is what the pure formula leaves, as `residue`; `assay_pct` the assay by formula
    with its standard deviation. Those are None, and `residue` empty, where `why_not` says why. `metals` is each element
    that stayed, in per cent of the jar; `notes` are what may make it read high or low.
    """

    residue_pct: float
    working: tuple[Step, ...]
    residue: str = ""
    theory_pct: float | None = None
    assay_pct: float | None = None
    assay_sd_pct: float | None = None
    metals: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()
    why_not: str = ""


@dataclass(frozen=True)
class _Residue:
    """What one mole of the formula leaves: its name, its mass, the elements that stay with their moles, and notes."""

    name: str
    g: float
    metals: Mapping[str, float]
    notes: tuple[str, ...]


def fire_assay(
    formula: str, slug: str, before_g: float, after_g: float, at_c: float, library: Library, balance_d_g: float = 0.01
) -> FireAssay:
    """The assay by `formula` of a jar, from a sample weighed before and after a fire in air at `at_c` °C.

    `slug` is the reagent of the library, or any text where it has none. What leaves is taken to be water, carbonate and
    the like; what stays, to be what the formula leaves. Raises Refusal, naming the field, for masses that cannot be
    and for a formula that cannot be read.
    """
    if before_g <= 0:
        raise Refusal(_("Weigh the sample before the fire."), "before_g")
    pct = 100 * after_g / before_g
    first = step(_("Left of the sample: {after_g:g} g ÷ {before_g:g} g", after_g=after_g, before_g=before_g), pct, "%")
    found = _substance(formula, slug, library)
    residue = _residue(found, at_c, library)
    if isinstance(residue, str):
        return FireAssay(pct, (first,), why_not=residue)
    mass = found.formula.molar_mass_g_mol
    theory = 100 * residue.g / mass
    metals = tuple((s, pct * n * G_MOL[s] / residue.g) for s, n in residue.metals.items())
    assay = 100 * pct / theory
    weighing = 100 * balance_d_g / math.sqrt(6) / before_g * assay / pct if pct else 0.0
    return FireAssay(
        residue_pct=pct,
        working=_working(first, formula, mass, residue, theory, metals, pct, assay),
        residue=residue.name,
        theory_pct=theory,
        assay_pct=assay,
        assay_sd_pct=max(FLOOR_SD_PCT, weighing),
        metals=metals,
        notes=residue.notes,
    )


def _substance(formula: str, slug: str, library: Library) -> Substance:
    found = substance(formula, library, "formula")
    row = library.reagents.get(slug)
    return Substance(formula, found.formula, row) if row is not None else found


def _residue(found: Substance, at_c: float, library: Library) -> _Residue | str:
    """What stays at this heat, or the sentence that says why it cannot be told."""
    evolution = found.in_the_fire(Choices())
    stays = {symbol: n for symbol, n in evolution.residue.items() if symbol not in VOLATILE and n > 0}
    if not stays:
        return _("{text} leaves nothing in the fire, so there is nothing to assay.", text=found.formula.text)
    if found.row is not None and found.row.residue_context == "in-charge":
        return _("{name} leaves no known residue, so a fire-assay shows nothing.", name=found.row.name)
    gone_c = _gone_c(evolution)
    if at_c < gone_c:
        return _(
            "At {at_c:g} °C some gas remains. Fire above {gone_c:g} °C until the mass stays the same.",
            at_c=at_c,
            gone_c=gone_c,
        )
    notes = (evolution.assumed,) if evolution.assumed else ()
    if len(stays) == 1 and set(evolution.residue) <= {*stays, "O"}:
        return _oxide(found, next(iter(stays.items())), evolution, at_c, library, notes)
    named = found.row.residue_formula if found.row is not None else ""
    return _Residue(named or _("its usual oxides"), grams(evolution.residue), stays, notes)


def _gone_c(evolution: Evolution) -> float:
    """The temperature above which its gas is gone; oxygen comes and goes with the heat and does not count."""
    return max((each.to_c or 0.0 for each in evolution.steps if each.mol > 0 and each.gas != "O2"), default=0.0)


def _oxide(
    found: Substance,
    metal: tuple[str, float],
    evolution: Evolution,
    at_c: float,
    library: Library,
    notes: tuple[str, ...],
) -> _Residue | str:
    """The residue of one metal: the oxide that stands in air at the heat of the fire."""
    symbol, count = metal
    stands = library.oxide_in_air(symbol, at_c)
    if stands is None:
        return _Residue(_("{symbol} oxide", symbol=symbol), grams(evolution.residue), {symbol: count}, notes)
    oxide = parse(stands.oxide)
    if "C" in oxide.counts:
        return _(
            "At {at_c:g} °C {symbol} may still hold carbonate. Fire hotter, until the mass stays the same.",
            at_c=at_c,
            symbol=symbol,
        )
    more = list(notes)
    if stands.volatile_from_c is not None and at_c >= stands.volatile_from_c:
        more.append(
            _(
                "{oxide} leaves as vapour from about {volatile_from_c:g} °C: the assay reads low.",
                oxide=stands.oxide,
                volatile_from_c=stands.volatile_from_c,
            )
        )
    cold = library.oxide_in_air(symbol, ROOM_C)
    if cold is not None and cold.oxide != stands.oxide and "C" not in parse(cold.oxide).counts:
        gain = 100 * (grams_a_mole_of(parse(cold.oxide), symbol) / grams_a_mole_of(oxide, symbol) - 1)
        more.append(
            _(
                "Counted as {oxide}, cooled fast under a lid. Cooled slowly, it turns back towards {colder} and "
                "weighs up to {gain:.1f} % more. The assay then reads high.",
                oxide=stands.oxide,
                colder=cold.oxide,
                gain=gain,
            )
        )
    return _Residue(stands.oxide, count * grams_a_mole_of(oxide, symbol), {symbol: count}, tuple(more))


def _working(
    first: Step,
    formula: str,
    mass: float,
    residue: _Residue,
    theory: float,
    metals: tuple[tuple[str, float], ...],
    pct: float,
    assay: float,
) -> tuple[Step, ...]:
    say = _(
        "Pure {formula}: {g:.5g} g of {name} from {mass:.5g} g",
        formula=formula,
        g=residue.g,
        name=residue.name,
        mass=mass,
    )
    return (
        first,
        step(say, theory, "%", WEIGHTS),
        step(
            _("Assay by {formula}: {pct:.4g} % ÷ {theory:.4g} %", formula=formula, pct=pct, theory=theory), assay, "%"
        ),
        *(
            step(_("{symbol} in the jar, in what stayed", symbol=symbol), share, "%", WEIGHTS)
            for symbol, share in metals
        ),
        step(_("Anything beside the formula counts as leaving. Sand or another metal would make the assay read high.")),
    )
