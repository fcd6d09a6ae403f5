"""Reads plain JSON into the frozen dataclasses that are the schema, strictly, and says what is wrong in words."""

import math
import re
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache, partial
from typing import Any, Literal, NewType, Union, get_args, get_origin

from bench.records.moments import instant
from bench.science.refusal import Refusal
from bench.translation import _

Ulid = NewType("Ulid", str)
"""26 characters of Crockford's base 32: the name of a record or of a thing."""

When = NewType("When", str)
"""A moment in UTC, as `2026-03-01T12:00:00Z`."""

CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
ULID = re.compile(r"[0-7][0-9A-HJKMNP-TV-Z]{25}")
LONGEST_TEXT = 20_000
MOST_ITEMS = 2_000

# The unit in a field's name says what it may hold.
RANGES: tuple[tuple[str, float, float], ...] = (
    ("_pct", 0.0, 200.0),
    ("_mg", 0.0, 1e9),
    ("_kg", 0.0, 1e5),
    ("_g", 0.0, 1e6),
    ("_ml", 0.0, 1e6),
    ("_um", 0.0, 1e6),
    ("_m3", 0.0, 1e6),
    ("_c", -273.15, 3500.0),
    ("_min", 0.0, 1e6),
    ("minutes", 0.0, 1e6),
    ("_l", 0.0, 1e6),
    ("_factor", 0.0, 1e4),
    ("_per_h", 0.0, 1e5),
    ("_per_pigment", 0.0, 1e4),
)
# What is counted, by name: how many, or the how-manieth. A page draws a furnace's places, so they are few.
COUNTS: dict[str, tuple[int, int]] = {
    "tiers": (1, 20),
    "rows": (1, 50),
    "columns": (1, 50),
    "places": (1, 100),
    "tier": (1, 20),
    "row": (1, 50),
    "column": (1, 50),
    "clock": (0, 100),
    "line": (0, 10_000),
    "round": (0, 10_000),
}
TOP = ("data", "record")
"""What is read at the top: its fields are named without the whole's name before them."""


def is_ulid(text: object) -> bool:
    """Whether `text` is a well-formed ULID in capitals."""
    return isinstance(text, str) and ULID.fullmatch(text) is not None


def json_name(name: str) -> str:
    """The key in JSON of a dataclass field: `from_` is `from`, because `from` is a word of Python."""
    return name.rstrip("_")


Reader = Callable[[object, str], Any]


@cache
def _fields(schema: type) -> dict[str, tuple[str, Reader, bool]]:
    """The fields of a dataclass by their names in JSON: (its own name, what reads its value, whether it must be there).

    A long firing has tens of thousands of readings: what the types say is looked up once, not for each of them.
    """
    hints = typing.get_type_hints(schema)
    return {
        json_name(f.name): (
            f.name,
            _reader(hints[f.name]),
            f.default is MISSING and f.default_factory is MISSING,
        )
        for f in fields(schema)
    }


def read(schema: type, raw: object, where: str = "data") -> Any:
    """An instance of the frozen dataclass `schema` from a JSON object; Refusal, naming the field, if it is not."""
    if not isinstance(raw, Mapping):
        raise Refusal(_("This should be an object with named fields."), where)
    names = _fields(schema)
    for key in raw:
        if key not in names:
            raise Refusal(_("There is no field “{key}” here.", key=_shown(key)), where)
    values: dict[str, Any] = {}
    for key, (name, reader, required) in names.items():
        place = key if where in TOP else f"{where}.{key}"
        if raw.get(key) is not None:
            values[name] = reader(raw[key], place)
        elif required:
            raise Refusal(_("“{name}” is missing.", name=key.replace("_", " ")), place)
    return schema(**values)


def _shown(key: object) -> str:
    # A name that came from elsewhere, fit to be shown and sent: broken or invisible characters would spoil the answer.
    return "".join(c if c.isprintable() else "?" for c in str(key)[:40])


def write(value: Any) -> Any:
    """The plain JSON form of a schema instance; fields that are None are left out."""
    if is_dataclass(value):
        pairs = ((json_name(f.name), getattr(value, f.name)) for f in fields(value))
        return {name: write(v) for name, v in pairs if v is not None}
    if isinstance(value, list | tuple):
        return [write(v) for v in value]
    if isinstance(value, Mapping):
        return {str(k): write(v) for k, v in value.items()}
    return value


