"""Strict readers for what was asked: every wrong value is refused with a sentence and the name of its field."""

import math
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import Any, Final

from bench.science.refusal import Refusal

DEEPEST: Final = 8
MOST_VALUES: Final = 50_000
LONGEST_TEXT: Final = 2_000
LARGEST: Final = 1e15


class Needed:
    """Marks a field that has no default."""


NEEDED: Final = Needed()


def shown(value: Any) -> str:
    """A typed value as it may stand in a sentence: short, on one line."""
    text = value if isinstance(value, str) else repr(value)
    text = "".join(c if c.isprintable() else "?" for c in text[:60])
    return f"“{text}{'…' if len(str(value)) > 60 else ''}”"


class Ask:
    """One JSON object that was asked, read field by field.

    Every reader names the field in the Refusal it raises, nested ones as `reagents[1].assay_pct`. A `default` makes a
    field optional; null counts as left out. The ask remembers which names were read, so that `unread` can tell about
    typing errors.
    """

    def __init__(self, data: Any, path: str = "") -> None:
        if not path:
            _refuse_monsters(data)
        if not isinstance(data, dict):
            raise Refusal("This must be one object with named fields, written in braces.", path or None)
        self._data: dict[str, Any] = data
        self._path = path
        self._read: set[str] = set()
        self._lists: dict[str, list[Ask]] = {}

    @property
    def path(self) -> str:
        """Where this ask stands inside the whole one; empty for the whole."""
        return self._path

    def field(self, name: str) -> str:
        """The full name of a field, for a Refusal."""
        return f"{self._path}.{name}" if self._path else name

    def has(self, name: str) -> bool:
        """True when the field is there and not null."""
        self._read.add(name)
        return self._data.get(name) is not None

    def raw(self, name: str) -> Any:
        """The value as it came, or None."""
        self._read.add(name)
        return self._data.get(name)

    def _get(self, name: str, default: Any) -> tuple[Any, bool]:
        """The value and True, or the default and False; refuses where a needed field is missing."""
        value = self.raw(name)
        if value is not None:
            return value, True
        if isinstance(default, Needed):
            raise Refusal(f"Give {name}.", self.field(name))
        return default, False

    def number(
        self,
        name: str,
        low: float | None = None,
        high: float | None = None,
        default: Any = NEEDED,
        *,
        above: float | None = None,
    ) -> Any:
        """A finite number with low ≤ it ≤ high and above < it, as float; the default, perhaps None, where left out."""
        value, there = self._get(name, default)
        return _number(value, self.field(name), low, high, above) if there else value

    def whole(self, name: str, low: int, high: int, default: Any = NEEDED) -> Any:
        """A whole number within bounds, as int; 3.0 counts as 3."""
        value, there = self._get(name, default)
        if not there:
            return value
        number = _number(value, self.field(name), low, high, None)
        if number != int(number):
            raise Refusal(f"{name} must be a whole number; {shown(value)} is not.", self.field(name))
        return int(number)

    def text(self, name: str, longest: int = 200, default: Any = NEEDED) -> Any:
        """A text of at least one visible character and at most `longest`, without the blanks around it."""
        value, there = self._get(name, default)
        if not there:
            return value
        return _text(value, self.field(name), longest)

    def choice(self, name: str, options: Sequence[str], default: Any = NEEDED) -> Any:
        """One of the given words."""
        value, there = self._get(name, default)
        if not there:
            return value
        if isinstance(value, str) and value.strip() in options:
            return value.strip()
        raise Refusal(f"{name} must be one of {', '.join(options)}; {shown(value)} is not.", self.field(name))

    def flag(self, name: str, default: Any = NEEDED) -> Any:
        """true or false."""
        value, there = self._get(name, default)
        if there and not isinstance(value, bool):
            raise Refusal(f"{name} must be true or false; {shown(value)} is neither.", self.field(name))
        return value

    def list_of(self, name: str, fewest: int = 1, most: int = 200, default: Any = NEEDED) -> Any:
        """A list of anything, within a number of items."""
        value, there = self._get(name, default)
        if not there:
            return value
        if not isinstance(value, list):
            raise Refusal(
                f"{name} must be a list, written in square brackets; {shown(value)} is not.", self.field(name)
            )
        if not fewest <= len(value) <= most:
            raise Refusal(f"{name} must hold {_span(fewest, most)}; it holds {len(value)}.", self.field(name))
        return value

    def numbers(
        self,
        name: str,
        low: float | None = None,
        high: float | None = None,
        *,
        fewest: int = 1,
        most: int = 10_000,
        nulls: bool = False,
        above: float | None = None,
        default: Any = NEEDED,
    ) -> Any:
        """A list of numbers within bounds; with `nulls`, an item may be null and comes back as None."""
        items = self.list_of(name, fewest, most, default)
        if items is default:
            return items
        return [
            None if nulls and item is None else _number(item, f"{self.field(name)}[{i}]", low, high, above)
            for i, item in enumerate(items)
        ]

    def pairs(self, name: str, *, fewest: int = 1, most: int = 10_000, default: Any = NEEDED) -> Any:
        """A list of pairs of finite numbers, such as readings [[min, °C], …], as tuples."""
        items = self.list_of(name, fewest, most, default)
        if items is default:
            return items
        pairs = []
        for i, item in enumerate(items):
            where = f"{self.field(name)}[{i}]"
            if not isinstance(item, list) or len(item) != 2:
                raise Refusal(f"Each entry of {name} must be a pair of two numbers; {shown(item)} is not.", where)
            pairs.append(
                (_number(item[0], f"{where}[0]", None, None, None), _number(item[1], f"{where}[1]", None, None, None))
            )
        return pairs

    def asks(self, name: str, fewest: int = 1, most: int = 200, default: Any = NEEDED) -> Any:
        """A list of objects, each as an Ask that knows its place."""
        items = self.list_of(name, fewest, most, default)
        if items is default:
            return items
        if name not in self._lists:
            self._lists[name] = [Ask(item, f"{self.field(name)}[{i}]") for i, item in enumerate(items)]
        return self._lists[name]

    def inner(self, name: str, default: Any = NEEDED) -> Any:
        """One object inside this one, as an Ask."""
        value, there = self._get(name, default)
        if not there:
            return value
        if name not in self._lists:
            self._lists[name] = [Ask(value, self.field(name))]
        return self._lists[name][0]

    def names(self) -> list[str]:
        """The names that are there, all marked as read: for objects whose names are data, such as {formula: g}."""
        self._read.update(self._data)
        return list(self._data)

    def unread(self, known: Sequence[str] = ()) -> Iterator[tuple[str, str | None]]:
        """Each field that nobody read, with the known name that it looks like, or None."""
        names = sorted(self._read | set(known))
        for name in self._data:
            if name not in self._read and name not in known:
                close = get_close_matches(name, names, 1, 0.75) if len(name) < 60 else []
                yield self.field(name[:60]), (close[0] if close else None)
        for inner in self._lists.values():
            for each in inner:
                yield from each.unread()


