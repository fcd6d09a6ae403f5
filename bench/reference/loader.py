"""Reads all data files into a Library, once."""

from collections.abc import Iterable
from functools import cache
from hashlib import blake2b
from typing import TypeVar

from bench.reference.cautions import ChecklistItem, GasYield, HazardCard, Rule, RuleTerm, Statement
from bench.reference.library import Library
from bench.reference.names import reagent_names, target_names
from bench.reference.provenance import Source
from bench.reference.surroundings import Gas, Limit, OxideInAir, Ware
from bench.reference.tables import build, data_bytes, parts, rows
from bench.reference.things import FluxOption, GasStep, LeftOver, Reagent, Route, Sign, Target

T = TypeVar("T")

FILES = (
    "checklists.csv",
    "gas_limits.csv",
    "gases.csv",
    "hazard_gas_yields.csv",
    "hazards.csv",
    "oxides_in_air.csv",
    "reagent_gas_steps.csv",
    "reagents.csv",
    "rule_terms.csv",
    "rules.csv",
    "sources.csv",
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


def read_reagents() -> dict[str, Reagent]:
    """The reagents with their gas steps."""
    steps = parts(GasStep, "reagent_gas_steps.csv", "reagent")
    return keyed(build(Reagent, rows("reagents.csv"), gas_steps=steps))


def read_targets() -> dict[str, Target]:
    """The targets with their routes, fluxes, failure signs and left-overs."""
    return keyed(
        build(
            Target,
            rows("targets.csv"),
            routes=parts(Route, "target_routes.csv", "target"),
            flux_options=parts(FluxOption, "target_fluxes.csv", "target"),
            failure_signs=parts(Sign, "target_signs.csv", "target"),
            left_overs=parts(LeftOver, "target_left_overs.csv", "target"),
        )
    )


def read_hazards() -> dict[str, HazardCard]:
    """The hazard cards with their gas yields."""
    yields = parts(GasYield, "hazard_gas_yields.csv", "hazard")
    return keyed(build(HazardCard, rows("hazards.csv"), gas_yields=yields))


def read_gases() -> dict[str, Gas]:
    """The gases with their limits."""
    return keyed(build(Gas, rows("gases.csv"), limits=parts(Limit, "gas_limits.csv", "gas")))


@cache
def load_library() -> Library:
    """The Library as the data files have it, without the maker's own rows. Read once and kept."""
    reagents, targets = read_reagents(), read_targets()
    return Library(
        targets=targets,
        reagents=reagents,
        hazards=read_hazards(),
        gases=read_gases(),
        ware=keyed(build(Ware, rows("ware.csv"))),
        oxides_in_air=tuple(build(OxideInAir, rows("oxides_in_air.csv"))),
        rules=keyed(build(Rule, rows("rules.csv"))),
        rule_terms=keyed(build(RuleTerm, rows("rule_terms.csv")), "term"),
        checklists=tuple(build(ChecklistItem, rows("checklists.csv"))),
        statements=keyed(build(Statement, rows("statements.csv")), "code"),
        sources=keyed(build(Source, rows("sources.csv")), "key"),
        revision=revision_of_files(),
        reagent_names=reagent_names(reagents),
        target_names=target_names(targets),
    )
