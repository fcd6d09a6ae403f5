"""The compounds that the library writes down: what stands there is never questioned."""

import re
from collections.abc import Iterable, Iterator
from typing import Final

from bench.reference import Library
from bench.science.formulas import SUBSCRIPTS

SEPARATORS: Final = re.compile(r"\s*[*·•∙⋅∗]\s*")
HEAD: Final = re.compile(r"\s*(?:[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?|[½¼¾])?\s*")
PLAIN_DIGITS: Final = {place: digit for digit, place in SUBSCRIPTS.items()}
ORDINARY: Final = frozenset({"H2O", "CO(NH2)2", "CH3COOH", "VOSO4"})
"""Written in capitals and meant so: urea would else be asked about as a cobalt compound that nobody sells."""

_KNOWN: dict[str, frozenset[str]] = {}


def known_compounds(library: Library) -> frozenset[str]:
    """Every compound of the library's formulas as it is written there, without dots, counts and water before it."""
    found = _KNOWN.get(library.revision)
    if found is None:
        while len(_KNOWN) > 3:
            del _KNOWN[next(iter(_KNOWN))]
        found = _KNOWN[library.revision] = frozenset(_compounds_of(formulas_of(library))) | ORDINARY
    return found


def _compounds_of(formulas: Iterable[str]) -> Iterator[str]:
    for text in formulas:
        for piece in SEPARATORS.split(text.translate(PLAIN_DIGITS)):
            head = HEAD.match(piece)
            yield piece[head.end() if head else 0 :].strip()


def formulas_of(library: Library) -> Iterator[str]:
    """Every formula of a powder in the library: reagents with their hydrates and what they leave, targets, fluxes,
    cards, pairs of hydrates, oxides. Gases are none: CO is asked about.
    """
    for row in library.reagents.values():
        yield from (row.formula, row.residue_formula, row.assay_formula, *row.hydrates)
    for target in library.targets.values():
        yield target.formula
        yield from (flux.formula for flux in target.flux_options)
    for card in library.hazards.values():
        yield from card.formulas
    for pair in library.hydrate_pairs:
        yield from (pair.lower, pair.hydrate)
    yield from (each.oxide for each in library.oxides_in_air)
