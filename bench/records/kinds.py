"""Every kind of record: one frozen dataclass a kind, which is the schema.

What a declared step writes has its fields from the declaration (`bench/steps/`). Some are typed here too, since
calculations read them by name: the start stops where the two differ. The kinds that are no step stand here alone.
Units stand in the names. A field with a default may be left out. `SINGLE` kinds hold one value in their slot: two that
differ, with neither corrected, are a disagreement. `laptop` marks what only the laptop writes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, TypeVar, cast

from bench.records.declared import agreed
from bench.records.schema import Ulid
from bench.steps import BY_RECORD

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
NO_STEP: dict[str, str] = {}
"""Why each kind that no step declares is none."""
TYPED: dict[str, type] = {}
"""The schemas of declared steps that are typed here too."""
T = TypeVar("T", bound=type)


def kind(name: str, slot: str = MANY, *, why: str, laptop: bool = False, version: int = 1) -> Callable[[T], T]:
    """A kind that is no step; `why` says for what reason."""

    def register(cls: T) -> T:
        frozen = cast("T", dataclass(frozen=True)(cls))
        KINDS[name] = Kind(name, frozen, slot, None, laptop, version)
        NO_STEP[name] = why
        return frozen

    return register


def typed(name: str) -> Callable[[T], T]:
    """The schema of a declared step, for whoever reads its fields by name."""

    def register(cls: T) -> T:
        frozen = cast("T", dataclass(frozen=True)(cls))
        TYPED[name] = frozen
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


@typed("furnace.described")
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


@typed("burner.described")
class BurnerDescribed:
    name: str
    fuel: Literal["gas", "electric"] = "gas"
    notes: str | None = None


@kind("code.issued", laptop=True, why="codes come from a stock; nobody types them")
class CodeIssued:
    codes: tuple[str, ...]


@kind("code.assigned", SINGLE, why="it goes with the step that made the thing, or with a tag on a label sheet")
class CodeAssigned:
    code: str
    thing: Ulid


@kind("setting.changed", why="it says how the bench is, not what was done")
class SettingChanged:
    name: str
    value: Any


@kind("rule.overridden", why="it is part of the step that it goes with: the decision to go on")
class RuleOverridden:
    rule: str
    step: str
    who: str
    why: str


@kind("withdrawn", why="it undoes any record, whatever its kind")
class Withdrawn:
    ids: tuple[Ulid, ...]
    why: str


@kind("card.changed", SINGLE, laptop=True, why="a row of the library; the table itself says its fields")
class CardChanged:
    table: Literal["reagents", "targets", "gases", "hazards", "ware", "limits"]
    slug: str
    row: Any
    basis: str


@typed("series.planned")
class SeriesPlanned:
    factor: str
    levels: tuple[Any, ...]
    unit: str | None = None
    control: Any = None


@typed("batch.planned")
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


@typed("firing.planned")
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


@kind("colour.card", SINGLE, why="a bought card, typed in as a table of its patches")
class ColourCard:
    name: str
    patches: tuple[Patch, ...]
    columns: int = 1
    white: Literal["D65", "D50"] = "D50"
    source: str | None = None


@kind(
    "swatch.measured",
    version=2,
    why="a reading that no step waits for: three numbers that belong together",
)
class SwatchMeasured:
    lab: tuple[float, float, float]  # CIELAB L*, a*, b*, for D65
    se: tuple[float, float, float] | None = None  # the standard error of each
    method: str = "by eye"
    photo: Ulid | None = None
    areas: tuple[Area, ...] = ()
    illuminant: Literal["D65", "D50"] = "D65"  # for which it was given; `lab` is for D65 all the same
    card: Ulid | None = None
    residual: float | None = None  # mean ΔE00 of the card's patches after the correction


@kind("photo.kept", why="a picture beside any step")
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


@kind("file.attached", why="a file beside any thing, never opened")
class FileAttached:
    of: Ulid
    file: Ulid
    sha256: str
    bytes: int
    name: str
    what: Attachment
    instrument: str | None = None
    at: str | None = None  # the day of the measurement, as 2030-05-31


ROW_TYPES: dict[str, type] = {
    "suspected": Suspect, "sources": Source, "lines": Line, "schedule": Segment, "segments": Segment
}  # fmt: skip
"""What a row of a declared field is, by the field's name."""


for _name, _step in BY_RECORD.items():
    for _rows in (one for one in _step.recorded if one.kind == "rows"):
        agreed(_rows.name, _rows.rows, ROW_TYPES)
    KINDS[_name] = Kind(
        _name,
        agreed(_name, _step.recorded, TYPED | ROW_TYPES),
        SINGLE if _step.single else MANY,
        _step.single if _step.single not in ("", "-") else None,
        laptop=_step.laptop,
        version=_step.version,
    )


MAKERS: dict[str, str] = {
    "opened": "pigment",
    "card.changed": "card",
    "colour.card": "colour-card",
    **{name: step.makes for name, step in BY_RECORD.items() if step.makes},
}
"""The kinds that make a thing: its ULID is the id of the first such record. `opened` has the charge as its subject and
makes a pigment; `waste.added` makes the container when it names itself as one."""