def _reader(hint: Any) -> Reader:
    """What reads a value of this type: value and place in, the value out, or a Refusal that names the place."""
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _reader(next(h for h in args if h is not type(None)))
    if origin is Literal:
        return partial(_one_of, args)
    if origin is tuple:
        return partial(_items, args, _reader(args[0]))
    if origin is dict:
        return partial(_mapping, _reader(args[1]))
    if is_dataclass(hint):
        return partial(read, typing.cast(type, hint))
    return READERS[hint]


def _one_of(choices: tuple[Any, ...], raw: object, place: str) -> Any:
    if raw not in choices:
        raise Refusal(_("Choose one of: {choices}.", choices=", ".join(map(str, choices))), place)
    return raw


def _items(hints: tuple[Any, ...], reader: Reader, raw: object, place: str) -> tuple[Any, ...]:
    if not isinstance(raw, list | tuple):
        raise Refusal(_("This should be a list."), place)
    if len(raw) > MOST_ITEMS:
        raise Refusal(_("At most {n} entries fit here.", n=MOST_ITEMS), place)
    if hints[-1] is not Ellipsis and len(raw) != len(hints):
        raise Refusal(_("This should be a list of {n}.", n=len(hints)), place)
    return tuple(reader(item, f"{place}[{n}]") for n, item in enumerate(raw))


def _mapping(reader: Reader, raw: object, place: str) -> dict[str, Any]:
    if not isinstance(raw, Mapping) or len(raw) > MOST_ITEMS:
        raise Refusal(_("This should be an object with named values."), place)
    return {_text(key, place): reader(value, f"{place}.{key}") for key, value in raw.items()}


def _text(raw: object, place: str) -> str:
    if not isinstance(raw, str):
        raise Refusal(_("This should be text."), place)
    if len(raw) > LONGEST_TEXT:
        raise Refusal(_("This is too long: at most {n:,} characters.", n=LONGEST_TEXT), place)
    if CONTROL.search(raw):
        raise Refusal(_("There are control characters in this text: type it again without them."), place)
    try:
        raw.encode()
    except UnicodeEncodeError:
        raise Refusal(_("There are broken characters in this text: type it again without them."), place) from None
    return raw


@cache
def _ranges(name: str) -> tuple[tuple[float, float], ...]:
    """The ranges in which a number of this name must lie, by the unit at its end."""
    return tuple((low, high) for suffix, low, high in RANGES if name.endswith(suffix) or name == suffix[1:])


def _number(raw: object, place: str) -> float:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise Refusal(_("This should be a number."), place)
    try:
        value = float(raw)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise Refusal(_("This should be a number of ordinary size."), place)
    for low, high in _ranges(place.rsplit(".", 1)[-1].split("[")[0]):
        if not low <= value <= high:
            raise Refusal(_("This should be between {low:g} and {high:g}.", low=low, high=high), place)
    return value


def _whole(raw: object, place: str) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int) or abs(raw) > 2**53:
        raise Refusal(_("This should be a whole number."), place)
    low, high = COUNTS.get(place.rsplit(".", 1)[-1], (raw, raw))
    if not low <= raw <= high:
        raise Refusal(_("This should be between {low} and {high}.", low=low, high=high), place)
    return raw


def _yes_no(raw: object, place: str) -> bool:
    if not isinstance(raw, bool):
        raise Refusal(_("This should be yes or no."), place)
    return raw


def _ulid(raw: object, place: str) -> str:
    if not is_ulid(raw):
        raise Refusal(_("This is not the name of a record."), place)
    return typing.cast(str, raw)


def _when(raw: object, place: str) -> str:
    instant(raw, place)
    return typing.cast(str, raw)


def plain(raw: object, place: str, depth: int = 0) -> Any:
    """Any JSON without broken text or numbers, nested at most six deep; Refusal otherwise."""
    if depth > 6:
        raise Refusal(_("This is nested too deeply."), place)
    if isinstance(raw, Mapping):
        return {_text(k, place): plain(v, place, depth + 1) for k, v in raw.items()}
    if isinstance(raw, list | tuple):
        return [plain(v, place, depth + 1) for v in raw]
    if raw is None or isinstance(raw, bool):
        return raw
    return _text(raw, place) if isinstance(raw, str) else _number(raw, place)


READERS: dict[Any, Callable[[object, str], Any]] = {
    str: _text,
    float: _number,
    int: _whole,
    bool: _yes_no,
    Ulid: _ulid,
    When: _when,
    Any: plain,
    object: lambda raw, place: raw,  # checked by whoever knows what it should be
}
