"""What a maker weighs and what a maker wants: reagents and targets, each one row of the reference data."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from bench.reference.provenance import Row


@dataclass(frozen=True, kw_only=True)
class GasStep:
    """One gas that a reagent gives off (or, with a negative amount, takes up) between two temperatures."""

    gas: str
    mol_per_formula: float
    from_c: float
    to_c: float


@dataclass(frozen=True, kw_only=True)
class Reagent(Row):
    """A substance as it stands in a jar.

    `assay_low_pct` to `assay_high_pct` is the usual content of `assay_formula` by mass, in per cent of the jar (so 45
    to 47 with `assay_formula` Co means 45 to 47 g of cobalt in 100 g). `residue_per_formula` times `residue_formula`
    is what stays in air at high heat; `residue_context` is `alone` or `in-charge` (it goes into the product and would
    not stand free). None: not known.
    """

    slug: str
    name: str
    formula: str
    molar_mass_g_mol: float | None = None
    synonyms: tuple[str, ...] = ()
    cas: str = ""
    form: str = ""
    appearance: str = ""
    purity: str = ""
    assay_basis: str = "formula %"
    assay_formula: str = ""
    assay_low_pct: float | None = None
    assay_high_pct: float | None = None
    assay_element: str = ""
    assay_note: str = ""
    hydrates: tuple[str, ...] = ()
    how_to_tell: str = ""
    decomposition_c: str = ""
    decomposition_products: str = ""
    loss_on_ignition_pct: float | None = None
    residue_formula: str = ""
    residue_per_formula: float | None = None
    residue_context: str = "alone"
    gas_steps: tuple[GasStep, ...] = ()
    gains_oxygen: str = ""
    water_soluble: str = ""
    water_note: str = ""
    hygroscopic: str = ""
    hygroscopic_note: str = ""
    melts_c: float | None = None
    bulk_density_low_g_ml: float | None = None
    bulk_density_high_g_ml: float | None = None
    froths: str = ""
    fate_default: str = "reacts"
    attacks_ware: tuple[str, ...] = ()
    never_with: tuple[str, ...] = ()
    hazard: str = ""
    hazard_id: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class FluxOption:
    """A mineraliser that may be added: per cent by mass of the theoretical product, and what becomes of it.

    `not_with` names reagents in whose company it must not be used.
    """

    formula: str
    wt_pct_low: float
    wt_pct_high: float
    fate: str
    not_with: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Route:
    """One set of reagents (slugs) from which a target is made."""

    reagents: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Sign:
    """A sign of failure, its usual cause, and what tells it from a look-alike."""

    sign: str
    cause: str
    tells_apart: str


@dataclass(frozen=True, kw_only=True)
class LeftOver:
    """A phase that may be left beside the target, and its colour."""

    oxide: str
    colour: str


ATMOSPHERES = ("oxidising", "neutral", "reducing", "airless", "two-step", "any", "unknown")
COOLINGS = ("in-furnace", "slow", "fast", "controlled", "either", "quench-water", "unknown")
WASHES = ("none", "water", "dilute-acid")


@dataclass(frozen=True, kw_only=True)
class Target(Row):
    """A phase that a maker wants, with its window of heat and time, its colour, its failures and its routes.

    `x_low` to `x_high` is the range of x (or y) in `formula_family`. Temperatures are those of the charge, in °C.
    `cooling_mode` is one of in-furnace, slow, fast, controlled, either (in the furnace), quench-water, unknown; a
    mode whose ground is memory never tells anybody to open hot. `pale` marks a colour that a stained crucible would
    spoil. The CIELAB value (`lab`) is None unless published whole.
    """

    slug: str
    name: str
    formula: str
    other_names: tuple[str, ...] = ()
    formula_family: str = ""
    x_low: float | None = None
    x_high: float | None = None
    molar_mass_g_mol: float | None = None
    cations: Mapping[str, float] = field(default_factory=dict)
    status: str = "plannable"
    status_reason: str = ""
    structure: str = ""
    colour_index_name: str = ""
    ci_constitution_no: str = ""
    colour_words: str = ""
    pale: bool = False
    lab_l: float | None = None
    lab_a: float | None = None
    lab_b: float | None = None
    lab_note: str = ""
    soak_low_c: float | None = None
    soak_high_c: float | None = None
    soak_min_minutes: float | None = None
    soak_max_minutes: float | None = None
    decomposes_above_c: float | None = None
    atmosphere: str = "unknown"
    atmosphere_words: str = ""
    reduction: str = ""
    cooling_mode: str = "unknown"
    cooling_words: str = ""
    cooling_why: str = ""
    cooling_note: str = ""
    fires_low: int | None = None
    fires_high: int | None = None
    regrind_between: bool = False
    wash: str = ""
    washing: str = ""
    milling: str = ""
    mineralisers: str = ""
    flux_options: tuple[FluxOption, ...] = ()
    side_phases: str = ""
    left_overs: tuple[LeftOver, ...] = ()
    failures: str = ""
    failure_signs: tuple[Sign, ...] = ()
    routes: tuple[Route, ...] = ()
    routes_words: str = ""
    hazard: str = ""
    hazard_id: str = ""
    hazard_note: str = ""
    density_g_cm3: float | None = None
    sensitive_to: tuple[str, ...] = ()
    neighbours_to_avoid: tuple[str, ...] = ()
    gives_off: tuple[str, ...] = ()
    note: str = ""

    @property
    def lab(self) -> tuple[float, float, float] | None:
        """The published CIELAB value (L*, a*, b*), or None where no whole value was read."""
        if self.lab_l is None or self.lab_a is None or self.lab_b is None:
            return None
        return (self.lab_l, self.lab_a, self.lab_b)
