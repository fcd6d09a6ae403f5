"""`saggar measure`: prints every figure beside its goal."""

import sys
from argparse import ArgumentTypeError
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from bench.launching.parser import PlainParser, WrongWords
from tests.measure.figure import Figure
from tests.measure.keeping import compared, keep, kept

PARTS: Final = (
    "store",
    "screens",
    "forecast",
    "reckon",
    "colour",
    "learn",
    "print",
    "phone",
    "pace",
    "scan",
    "crash",
    "fuzz",
    "crowd",
    "hub",
    "house",
    "mutants",
)
"""The parts, each a module in this package with `NAME` and `run() -> list[Figure]`; a new part is one more name."""

LONGER: Final = ("store", "hub")
"""The parts that can do more when they may take long: their `run` takes `long`."""
SEEDED: Final = ("crash", "fuzz", "mutants")
"""The parts that draw by chance: `--seed` draws others, or goes on where an earlier run ended."""
FEW: Final = 40
"""So many mistakes are tried where all parts are measured; `--mutants` alone tries its own usual number."""


@dataclass(frozen=True)
class Asked:
    """What the arguments ask for."""

    parts: tuple[str, ...]
    keep: Path | None = None
    against: Path | None = None
    long: bool = False
    count: int | None = None
    seed: int | None = None
    room: str | None = None


def main(argv: Sequence[str]) -> int:
    """Measure the parts named, or all; 0 when every goal is met, 1 when one is missed, 2 when it was asked wrongly."""
    try:
        asked = read(argv)
        before = _kept(asked.against)
    except SystemExit:  # the help was asked for, and has been printed
        return 0
    except WrongWords as wrong:
        print(wrong, file=sys.stderr)
        return 2
    found = {part: _measured(part, asked) for part in asked.parts}
    if before is not None:
        print("\n".join(["against the earlier run", *(f"  {line}" for line in compared(found, before))]))
    if asked.keep is not None:
        try:
            keep(asked.keep, found)
        except OSError as error:
            print(f"The figures could not be written to {asked.keep}: {error.strerror}.", file=sys.stderr)
            return 1
    missed = sum(figure.met is False for figures in found.values() for figure in figures)
    unknown = sum(figure.goal is not None and figure.met is None for figures in found.values() for figure in figures)
    if missed:
        print(f"Goals missed: {missed}.")
    else:
        print(f"No goal is missed; not measured here: {unknown}." if unknown else "Every goal is met.")
    return 0 if missed == 0 else 1


def read(argv: Sequence[str]) -> Asked:
    """The parts and the files that the arguments name. Errors: WrongWords."""
    asked = parser().parse_args(list(argv))
    parts = tuple(part for part in PARTS if getattr(asked, part) is not None)
    count = asked.mutants if parts else FEW
    return Asked(parts or PARTS, asked.json, asked.against, asked.long, count or None, asked.seed, asked.room)


def parser() -> PlainParser:
    """What `saggar measure` takes: one option a part, and what is done with the figures."""
    made = PlainParser(
        prog="saggar measure",
        description="Measures on this computer and prints every figure beside its goal; all parts if none is named.",
        allow_abbrev=False,
    )
    for part in PARTS:
        if part != "mutants":
            made.add_argument(f"--{part}", action="store_const", const=True)
    tries = "tries so many mistakes against the tests; some seconds each"
    made.add_argument("--mutants", type=_count, nargs="?", const=0, metavar="N", help=tries)
    made.add_argument("--seed", type=_count, metavar="S", help="draws other mistakes, other cuts and other requests")
    room = "puts mistakes into this room alone: science, records, things, steps or journal"
    made.add_argument("--room", choices=("science", "records", "things", "steps", "journal"), metavar="ROOM", help=room)
    long = "measures the store at a million records too, and the hub at ten million: half an hour, 10 GB on the disk"
    made.add_argument("--long", action="store_true", help=long)
    made.add_argument("--json", type=Path, metavar="FILE", help="keeps the figures")
    against = "compares them with those that were kept before"
    made.add_argument("--against", type=Path, metavar="FILE", help=against)
    return made


def _count(word: str) -> int:
    if not word.isdecimal() or int(word) == 0:
        raise ArgumentTypeError(f"{word} is no whole number from 1 on")
    return int(word)


def _kept(file: Path | None) -> dict[str, list[Figure]] | None:
    """The figures of the earlier run, looked for before anything is measured."""
    if file is None:
        return None
    try:
        return kept(file)
    except OSError as error:
        raise WrongWords(f"The earlier figures in {file} could not be read: {error.strerror}.") from None
    except ValueError:
        raise WrongWords(f"{file} holds no figures of an earlier run.") from None


def table(name: str, figures: Sequence[Figure]) -> str:
    """The figures of one part as lines of text: figure, goal, whether it is met."""
    widths = max((len(figure.name) for figure in figures), default=0)
    lines = [f"{figure.name:<{widths}}  {shown(figure.value, figure.unit):>16}{_beside(figure)}" for figure in figures]
    return "\n".join([name, *(f"  {line}".rstrip() for line in lines)])


def shown(value: float | None, unit: str) -> str:
    """A value with its unit, in three digits, or whole where it is."""
    if value is None:
        return "not measured"
    number = f"{value:,.0f}" if value == int(value) or abs(value) >= 100 else f"{value:.3g}"
    return f"{number} {unit}".strip()


def _beside(figure: Figure) -> str:
    stands = "open" if figure.met is None else "met" if figure.met else "MISSED"
    goal = "" if figure.goal is None else f"  goal {figure.goal}: {stands}"
    return goal + (f"  ({figure.note})" if figure.note else "")


def _measured(part: str, asked: Asked) -> list[Figure]:
    module = import_module(f"tests.measure.{part}")
    more: dict[str, Any] = {"long": True} if asked.long and part in LONGER else {}
    if part in SEEDED and asked.seed is not None:
        more["seed"] = asked.seed
    if part == "mutants":
        more |= {name: value for name, value in (("count", asked.count), ("room", asked.room)) if value is not None}
    figures: list[Figure] = module.run(**more)
    print(table(module.NAME, figures), flush=True)
    return figures
