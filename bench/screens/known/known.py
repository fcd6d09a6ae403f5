"""What is known: search, and a page for each target, reagent and gas, with its ground and sources in sight."""

from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning import reckon
from bench.reckoning.rules import DEFER, Part, hazard_summary
from bench.reference import NO_CARD, Library, is_from_memory
from bench.reference.cautions import HazardCard
from bench.reference.labelling import text_for
from bench.reference.provenance import BASES, Row
from bench.reference.search import search
from bench.reference.things import Reagent
from bench.science.colour import lab_to_srgb_hex
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.thing_label import ware_name
from bench.screens.known.families import families
from bench.screens.known.known_facts import GROUNDS, card_facts, reagent_facts, source_titles, target_facts, ware_facts
from bench.screens.known.whys import flux_working
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import blank
from bench.web.page import page

blueprint = Blueprint("known", __name__, url_prefix="/known")

MOST_TYPED = 120
PATHS = {"target": "/known/target/", "reagent": "/known/reagent/", "card": "/known/card/"}


@blueprint.get("")
def home() -> Response:
    """Search what is known by name, formula, Colour Index name or colour word."""
    typed = request.args.get("q", "")[:MOST_TYPED]
    library = current_bench().library
    hits = search(library, typed) if typed.strip() else []
    rows = [(PATHS[hit.kind] + hit.slug, hit) for hit in hits if hit.kind in PATHS]
    found = families(library.targets.values())
    return page("known/home.html", form=blank(q=typed), typed=typed, rows=rows, found=found)


def _ground(row: Row, library: Library) -> dict[str, Any]:
    """The sources of a row, and how sure it is, as the foot of its page says it."""
    return {"sources": source_titles(library, row.sources), "ground": BASES.get(row.basis, row.basis)}


@blueprint.get("/target/<slug>")
def target(slug: str) -> Response:
    """What is known of a target."""
    library = current_bench().library
    found = or_404(library.targets.get(slug))
    part = Part(found.formula, found.name, slug=found.slug, role="target")
    return page(
        "known/target.html",
        target=found,
        formula=pretty(found.formula),
        swatch=lab_to_srgb_hex(found.lab).hex if found.lab else None,
        facts=target_facts(found, library),
        flux_working=flux_working(found) if found.flux_options else [],
        routes=[[(slug, name_of(library, slug)) for slug in route.reagents] for route in found.routes],
        hazards=hazard_summary([part], library),
        memory=is_from_memory,
        **_ground(found, library),
        no_card=NO_CARD,
    )


def name_of(library: Library, slug: str) -> str:
    """The name of a reagent, or its slug where the library has none."""
    found = library.reagents.get(slug)
    return found.name if found is not None else slug


@blueprint.get("/reagent/<slug>")
def reagent(slug: str) -> Response:
    """What is known of a reagent."""
    library = current_bench().library
    found = or_404(library.reagents.get(slug))
    state = current_bench().state
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
        may_hold_water=library.may_hold_water(found.formula, slug),
        never=[each.replace("-", " ") for each in found.never_with],
        makes=[(t.slug, t.name) for t in library.targets.values() if any(slug in r.reagents for r in t.routes)],
        jars=[(t, state.code_of(t)) for t in jars],
        hazards=hazards,
        dust=_dust(found, library),
        card=library.hazards.get(its[0]) if its else None,
        **_ground(found, library),
    )


def _dust(row: Reagent, library: Library) -> dict[str, Any] | None:
    """The limits of its dust and the strictest that fits it; None where its formula cannot be reckoned with."""
    try:
        return reckon("dust-limit", {"formula": row.slug}, library)
    except Refusal:
        return None


@blueprint.get("/card/<slug>")
def card(slug: str) -> Response:
    """A hazard card, whole."""
    library = current_bench().library
    found = or_404(library.hazards.get(slug))
    return page(
        "known/card.html",
        card=found,
        texts=_texts(library, found),
        facts=card_facts(found, library),
        grounds=GROUNDS,
        **_ground(found, library),
    )


@blueprint.get("/wares")
def wares() -> Response:
    """The crucible wares, with what they stand."""
    rows = sorted(current_bench().library.ware.values(), key=lambda row: row.slug)
    return page("known/wares.html", wares=[(row, ware_name(row.slug)) for row in rows])


@blueprint.get("/ware/<slug>")
def ware(slug: str) -> Response:
    """What a crucible ware stands, and what attacks it."""
    library = current_bench().library
    found = or_404(library.ware.get(slug))
    return page(
        "known/ware.html",
        ware=found,
        name=ware_name(slug).capitalize(),
        facts=ware_facts(found, library),
        **_ground(found, library),
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
    rows = sorted(current_bench().library.gases.values(), key=lambda row: row.name)
    return page("known/gases.html", gases=rows)
