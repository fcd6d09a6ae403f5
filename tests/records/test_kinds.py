"""The kinds of records against their table: every kind, its slot, who may write it, and every field with its unit.

The table is typed in here from the agreed page of records, so the schema in code cannot drift from it unseen. What the
schema holds beyond the table stands in `MORE`, so that nothing is added unseen either.
"""

import typing
from dataclasses import MISSING, fields
from typing import Any, get_args, get_origin

import pytest

from bench.records.kinds import KINDS, MAKERS, MANY, SINGLE, Area, Line, Patch, Segment, Source, Suspect
from bench.records.schema import json_name

# kind: slot, what tells the slots of one subject apart, the fields
TABLE: dict[str, tuple[str, str | None, str]] = {
    "jar.opened": (
        "S",
        None,
        "reagent formula hydrate_known lot assay_pct assay_sd_pct net_g price supplier received opened",
    ),
    "jar.assayed": ("M", None, "before_g after_g at_c"),
    "crucible.added": ("S", None, "ware volume_ml rated_c mark"),
    "crucible.seen": ("M", None, "tare_g lid_g condition"),
    "furnace.described": (
        "S",
        None,
        "fuel layout tiers rows columns places volume_l ceiling_c lining_rated_c place room_m3 air_changes_per_h flue "
        "probe_type probe_class probe_place",
    ),
    "burner.described": ("S", None, "notes"),
    "code.issued": ("M", None, "codes"),
    "code.assigned": ("S", None, "code thing"),
    "setting.changed": ("M", None, "name value"),
    "rule.overridden": ("M", None, "rule step who why"),
    "withdrawn": ("M", None, "ids why"),
    "card.changed": ("S", None, "table slug row basis"),
    "series.planned": ("S", None, "factor unit levels control"),
    "batch.planned": (
        "S",
        None,
        "series level from target_formula lines fired_g washed_g schedule cooling_mode library_rev",
    ),
    "weighed": ("S", "line", "line jar net_g before_g after_g balance_d_g"),
    "rescaled": ("M", None, "product_factor targets_g"),
    "mixed": ("M", None, "medium minutes streak"),
    "dried": ("M", None, "where c minutes tare_g mass_g apart_min"),
    "charged": ("S", None, "crucible sources wet_g gross_g lid packing"),
    "placed": ("S", "firing", "firing tier row column clock"),
    "firing.planned": ("S", None, "furnace burner segments"),
    "check.answered": ("M", None, "list item answer reason"),
    "lit": ("S", None, "deviations"),
    "fire.off": ("M", None, "reason"),
    "reading": ("M", None, "c raw raw_unit cold_junction_c"),
    "noted": ("M", None, "what value"),
    "timer.set": ("M", None, "purpose ends_at known_to_laptop"),
    "went.in": ("M", None, "firing charge all"),
    "came.out": ("M", None, "firing charge rest_place all unconfirmed"),
    "touched": ("M", None, "thing surface_c"),
    "opened": ("S", None, "gross_g tare_after_g stuck_g signs broken_open"),
    "gathered": ("S", None, "sources"),
    "washed": ("M", None, "round water_ml c test result waste"),
    "ground": ("M", None, "medium minutes sieve_um held_back_g"),
    "sieved": ("M", None, "mesh_um oversize_g oversize"),
    "dry.weighed": ("S", None, "net_g"),
    "swatch.made": ("S", None, "pigment binder oil_g white_per_pigment film_um"),
    "swatch.measured": ("M", None, "lab se method photo areas illuminant card residual"),
    "colour.card": ("S", None, "name patches source"),
    "judged": ("M", None, "verdict words suspected"),
    "lost": ("M", None, "from g how"),
    "waste.added": ("M", None, "container from volume_ml mass_g contents capacity_ml"),
    "waste.collected": ("S", None, "by date"),
    "photo.kept": ("M", None, "of photo sha256"),
    "file.attached": ("M", None, "of file sha256 bytes name what instrument at"),
    "closed": ("S", None, "outcome why"),
}
MORE: dict[str, str] = {
    "furnace.described": "name blower blower_l_per_s lid_switch cut_out rcd notes",
    "burner.described": "name fuel",
    "batch.planned": "name target cooling_basis hot_pull liquid binder packing atmosphere notes scanned",
    "firing.planned": "name",
    "fire.off": "words blank",
    "check.answered": "by",
    "lit": "blank",
    "colour.card": "columns white",
}
VERSIONS = {"jar.opened": 2, "check.answered": 2, "swatch.measured": 2}
LAPTOP_ONLY = {"code.issued", "card.changed", "series.planned", "batch.planned"}
PARTS: dict[type, tuple[str, str]] = {
    Line: ("line jar formula target_g fate", "name assay_pct"),
    Source: ("batch pigment jar charge g", ""),
    Suspect: ("cause certainty", ""),
    Patch: ("name lab", ""),
    Area: ("what corners", ""),
    Segment: ("to_c rate_c_per_h hold_min", "atmosphere"),
}
CHOICES: dict[tuple[str, str], set[str]] = {
    ("crucible.seen", "condition"): {"sound", "clean", "stained", "cracked", "broken", "retired"},
    ("furnace.described", "layout"): {"grid", "ring"},
    ("furnace.described", "place"): {"outdoors", "roofed", "indoors", "unknown"},
    ("batch.planned", "from"): {"target", "grams", "parts"},
    ("batch.planned", "cooling_mode"): {
        "in-furnace",
        "slow",
        "fast",
        "controlled",
        "either",
        "quench-water",
        "unknown",
    },
    ("dried", "where"): {"dish", "crucible"},
    ("check.answered", "answer"): {"done", "not-done", "does-not-apply"},
    ("fire.off", "reason"): {"reached", "stalled", "out-of-gas", "fault", "emergency"},
    ("judged", "verdict"): {"keep", "refire", "make-up", "tint", "discard"},
    ("lost", "how"): {"spill", "breakage", "dust"},
}
# What the table marks as possibly missing may be left out; without these a record would say nothing.
NEEDED: dict[str, set[str]] = {
    "jar.opened": {"reagent", "formula"},
    "jar.assayed": {"before_g", "after_g", "at_c"},
    "weighed": {"line", "net_g"},
    "charged": {"crucible", "sources"},
    "placed": {"firing"},
    "firing.planned": {"furnace", "segments"},
    "reading": {"c"},
    "touched": {"thing", "surface_c"},
    "withdrawn": {"ids", "why"},
    "lost": {"from", "how"},  # somebody may not know how much
    "dry.weighed": {"net_g"},
    "file.attached": {"of", "file", "sha256", "bytes", "name", "what"},
    "closed": {"outcome"},
    "lit": set(),
    "opened": set(),
}


