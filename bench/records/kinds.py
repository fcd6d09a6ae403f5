"""Every kind of record: one frozen dataclass a kind, which is the schema.

What a declared step writes has its fields from the declaration (`bench/steps/`); the other kinds stand here.
Units stand in the names. A field with a default may be left out. `SINGLE` kinds hold one value in their slot: two that
differ, with neither corrected, are a disagreement. `laptop` marks what only the laptop writes.
"""

from collections.abc import Callable
from dataclasses import dataclass, make_dataclass
from dataclasses import field as with_default
from typing import Any, Literal, TypeVar, cast

from bench.records.schema import Ulid, When
from bench.steps import BY_RECORD
from bench.steps.declare import Step
from bench.steps.fields import Field

SINGLE = "single"
MANY = "many"


@dataclass(frozen=True)
class Kind:
    """What the bench knows of one kind of record."""

    name: str
    data: type
    slot: str
    key: str | None  # the data field that tells slots of one subject apart (a weighing's line, a placing's firing)
    laptop: bool
    version: int


KINDS: dict[str, Kind] = {}
T = TypeVar("T", bound=type)


def kind(
    name: str, slot: str = MANY, key: str | None = None, laptop: bool = False, version: int = 1
) -> Callable[[T], T]:
    def register(cls: T) -> T:
        frozen = cast("T", dataclass(frozen=True)(cls))
        KINDS[name] = Kind(name, frozen, slot, key, laptop, version)
        return frozen

    return register


Cooling = Literal["in-furnace", "slow", "fast", "controlled", "either", "quench-water", "unknown"]
Fate = Literal["reacts", "washed-out", "burns-out", "stays"]
Place = Literal["outdoors", "roofed", "indoors", "unknown"]


@dataclass(frozen=True)
class Line:
    """One reagent of a batch: from a jar, or a formula that stands in no jar yet."""

    line: int
    formula: str
    target_g: float
    jar: Ulid | None = None
    name: str | None = None
    fate: Fate = "reacts"
    assay_pct: float = 100.0


@dataclass(frozen=True)
class Segment:
    """One stretch of a schedule: climb or fall at a rate to a temperature, then hold it."""

    to_c: float
    rate_c_per_h: float | None = None
    hold_min: float = 0.0
    atmosphere: Literal["oxidising", "neutral", "reducing", "airless", "unknown"] = "unknown"


@dataclass(frozen=True)
class Source:
    """What went into a charge or was gathered: so many grams of a batch, a pigment, a jar or another charge."""

    g: float
    batch: Ulid | None = None
    pigment: Ulid | None = None
    jar: Ulid | None = None
    charge: Ulid | None = None


@dataclass(frozen=True)
class Suspect:
    """A cause that the maker suspects, and how sure they are."""

    cause: str
    certainty: Literal["sure", "guess"] = "guess"


@kind("furnace.described", SINGLE)
class FurnaceDescribed:
    name: str
    fuel: Literal["gas", "electric"]
    layout: Literal["grid", "ring"] = "grid"
    tiers: int = 1
    rows: int | None = None
    columns: int | None = None
    places: int | None = None
    volume_l: float | None = None
    ceiling_c: float | None = None
    lining_rated_c: float | None = None
    place: Place = "unknown"
    room_m3: float | None = None
    air_changes_per_h: float | None = None
    flue: bool | None = None
    probe_type: Literal["K", "N", "S", "R", "B", "J", "E", "T", "none"] = "none"
    probe_class: Literal["1", "2", "3", "unknown"] = "unknown"
    probe_place: str | None = None
    blower: bool | None = None
    blower_l_per_s: float | None = None
    lid_switch: bool | None = None
    cut_out: bool | None = None
    rcd: bool | None = None
    notes: str | None = None


@kind("burner.described", SINGLE)
class BurnerDescribed:
    name: str
    fuel: Literal["gas", "electric"] = "gas"
    notes: str | None = None


@kind("code.issued", laptop=True)
class CodeIssued:
    codes: tuple[str, ...]


@kind("code.assigned", SINGLE)
class CodeAssigned:
    code: str
    thing: Ulid


@kind("setting.changed")
class SettingChanged:
    name: str
    value: Any


@kind("rule.overridden")
class RuleOverridden:
    rule: str
    step: str
    who: str
    why: str


@kind("withdrawn")
class Withdrawn:
    ids: tuple[Ulid, ...]
    why: str


@kind("card.changed", SINGLE, laptop=True)
class CardChanged:
    table: Literal["reagents", "targets", "gases", "hazards", "ware", "limits"]
    slug: str
    row: Any
    basis: str


@kind("series.planned", SINGLE, laptop=True)
class SeriesPlanned:
    factor: str
    levels: tuple[Any, ...]
    unit: str | None = None
    control: Any = None


