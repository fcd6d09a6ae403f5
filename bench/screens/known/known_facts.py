"""What is known of a row of the library, fact by fact, each with its ground and its sources."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from bench.reckoning.rules.hazard_words import is_own_list
from bench.reckoning.working import Step
from bench.reference import Library, basis_of, is_from_memory
from bench.reference.cautions import HazardCard
from bench.reference.provenance import Row, claims_for
from bench.reference.surroundings import Ware
from bench.reference.things import Reagent, Target
from bench.science.formulas import pretty
from bench.screens.known.whys import loss_working, mass_working
from bench.web.words import _

GROUNDS = {
    "read": _("read"),
    "read-part": _("partly from memory"),
    "mixed": _("partly from memory"),
    "computed": _("computed"),
    "project-default": _("our own default"),
    "memory": _("from memory: confirm it first"),
    "own": _("entered by you"),
}
"""How sure the ground of one fact is, in a few words; the page's foot says it at length."""
COOLING_WORDS = {
    "in-furnace": _("in the furnace"),
    "slow": _("slowly, in the furnace"),
    "fast": _("fast, in air"),
    "controlled": _("controlled, by a plan"),
    "either": _("in the furnace (rate not critical)"),
    "quench-water": _("quenched in water"),
    "unknown": _("not known: leave it in"),
}
FLAG_WORDS = {
    "ok": _("may be used"),
    "caution": _("with caution"),
    "avoid": _("better avoided"),
    "refuse": _("is not used here"),
}


@dataclass(frozen=True)
class Fact:
    """One fact on a page: its name, its words, how sure the ground is, and the sources of it."""

    name: str
    words: str
    ground: str
    sources: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()


def target_facts(row: Target, library: Library) -> list[Fact]:
    """The facts of a target in the order in which a maker asks for them."""
    soak = _range(row.soak_low_c, row.soak_high_c, "°C")
    minutes = _range(row.soak_min_minutes, row.soak_max_minutes, "min")
    fires = _range(row.fires_low, row.fires_high, "")
    rows: list[tuple[str, str, str]] = [
        (_("Colour"), row.colour_words, "colour_words"),
        (_("Colour Index"), f"{row.colour_index_name} {row.ci_constitution_no}".strip(), "colour_index_name"),
        (_("Composition may vary"), _family(row), "x_low"),
        (_("Soak"), ", ".join(part for part in (soak, minutes) if part), "soak_low_c"),
        (_("Decomposes above"), _range(row.decomposes_above_c, None, "°C"), "decomposes_above_c"),
        (_("Fires"), fires + (_(", ground between them") if row.regrind_between else ""), "fires_low"),
        (_("Atmosphere"), row.atmosphere_words or row.atmosphere, "atmosphere"),
        (_("What reduction does"), row.reduction, "reduction"),
        (_("Cooling"), cooling_text(row), "cooling_mode"),
        (_("Mineralisers"), row.mineralisers, "mineralisers"),
        (_("Washing"), row.washing or row.wash, "washing"),
        (_("Milling"), row.milling, "milling"),
        (_("Side phases"), row.side_phases, "side_phases"),
        (_("Hazards"), row.hazard, "hazard"),
        (_("Note"), row.note, "note"),
    ]
    return _facts(row, rows, library)


def _facts(row: Row, rows: Iterable[tuple[str, str, str]], library: Library) -> list[Fact]:
    keys = re.compile(r"\s*\[(?:" + "|".join(map(re.escape, library.sources)) + r")\]")
    return [
        Fact(name, keys.sub("", str(words)), GROUNDS.get(basis_of(row, field), ""), _sources_of(row, field, library))
        for name, words, field in rows
        if words.strip()
    ]


def _sources_of(row: Row, field: str, library: Library) -> tuple[str, ...]:
    keys = dict.fromkeys(key for claim in claims_for(row, field) for key in claim.sources)
    return tuple(source_titles(library, keys))


def source_titles(library: Library, keys: Iterable[str]) -> list[str]:
    """The titles behind source keys; a key that nobody knows is shown as it is."""
    return [library.sources[key].title if key in library.sources else key for key in keys]


def cooling_text(row: Target) -> str:
    """How a target is cooled and why. What is only remembered never tells anybody to open hot."""
    words = COOLING_WORDS.get(row.cooling_mode, COOLING_WORDS["unknown"])
    hot = row.cooling_mode in ("fast", "quench-water") and is_from_memory(row, "cooling_mode")
    why = row.cooling_why or row.cooling_note
    said = f"{words}. {why}".strip() if why else words
    return said + (" " + _("From memory only: do not plan a hot pull.") if hot else "")


