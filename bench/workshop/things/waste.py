"""A waste container: what went into it and whether it was collected."""

from dataclasses import dataclass
from typing import Any

from bench.records.state import State


@dataclass(frozen=True)
class Waste:
    """A container for rinses or solids that never go down the drain."""

    id: str
    code: str | None
    added: tuple[Any, ...]
    collected: Any

    @property
    def volume_ml(self) -> float:
        return sum(a.volume_ml or 0.0 for a in self.added)

    @property
    def capacity_ml(self) -> float | None:
        """How much liquid it holds, as last said; None where nobody said it."""
        return next((a.capacity_ml for a in reversed(self.added) if a.capacity_ml), None)

    @property
    def fill_pct(self) -> float | None:
        """How full of liquid it is; None where its size is not known."""
        return 100 * self.volume_ml / self.capacity_ml if self.capacity_ml else None

    @property
    def mass_g(self) -> float:
        return sum(a.mass_g or 0.0 for a in self.added)


def waste(state: State, thing: str) -> Waste | None:
    """The container, or None when there is no such one."""
    added = tuple(r.body for r in state.rows(thing, "waste.added") if r.body.container == thing)
    if not added:
        return None
    return Waste(thing, state.code_of(thing), added, state.slot(thing, "waste.collected").body)
