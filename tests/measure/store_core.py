"""The numbers of the store, before they are put into words."""

import tempfile
from collections.abc import Callable
from contextlib import ExitStack, closing
from pathlib import Path
from statistics import median
from threading import Event, Thread

from bench.clock import tick_s
from bench.journal import FILE
from bench.journal.disk import Disk
from bench.journal.table import RecordBase
from tests.measure.bulk import record
from tests.measure.store_rivals import Ours, OursWhole, Raw, Rival, Sqlite, Stock, as_document

KINDS: tuple[Callable[[Path, int], Rival], ...] = (Ours, OursWhole, Sqlite, Stock, Raw)
ROUNDS = 200
SLOW_BUDGET_S = 4.0
STOCK_UP_TO = 100_000
WRITERS, EACH, SYNC_S = 16, 12, 0.005


def appends(size: int, rounds: int = ROUNDS, where: Path | None = None) -> dict[str, float]:
    """Median seconds of a durable append to stores that hold `size` records, all taken in turn in one run.

    Stock TinyDB, which slows down with its file, takes part in as many rounds as its time budget allows, and not at all
    where it would need gigabytes of memory. `where` is a folder of another disk than that of the system's own.
    """
    kinds = [kind for kind in KINDS if kind is not Stock or size <= STOCK_UP_TO]
    with (
        tempfile.TemporaryDirectory(prefix="saggar-measure-", dir=where, ignore_cleanup_errors=True) as root,
        ExitStack() as stack,
    ):
        rivals = [stack.enter_context(closing(kind(_made(Path(root), n), size))) for n, kind in enumerate(kinds)]
        times: dict[str, list[float]] = {rival.name: [] for rival in rivals}
        for round_number in range(rounds):
            turn = round_number % len(rivals)
            for rival in rivals[turn:] + rivals[:turn]:
                if rival.name != Stock.name or sum(times[Stock.name]) < SLOW_BUDGET_S:
                    times[rival.name].append(_timed(rival.append))
    return {name: median(taken) for name, taken in times.items()}


def group_gain(writers: int = WRITERS, each: int = EACH, sync_s: float = SYNC_S) -> float:
    """How many times more records a second `writers` threads keep than one, when each sync takes `sync_s` more."""
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        alone = _rate(Path(root) / "one", 1, each, sync_s)
        return _rate(Path(root) / "many", writers, each, sync_s) / alone


def _made(root: Path, number: int) -> Path:
    folder = root / str(number)
    folder.mkdir()
    return folder


def _timed(call: Callable[[], None]) -> float:
    start = tick_s()
    call()
    return tick_s() - start


def _rate(folder: Path, writers: int, each: int, sync_s: float) -> float:
    # The sync is played by a wait of fixed length, so that the figure does not depend on this computer's disk.
    folder.mkdir()
    with RecordBase(folder / FILE, disk=Disk(sync=lambda fd: _wait(sync_s))) as base:

        def work(first: int) -> None:
            for n in range(first, first + each):
                identity, doc = record(n)
                base.insert(as_document(identity, doc))

        threads = [Thread(target=work, args=(n * each,)) for n in range(writers)]
        start = tick_s()
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        taken = tick_s() - start
        assert len(base) == writers * each
    return writers * each / taken


def _wait(seconds: float) -> None:
    Event().wait(seconds)
