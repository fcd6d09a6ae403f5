"""Reads all data files into a Library, once."""

from collections.abc import Iterable, Mapping
from functools import cache
from hashlib import blake2b
from typing import Any, TypeVar

from bench.reference.cautions import (
    Advice,
    ChecklistItem,
    EarlierItem,
    GasYield,
    HazardCard,
    Rule,
    RuleTerm,
    Statement,
    StatementVariant,
)
from bench.reference.dust import dust_limits, with_limits
from bench.reference.hydrate_pairs import HydratePair
from bench.reference.library import Library
from bench.reference.names import reagent_names, target_names
from bench.reference.provenance import Claim, Row, Source, grounds
from bench.reference.surroundings import Gas, Limit, OxideInAir, Ware
from bench.reference.tables import build, data_bytes, listed, parts, rows
from bench.reference.things import FluxOption, GasStep, LeftOver, Reagent, Route, Sign, Target
from bench.science.gas_bounds import GasRule

T = TypeVar("T")
R = TypeVar("R", bound=Row)

FILES = (
    "advice.csv",
    "checklists.csv",
    "checklists_before.csv",
    "claims.csv",
    "colour_names.csv",
    "dust_limits.csv",
    "gas_bounds.csv",
    "gas_limits.csv",
    "gases.csv",
    "grounds.csv",
    "hazard_gas_yields.csv",
    "hazard_reasons.csv",
    "hazards.csv",
    "hydrate_pairs.csv",
    "oxides_in_air.csv",
    "reagent_gas_steps.csv",
    "reagents.csv",
    "rule_terms.csv",
    "rules.csv",
    "sources.csv",
    "statement_variants.csv",
    "statements.csv",
    "target_fluxes.csv",
    "target_left_overs.csv",
    "target_routes.csv",
    "target_signs.csv",
    "targets.csv",
    "ware.csv",
)


def keyed(things: Iterable[T], key: str = "slug") -> dict[str, T]:
    """Things by one of their fields; a key that comes twice is an error."""
    found: dict[str, T] = {}
    for each in things:
        name = getattr(each, key)
        if name in found:
            raise ValueError(f"{type(each).__name__} {name} stands twice in the data files")
        found[name] = each
    return found


def revision_of_files() -> str:
    """A short hash over all data files."""
    digest = blake2b(digest_size=6)
    for name in FILES:
        digest.update(name.encode())
        digest.update(data_bytes(name))
    return digest.hexdigest()


@cache
def table_grounds() -> dict[str, dict[str, str]]:
    """For each table: the fields whose ground is the same in every row."""
    found: dict[str, dict[str, str]] = {}
    for row in rows("grounds.csv"):
        found.setdefault(row["table"], {})[row["field"]] = row["basis"]
    return found


@cache
def table_claims() -> dict[str, dict[str, tuple[Claim, ...]]]:
    """For each table and slug: what was read."""
    found: dict[str, dict[str, tuple[Claim, ...]]] = {}
    found_rows = list(rows("claims.csv"))
    for row, claim in zip(found_rows, build(Claim, found_rows), strict=True):
        table = found.setdefault(row["table"], {})
        table[row["slug"]] = (*table.get(row["slug"], ()), claim)
    return found


def grounded(kind: type[R], table: str, **attached: Mapping[str, Any]) -> dict[str, R]:
    """The rows of a table by slug, each with its claims and the ground of its fields."""
    found = list(rows(f"{table}.csv"))
    claims, shared = table_claims().get(table, {}), table_grounds().get(table, {})
    field_basis = {
        row["slug"]: grounds(shared, claims.get(row["slug"], ()), listed(row.get("read_fields", ""))) for row in found
    }
    return keyed(build(kind, found, claims=claims, field_basis=field_basis, **attached))


def read_reagents() -> dict[str, Reagent]:
    """The reagents with their gas steps."""
    return grounded(Reagent, "reagents", gas_steps=parts(GasStep, "reagent_gas_steps.csv", "reagent"))


def read_targets() -> dict[str, Target]:
    """The targets with their routes, fluxes, failure signs and left-overs."""
    return grounded(
        Target,
        "targets",
        routes=parts(Route, "target_routes.csv", "target"),
        flux_options=parts(FluxOption, "target_fluxes.csv", "target"),
        failure_signs=parts(Sign, "target_signs.csv", "target"),
        left_overs=parts(LeftOver, "target_left_overs.csv", "target"),
    )


def read_hazards() -> dict[str, HazardCard]:
    """The hazard cards with their gas yields, their reasons, and the limits that they note in figures."""
    told = list(rows("hazard_reasons.csv"))
    cards = grounded(
        HazardCard,
        "hazards",
        gas_yields=parts(GasYield, "hazard_gas_yields.csv", "hazard"),
        reason={row["hazard"]: row["reason"] for row in told},
        elements={row["hazard"]: listed(row["elements"]) for row in told},
    )
    noted = dust_limits(rows("dust_limits.csv"))
    return {slug: with_limits(card, noted) for slug, card in cards.items()}


def read_gases() -> dict[str, Gas]:
    """The gases with their limits."""
    return grounded(Gas, "gases", limits=parts(Limit, "gas_limits.csv", "gas"))


@cache
def load_library() -> Library:
    """The Library as the data files have it, without the maker's own rows. Read once and kept."""
    reagents, targets = read_reagents(), read_targets()
    return Library(
        targets=targets,
        reagents=reagents,
        hazards=read_hazards(),
        gases=read_gases(),
        gas_rules=tuple(build(GasRule, rows("gas_bounds.csv"))),
        ware=keyed(build(Ware, rows("ware.csv"))),
        oxides_in_air=tuple(build(OxideInAir, rows("oxides_in_air.csv"))),
        hydrate_pairs=tuple(build(HydratePair, rows("hydrate_pairs.csv"))),
        rules=keyed(build(Rule, rows("rules.csv"))),
        rule_terms=keyed(build(RuleTerm, rows("rule_terms.csv")), "term"),
        checklists=tuple(build(ChecklistItem, rows("checklists.csv"))),
        earlier_items=tuple(build(EarlierItem, rows("checklists_before.csv"))),
        advice=keyed(build(Advice, rows("advice.csv"))),
        statements=keyed(build(Statement, rows("statements.csv")), "code"),
        statement_variants=tuple(build(StatementVariant, rows("statement_variants.csv"))),
        colour_names={row["name"]: row["srgb"] for row in rows("colour_names.csv")},
        sources=keyed(build(Source, rows("sources.csv")), "key"),
        revision=revision_of_files(),
        reagent_names=reagent_names(reagents),
        target_names=target_names(targets),
    )
