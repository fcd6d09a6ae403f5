"""A swatch: one paint-out of a pigment, masstone or tint."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from bench.records.kinds import SwatchMeasured
from bench.records.state import State
from bench.science.colour_repeats import error_of, mean_of


@dataclass(frozen=True)
class Swatch:
    """A paint-out, what was measured of it, and the verdict. `colour` is the last way's mean of all its repeats."""

    id: str
    code: str | None
    made: Any
    measured: tuple[SwatchMeasured, ...]
    judged: Any
    photos: tuple[str, ...]
    colour: SwatchMeasured | None
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
        colour=colour_of(measured),
        state="judged" if judged else "measured" if measured else "made",
    )


def photos_of(state: State, thing: str) -> tuple[str, ...]:
    """The ULIDs of the pictures kept of a thing, oldest first."""
    return tuple(r.body.photo for r in state.rows(thing, "photo.kept") if r.body.of == thing)


def alike(measured: Sequence[SwatchMeasured]) -> list[SwatchMeasured]:
    """What was measured in the way of the last time, with the same card; of one photo the last alone."""
    if not measured:
        return []
    last = measured[-1]
    found: dict[str | int, SwatchMeasured] = {}
    for n, one in enumerate(measured):
        if (one.method, one.card, one.illuminant) == (last.method, last.card, last.illuminant):
            found[one.photo or n] = one
    return list(found.values())


def colour_of(measured: Sequence[SwatchMeasured]) -> SwatchMeasured | None:
    """The colour of a swatch: the last measurement, or where it was repeated the mean of them, with its error."""
    repeats = alike(measured)
    if len(repeats) < 2:
        return measured[-1] if measured else None
    labs = [one.lab for one in repeats]
    errors = [one.se for one in repeats if one.se is not None]
    se = error_of(labs, errors) if len(errors) == len(labs) else None
    return SwatchMeasured(**{**measured[-1].__dict__, "lab": mean_of(labs), "se": se})
