"""What a measurement hands back."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """One measured figure. `goal` says what it should be, with `met` whether it is; both None where there is none.

    `value` None: it was not measured here, and `note` says why; its goal is then neither met nor missed.
    """

    name: str
    value: float | None
    unit: str
    goal: str | None = None
    met: bool | None = None
    note: str = ""