def _family(row: Target) -> str:
    if not row.formula_family:
        return ""
    x = _range(row.x_low, row.x_high, "")
    return f"{row.formula_family}, x {x}" if x else row.formula_family


def _range(low: float | None, high: float | None, unit: str) -> str:
    if low is None and high is None:
        return ""
    shown = [f"{value:g}" for value in dict.fromkeys((low, high)) if value is not None]
    return f"{_(' to ').join(shown)} {unit}".strip()


def _decomposes(row: Reagent) -> str:
    """At what heat it falls apart, and into what; in words where the row has no figure."""
    at = f"{row.decomposition_c} °C" if re.search(r"\d$", row.decomposition_c) else row.decomposition_c
    into = row.decomposition_products if row.decomposition_products != "none" else ""
    return ": ".join(part for part in (at, into) if part)


def reagent_facts(row: Reagent, library: Library) -> list[Fact]:
    """The facts of a reagent in the order in which a maker asks for them."""
    assay = _range(row.assay_low_pct, row.assay_high_pct, "%")
    rows = [
        (_("Also called"), ", ".join(row.synonyms), "synonyms"),
        (_("CAS"), row.cas, "cas"),
        (_("Molar mass"), f"{row.molar_mass_g_mol:.3f} g/mol" if row.molar_mass_g_mol else "", "molar_mass_g_mol"),
        (_("Looks"), f"{row.form}, {row.appearance}".strip(", "), "appearance"),
        (_("Usual assay"), f"{assay} {row.assay_formula}".strip() if assay else "", "assay_low_pct"),
        (_("How to identify it"), row.how_to_tell, "how_to_tell"),
        (_("Loss on ignition"), _range(row.loss_on_ignition_pct, None, "%"), "loss_on_ignition_pct"),
        (_("Gains oxygen"), row.gains_oxygen, "gains_oxygen"),
        (_("Decomposes"), _decomposes(row), "decomposition_c"),
        (_("Melts"), _range(row.melts_c, None, "°C"), "melts_c"),
        (_("In water"), row.water_note or row.water_soluble, "water_soluble"),
        (_("Takes up water"), row.hygroscopic_note or row.hygroscopic, "hygroscopic"),
        (_("In the crucible"), row.froths, "froths"),
        (
            _("Bulk density"),
            _range(row.bulk_density_low_g_ml, row.bulk_density_high_g_ml, "g/mL"),
            "bulk_density_low_g_ml",
        ),
        (_("Hazards"), row.hazard, "hazard"),
        (_("Assay note"), row.assay_note, "assay_note"),
        (_("Note"), row.note, "note"),
    ]
    shown = [each for each in rows if each[1].strip(" °C:")]
    whys = {_("Molar mass"): mass_working(row, library), _("Loss on ignition"): loss_working(row)}
    return [replace(one, working=tuple(whys.get(one.name, ()))) for one in _facts(row, shown, library)]


def card_facts(row: HazardCard, library: Library) -> list[Fact]:
    """What a card says beside its codes, in the order in which it matters."""
    rows = [
        (_("Formula"), ", ".join(pretty(text) for text in row.formulas), "formulas"),
        (_("CAS"), ", ".join(row.cas), "cas"),
        (_("At this bench"), FLAG_WORDS.get(row.flag, row.flag), "flag"),
        (_("Why"), row.reason, "reason"),
        (_("Where its class is from"), row.h_codes_status, "h_codes"),
        (_("Cancer, as the IARC groups it"), row.iarc, "iarc"),
        (_("Gives off when heated"), row.evolves_on_heating, "evolves_on_heating"),
        (_("Never together with") if is_own_list(row) else _("Handling"), row.never_combine, "never_combine"),
        (_("Waste"), row.waste_note, "waste_note"),
        (_("Not sure"), row.uncertain, "uncertain"),
    ]
    return _facts(row, rows, library)


def ware_facts(row: Ware, library: Library) -> list[Fact]:
    """What a crucible ware stands, and what attacks it."""
    per_min = _("°C a minute")
    rows = [
        (_("Continuous max."), _range(row.continuous_max_c, None, "°C"), "continuous_max_c"),
        (_("Short-term max."), _range(row.short_max_c, None, "°C"), "short_max_c"),
        (_("Max. heating rate"), _range(row.max_ramp_c_per_min, None, per_min), "max_ramp_c_per_min"),
        (_("Max. cooling rate"), _range(row.max_ramp_cool_c_per_min, None, per_min), "max_ramp_cool_c_per_min"),
        (_("What attacks it"), ", ".join(row.avoid).replace("-", " "), "avoid"),
        (_("What cracks it"), row.shock_note, "shock_note"),
        (_("Porous to melts"), row.porous, "porous"),
    ]
    return _facts(row, rows, library)
