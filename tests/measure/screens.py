"""`--screens`: what a screen costs with years of records behind it, against the same page drawn from constants.

Two benches, one with few records and one with many, stand side by side; on each, batches wait at every station of the
way. Each screen takes turns with its own template rendered with the values that it showed, so that a ratio means the
same on any computer.
"""

import tempfile
from contextlib import ExitStack
from pathlib import Path

from tests.measure.figure import Figure
from tests.measure.screens_core import Timed, bench_with, step_screens, timed

NAME = "screens"
FEW, MANY = 1_000, 100_000
ROUNDS = 25
UNDER_WAY = 200
MOST, FLAT = 2.0, 1.5


def run(few: int = FEW, many: int = MANY, rounds: int = ROUNDS, under_way: int = UNDER_WAY) -> list[Figure]:
    """Measures every step screen, then Today with many batches under way. About two minutes."""
    with (
        tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root,
        ExitStack() as stack,
    ):
        small = stack.enter_context(bench_with(Path(root) / "few", few))
        large = stack.enter_context(bench_with(Path(root) / "many", many))
        pairs = list(zip(step_screens(small.app), step_screens(large.app), strict=True))
        found = [(verb, timed(small, near, rounds), timed(large, far, rounds)) for (verb, near), (_, far) in pairs]
        busy = stack.enter_context(bench_with(Path(root) / "busy", many, under_way))
        today = timed(busy, "/", rounds)
    figures = [figure for verb, near, far in found for figure in _of_step(verb, near, far, few, many)]
    return [*figures, _against(f"Today with {under_way} batches and {many:,} records", today)]


def _of_step(verb: str, near: Timed, far: Timed, few: int, many: int) -> list[Figure]:
    grown = far.screen_s / near.screen_s
    flat = Figure(
        f"{verb}: {many:,} records against {few:,}",
        grown,
        "×",
        f"at most {FLAT:g}",
        grown <= FLAT,
        "of the screen's time",
    )
    return [_against(f"{verb} at {many:,} records", far), flat]


def _against(name: str, found: Timed) -> Figure:
    note = (
        f"{found.screen_s * 1000:.1f} ms against {found.bare_s * 1000:.1f} ms; at first {found.first_s * 1000:.1f} ms, "
        f"right after a record {found.after_s * 1000:.1f} ms"
    )
    return Figure(f"{name}, against constants", found.ratio, "×", f"at most {MOST:g}", found.ratio <= MOST, note)
