"""Strict readers for what was asked: every wrong value is refused with a sentence and the name of its field."""

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, Final

from bench.reckoning.typed import number_in, refuse_monsters, shown, span, text_in
from bench.science.refusal import Refusal
from bench.translation import _

__all__ = ["NEEDED", "Ask", "shown"]


class Needed:
    """Marks a field that has no default."""


NEEDED: Final = Needed()


class Ask:
    """One JSON object that was asked, read field by field.

    Every reader names the field in the Refusal it raises, nested ones as `reagents[1].assay_pct`. A `default` makes a
    field optional; null counts as left out. The ask remembers which names were read, so that `unread` can tell about
    typing errors.
    """

    def __init__(self, data: Any, path: str = "") -> None:
        if not path:
            refuse_monsters(data)
        if not isinstance(data, dict):
            raise Refusal(_("This must be one object with named fields, written in braces."), path or None)
        self._data: dict[str, Any] = data
        self._path = path
        self._read: set[str] = set()
        self._lists: dict[str, list[Ask]] = {}

    @property
    def path(self) -> str:
        """Where this ask stands inside the whole one; empty for the whole."""
        return self._path

    @property
    def whole_ask(self) -> Mapping[str, Any]:
        """All that was asked, as it came."""
        return self._data

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
            raise Refusal(_("Give {name}.", name=name), self.field(name))
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
        return number_in(value, self.field(name), low, high, above) if there else value

    def whole(self, name: str, low: int, high: int, default: Any = NEEDED) -> Any:
        """A whole number within bounds, as int; 3.0 counts as 3."""
        value, there = self._get(name, default)
        if not there:
            return value
        number = number_in(value, self.field(name), low, high, None)
        if number != int(number):
            raise Refusal(
                _("{name} must be a whole number; {shown} is not.", name=name, shown=shown(value)), self.field(name)
            )
        return int(number)

    def text(self, name: str, longest: int = 200, default: Any = NEEDED) -> Any:
        """A text of at least one visible character and at most `longest`, without the blanks around it."""
        value, there = self._get(name, default)
        if not there:
            return value
        return text_in(value, self.field(name), longest)

    def choice(self, name: str, options: Sequence[str], default: Any = NEEDED) -> Any:
        """One of the given words."""
        value, there = self._get(name, default)
        if not there:
            return value
        if isinstance(value, str) and value.strip() in options:
            return value.strip()
        raise Refusal(
            _(
                "{name} must be one of {options}; {shown} is not.",
                name=name,
                options=", ".join(options),
                shown=shown(value),
            ),
            self.field(name),
        )

    def flag(self, name: str, default: Any = NEEDED) -> Any:
        """true or false."""
        value, there = self._get(name, default)
        if there and not isinstance(value, bool):
            raise Refusal(
                _("{name} must be true or false; {shown} is neither.", name=name, shown=shown(value)), self.field(name)
            )
        return value

    def list_of(self, name: str, fewest: int = 1, most: int = 200, default: Any = NEEDED) -> Any:
        """A list of anything, within a number of items."""
        value, there = self._get(name, default)
        if not there:
            return value
        if not isinstance(value, list):
            raise Refusal(
                _("{name} must be a list, written in square brackets; {shown} is not.", name=name, shown=shown(value)),
                self.field(name),
            )
        if not fewest <= len(value) <= most:
            raise Refusal(
                _(
                    "{name} must hold {fewest}; it holds {count}.",
                    name=name,
                    fewest=span(fewest, most),
                    count=len(value),
                ),
                self.field(name),
            )
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
            None if nulls and item is None else number_in(item, f"{self.field(name)}[{i}]", low, high, above)
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
                raise Refusal(
                    _(
                        "Each entry of {name} must be a pair of two numbers; {item} is not.",
                        name=name,
                        item=shown(item),
                    ),
                    where,
                )
            pairs.append(
                (
                    number_in(item[0], f"{where}[0]", None, None, None),
                    number_in(item[1], f"{where}[1]", None, None, None),
                )
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
