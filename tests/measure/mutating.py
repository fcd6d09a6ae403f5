"""Small mistakes drawn at random, put in by Cosmic Ray: a comparison turned, a number off by one, a branch lost.

Of Cosmic Ray only the operators are used. Its own runner changes the files themselves and asks for one command for all;
here each mistake goes into a copy and meets the tests that mirror its module. Left out are operators whose change is
no mistake (`is` for `==`, a decorator less), and places that nothing reads at work.
"""

import ast
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

LEFT_OUT = ("RemoveDecorator", "ExceptionReplacer", "VariableReplacer", "VariableInserter")
SAME_TO_READ = ("_Is", "_IsNot")


@dataclass(frozen=True)
class Mutant:
    """One mistake: the file, the line, what stood there, what stands there now, and the whole file with it."""

    file: str
    line: int
    was: str
    put: str
    text: str

    @property
    def words(self) -> str:
        """Where it is, and both lines."""
        return f"{self.file}:{self.line}: {self.was}  →  {self.put}"


@dataclass(frozen=True)
class Place:
    """Where an operator can be put to work: the how-manyth of its places in the file, and where that begins."""

    operator: str
    occurrence: int
    start: tuple[int, int]


def drawn(root: Path, files: Sequence[str], seed: int) -> Iterator[Mutant]:
    """Mistakes without end, the same ones for a seed: a file by its lines, a place in it, an operator for the place."""
    draw = random.Random(seed)
    texts = {file: (root / file).read_text(encoding="utf-8") for file in files}
    weights = [text.count("\n") for text in texts.values()]
    tried = set()
    while True:
        file = draw.choices(list(texts), weights)[0]
        found = places(texts[file])
        if not found:
            continue
        start = draw.choice(sorted({one.start for one in found}))
        place = draw.choice([one for one in found if one.start == start])
        mutant = made(file, texts[file], place)
        if mutant is not None and mutant.words not in tried:
            tried.add(mutant.words)
            yield mutant


@cache
def operators() -> dict[str, Any]:
    """The operators by their names."""
    from cosmic_ray.plugins import get_operator, operator_names

    names = (name for name in operator_names() if not name.endswith((*LEFT_OUT, *SAME_TO_READ)))
    return {name: get_operator(name)() for name in names}


@cache
def places(text: str) -> tuple[Place, ...]:
    """Every place of every operator in a module, but where nothing is read."""
    from cosmic_ray.ast import ast_nodes, get_ast

    apart = unread(text)
    nodes = list(ast_nodes(get_ast(text)))
    found = []
    for name, operator in operators().items():
        positions = (position for node in nodes for position in operator.mutation_positions(node))
        for occurrence, (start, _end) in enumerate(positions):
            if not any(first <= start < last for first, last in apart):
                found.append(Place(name, occurrence, start))
    return tuple(found)


def unread(text: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """From where to where nothing is read at work: annotations, decorators, and guards such as `strict=True`."""
    found: list[ast.expr | None] = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.arg | ast.AnnAssign):
            found.append(node.annotation)
        elif isinstance(node, ast.FunctionDef):
            found += [node.returns, *node.decorator_list]
        elif isinstance(node, ast.ClassDef):
            found += node.decorator_list
        elif isinstance(node, ast.keyword) and node.arg == "strict":
            found.append(node.value)
    told = [one for one in found if one is not None]
    return [((one.lineno, one.col_offset), (one.end_lineno or 0, one.end_col_offset or 0)) for one in told]


def made(file: str, text: str, place: Place) -> Mutant | None:
    """The mistake; None where it is none, or no Python."""
    from cosmic_ray.mutating import mutate_code

    put: str | None = mutate_code(text, operators()[place.operator], place.occurrence)
    if put is None:
        return None
    try:
        same = ast.dump(ast.parse(put)) == ast.dump(ast.parse(text))
    except SyntaxError:
        return None
    lines = zip(text.splitlines(), put.splitlines(), strict=False)
    number, was, now = next(((n, a, b) for n, (a, b) in enumerate(lines, 1) if a != b), (0, "", ""))
    return None if same or not number else Mutant(file, number, was.strip(), now.strip(), put)
