"""A swatch: one paint-out of a pigment, masstone or tint."""

from dataclasses import dataclass
from typing import Any, Literal

from bench.records.kinds import SwatchMeasured
from bench.records.state import State


@dataclass(frozen=True)
class Swatch:
    """A paint-out, what was measured of it, and the verdict."""

    id: str
    code: str | None
    made: Any
    measured: tuple[SwatchMeasured, ...]
    judged: Any
    photos: tuple[str, ...]
    state: Literal["made", "measured", "judged"]


def swatch(state: State, thing: str) -> Swatch | None:
    """The swatch, or None when there is no such paint-out."""
    made = state.slot(thing, "swatch.made").body
    if made is None:
        return None
    measured = tuple(r.body for r in state.own(thing, "swatch.measured"))
    judged = state.by_time(thing, "judged")
    return Swatch(
        id=thing,
        code=state.code_of(thing),
        made=made,
        measured=measured,
        judged=judged[-1].body if judged else None,
        photos=photos_of(state, thing),
        state="judged" if judged else "measured" if measured else "made",
    )


def photos_of(state: State, thing: str) -> tuple[str, ...]:
    """The ULIDs of the pictures kept of a thing, oldest first."""
    return tuple(r.body.photo for r in state.rows(thing, "photo.kept") if r.body.of == thing)
