"""What stands round the charge: gases with their limits, crucible ware, and the oxides that stand in air."""

from dataclasses import dataclass

from bench.reference.provenance import Row


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One published limit of exposure.

    `period` is `8h`, `short` (usually 15 minutes), `ceiling` or `danger` (immediately dangerous to life or health).
    `unit` is ppm, mg/m3 or f/ml. `counted_as` names the element or part that is weighed (as Co, respirable); `year`
    is None where the text states none. `words` is the limit as noted.
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


@dataclass(frozen=True, kw_only=True)
class Gas(Row):
    """A gas or fume that a charge or a flame gives off. Its slug is its formula.

    The strict figures are the lowest of the limits noted, for a whole day (`strict_8h_…`) and for a short time or a
    ceiling (`strict_short_…`); None where there is none. `rel_density_air` is against air = 1; explosion limits are
    per cent by volume.
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
    strict_8h_ppm: float | None = None
    strict_8h_mg_m3: float | None = None
    strict_short_ppm: float | None = None
    strict_short_mg_m3: float | None = None
    strict_note: str = ""
    idlh_ppm: float | None = None
    idlh_mg_m3: float | None = None
    odour_threshold: str = ""
    smell_warns: str = ""
    rel_density_air: float | None = None
    sinks_or_rises: str = ""
    lel_low_pct: float | None = None
    lel_high_pct: float | None = None
    uel_low_pct: float | None = None
    uel_high_pct: float | None = None
    first_response: str = ""
    uncertain: str = ""
    fields_read: str = ""


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
    """

    slug: str
    element: str
    oxide: str
    from_c: float
    to_c: float
    colour: str = ""
    volatile: str = ""
    volatile_from_c: float | None = None
    note: str = ""
