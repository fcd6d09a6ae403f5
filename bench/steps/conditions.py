"""The conditions of a declaration: Kleene's three values over the fields of a form and the facts of things.

`a=x,y` is any of these, `a!=x` none of them; `< <= > >=` compare with a number or with another fact (`a<b.c`); a name
alone is *is true*, `?a` *is known*; `!`, `&`, `|` and parentheses join. A name without a dot is a field of the form or
of the record; a dotted one is a fact of a thing, and references are followed (`charge.firing.lit_ms`).

What is absent is not known, and an answer that rests on it is None. `none` is something else: known to be nothing,
neither less nor more than any number. The right side of a comparison is a number, a field or a fact. The tree is what
travels to the phones, where `holds` has its twin.
"""

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

TOKEN = re.compile(r"\s*(?:(\(|\)|&|\||!=|!|\?|<=|>=|<|>|=|,)|([A-Za-z0-9_.\-]+))")
NUMBER = re.compile(r"-?\d+(\.\d+)?")
LITERALS = {"true": True, "false": False, "none": None}
COMPARING = ("<", "<=", ">", ">=")
UNKNOWN: Any = type("Unknown", (), {"__repr__": lambda self: "UNKNOWN", "__bool__": lambda self: False})()
"""The value of what nobody told."""

Tree = list[Any]
Look = Callable[[str], Any]


class BadCondition(ValueError):
    """A condition that cannot be read: a fault of the declaration, found when the program starts."""


@cache
def parse(text: str) -> Tree:
    """The tree of a condition as nested lists, which is also its form in JSON. Raises BadCondition."""
    reader = _Reader(text)
    tree = reader.either()
    if reader.tokens:
        raise BadCondition(f"“{text}”: cannot be read from “{reader.tokens[0]}”")
    return tree


def _tokens(text: str) -> list[str]:
    found: list[str] = []
    at = 0
    while text[at:].strip():
        match = TOKEN.match(text, at)
        if match is None:
            raise BadCondition(f"“{text}”: cannot be read from “{text[at:].strip()}”")
        found.append(match[1] or match[2])
        at = match.end()
    return found


class _Reader:
    """Walks the tokens of one condition from left to right."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = _tokens(text)

    def skip(self, *marks: str) -> str | None:
        return self.tokens.pop(0) if self.tokens and self.tokens[0] in marks else None

    def word(self) -> str:
        if not self.tokens or not re.match(r"[A-Za-z0-9\-]", self.tokens[0]):
            raise BadCondition(f"“{self.text}”: a word is missing")
        return self.tokens.pop(0)

    def either(self) -> Tree:
        return self._joined("|", self.every)

    def every(self) -> Tree:
        return self._joined("&", self.single)

    def _joined(self, mark: str, inner: Callable[[], Tree]) -> Tree:
        parts = [inner()]
        while self.skip(mark):
            parts.append(inner())
        return parts[0] if len(parts) == 1 else [mark, *parts]

    def single(self) -> Tree:
        if self.skip("!"):
            return ["!", self.single()]
        if self.skip("?"):
            return ["?", self.word()]
        if self.skip("("):
            inner = self.either()
            if not self.skip(")"):
                raise BadCondition(f"“{self.text}”: a parenthesis is not closed")
            return inner
        return self.comparison()

    def comparison(self) -> Tree:
        name = self.word()
        op = self.skip("=", "!=", *COMPARING)
        if op is None:
            return ["=", name, True]
        if op in COMPARING:
            return [op, name, _bound(self.word())]
        values = [_value(self.word())]
        while self.skip(","):
            values.append(_value(self.word()))
        return [op, name, *values]


def _bound(word: str) -> Any:
    """What is compared with: a number, or another fact or field as {"t": name}. No word is more than another."""
    return float(word) if NUMBER.fullmatch(word) else {"t": word}


def _value(word: str) -> Any:
    """What a word on the right means: a number, a literal, another fact as {"t": path}, or itself."""
    if word in LITERALS:
        return LITERALS[word]
    if NUMBER.fullmatch(word):
        return float(word)
    return {"t": word} if "." in word else word


def holds(tree: Tree, look: Look) -> bool | None:
    """Whether a condition holds; None where that rests on something that is not known."""
    op: str = tree[0]
    if op in ("&", "|"):
        answers = [holds(part, look) for part in tree[1:]]
        if (op == "|") in answers:
            return op == "|"
        return None if None in answers else op == "&"
    if op == "!":
        inner = holds(tree[1], look)
        return None if inner is None else not inner
    left = look(tree[1])
    if op == "?":
        return left is not UNKNOWN and left is not None
    if left is UNKNOWN:
        return None
    rights = [look(one["t"]) if isinstance(one, dict) else one for one in tree[2:]]
    return _is_one_of(left, rights, op == "=") if op in ("=", "!=") else _compares(op, left, rights[0])


def _is_one_of(left: Any, rights: list[Any], wanted: bool) -> bool | None:
    if any(one is not UNKNOWN and alike(left, one) for one in rights):
        return wanted
    return None if UNKNOWN in rights else not wanted


def _compares(op: str, left: Any, right: Any) -> bool | None:
    if left is None or right is None:
        return False
    if not is_number(left) or not is_number(right):
        return None
    return bool({"<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right}[op])


def is_number(one: Any) -> bool:
    """Whether a value is a number; true and false are none."""
    return isinstance(one, int | float) and not isinstance(one, bool)


def alike(left: Any, right: Any) -> bool:
    """Equal in kind and value; a list is alike to each of its members."""
    if isinstance(left, list | tuple):
        return any(alike(one, right) for one in left)
    if is_number(left) and is_number(right):
        return bool(left == right)
    return type(left) is type(right) and bool(left == right)


def names(tree: Tree) -> Iterator[str]:
    """Every name that a condition asks for, from left to right."""
    if tree[0] in ("&", "|", "!"):
        for part in tree[1:]:
            yield from names(part)
        return
    yield tree[1]
    yield from (one["t"] for one in tree[2:] if isinstance(one, dict))
