"""Figures kept as JSON, and compared with those of an earlier run."""

import json
import os
import platform
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

from tests.measure.figure import Figure

MACHINE = "machine"
NAMES = frozenset(field.name for field in fields(Figure))
Found = Mapping[str, Sequence[Figure]]


def machine() -> dict[str, Any]:
    """What the figures were measured on: system, processor, how many of it, Python, memory in GB if told."""
    told: dict[str, Any] = {
        "system": f"{platform.system()} {platform.release()}",
        "processor": platform.machine(),
        "processors": os.cpu_count() or 0,
        "python": platform.python_version(),
    }
    try:
        told["memory_gb"] = round(os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE") / 1e9, 1)
    except (AttributeError, ValueError, OSError):
        return told
    return told


def keep(file: Path, found: Found) -> None:
    """Writes the figures of every part, and the machine. Errors: OSError."""
    plain: dict[str, Any] = {part: [asdict(each) for each in figures] for part, figures in found.items()}
    text = json.dumps(plain | {MACHINE: machine()}, ensure_ascii=False, indent=1)
    file.write_text(text + "\n", encoding="utf-8")


def kept(file: Path) -> dict[str, list[Figure]]:
    """The figures that a file holds, by part. Errors: OSError; ValueError where it holds something else."""
    told = json.loads(file.read_text(encoding="utf-8"))
    if not isinstance(told, dict):
        raise ValueError("no figures")
    found: dict[str, list[Figure]] = {}
    for part, rows in told.items():
        if part == MACHINE:
            continue
        if not isinstance(rows, list) or not all(isinstance(row, dict) and set(row) == NAMES for row in rows):
            raise ValueError("no figures")
        if not all(isinstance(row["value"], int | float | None) and isinstance(row["name"], str) for row in rows):
            raise ValueError("no figures")
        found[part] = [Figure(**row) for row in rows]
    return found


def compared(found: Found, before: Found) -> list[str]:
    """One line for each figure that both runs have: what it was, what it is, and the ratio; then what only one has."""
    lines: list[str] = []
    for part, figures in found.items():
        earlier = {figure.name: figure for figure in before.get(part, ())}
        for figure in figures:
            was = earlier.pop(figure.name, None)
            lines.append(_line(part, figure, was))
        lines += [f"{part}: {name}: only in the earlier run" for name in earlier]
    return lines


def _line(part: str, figure: Figure, was: Figure | None) -> str:
    if figure.value is None or (was is not None and was.value is None):
        return f"{part}: {figure.name}: not measured in both runs"
    if was is None or was.value is None:
        return f"{part}: {figure.name}: new, {figure.value:.4g} {figure.unit}".rstrip()
    ratio = f", × {figure.value / was.value:.3g}" if was.value else ""
    turned = {(True, False): "; the goal is no longer met", (False, True): "; the goal is met now"}
    said = turned.get((bool(was.met), bool(figure.met)), "") if None not in (was.met, figure.met) else ""
    return f"{part}: {figure.name}: {was.value:.4g} before, {figure.value:.4g} now{ratio}{said}"
