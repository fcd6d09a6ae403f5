"""Named code: the few sums that the conditions cannot say. Each has its twin of the same name on the phones.

A value of a fact or field may be UNKNOWN (nobody told) or None (known to be nothing).
"""

from collections.abc import Callable, Mapping
from typing import Any

from bench.steps.conditions import UNKNOWN

STEADY_FRACTION = 0.002
"""Two masses this near are steady: under 0.2 % an hour is the drying end point in common practice."""
STEADY_G = 0.01
STEADY_MIN = 60.0
"""So long apart two masses must be taken to show it: what dries slowly weighs the same a minute later."""
EMPTY_FRACTION = 0.005
EMPTY_G = 0.02
"""What is left of a powder counts as nothing below these (project defaults)."""
ROOM_FRACTION = 0.05
ROOM_G = 0.1
"""By so much a mass may pass what it can be at most before it is asked again (project defaults)."""
NEAR = 0.1
"""A figure within this share of ten or a hundred times what is expected is a point that slipped (project default)."""
MINUTE_MS = 60_000

Rows = list[Mapping[str, Any]]


def known(value: Any) -> bool:
    """Whether a value is known and is something."""
    return value is not UNKNOWN and value is not None


def tidy(number: float, digits: int = 9) -> float:
    """Rounded half away from zero by sums that both languages do alike; their own ways differ on ties."""
    scale = 10.0**digits
    whole = float(int(abs(number) * scale + 0.5))
    return (-whole if number < 0 else whole) / scale


def agree(before_g: float, after_g: float) -> bool:
    """Whether two masses are equal within what a steady mass may drift."""
    return abs(before_g - after_g) <= max(STEADY_G, STEADY_FRACTION * before_g)


def steady(masses_g: Any, masses_ms: Any, apart_min: float = STEADY_MIN) -> Any:
    """Whether the last of some masses, oldest first, agrees with one taken so long before, and with all between.

    Masses whose times nobody told, as on a phone that was told before times were, show nothing.
    """
    if not known(masses_g) or not known(masses_ms):
        return False if known(masses_g) else UNKNOWN
    pairs = list(zip(masses_g, masses_ms, strict=True))
    early = [n for n, (_g, ms) in enumerate(pairs[:-1]) if pairs[-1][1] - ms >= apart_min * MINUTE_MS]
    return bool(early) and all(agree(g, pairs[-1][0]) for g, _ms in pairs[early[-1] : -1])


def again_ms(masses_g: Any, masses_ms: Any) -> Any:
    """The moment from which one more mass like the last shows it dry; none where there was no weighing yet."""
    if not known(masses_g) or not known(masses_ms):
        return UNKNOWN
    found = None
    for g, ms in zip(reversed(masses_g), reversed(masses_ms), strict=True):
        if not agree(g, masses_g[-1]):
            break
        found = ms + STEADY_MIN * MINUTE_MS
    return found


def most(mass_g: Any, share: Any = 1.0) -> Any:
    """The most that a share of a mass may show on a balance before it is asked again."""
    return mass_g * share * (1 + ROOM_FRACTION) + ROOM_G if known(mass_g) and known(share) else UNKNOWN


def slip(value: Any, like: Any) -> Any:
    """10, 100 or 1000, or a tenth and so on, where a value is about that many times what is expected; else none.

    A decimal point that slipped, not a hand that did: nobody overshoots tenfold on a balance.
    """
    if not known(value) or not known(like) or value <= 0 or like <= 0:
        return None
    return next((10.0**n for n in (1, -1, 2, -2, 3, -3) if abs(value / like / 10.0**n - 1) <= NEAR), None)


def plus(*many: Any) -> Any:
    """Their sum; not known while one of them is not."""
    return sum(many) if all(known(one) for one in many) else UNKNOWN


def less(whole: Any, part: Any) -> Any:
    """The first less the second; not known while one of them is not."""
    return whole - part if known(whole) and known(part) else UNKNOWN


def either(*many: Any) -> Any:
    """The first of them that is known."""
    return next((one for one in many if known(one)), UNKNOWN)


def last(many: Any) -> Any:
    """The last of them; not known where there is none."""
    return many[-1] if known(many) and many else UNKNOWN


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
    return UNKNOWN if not known(rows) else sum(row.get(key) or 0.0 for row in rows)


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
    return max(0.0, (till_ms - since_ms) / MINUTE_MS) if known(since_ms) and known(till_ms) else UNKNOWN


def size(many: Any) -> Any:
    """How many there are."""
    return len(many) if known(many) else UNKNOWN


FUNCTIONS: dict[str, Callable[..., Any]] = {
    f.__name__: f
    for f in (
        *(steady, again_ms, most, slip, plus, less, either, last),
        *(minus, given, other, is_little, total, open_rows, first, by_sort, minutes, size),
    )
}
EFFECTS: dict[str, Callable[..., None]] = {}
"""Effects that are code, by name: things, thing, data and record in, the facts changed in place."""