def _span(fewest: int, most: int) -> str:
    if fewest == most:
        return f"exactly {fewest}"
    return f"{fewest} to {most} entries"


def _number(value: Any, field: str, low: float | None, high: float | None, above: float | None) -> float:
    name = field.rsplit(".", 1)[-1]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refusal(f"{name} must be a number; {shown(value)} is not.", field)
    if (isinstance(value, float) and not math.isfinite(value)) or abs(value) > LARGEST:
        raise Refusal(f"{name} must be a finite number of a size that occurs.", field)
    number = float(value)
    if above is not None and number <= above:
        raise Refusal(f"{name} must be more than {above:g}; it is {number:g}.", field)
    if low is not None and number < low:
        raise Refusal(f"{name} must be at least {low:g}; it is {number:g}.", field)
    if high is not None and number > high:
        raise Refusal(f"{name} must be at most {high:g}; it is {number:g}.", field)
    return number


def _text(value: Any, field: str, longest: int) -> str:
    name = field.rsplit(".", 1)[-1]
    if not isinstance(value, str):
        raise Refusal(f"{name} must be a text in quotation marks; {shown(value)} is not.", field)
    text = value.strip()
    if not text:
        raise Refusal(f"Give {name}; it is empty.", field)
    if len(text) > longest:
        raise Refusal(f"{name} is too long: {len(text)} characters, {longest} at most.", field)
    return text


def _refuse_monsters(data: Any) -> None:
    """Refuses what is nested too deep, holds too many values, or holds a text far too long."""
    stack: list[tuple[Any, int, str | None]] = [(data, 1, None)]
    seen = 0
    while stack:
        value, depth, field = stack.pop()
        seen += 1
        if seen > MOST_VALUES:
            raise Refusal(f"This is too large: more than {MOST_VALUES} values.", field)
        if depth > DEEPEST:
            raise Refusal(f"This is nested too deep: {DEEPEST} levels at most.", field)
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            raise Refusal(f"This text is too long: {len(value)} characters, {LONGEST_TEXT} at most.", field)
        if isinstance(value, dict):
            for name, item in value.items():
                if not isinstance(name, str) or len(name) > LONGEST_TEXT:
                    raise Refusal("Every field needs a name that is a short text.", field)
                stack.append((item, depth + 1, field or name[:60]))
        elif isinstance(value, list | tuple):
            stack.extend((item, depth + 1, field) for item in value)
