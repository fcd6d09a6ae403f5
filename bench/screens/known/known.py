"""What is known: search, and a page for each target, reagent and gas, with its ground and sources in sight."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.reckoning import reckon
from bench.reckoning.rules import DEFER, Part, hazard_summary
from bench.reckoning.working import Step
from bench.reference import NO_CARD, Library, basis_of, is_from_memory
from bench.reference.cautions import HazardCard
from bench.reference.labelling import text_for
from bench.reference.provenance import BASES, Row, claims_for
from bench.reference.search import search
from bench.reference.things import Reagent, Target
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.thing_label import ware_name
from bench.screens.known.families import families
from bench.screens.known.whys import flux_working, loss_working, mass_working
from bench.web.current import bench
from bench.web.forms import blank
from bench.web.page import page
from bench.web.words import _

blueprint = Blueprint("known", __name__, url_prefix="/known")

MOST_TYPED = 120
PATHS = {"target": "/known/target/", "reagent": "/known/reagent/", "card": "/known/card/"}
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
    "ok": _("may be worked with"),
    "caution": _("with caution"),
    "avoid": _("better avoided"),
    "refuse": _("is not worked with here"),
}


@dataclass(frozen=True)
class Fact:
    """One fact on a page: its name, its words, how sure the ground is, and the sources of it."""

    name: str
    words: str
    ground: str
    sources: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()


@blueprint.get("")
def home() -> Response:
    """Search what is known by name, formula, Colour Index name or colour word."""
    typed = request.args.get("q", "")[:MOST_TYPED]
    library = bench().library
    hits = search(library, typed) if typed.strip() else []
    rows = [(PATHS[hit.kind] + hit.slug, hit) for hit in hits if hit.kind in PATHS]
    found = families(library.targets.values())
    return page("known/home.html", form=blank(q=typed), typed=typed, rows=rows, found=found)


@blueprint.get("/target/<slug>")
def target(slug: str) -> Response:
    """What is known of a target."""
    library = bench().library
    found = library.targets.get(slug)
    if found is None:
        abort(404)
    part = Part(found.formula, found.name, slug=found.slug, role="target")
    return page(
        "known/target.html",
        target=found,
        formula=pretty(found.formula),
        swatch=lab_to_srgb_hex(found.lab).hex if found.lab else None,
        facts=target_facts(found, library),
        flux_working=flux_working(found) if found.flux_options else [],
        titles={key: source.title for key, source in library.sources.items()},
        routes=[[(slug, name_of(library, slug)) for slug in route.reagents] for route in found.routes],
        hazards=hazard_summary([part], library),
        memory=is_from_memory,
        sources=source_titles(library, found.sources),
        ground=BASES.get(found.basis, found.basis),
        no_card=NO_CARD,
    )


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
    return said + (" " + _("Known from memory only: plan no hot pull on it.") if hot else "")


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


def name_of(library: Library, slug: str) -> str:
    """The name of a reagent, or its slug where the library has none."""
    found = library.reagents.get(slug)
    return found.name if found is not None else slug


@blueprint.get("/reagent/<slug>")
def reagent(slug: str) -> Response:
    """What is known of a reagent."""
    library = bench().library
    found = library.reagents.get(slug)
    if found is None:
        abort(404)
    state = bench().state
    hazards = hazard_summary([Part(found.formula, found.name, slug=slug)], library)
    its = [one for part in hazards.parts if not part.assumed for one in part.cards]
    jars = [t for t in state.open_things("jar") if state.slot(t, "jar.opened").body.reagent == slug]
    return page(
        "known/reagent.html",
        reagent=found,
        formula=pretty(found.formula),
        facts=reagent_facts(found, library),
        steps=found.gas_steps,
        hydrates=[pretty(h) for h in found.hydrates],
        never=[each.replace("-", " ") for each in found.never_with],
        makes=[(t.slug, t.name) for t in library.targets.values() if any(slug in r.reagents for r in t.routes)],
        jars=[(t, state.code_of(t)) for t in jars],
        hazards=hazards,
        dust=_dust(found, library),
        known={key: source.title for key, source in library.sources.items()},
        card=library.hazards.get(its[0]) if its else None,
        sources=source_titles(library, found.sources),
        ground=BASES.get(found.basis, found.basis),
    )


def _decomposes(row: Reagent) -> str:
    """At what heat it falls apart, and into what; in words where the row has no figure."""
    at = f"{row.decomposition_c} °C" if re.search(r"\d$", row.decomposition_c) else row.decomposition_c
    into = row.decomposition_products if row.decomposition_products != "none" else ""
    return ": ".join(part for part in (at, into) if part)


def _dust(row: Reagent, library: Library) -> dict[str, Any] | None:
    """The limits of its dust and the strictest that fits it; None where its formula cannot be reckoned with."""
    try:
        return reckon("dust-limit", {"formula": row.slug}, library)
    except Refusal:
        return None


def reagent_facts(row: Reagent, library: Library) -> list[Fact]:
    """The facts of a reagent in the order in which a maker asks for them."""
    assay = _range(row.assay_low_pct, row.assay_high_pct, "%")
    rows = [
        (_("Also called"), ", ".join(row.synonyms), "synonyms"),
        (_("CAS"), row.cas, "cas"),
        (_("Molar mass"), f"{row.molar_mass_g_mol:.3f} g/mol" if row.molar_mass_g_mol else "", "molar_mass_g_mol"),
        (_("Looks"), f"{row.form}, {row.appearance}".strip(", "), "appearance"),
        (_("Usual assay"), f"{assay} {row.assay_formula}".strip() if assay else "", "assay_low_pct"),
        (_("How to tell which it is"), row.how_to_tell, "how_to_tell"),
        (_("Loss on ignition"), _range(row.loss_on_ignition_pct, None, "%"), "loss_on_ignition_pct"),
        (_("Gains oxygen"), row.gains_oxygen, "gains_oxygen"),
        (_("Falls apart"), _decomposes(row), "decomposition_c"),
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


@blueprint.get("/card/<slug>")
def card(slug: str) -> Response:
    """A hazard card, whole."""
    library = bench().library
    found = library.hazards.get(slug)
    if found is None:
        abort(404)
    return page(
        "known/card.html",
        card=found,
        texts=_texts(library, found),
        facts=card_facts(found, library),
        grounds=GROUNDS,
        sources=source_titles(library, found.sources),
        ground=BASES.get(found.basis, found.basis),
    )


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
        (_("Never together with"), row.never_combine, "never_combine"),
        (_("Waste"), row.waste_note, "waste_note"),
        (_("Not sure"), row.uncertain, "uncertain"),
    ]
    return _facts(row, rows, library)


@blueprint.get("/wares")
def wares() -> Response:
    """The crucible wares, with what they stand."""
    rows = sorted(bench().library.ware.values(), key=lambda row: row.slug)
    return page("known/wares.html", wares=[(row, ware_name(row.slug)) for row in rows])


@blueprint.get("/ware/<slug>")
def ware(slug: str) -> Response:
    """What a crucible ware stands, and what attacks it."""
    library = bench().library
    found = library.ware.get(slug)
    if found is None:
        abort(404)
    per_min = _("°C a minute")
    rows = [
        (_("Continuous max."), _range(found.continuous_max_c, None, "°C"), "continuous_max_c"),
        (_("Short-term max."), _range(found.short_max_c, None, "°C"), "short_max_c"),
        (_("Max. heating rate"), _range(found.max_ramp_c_per_min, None, per_min), "max_ramp_c_per_min"),
        (_("Max. cooling rate"), _range(found.max_ramp_cool_c_per_min, None, per_min), "max_ramp_cool_c_per_min"),
        (_("What attacks it"), ", ".join(found.avoid).replace("-", " "), "avoid"),
        (_("What cracks it"), found.shock_note, "shock_note"),
        (_("Porous to melts"), found.porous, "porous"),
    ]
    return page(
        "known/ware.html",
        ware=found,
        name=ware_name(slug).capitalize(),
        facts=_facts(found, rows, library),
        sources=source_titles(library, found.sources),
        ground=BASES.get(found.basis, found.basis),
        defer=DEFER,
    )


def _texts(library: Library, found: HazardCard) -> list[dict[str, Any]]:
    """The codes of a card with their texts, in the wording that fits its class; one without a text is shown bare."""
    groups = found.groups.split()
    return [
        {"code": code, "text": text_for(code, found.h_codes, groups, library), "is_p": is_p}
        for is_p, codes in ((False, found.h_codes), (True, found.p_codes))
        for code in codes
    ]


@blueprint.get("/gases")
def gases() -> Response:
    """The gases that a charge or a flame gives off, with their limits, body and year."""
    rows = sorted(bench().library.gases.values(), key=lambda row: row.name)
    return page("known/gases.html", gases=rows)
