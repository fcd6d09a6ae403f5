"""Calculations by name: each reads an ask, finds rows in the library, calls science, and adds the working."""

import math
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from bench.reckoning import kinds
from bench.reckoning.ask import Ask, shown
from bench.reckoning.kind import Kind
from bench.reckoning.questions import ask_all
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.translation import _

__all__ = ["KINDS", "reckon"]


class _Kinds(Mapping[str, Kind]):
    """The kinds by name, each imported only when it is asked for, so that one call stays quick."""

    def __getitem__(self, name: str) -> Kind:
        if name not in _names():
            raise KeyError(name)
        kind: Kind = import_module(f"{kinds.__name__}.{name.replace('-', '_')}").KIND
        return kind

    def __iter__(self) -> Iterator[str]:
        return iter(_names())

    def __len__(self) -> int:
        return len(_names())


@cache
def _names() -> tuple[str, ...]:
    """The names of the kinds, one a module, in alphabetical order."""
    return tuple(sorted(module.name.replace("_", "-") for module in iter_modules(kinds.__path__)))


KINDS: Mapping[str, Kind] = _Kinds()


def reckon(name: str, ask: dict[str, Any] | Ask, library: Library, *, typed: bool = False) -> dict[str, Any]:
    """The answer of the kind `name` to an ask; always holds `working`, a list of steps.

    `typed`: a person typed this now, so likely slips of the pen are asked back, unless the ask says `as_typed`.

    Raises Refusal, with the field, where the ask cannot be used: an unknown kind, a wrong value, a field that looks
    like a typing error of a known one, or numbers that lead outside all bounds.
    """
    try:
        kind = KINDS[name]
    except KeyError:
        raise Refusal(
            _("There is no calculation {name}; there are {kinds}.", name=shown(name), kinds=", ".join(KINDS)), "kind"
        ) from None
    asked = ask if isinstance(ask, Ask) else Ask(ask)
    if not asked.flag("as_typed", False) and typed:
        ask_all(name, asked.whole_ask, library)
    result = kind.run(asked, library)
    working = result.setdefault("working", [])
    for field, close in asked.unread([known.name for known in kind.fields]):
        if close is not None:
            raise Refusal(
                _("{field} is not a field here: did you mean {close}?", field=shown(field), close=close), field
            )
        working.append(step(_("The field {field} is not known here and was not used.", field=shown(field))))
    if not _finite(result):
        raise Refusal(_("These numbers give an impossible result: check their size."))
    return result


def _finite(value: Any) -> bool:
    """True when no number in a result is NaN or infinite."""
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return all(_finite(item) for item in value.values())
    if isinstance(value, list | tuple):
        return all(_finite(item) for item in value)
    return True