def names(schema: type) -> set[str]:
    return {json_name(f.name) for f in fields(schema)}


def test_the_table_and_the_code_name_the_same_kinds() -> None:
    assert set(KINDS) == set(TABLE)


@pytest.mark.parametrize("kind", sorted(TABLE))
def test_a_kind_has_the_slot_and_the_fields_of_the_table(kind: str) -> None:
    slot, key, stated = TABLE[kind]
    known = KINDS[kind]
    assert known.name == kind and known.version == VERSIONS.get(kind, 1)
    assert known.slot == {"S": SINGLE, "M": MANY}[slot]
    assert known.key == key
    assert key is None or key in names(known.data)
    assert known.laptop == (kind in LAPTOP_ONLY)
    assert names(known.data) == set(stated.split()) | set(MORE.get(kind, "").split())


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.__name__)
def test_the_parts_of_a_record_have_the_fields_of_the_table(part: type) -> None:
    stated, more = PARTS[part]
    assert names(part) == set(stated.split()) | set(more.split())


@pytest.mark.parametrize(("kind", "name"), sorted(CHOICES))
def test_a_choice_offers_what_the_table_offers(kind: str, name: str) -> None:
    hints = {json_name(n): h for n, h in typing.get_type_hints(KINDS[kind].data).items()}
    assert set(get_args(hints[name])) == CHOICES[kind, name]


@pytest.mark.parametrize("kind", sorted(NEEDED))
def test_only_what_a_record_cannot_do_without_is_required(kind: str) -> None:
    schema = KINDS[kind].data
    found = {json_name(f.name) for f in fields(schema) if f.default is MISSING and f.default_factory is MISSING}
    assert found == NEEDED[kind]


@pytest.mark.parametrize("kind", sorted(TABLE))
def test_every_number_says_its_unit_in_its_name(kind: str) -> None:
    units = ("_g", "_ml", "_l", "_m3", "_c", "_um", "_pct", "_min", "_per_h", "_per_s")
    units += ("_factor", "_per_pigment", "minutes")
    # Plain for other reasons: c is °C itself, `raw` has its unit beside it, `price` is in the maker's own money.
    # Colours and what is left of them are in CIELAB and ΔE00, corners in thousandths of a picture's width.
    plain = {"c", "g", "raw", "price", "lab", "se", "residual", "corners"}
    for name, hint in typing.get_type_hints(KINDS[kind].data).items():
        if float in leaves(hint):
            assert name.rstrip("_") in plain or name.endswith(units), name


def leaves(hint: Any) -> set[Any]:
    inner = get_args(hint) if get_origin(hint) is not None else ()
    return {hint} if not inner else set().union(*(leaves(h) for h in inner if h is not Ellipsis))


def test_the_kinds_that_make_things_are_known_kinds() -> None:
    assert set(MAKERS) <= set(KINDS)