@kind("batch.planned", SINGLE, laptop=True)
class BatchPlanned:
    name: str
    from_: Literal["target", "grams", "parts"]
    lines: tuple[Line, ...]
    series: Ulid | None = None
    level: Any = None
    target: str | None = None
    target_formula: str | None = None
    fired_g: float | None = None
    washed_g: float | None = None
    schedule: tuple[Segment, ...] = ()
    cooling_mode: Cooling = "unknown"
    cooling_basis: str = "unknown"
    hot_pull: bool = False
    liquid: str | None = None
    binder: str | None = None
    packing: str | None = None
    atmosphere: Literal["oxidising", "neutral", "reducing", "airless", "unknown"] = "unknown"
    library_rev: str | None = None
    notes: str | None = None
    scanned: str | None = None  # the code of another bench's recipe that it was planned from, whole


@kind("rescaled")
class Rescaled:
    product_factor: float
    targets_g: tuple[float, ...]


@kind("firing.planned", SINGLE)
class FiringPlanned:
    furnace: Ulid
    segments: tuple[Segment, ...]
    burner: Ulid | None = None
    name: str | None = None


@dataclass(frozen=True)
class Patch:
    """One patch of a card: its colour by whoever measured it."""

    name: str
    lab: tuple[float, float, float]


@dataclass(frozen=True)
class Area:
    """An area that was marked on a photo: its corners in thousandths of the width, x and y in turn."""

    what: Literal["card", "swatch"]
    corners: tuple[float, ...]


@kind("colour.card", SINGLE)
class ColourCard:
    name: str
    patches: tuple[Patch, ...]
    columns: int = 1
    white: Literal["D65", "D50"] = "D50"
    source: str | None = None


@kind("swatch.measured", version=2)
class SwatchMeasured:
    lab: tuple[float, float, float]  # CIELAB L*, a*, b*, for D65
    se: tuple[float, float, float] | None = None  # the standard error of each
    method: str = "by eye"
    photo: Ulid | None = None
    areas: tuple[Area, ...] = ()
    illuminant: Literal["D65", "D50"] = "D65"  # for which it was given; `lab` is for D65 all the same
    card: Ulid | None = None
    residual: float | None = None  # mean ΔE00 of the card's patches after the correction


@kind("photo.kept")
class PhotoKept:
    of: Ulid
    photo: Ulid
    sha256: str


Attachment = Literal[
    "data-sheet",
    "certificate",
    "diffraction-pattern",
    "raman-spectrum",
    "colour-spectrum",
    "element-analysis",
    "micrograph",
    "other",
]


@kind("file.attached")
class FileAttached:
    of: Ulid
    file: Ulid
    sha256: str
    bytes: int
    name: str
    what: Attachment
    instrument: str | None = None
    at: str | None = None  # the day of the measurement, as 2030-05-31


PYTHON_TYPES: dict[str, Any] = {
    "number": float,
    "whole": int,
    "text": str,
    "flag": bool,
    "code": Ulid,
    "thing": Ulid,
    "list": tuple[str, ...],
    "moment": When,
}
"""What a declared field holds in a record; a choice holds one of its values."""
ROW_TYPES: dict[str, Any] = {"suspected": Suspect, "sources": Source}
"""What a row of a declared field is, by the field's name."""


def _schema_of(step: Step) -> type:
    """The dataclass of the records that a declared step writes."""
    name = "".join(part.capitalize() for part in str(step.record).split("."))
    parts = [(_python_name(one.name), _type_of(one), _default_of(one)) for one in step.recorded]
    return make_dataclass(name, parts, frozen=True, kw_only=True)


def _python_name(name: str) -> str:
    return f"{name}_" if name == "from" else name


def _type_of(one: Field) -> Any:
    if one.kind == "rows":
        rows: Any = tuple
        return rows[ROW_TYPES[one.name], ...]
    of: Any = Literal[one.values] if one.kind == "choice" else PYTHON_TYPES[one.kind]
    always = one.required or one.default is not None or one.kind == "list"
    return of if always else of | None


def _default_of(one: Field) -> Any:
    if one.kind in ("rows", "list"):
        return with_default() if one.required else with_default(default=())
    if one.default is not None:
        return with_default(default=one.default)
    return with_default() if one.required else with_default(default=None)


for _name, _step in BY_RECORD.items():
    KINDS[_name] = Kind(
        _name,
        _schema_of(_step),
        SINGLE if _step.single else MANY,
        _step.single if _step.single not in ("", "-") else None,
        laptop=False,
        version=_step.version,
    )


MAKERS: dict[str, str] = {
    "furnace.described": "furnace",
    "burner.described": "burner",
    "series.planned": "series",
    "batch.planned": "batch",
    "firing.planned": "firing",
    "opened": "pigment",
    "card.changed": "card",
    "colour.card": "colour-card",
    **{name: step.makes for name, step in BY_RECORD.items() if step.makes},
}
"""The kinds that make a thing: its ULID is the id of the first such record. `opened` has the charge as its subject and
makes a pigment; `waste.added` makes the container when it names itself as one."""
