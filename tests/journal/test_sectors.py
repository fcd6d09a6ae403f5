"""Power cuts at the level of sectors: what a disk has after a cut is any subset of the sectors since the last sync."""

import itertools
import random
from pathlib import Path

import pytest

from bench.journal.lines import TAIL, body_of, encode, render
from bench.journal.survey import survey
from tests.measure.crash_cuts import SECTOR, Recorder, cut_often


def test_a_torn_append_never_reaches_a_confirmed_record_at_any_alignment() -> None:
    new = encode("C", {"v": 3, "n": "y" * 700})
    for pad in range(SECTOR):
        confirmed = [encode("A", {"t": "x" * pad, "v": 1}), encode("B", {"v": 2})]
        old = render(confirmed)
        after = old[: -len(TAIL)] + body_of([new], first=False) + TAIL
        assert after == render([*confirmed, new])
        first = next(n for n in range(len(old)) if old[n] != after[n]) // SECTOR
        last = (len(after) - 1) // SECTOR
        for kept in itertools.product((0, 1), repeat=last - first + 1):
            for size in {len(old), len(after), (first + 1) * SECTOR, (first + 2) * SECTOR}:
                if len(old) <= size <= len(after):
                    lines = survey(cut_image(old, after, size, first, kept)).lines
                    assert [lines["A"], lines["B"]] == confirmed and set(lines.values()) <= {*confirmed, new}


def cut_image(old: bytes, after: bytes, size: int, first: int, kept: tuple[int, ...]) -> bytes:
    image = bytearray(old + bytes(size - len(old)))
    for number, keep in enumerate(kept, first):
        if keep:
            start, end = number * SECTOR, min((number + 1) * SECTOR, size)
            image[start:end] = after[start:end]
    return bytes(image)


@pytest.mark.parametrize(("count", "threads", "refuse"), [(60, 1, 0.0), (150, 6, 0.0), (120, 4, 0.15)])
def test_power_cuts_lose_nothing_that_was_confirmed(tmp_path: Path, count: int, threads: int, refuse: float) -> None:
    recorder = Recorder(random.Random(count), refuse)
    found = cut_often(tmp_path / "saggar.json", recorder, count, threads, 500)
    assert found.acks > 10_000 and (found.lost, found.wrong, found.doubled) == (0, 0, 0)


def test_without_the_sync_the_same_cuts_do_lose_records(tmp_path: Path) -> None:
    # The control: a harness in which nothing can be lost would prove nothing.
    recorder = Recorder(random.Random(1), 0.0, syncs=False)
    assert cut_often(tmp_path / "saggar.json", recorder, 60, 1, 100).lost > 0
