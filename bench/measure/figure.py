"""What a measurement hands back."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """One measured figure. `goal` says what it should be, with `met` whether it is; both None where there is none."""

    name: str
    value: float
    unit: str
    goal: str | None = None
    met: bool | None = None
    note: str = ""
