"""Named code: the few sums that the conditions cannot say. Each has its twin of the same name on the phones.

A value of a fact or field may be UNKNOWN (nobody told) or None (known to be nothing).
"""

from collections.abc import Callable, Mapping
from typing import Any

from bench.steps.conditions import UNKNOWN

STEADY_FRACTION = 0.002
"""Two masses this near are steady: under 0.2 % an hour is the drying end point in common practice."""
STEADY_G = 0.01
EMPTY_FRACTION = 0.005
EMPTY_G = 0.02
"""What is left of a powder counts as nothing below these (project defaults)."""

Rows = list[Mapping[str, Any]]


def known(value: Any) -> bool:
    """Whether a value is known and is something."""
    return value is not UNKNOWN and value is not None


def tidy(number: float, digits: int = 9) -> float:
    """Rounded half away from zero by sums that both languages do alike; their own ways differ on ties."""
    scale = 10.0**digits
    whole = float(int(abs(number) * scale + 0.5))
    return (-whole if number < 0 else whole) / scale


def steady(masses_g: Any) -> Any:
    """Whether the last two of some masses, oldest first, are equal within what a steady mass may drift."""
    if masses_g is UNKNOWN:
        return UNKNOWN
    if len(masses_g) < 2:
        return False
    before, after = masses_g[-2:]
    return abs(before - after) <= max(STEADY_G, STEADY_FRACTION * before)


def minus(first: Any, *rest: Any) -> Any:
    """The first less the others; not known while the first is not."""
    if not known(first):
        return UNKNOWN
    return first - sum(one for one in rest if known(one))


def given(one: Any) -> Any:
    """The value itself, kept in the record."""
    return one


def other(kind: Any, named: Any) -> Any:
    """The name of another one, where another one was chosen."""
    return named if kind == "other" else kind


def is_little(left_g: Any, of_g: Any) -> Any:
    """Whether what is left of a powder is not worth loading."""
    if not known(left_g) or not known(of_g):
        return UNKNOWN
    return left_g <= max(EMPTY_G, EMPTY_FRACTION * of_g)


def total(rows: Any, key: str) -> Any:
    """The sum of one field over some rows."""
    return UNKNOWN if rows is UNKNOWN else sum(row.get(key) or 0.0 for row in rows)


def open_rows(rows: Any, key: str, name: str) -> Any:
    """The names of the rows in which a field is still open."""
    return UNKNOWN if rows is UNKNOWN else [row[name] for row in rows if row.get(key) is None]


def first(many: Any) -> Any:
    """The first of them; not known where there is none."""
    return many[0] if known(many) and many else UNKNOWN


def by_sort(sort: Any, *pairs: str) -> Any:
    """The word that goes with a sort of thing: sort, word, sort, word, in turn."""
    return dict(zip(pairs[::2], pairs[1::2], strict=True)).get(sort, UNKNOWN)


def minutes(since_ms: Any, till_ms: Any) -> Any:
    """The minutes between two moments; none where the second comes before the first."""
    return max(0.0, (till_ms - since_ms) / 60_000) if known(since_ms) and known(till_ms) else UNKNOWN


def size(many: Any) -> Any:
    """How many there are."""
    return len(many) if known(many) else UNKNOWN


FUNCTIONS: dict[str, Callable[..., Any]] = {
    f.__name__: f for f in (steady, minus, given, other, is_little, total, open_rows, first, by_sort, minutes, size)
}
EFFECTS: dict[str, Callable[..., None]] = {}
"""Effects that are code, by name: things, thing, data and record in, the facts changed in place."""
