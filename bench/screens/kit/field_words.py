"""What each field of a record is called on a screen, and the unit that its name carries."""

from bench.steps import BY_RECORD
from bench.steps.fields import Field
from bench.web.words import _

UNITS = (
    ("_pct", "%"), ("_mg", "mg"), ("_kg", "kg"), ("_ml", "mL"), ("_um", "µm"), ("_m3", "m³"), ("_per_h", _("an hour")),
    ("_c_per_h", "°C/h"), ("_min", "min"), ("_g", "g"), ("_c", "°C"), ("_l", "L"),
)  # fmt: skip
WHOLE_NAMES = {"minutes": "min", "g": "g", "c": "°C"}
WORDS = {
    "areas": _("Areas"),
    "at": _("On"),
    "atmosphere": _("Atmosphere"),
    "basis": _("Basis"),
    "bytes": _("Bytes"),
    "card": _("Card"),
    "cause": _("Cause"),
    "code": _("Code"),
    "codes": _("Codes"),
    "columns": _("Columns"),
    "cooling_mode": _("Cooling"),
    "corners": _("Corners"),
    "fate": _("Fate"),
    "file": _("File"),
    "formula": _("Formula"),
    "ids": _("Records"),
    "illuminant": _("Illuminant"),
    "instrument": _("Instrument"),
    "lab": _("CIELAB"),
    "method": _("Method"),
    "name": _("Name"),
    "of": _("Of"),
    "patches": _("Patches"),
    "photo": _("Photo"),
    "residual": _("Residual"),
    "row": _("Row"),
    "rule": _("Rule"),
    "se": _("Standard errors"),
    "sha256": _("SHA-256"),
    "slug": _("Library row"),
    "source": _("Source"),
    "step": _("Step"),
    "table": _("Table"),
    "thing": _("Thing"),
    "to_c": _("To"),
    "value": _("Value"),
    "what": _("What"),
    "white": _("White"),
    "who": _("Who"),
    "why": _("Why"),
}
KIND_WORDS = {
    "card.changed": _("Row of your own"),
    "code.assigned": _("Code given"),
    "code.issued": _("Codes issued"),
    "file.attached": _("File attached"),
    "photo.kept": _("Photo"),
    "rule.overridden": _("Rule overridden"),
    "setting.changed": _("Setting changed"),
    "swatch.measured": _("Swatch measured"),
    "withdrawn": _("Withdrawn"),
}


def kind_words(kind: str) -> str:
    """What a kind of record is called; one that this bench does not know by its own name."""
    step = BY_RECORD.get(kind)
    return _(step.kind_words) if step is not None else KIND_WORDS.get(kind, kind)


def declared_field(name: str, kind: str | None) -> Field | None:
    """The declaration of a field of a kind of record, where that kind is declared."""
    step = BY_RECORD.get(kind or "")
    return next((one for one in step.recorded if one.name == name), None) if step is not None else None


def field_words(name: str, kind: str | None = None) -> str:
    """What a field is called: `Net` for net_g."""
    declared = declared_field(name, kind)
    if declared is not None:
        return _(declared.label)
    known = WORDS.get(name)
    if known is not None:
        return known
    said = name.removesuffix(f"_{_tail(name)}").replace("_", " ")
    return said[:1].upper() + said[1:]


def field_unit(name: str, kind: str | None = None) -> str:
    """The unit of a field: as declared, else as its name carries it, or nothing."""
    declared = declared_field(name, kind)
    if declared is not None:
        return _(declared.unit) if declared.unit else ""
    if name in WHOLE_NAMES:
        return WHOLE_NAMES[name]
    found = [(len(tail), unit) for tail, unit in UNITS if name.endswith(tail)]
    return max(found)[1] if found else ""


def _tail(name: str) -> str:
    return next((tail[1:] for tail, _unit in UNITS if name.endswith(tail)), " ")
