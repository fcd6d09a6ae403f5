"""`--crash`: power cuts and kills. What was acknowledged and is then not there, wrong, or there twice.

Three ways: cuts between any two steps with any sectors kept, computed from a recording; kills of a writing process; and
cuts on a real file system where that is possible. Each way of cutting has a control, a writer that asks for no sync: it
must lose records, or the cuts would prove nothing.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from random import Random

from tests.measure.crash_cuts import Cuts, Recorder, cut_often
from tests.measure.crash_disk import NotPossible, cut_the_power
from tests.measure.figure import Figure

NAME = "crash"
ROOT = Path(__file__).resolve().parents[2]
CUTS, KILLS, DISK_CUTS = 10_000, 1_000, 100
WRITERS = ((60, 1, 0.0), (150, 6, 0.0), (120, 4, 0.15))
"""Records, threads, and how often the disk is full in the middle of a write."""


def run(cuts: int = CUTS, kills: int = KILLS, disk_cuts: int = DISK_CUTS) -> list[Figure]:
    """All figures; some minutes."""
    return [*sector_figures(cuts), *kill_figures(kills), *disk_figures(disk_cuts)]


def sector_figures(cuts: int) -> list[Figure]:
    """Cuts at the level of sectors, shared among the writers, and the control."""
    found, each = Cuts(), -(-cuts // len(WRITERS))
    with tempfile.TemporaryDirectory(prefix="saggar-crash-") as root:
        for count, threads, refuse in WRITERS:
            one = cut_often(Path(root) / f"{count}.json", Recorder(Random(count), refuse), count, threads, each)
            found = _sum(found, one)
        control = cut_often(Path(root) / "control.json", Recorder(Random(1), 0.0, syncs=False), 60, 1, each)
    return _figures("sectors", "cuts", found, control)


def kill_figures(kills: int) -> list[Figure]:
    """Kills of a process that writes from four threads, as screens and phones do. No control: a kill keeps memory."""
    if not hasattr(os, "fork"):
        return [Figure("kills", 0, "kills", note="not possible here: it needs a system that can fork")]
    with tempfile.TemporaryDirectory(prefix="saggar-crash-", ignore_cleanup_errors=True) as root:
        found = _killed(Path(root) / "data", kills)
    wrong = sum(found[name] for name in ("wrong", "gaps", "unsound", "untold"))
    note = f"{found['repaired']} fell into the middle of a write, and were mended and told"
    return [
        Figure("kills: acknowledged records", found["acknowledged"], f"in {kills:,} kills", note=note),
        *_counts("kills", found["lost"], found["doubled"], wrong),
    ]


def _killed(folder: Path, kills: int) -> dict[str, int]:
    """The kills in a process of their own: one that runs threads may not fork."""
    call = [sys.executable, "-m", "tests.measure.crash_kills", str(folder), str(kills), "1"]
    done = subprocess.run(call, capture_output=True, text=True, check=True, cwd=ROOT)
    found: dict[str, int] = json.loads(done.stdout)
    return found


def disk_figures(cuts: int) -> list[Figure]:
    """Cuts on a mounted image of a file system, and the control; a plain note where that is not possible."""
    try:
        found, control = cut_the_power(cuts), cut_the_power(max(3, cuts // 10), syncs=False)
    except NotPossible as why:
        return [Figure("cuts on a real file system", 0, "cuts", note=f"not possible here: {why}")]
    return _figures("real file system", "cuts", found, control)


def _sum(one: Cuts, other: Cuts) -> Cuts:
    return Cuts(*(a + b for a, b in zip(vars(one).values(), vars(other).values(), strict=True)))


def _figures(way: str, unit: str, found: Cuts, control: Cuts) -> list[Figure]:
    name = f"{way}: without the sync, lost"
    return [
        Figure(f"{way}: acknowledged records looked for", found.acks, f"in {found.cuts:,} {unit}"),
        *_counts(way, found.lost, found.doubled, found.wrong),
        Figure(name, control.lost, "records", "more than 0", control.lost > 0, f"control, {control.cuts:,} {unit}"),
    ]


def _counts(way: str, lost: int, doubled: int, wrong: int) -> list[Figure]:
    counts = {"lost": lost, "doubled": doubled, "wrong": wrong}
    return [Figure(f"{way}: {name}", count, "records", "0", count == 0) for name, count in counts.items()]
