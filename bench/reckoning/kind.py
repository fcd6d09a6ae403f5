"""What a kind of calculation is: its fields, an example that runs, and the function that answers."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bench.reckoning.ask import Ask
from bench.reference import Library


@dataclass(frozen=True)
class Field:
    """One field of an ask.

    `unit` is the unit or the shape in words ("g", "formula", "list"); `say` is one sentence on its meaning; an
    optional field names the `default` that holds when it is left out. The fields inside a list are written
    `reagents[].assay_pct`.
    """

    name: str
    unit: str
    say: str
    required: bool = True
    default: Any = None


@dataclass(frozen=True)
class Kind:
    """One kind of calculation, reachable by its name from the command line and from the screens.

    `run` reads the ask, may look into the library, and returns a plain dict that holds `working`; it raises Refusal for
    input that cannot be used.
    """

    name: str
    summary: str
    fields: tuple[Field, ...]
    example: dict[str, Any]
    run: Callable[[Ask, Library], dict[str, Any]]
