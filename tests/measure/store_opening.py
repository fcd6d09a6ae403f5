"""Opens a data folder in a process of its own and tells how long it took and how much memory it needed.

`python -m tests.measure.store_opening FOLDER` prints one line of JSON.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from bench import clock
from bench.clock import tick_s
from bench.journal import Journal
from tests.measure.bulk import ident

MIDDLE = 500
ROOT = Path(__file__).resolve().parents[2]


def opened(folder: Path) -> dict[str, float]:
    """Seconds to open, to the first folded state, and of a query; how much that finds; MB taken, and MB in all."""
    call = [sys.executable, "-m", "tests.measure.store_opening", str(folder)]
    told = subprocess.run(call, capture_output=True, text=True, check=True, cwd=ROOT).stdout
    result: dict[str, float] = json.loads(told)
    return result


def open_here(folder: Path) -> dict[str, float]:
    """The measuring itself, in a process that has done nothing else."""
    before_mb = memory_mb()
    start = tick_s()
    journal = Journal.open(folder, clock=clock)
    open_s = tick_s() - start
    state = journal.state
    fold_s = tick_s() - start - open_s
    assert state.last is not None
    thing = state.last.subject if len(state.records) <= MIDDLE else ident(len(state.records) // 80 * 40 + 10)
    found = len(journal.records(thing))
    start = tick_s()
    for _ in range(100):
        journal.records(thing)
    query_s = (tick_s() - start) / 100
    most_mb = memory_mb()
    journal.close()
    told = {"open_s": open_s, "fold_s": fold_s, "query_s": query_s, "found": found}
    return told | {"memory_mb": most_mb - before_mb, "resident_mb": most_mb}


def memory_mb() -> float:
    """The most memory that this process has had, in MB; 0 where the system does not tell."""
    status = Path("/proc/self/status")
    if status.exists():  # the other way counts in what the process that started this one had
        peak = next(line for line in status.read_text("ascii").splitlines() if line.startswith("VmHWM"))
        return int(peak.split()[1]) / 1024
    try:
        import resource
    except ImportError:
        return 0.0
    most: Any = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return float(most) / (1024 * 1024 if sys.platform == "darwin" else 1024)


if __name__ == "__main__":
    print(json.dumps(open_here(Path(sys.argv[1]))))
