"""`saggar measure`: prints every figure beside its goal."""

import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from bench.measure.figure import Figure

PARTS: Final = ("store", "forecast", "reckon")
"""The parts, each a module in this package with `NAME` and `run() -> list[Figure]`; a new part is one more name."""

USAGE: Final = f"saggar measure {' '.join(f'[--{part}]' for part in PARTS)} [--json FILE]"


class Wrong(ValueError):
    """An argument that cannot be used, with the sentence for it."""


def main(argv: Sequence[str]) -> int:
    """Measure the parts named, or all; 0 when every goal is met, 1 when one is missed, 2 when it was asked wrongly."""
    if {"-h", "--help"} & set(argv):
        print(
            f"{USAGE}\nMeasures on this computer and prints every figure beside its goal; all parts if none is named."
        )
        return 0
    try:
        parts, file = read(argv)
    except Wrong as wrong:
        print(f"{wrong}\n{USAGE}", file=sys.stderr)
        return 2
    found = {part: _measured(part) for part in parts}
    if file is not None:
        try:
            _write(file, found)
        except OSError as error:
            print(f"The figures could not be written to {file}: {error.strerror}.", file=sys.stderr)
            return 1
    missed = sum(figure.met is False for figures in found.values() for figure in figures)
    print("Every goal is met." if missed == 0 else f"Goals missed: {missed}.")
    return 0 if missed == 0 else 1


def read(argv: Sequence[str]) -> tuple[list[str], Path | None]:
    """The parts and the file that the arguments name."""
    named: list[str] = []
    file: Path | None = None
    rest = iter(argv)
    for word in rest:
        if word == "--json":
            name = next(rest, None)
            if not name or name.startswith("--"):
                raise Wrong("--json needs the name of a file.")
            file = Path(name)
        elif word.removeprefix("--") in PARTS and word.startswith("--"):
            named.append(word.removeprefix("--"))
        else:
            raise Wrong(f"{word} is not known here.")
    return [part for part in PARTS if part in named or not named], file


def table(name: str, figures: Sequence[Figure]) -> str:
    """The figures of one part as lines of text: figure, goal, whether it is met."""
    widths = max((len(figure.name) for figure in figures), default=0)
    lines = [f"{figure.name:<{widths}}  {shown(figure.value, figure.unit):>16}{_beside(figure)}" for figure in figures]
    return "\n".join([name, *(f"  {line}".rstrip() for line in lines)])


def shown(value: float, unit: str) -> str:
    """A value with its unit, in three digits, or whole where it is."""
    number = f"{value:,.0f}" if value == int(value) or abs(value) >= 100 else f"{value:.3g}"
    return f"{number} {unit}".strip()


def _beside(figure: Figure) -> str:
    goal = "" if figure.goal is None else f"  goal {figure.goal}: {'met' if figure.met else 'MISSED'}"
    return goal + (f"  ({figure.note})" if figure.note else "")


def _measured(part: str) -> list[Figure]:
    module = import_module(f"bench.measure.{part}")
    figures: list[Figure] = module.run()
    print(table(module.NAME, figures), flush=True)
    return figures


def _write(file: Path, found: dict[str, list[Figure]]) -> None:
    plain: dict[str, list[dict[str, Any]]] = {
        part: [asdict(each) for each in figures] for part, figures in found.items()
    }
    file.write_text(json.dumps(plain, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
