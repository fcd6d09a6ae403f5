"""The schema of a record as its step declares it, and whether what is typed by hand beside it says the same."""

from collections.abc import Iterable, Mapping
from dataclasses import field as with_default
from dataclasses import fields, make_dataclass
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from bench.records.schema import Ulid, When
from bench.steps.fields import Field

PYTHON_TYPES: dict[str, Any] = {
    "number": float,
    "whole": int,
    "text": str,
    "flag": bool,
    "code": Ulid,
    "thing": Ulid,
    "list": tuple[str, ...],
    "numbers": tuple[float, ...],
    "value": Any,
    "values": tuple[Any, ...],
    "moment": When,
}
"""What a declared field holds in a record; a choice holds one of its values."""
LISTS = ("rows", "list", "numbers", "values")
Types = Mapping[str, type]
"""What is typed by hand, by the name of the kind, or of the field whose rows it is."""


def schema_of(name: str, declared: Iterable[Field], types: Types) -> type:
    """The dataclass of records, or of rows, with these fields."""
    parts = [(_python_name(one.name), _type_of(one, types), _default_of(one)) for one in declared]
    return make_dataclass("".join(part.capitalize() for part in name.split(".")), parts, frozen=True, kw_only=True)


def _python_name(name: str) -> str:
    return f"{name}_" if name == "from" else name


def _type_of(one: Field, types: Types) -> Any:
    if one.kind == "rows":
        rows: Any = tuple
        return rows[types[one.name], ...]
    of: Any = Literal[one.values] if one.kind == "choice" else PYTHON_TYPES[one.kind]
    always = one.required or one.default is not None or one.kind in (*LISTS, "value")
    return of if always else of | None


def _default_of(one: Field) -> Any:
    if one.kind in LISTS:
        return with_default() if one.required else with_default(default=())
    if one.default is not None:
        return with_default(default=one.default)
    return with_default() if one.required else with_default(default=None)


def agreed(name: str, declared: Iterable[Field], types: Types) -> type:
    """The schema of these fields; where it is typed by hand too, that one, which has to say the same of each."""
    made = schema_of(name, declared, types)
    schema = types.get(name, made)
    if differ := _fields_of(schema) ^ _fields_of(made):
        raise TypeError(f"The kind “{name}” is declared in one way and typed in another: {sorted(differ)}.")
    return schema


def _fields_of(schema: type) -> set[tuple[str, str, str]]:
    hints = get_type_hints(schema)
    return {(one.name, _spelled(hints[one.name]), repr(one.default)) for one in fields(schema)}


def _spelled(hint: Any) -> str:
    """A hint as text, the words of a choice in the order of the alphabet."""
    if get_origin(hint) is Literal:
        return str(sorted(get_args(hint)))
    if get_origin(hint) in (Union, UnionType):
        return " | ".join(sorted(_spelled(one) for one in get_args(hint)))
    return str(hint)
