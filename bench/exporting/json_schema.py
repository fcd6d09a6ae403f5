"""The published schema of the JSON that is taken along: JSON Schema, draft 2020-12, worked out from the kinds.

A schema describes one version of each kind. A record of a kind or version that it does not name is allowed, so that a
newer bench's file is still a file of this form.
"""

import types
import typing
from dataclasses import MISSING, fields, is_dataclass
from typing import Any, Literal, Union, get_args, get_origin

from bench.exporting.record_tables import unit_of
from bench.records.kinds import KINDS
from bench.records.schema import ULID, Ulid, When, json_name

VERSION = 1
DIALECT = "https://json-schema.org/draft/2020-12/schema"
ULID_PATTERN = f"^{ULID.pattern}$"


def export_schema() -> dict[str, Any]:
    """The schema of the whole file."""
    record = {
        "type": "object",
        "required": ["id", "v", "kind", "device", "seq", "hlc", "at", "tz_min", "how", "subject", "data"],
        "properties": _envelope(),
        "allOf": [_of_kind(name) for name in sorted(KINDS)],
    }
    return {
        "$schema": DIALECT,
        "title": "Saggar export",
        "description": "Every record of a bench. A record that a later one corrects or withdraws stays in the list.",
        "type": "object",
        "required": ["saggar_export", "made", "records"],
        "properties": {
            "saggar_export": {"const": VERSION, "description": "The version of this form."},
            "made": {"type": "string", "format": "date-time"},
            "program": {"type": "string"},
            "records": {"type": "array", "items": record},
        },
    }


def _envelope() -> dict[str, Any]:
    ulid = {"type": "string", "pattern": ULID_PATTERN}
    moment = {"type": "string", "format": "date-time"}
    return {
        "id": ulid,
        "v": {"type": "integer", "minimum": 1, "description": "The version of the kind."},
        "kind": {"type": "string"},
        "device": {"type": "string"},
        "seq": {"type": "integer", "minimum": 1},
        "hlc": {"type": "array", "minItems": 3, "maxItems": 3, "description": "Milliseconds, counter, device."},
        "at": moment,
        "happened_at": moment,
        "entered_on": {"type": "string"},
        "offset_ms": {"type": ["integer", "null"]},
        "tz_min": {"type": "integer"},
        "how": {"enum": ["live", "late", "import"]},
        "subject": ulid,
        "also": {"type": "object", "additionalProperties": ulid},
        "corrects": {"type": "array", "items": ulid},
        "data": {"type": "object"},
    }


def _of_kind(name: str) -> dict[str, Any]:
    known = KINDS[name]
    is_it = {"properties": {"kind": {"const": name}, "v": {"const": known.version}}, "required": ["kind", "v"]}
    return {"if": is_it, "then": {"properties": {"data": _object(known.data)}}}


def _object(schema: type) -> dict[str, Any]:
    hints = typing.get_type_hints(schema)
    found, required = {}, []
    for one in fields(schema):
        name = json_name(one.name)
        found[name] = _type(hints[one.name])
        if unit := unit_of(name):
            found[name] = found[name] | {"description": f"In {unit}."}
        if one.default is MISSING and one.default_factory is MISSING:
            required.append(name)
    return {"type": "object", "properties": found, "required": required, "additionalProperties": False}


def _type(hint: Any) -> dict[str, Any]:
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        inner = _type(next(one for one in args if one is not type(None)))
        return {"anyOf": [inner, {"type": "null"}]}
    if origin is Literal:
        return {"enum": list(args)}
    if origin is tuple:
        items: dict[str, Any] = {"type": "array", "items": _type(args[0])}
        return items if args[-1] is Ellipsis else items | {"minItems": len(args), "maxItems": len(args)}
    if isinstance(hint, type) and is_dataclass(hint):
        return _object(hint)
    return dict(PLAIN.get(hint, {}))


PLAIN: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    float: {"type": "number"},
    int: {"type": "integer"},
    bool: {"type": "boolean"},
    Ulid: {"type": "string", "pattern": ULID_PATTERN},
    When: {"type": "string", "format": "date-time"},
}
