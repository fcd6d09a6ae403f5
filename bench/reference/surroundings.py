"""What stands round the charge: gases with their limits, crucible ware, and the oxides that stand in air."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from math import log

from bench.reference.provenance import Row
from bench.reference.tables import Sentence

L_PER_MOL_25C = 24.465
"""Molar volume of an ideal gas at 25 °C and 1 atm, in litres (0.082057 × 298.15)."""


ZERO_C_IN_K = 273.15
AIR_O2_PCT, GAS_FURNACE_O2_PCT = 21.0, 5.0
"""Oxygen in air, and about that of a gas furnace with a clear flame (our own figure, from memory)."""

FRACTIONS = ("", "total", "inhalable", "respirable", "thoracic")
SOLUBLE, INSOLUBLE = "soluble", "insoluble"
NOT_A_POWDER = ("fume", "vapour")
"""Forms that a jar's powder is not; the fire may make them."""
PROPOSED = "proposed"
"""A limit that no law has taken up yet: shown, and not reckoned with."""


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One published limit of exposure.

    `period` is `8h`, `short` (usually 15 minutes), `ceiling` or `danger` (immediately dangerous to life or health).
    `unit` is ppm, mg/m3 or f/ml. `counted_as` names the element or part that is weighed (as Co, respirable); `year`
    is None where the text states none. `words` is the limit as noted, `source` the key of what was read.
    """

    name: str
    value: float
    unit: str
    body: str
    year: int | None = None
    period: str = "8h"
    counted_as: str = ""
    basis: str = "memory"
    words: str = ""
    source: str = ""

    @property
    def shown_unit(self) -> str:
        """The unit as it is read: mg/m³, f/mL."""
        return self.unit.replace("m3", "m³").replace("/ml", "/mL")


@dataclass(frozen=True, kw_only=True)
class DustLimit(Limit):
    """A limit with the form of the substance and the fraction of the dust that it counts; empty: it says neither."""

    form: str = ""
    fraction: str = ""

    def fits(self, soluble: str) -> bool:
        """Whether it may hold for a powder that dissolves in water: yes, no, or anything else for not known."""
        if self.form in (*NOT_A_POWDER, PROPOSED):
            return False
        return not ((self.form == SOLUBLE and soluble == "no") or (self.form == INSOLUBLE and soluble == "yes"))


@dataclass(frozen=True, kw_only=True)
class Gas(Row):
    """A gas or fume that a charge or a flame gives off. Its slug is its formula.

    The strict limits are the lowest of those noted, for a whole day and for a short time or a ceiling; None where none
    is noted. `rel_density_air` is against air = 1; explosion limits are per cent by volume.
    """

    slug: str
    name: str
    formula_words: str = ""
    molar_mass_g_mol: float | None = None
    comes_from: str = ""
    osha_pel: str = ""
    niosh_rel: str = ""
    uk_wel_8h: str = ""
    uk_wel_15min: str = ""
    acgih_tlv: str = ""
    eu_limit: str = ""
    idlh: str = ""
    limits: tuple[Limit, ...] = ()
    odour_threshold: str = ""
    smell_warns: str = ""
    rel_density_air: float | None = None
    sinks_or_rises: str = ""
    lel_low_pct: float | None = None
    lel_high_pct: float | None = None
    uel_low_pct: float | None = None
    uel_high_pct: float | None = None
    first_response: Sentence = ""
    uncertain: str = ""

    def in_mg_m3(self, limit: Limit) -> float | None:
        """A limit in mg/m³ at 25 °C and 1 atm; None for parts per million where the gas has no molar mass."""
        if limit.unit == "mg/m3":
            return limit.value
        if limit.unit == "ppm" and self.molar_mass_g_mol:
            return limit.value * self.molar_mass_g_mol / L_PER_MOL_25C
        return None

    def strictest(self, *periods: str) -> Limit | None:
        """The lowest limit of these periods, or None."""
        known = [(mass, each) for each in self.limits if each.period in periods and (mass := self.in_mg_m3(each))]
        return min(known, key=lambda pair: pair[0])[1] if known else None

    @property
    def strict_8h(self) -> Limit | None:
        """The lowest limit for a working day."""
        return self.strictest("8h")

    @property
    def strict_short(self) -> Limit | None:
        """The lowest limit for a short time, or ceiling."""
        return self.strictest("short", "ceiling")

    @property
    def danger(self) -> Limit | None:
        """The concentration that is immediately dangerous to life or health."""
        return self.strictest("danger")


@dataclass(frozen=True, kw_only=True)
class Ware(Row):
    """A kind of crucible. `avoid` lists what attacks it, as warnings in words; only the rating blocks."""

    slug: str
    continuous_max_c: float | None = None
    short_max_c: float | None = None
    max_ramp_c_per_min: float | None = None
    max_ramp_cool_c_per_min: float | None = None
    avoid: tuple[str, ...] = ()
    shock_note: str = ""
    porous: str = ""


@dataclass(frozen=True, kw_only=True)
class OxideInAir(Row):
    """Which oxide (or, where none stands free, which compound) of an element stands in air between two temperatures
    in °C.

    `to_c_by_o2_pct` gives the upper end where the furnace's gas holds so much oxygen, in per cent; empty: it does not
    hang on that.
    """

    slug: str
    element: str
    oxide: str
    from_c: float
    to_c: float
    to_c_by_o2_pct: Mapping[str, float] = field(default_factory=dict)
    colour: str = ""
    volatile: str = ""
    volatile_from_c: float | None = None
    note: str = ""

    def ends_c(self, o2_pct: float) -> float:
        """The upper end in °C where the gas holds `o2_pct` per cent of oxygen.

        Between and beyond the figures it is straight in 1/T over the logarithm of the oxygen, as for an equilibrium.
        """
        known = sorted((float(pct), c) for pct, c in self.to_c_by_o2_pct.items())
        if len(known) < 2:
            return self.to_c
        (low, low_c), (high, high_c) = next((pair for pair in pairwise(known) if o2_pct <= pair[1][0]), known[-2:])
        share = log(o2_pct / low) / log(high / low)
        per_k = (1 - share) / (low_c + ZERO_C_IN_K) + share / (high_c + ZERO_C_IN_K)
        return 1 / per_k - ZERO_C_IN_K
