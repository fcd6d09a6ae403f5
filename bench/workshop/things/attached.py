"""The files that are attached to a thing, and which of them bear on the phase that it is meant to be."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from bench.records.kinds import FileAttached
from bench.records.record import Record
from bench.records.state import State
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges

SHOWS_PHASE: Final = ("diffraction-pattern", "raman-spectrum")
"""What a phase is told by. An element analysis is none: two phases may hold the same elements."""


@dataclass(frozen=True)
class Attached:
    """A file as a record names it."""

    record: Record
    body: FileAttached


def attached_to(state: State, thing: str) -> tuple[Attached, ...]:
    """The files of a thing that stand, oldest first."""
    return tuple(Attached(r, r.body) for r in state.rows(thing, "file.attached") if r.body.of == thing)


def phase_evidence(state: State, things: Iterable[str]) -> tuple[Attached, ...]:
    """Of the files of some things those that bear on the phase. Without one a target is what was intended, no more."""
    found = (one for thing in dict.fromkeys(things) for one in attached_to(state, thing))
    return tuple(one for one in found if one.body.what in SHOWS_PHASE)


def batches_behind(state: State, pigment: str) -> list[str]:
    """The batches that a powder came from, also by way of earlier fires."""
    return list(dict.fromkeys(b for c in earlier_charges(state, pigment) for b in batches_of(state, c)))
