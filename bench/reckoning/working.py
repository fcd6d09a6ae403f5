"""The working: how a number came about, one step after the other."""

from typing import Any

Step = dict[str, Any]


def step(say: str, value: Any = None, unit: str | None = None, source: str | None = None) -> Step:
    """One step of a working.

    `say` is the sentence with the values put in; `value` and `unit` the figure it leads to, if any; `source` is a key
    that the reference data resolves, or None where the step is arithmetic, common practice or an assumption said so.
    """
    return {"say": say, "value": value, "unit": unit, "source": source}
