"""The small language in which a hazard rule says when it holds.

`&` is and, `|` is or, parentheses group; `key=a,b` (or `key=a|b`) means any of; a value that ends in `*` stands for
every ending; `!=` turns an answer round; `< <= > >=` compare with a number, with another key, or with a multiple of
one (`peak>=0.5*short_limit`).

Answers are three-valued: True, False, and None for *not known*. There is no negation above a single comparison, so
what is not known can never silence a rule: the judge counts a None that reaches the top as the worse value.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

TOKEN = re.compile(
    r"\s*(?:(?P<op><=|>=|!=|=|<|>)|(?P<mark>[&|(),])|(?P<word>[\w.+*\-]+(?:\([\w]+\)[\w]*)*))",
)
COMPARING = ("<", "<=", ">", ">=")


class BadPattern(ValueError):
    """A pattern that is not in the language: a fault of the data file, never of the person at the bench."""


@dataclass(frozen=True)
class Is:
    """`key` has one of `values` (or, with `negated`, none of them)."""

    key: str
    values: tuple[str, ...]
    negated: bool = False


@dataclass(frozen=True)
class Compares:
    """`key` stands in the relation `op` to `factor`, or to `factor` times the value of `other`."""

    key: str
    op: str
    factor: float
    other: str | None = None


@dataclass(frozen=True)
class Every:
    """All of the parts hold."""

    parts: tuple["Node", ...]


@dataclass(frozen=True)
class Either:
    """At least one of the parts holds."""

    parts: tuple["Node", ...]


Atom = Is | Compares
Node = Is | Compares | Every | Either


@dataclass(frozen=True)
class Answer:
    """Whether a pattern holds (None: not known), and because of what."""

    holds: bool | None
    because: tuple[str, ...] = ()


NO = Answer(False)


@dataclass
class _Reader:
    """Walks the tokens of one pattern from left to right."""

    text: str
    tokens: list[tuple[str, str]]
    at: int = 0

    def peek(self, ahead: int = 0) -> tuple[str, str]:
        """The kind and text of a token that is still to be read; an empty kind past the end."""
        place = self.at + ahead
        return self.tokens[place] if place < len(self.tokens) else ("", "")

    def take(self, kind: str) -> str:
        """The text of the next token, which must be of this kind."""
        found, text = self.peek()
        if found != kind:
            raise BadPattern(f"'{self.text}': a {kind} was expected before '{text}'")
        self.at += 1
        return text

    def skip(self, mark: str) -> bool:
        """Whether the next token is this mark; it is passed over if so."""
        if self.peek() != ("mark", mark):
            return False
        self.at += 1
        return True


def _tokens(text: str) -> list[tuple[str, str]]:
    """The tokens of a pattern, each as (kind, text)."""
    found: list[tuple[str, str]] = []
    place, end = 0, len(text.rstrip())
    while place < end:
        match = TOKEN.match(text, place)
        if match is None or match.lastgroup is None:
            raise BadPattern(f"'{text}': cannot be read from '{text[place:]}'")
        found.append((match.lastgroup, match[match.lastgroup]))
        place = match.end()
    return found


@lru_cache(maxsize=512)
def parse_pattern(text: str) -> Node:
    """The tree of one pattern. Raises BadPattern where the text is not in the language."""
    reader = _Reader(text, _tokens(text))
    tree = _either(reader)
    if reader.at != len(reader.tokens):
        raise BadPattern(f"'{text}': cannot be read from '{reader.peek()[1]}'")
    return tree


def _either(reader: _Reader) -> Node:
    parts = [_every(reader)]
    while reader.skip("|"):
        parts.append(_every(reader))
    return parts[0] if len(parts) == 1 else Either(tuple(parts))


def _every(reader: _Reader) -> Node:
    parts = [_single(reader)]
    while reader.skip("&"):
        parts.append(_single(reader))
    return parts[0] if len(parts) == 1 else Every(tuple(parts))


def _single(reader: _Reader) -> Node:
    if reader.skip("("):
        inner = _either(reader)
        if not reader.skip(")"):
            raise BadPattern(f"'{reader.text}': a parenthesis is not closed")
        return inner
    key = reader.take("word")
    op = reader.take("op")
    if op in COMPARING:
        return _comparison(key, op, reader.take("word"))
    return Is(key, _values(reader), negated=op == "!=")


def _values(reader: _Reader) -> tuple[str, ...]:
    """The list after `=`: a bar belongs to the list unless a new comparison or a parenthesis follows it."""
    values = [reader.take("word")]
    while reader.peek() == ("mark", ",") or _bar_inside_list(reader):
        reader.at += 1
        values.append(reader.take("word"))
    return tuple(values)


def _bar_inside_list(reader: _Reader) -> bool:
    return reader.peek() == ("mark", "|") and reader.peek(1)[0] == "word" and reader.peek(2)[0] != "op"


def _comparison(key: str, op: str, right: str) -> Compares:
    factor, star, other = right.rpartition("*")
    if star:
        return Compares(key, op, float(factor), other)
    if right[0].isdigit():
        return Compares(key, op, float(right))
    return Compares(key, op, 1.0, right)


def evaluate(node: Node, ask: Callable[[Atom], Answer]) -> Answer:
    """The answer of a tree, with `ask` answering each single comparison.

    *And* is not known as soon as nothing in it is false and something is not known; *or* holds by what is surely
    true before it is left unknown by what is not (Kleene's strong logic).
    """
    if isinstance(node, Every):
        return _all_of(evaluate(part, ask) for part in node.parts)
    if isinstance(node, Either):
        return either(evaluate(part, ask) for part in node.parts)
    return ask(node)


def _all_of(many: Iterable[Answer]) -> Answer:
    answers: list[Answer] = []
    for answer in many:
        if answer.holds is False:
            return NO
        answers.append(answer)
    sure = all(answer.holds for answer in answers)
    return Answer(True if sure else None, _joined(answers))


def either(many: Iterable[Answer]) -> Answer:
    """The answer of several of which one is enough: a sure yes first, then what is not known."""
    answers = list(many)
    for holds in (True, None):
        chosen = [answer for answer in answers if answer.holds is holds]
        if chosen:
            return Answer(holds, _joined(chosen))
    return NO


def _joined(answers: list[Answer]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(reason for answer in answers for reason in answer.because))


@lru_cache(maxsize=512)
def atoms(node: Node) -> tuple[Atom, ...]:
    """Every single comparison of a tree, from left to right."""
    if isinstance(node, Every | Either):
        return tuple(atom for part in node.parts for atom in atoms(part))
    return (node,)


def matches(pattern: str, value: str) -> bool:
    """Whether a value is the pattern, or begins like it where the pattern ends in `*`."""
    return value.startswith(pattern[:-1]) if pattern.endswith("*") else value == pattern


def compare(op: str, left: float, right: float) -> bool:
    """Whether two numbers stand in the relation `op`, one of `< <= > >=`."""
    return {"<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right}[op]
