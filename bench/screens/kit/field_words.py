"""What each field of a record is called on a screen, and the unit that its name carries."""

from bench.steps import BY_RECORD
from bench.steps.described import DESCRIBED
from bench.steps.fields import Field
from bench.web.words import _

UNITS = (
    ("_pct", "%"), ("_mg", "mg"), ("_kg", "kg"), ("_ml", "mL"), ("_um", "µm"), ("_m3", "m³"), ("_per_h", _("an hour")),
    ("_c_per_h", "°C/h"), ("_min", "min"), ("_g", "g"), ("_c", "°C"), ("_l", "l"),
)  # fmt: skip
WHOLE_NAMES = {"minutes": "min", "g": "g", "c": "°C"}
WORDS = {
    "areas": _("Areas"),
    "assay_pct": _("Assay by formula"),
    "at": _("On"),
    "atmosphere": _("Atmosphere"),
    "basis": _("Basis"),
    "batch": _("Batch"),
    "binder": _("Binder"),
    "blank": _("Blank on the run sheet"),
    "blower": _("Blower"),
    "burner": _("Burner"),
    "bytes": _("Bytes"),
    "card": _("Card"),
    "cause": _("Cause"),
    "certainty": _("Certainty"),
    "charge": _("Charge"),
    "code": _("Code"),
    "codes": _("Codes"),
    "columns": _("Columns"),
    "control": _("Control"),
    "cooling_basis": _("Ground of the cooling"),
    "cooling_mode": _("Cooling"),
    "corners": _("Corners"),
    "cut_out": _("Cut-out"),
    "factor": _("Factor"),
    "fate": _("Fate"),
    "file": _("File"),
    "fired_g": _("Fired mass"),
    "flue": _("Flue draws"),
    "formula": _("Formula"),
    "from": _("From"),
    "from_": _("From"),
    "fuel": _("Fuel"),
    "furnace": _("Furnace"),
    "g": _("Mass"),
    "hold_min": _("Held"),
    "hot_pull": _("Pulled hot"),
    "ids": _("Records"),
    "illuminant": _("Illuminant"),
    "instrument": _("Instrument"),
    "jar": _("Jar"),
    "lab": _("CIELAB"),
    "layout": _("Layout"),
    "level": _("Level"),
    "levels": _("Levels"),
    "library_rev": _("Library"),
    "lid_switch": _("Lid switch"),
    "line": _("Line"),
    "lines": _("Lines"),
    "liquid": _("Liquid"),
    "method": _("Method"),
    "name": _("Name"),
    "notes": _("Notes"),
    "of": _("Of"),
    "packing": _("Packing"),
    "patches": _("Patches"),
    "photo": _("Photo"),
    "pigment": _("Pigment"),
    "place": _("Place"),
    "places": _("Places"),
    "probe_class": _("Probe class"),
    "probe_type": _("Probe type"),
    "product_factor": _("Larger by"),
    "rate_c_per_h": _("Rate"),
    "rcd": _("RCD"),
    "residual": _("Residual"),
    "row": _("Row"),
    "rows": _("Rows"),
    "rule": _("Rule"),
    "scanned": _("Scanned"),
    "schedule": _("Schedule"),
    "se": _("Standard errors"),
    "segments": _("Segments"),
    "series": _("Series"),
    "sha256": _("SHA-256"),
    "slug": _("Library row"),
    "source": _("Source"),
    "step": _("Step"),
    "table": _("Table"),
    "target": _("Target"),
    "target_formula": _("Target formula"),
    "target_g": _("Target"),
    "targets_g": _("New targets"),
    "thing": _("Thing"),
    "tiers": _("Tiers"),
    "to_c": _("To"),
    "unit": _("Unit"),
    "value": _("Value"),
    "washed_g": _("Washed mass"),
    "what": _("What"),
    "white": _("White"),
    "who": _("Who"),
    "why": _("Why"),
}
KIND_WORDS = {
    "batch.planned": _("Batch planned"),
    "burner.described": _("Burner described"),
    "card.changed": _("Row of your own"),
    "code.assigned": _("Code given"),
    "code.issued": _("Codes issued"),
    "file.attached": _("File attached"),
    "firing.planned": _("Firing planned"),
    "furnace.described": _("Furnace described"),
    "photo.kept": _("Photo"),
    "rescaled": _("Made larger"),
    "rule.overridden": _("Rule overridden"),
    "series.planned": _("Series planned"),
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
    fields = step.recorded if step is not None else DESCRIBED.get(kind or "", ())
    return next((one for one in fields if one.name == name), None)


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
