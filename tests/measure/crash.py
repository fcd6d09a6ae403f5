"""`--crash [--seed N]`: power cuts, kills and harm: what was acknowledged, and then is not there, or wrong, or twice.

Five ways: cuts between any two steps with any sectors kept, computed from a recording; cuts by name, while requests
have their turns; kills of a writing process; harm done to the open file; and cuts on a real file system where that is
possible. Ways of cutting have a control, a writer that asks for no sync: it must lose records, or they prove nothing.

It goes in slices, each by its own number, and stops after an hour: `--seed N` goes on with slice N.
"""

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from random import Random

from bench.clock import tick_s
from tests.measure.crash_cuts import Cuts, Recorder, cut_often
from tests.measure.crash_disk import NotPossible, cut_the_power
from tests.measure.crash_troubles import harmed
from tests.measure.crash_turns import cut_by_name
from tests.measure.figure import Figure

NAME = "crash"
MORE = "more than 0"
ROOT = Path(__file__).resolve().parents[2]
SLICES, MOST_S = 25, 3600
CUTS, KILLS, HARMS, DISK_CUTS = 10_000, 1_000, 1_000, 100
WRITERS = ((60, 1, 0.0), (160, 8, 0.0), (120, 8, 0.15))
"""Records, threads, and how often the disk is full in the middle of a write."""


def run(seed: int = 1, slices: int = SLICES) -> list[Figure]:
    """All figures; up to an hour. Slice by slice from number `seed` on, told as it goes."""
    told: dict[str, Figure] = {}
    until = tick_s() + MOST_S
    for number in range(seed, SLICES + 1)[:slices]:
        for figure in one_slice(number):
            told[figure.name] = _together(told.get(figure.name), figure)
        bad = [figure.name for figure in told.values() if figure.met is False]
        print(f"slice {number} of {SLICES}: {', '.join(bad) or 'nothing lost'}", file=sys.stderr, flush=True)
        if tick_s() > until:
            print(f"An hour is over: --seed {number + 1} goes on.", file=sys.stderr, flush=True)
            break
    return list(told.values())


def one_slice(number: int) -> list[Figure]:
    """A share of everything, the same for the same number but for what chance and the system do."""
    return [
        *sector_figures(CUTS // SLICES, number),
        *turn_figures(number),
        *kill_figures(KILLS // SLICES, number),
        *harm_figures(HARMS // SLICES, number),
        *disk_figures(DISK_CUTS // SLICES, number),
    ]


def _together(before: Figure | None, now: Figure) -> Figure:
    if before is None or before.value is None or now.value is None:
        return now
    met = None if now.met is None else (before.met is True or now.met) if now.goal == MORE else before.met and now.met
    return replace(now, value=before.value + now.value, met=met)


def turn_figures(seed: int) -> list[Figure]:
    """Cuts before every step in every way, while eight threads have their turns as requests do."""
    found = Cuts()
    with tempfile.TemporaryDirectory(prefix="saggar-crash-", ignore_cleanup_errors=True) as root:
        for number, refuse in enumerate((0.0, 0.1)):
            found = _sum(found, cut_by_name(Path(root) / str(number), seed, refuse))
    about = Figure("turns: shown or acknowledged records looked for", found.acks, "")
    return [Figure("turns: cuts by name", found.cuts, "cuts"), about, *_counts("turns", found.lost, 0, found.wrong)]


def harm_figures(rounds: int, seed: int) -> list[Figure]:
    """Harm done to the open data file under eight writers; nothing may be lost, and nothing told that is not so."""
    figures = []
    for name, found in harmed(rounds, seed).items():
        way = f"file {name}"
        figures += [
            Figure(f"{way}: acknowledged records", found.acknowledged, ""),
            Figure(f"{way}: times", found.rounds, ""),
            *_counts(way, found.lost, found.doubled, found.wrong + found.unsound),
            Figure(f"{way}: false reassurance", found.reassured, "times", "0", found.reassured == 0),
            Figure(f"{way}: refused without saying so", found.silent, "times", "0", found.silent == 0),
        ]
    return figures


def sector_figures(cuts: int, seed: int = 1) -> list[Figure]:
    """Cuts at the level of sectors, shared among the writers, and the control."""
    found, each = Cuts(), -(-cuts // len(WRITERS))
    with tempfile.TemporaryDirectory(prefix="saggar-crash-") as root:
        for count, threads, refuse in WRITERS:
            one = cut_often(
                Path(root) / f"{count}.json", Recorder(Random(1000 * seed + count), refuse), count, threads, each
            )
            found = _sum(found, one)
        control = cut_often(Path(root) / "control.json", Recorder(Random(seed), 0.0, syncs=False), 60, 1, each)
    return _figures("sectors", "cuts", found, control)


def kill_figures(kills: int, seed: int = 1) -> list[Figure]:
    """Kills of a process that writes from eight threads, as screens and phones do. No control: a kill keeps memory."""
    if not hasattr(os, "fork"):
        return [Figure("kills", 0, "kills", note="not possible here: it needs a system that can fork")]
    with tempfile.TemporaryDirectory(prefix="saggar-crash-", ignore_cleanup_errors=True) as root:
        found = _killed(Path(root) / "data", kills, seed)
    wrong = sum(found[name] for name in ("wrong", "gaps", "unsound", "untold"))
    return [
        Figure("kills", kills, "kills"),
        Figure("kills: acknowledged records", found["acknowledged"], ""),
        Figure("kills: fell into the middle of a write, mended and told", found["repaired"], ""),
        *_counts("kills", found["lost"], found["doubled"], wrong),
    ]


def _killed(folder: Path, kills: int, seed: int) -> dict[str, int]:
    """The kills in a process of their own: one that runs threads may not fork."""
    call = [sys.executable, "-m", "tests.measure.crash_kills", str(folder), str(kills), str(seed)]
    done = subprocess.run(call, capture_output=True, text=True, check=True, cwd=ROOT)
    found: dict[str, int] = json.loads(done.stdout)
    return found


def disk_figures(cuts: int, seed: int = 7) -> list[Figure]:
    """Cuts on a mounted image of a file system, and the control; a plain note where that is not possible."""
    try:
        found, control = cut_the_power(cuts, seed=seed), cut_the_power(max(3, cuts // 10), syncs=False, seed=seed)
    except NotPossible as why:
        return [Figure("cuts on a real file system", 0, "cuts", note=f"not possible here: {why}")]
    return _figures("real file system", "cuts", found, control)


def _sum(one: Cuts, other: Cuts) -> Cuts:
    return Cuts(*(a + b for a, b in zip(vars(one).values(), vars(other).values(), strict=True)))


def _figures(way: str, unit: str, found: Cuts, control: Cuts) -> list[Figure]:
    name = f"{way}: without the sync, lost"
    return [
        Figure(f"{way}: {unit}", found.cuts, unit),
        Figure(f"{way}: acknowledged records looked for", found.acks, ""),
        *_counts(way, found.lost, found.doubled, found.wrong),
        Figure(name, control.lost, "records", MORE, control.lost > 0, "control"),
    ]


def _counts(way: str, lost: int, doubled: int, wrong: int) -> list[Figure]:
    counts = {"lost": lost, "doubled": doubled, "wrong": wrong}
    return [Figure(f"{way}: {name}", count, "records", "0", count == 0) for name, count in counts.items()]
