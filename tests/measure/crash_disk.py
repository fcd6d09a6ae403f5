"""Power cuts on a real file system: an image of ext4 is mounted, a bench writes on it, and the image is taken away.

What the image holds at that moment is what a disk would hold: everything that the system had handed down to it, and
nothing that was still in memory. The copy is mounted, so that the file system's own journal is replayed as after a real
cut, and every acknowledged record must be in the file on it. The writer stands still while the image is copied, and the
copy counts only if two in a row are the same, so that it shows one moment. Needs Linux and root; what it does not tell
is whether a disk keeps what it was told to keep.

`python -m tests.measure.crash_disk cut CUTS SYNC SEED` does it, in a mount namespace of its own, so that nothing stays
mounted whatever becomes of it; `… write FOLDER SYNC` is the writer: it writes without end and prints each number.
"""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from threading import Event

from bench.journal.disk import Disk, full_sync
from bench.journal.survey import survey
from tests.measure.crash_cuts import Cuts
from tests.measure.hand import HandClock, assay, open_journal, ulid

SIZE_MB = 24
TOOLS = ("mkfs.ext4", "mount", "umount", "unshare")
JAR = ulid(9_000_000)
MOST_COPIES = 20
ROOT = Path(__file__).resolve().parents[2]


class NotPossible(Exception):
    """Why no image can be mounted here, in words."""


def why_not() -> str | None:
    """Why it cannot be tried here; None where it may work."""
    if sys.platform != "linux":
        return "it needs Linux"
    if os.geteuid() != 0:
        return "only root may mount an image"
    lacks = [tool for tool in TOOLS if shutil.which(tool) is None]
    return f"{lacks[0]} is missing" if lacks else None


def cut_the_power(cuts: int, syncs: bool = True, seed: int = 7) -> Cuts:
    """Writes and cuts so often. With `syncs` False the writer never asks the disk to keep anything: the control.

    Errors: NotPossible where no image can be mounted.
    """
    if why := why_not():
        raise NotPossible(why)
    apart = ["unshare", "--mount", "--propagation", "private"]
    call = [*apart, sys.executable, "-m", "tests.measure.crash_disk", "cut", str(cuts), str(int(syncs)), str(seed)]
    done = subprocess.run(call, capture_output=True, text=True, cwd=ROOT)
    if done.returncode != 0:
        raise NotPossible((done.stderr.strip().splitlines() or ["it ended at once"])[-1])
    return Cuts(**json.loads(done.stdout))


def cut_here(cuts: int, syncs: bool, seed: int) -> Cuts:
    """The same, in this process. Errors: NotPossible."""
    with tempfile.TemporaryDirectory(prefix="saggar-cut-") as root:
        image = Path(root) / "image"
        with image.open("wb") as file:
            file.truncate(SIZE_MB * 1024 * 1024)
        _run("mkfs.ext4", "-q", "-F", str(image))
        return _cuts(Path(root), image, cuts, syncs, Random(seed))


def _cuts(root: Path, image: Path, cuts: int, syncs: bool, rng: Random) -> Cuts:
    found = Cuts()
    with mounted(image, root / "disk") as disk:
        call = [sys.executable, "-m", "tests.measure.crash_disk", "write", str(disk / "data"), str(int(syncs))]
        writer = subprocess.Popen(call, stdout=subprocess.PIPE, cwd=ROOT)
        try:
            assert writer.stdout is not None
            told: list[str] = [writer.stdout.readline().decode().strip()]  # it stands open
            os.set_blocking(writer.stdout.fileno(), False)
            rest = b""
            for number in range(cuts):
                Event().wait(0.01 + 0.05 * rng.random())
                writer.send_signal(signal.SIGSTOP)
                rest += writer.stdout.read() or b""
                told += rest.decode().split("\n")[:-1]
                rest = rest.rpartition(b"\n")[2]
                copy = root / f"copy{number}"
                taken = _copy(image, copy)
                writer.send_signal(signal.SIGCONT)
                if writer.poll() is not None:
                    raise NotPossible(f"the writer ended with {writer.returncode}")
                if taken:
                    _look(root, copy, [int(word) for word in told if word.isdigit()], found)
                copy.unlink(missing_ok=True)
        finally:
            writer.kill()
            writer.wait()
            if writer.stdout is not None:
                writer.stdout.close()
    return found


def _copy(image: Path, copy: Path) -> bool:
    """The image as of one moment; False where it never stood still."""
    before = image.read_bytes()
    for _ in range(MOST_COPIES):
        after = image.read_bytes()
        if after == before:
            copy.write_bytes(after)
            return True
        before = after
    return False


def _look(root: Path, copy: Path, acknowledged: list[int], found: Cuts) -> None:
    """Mounts what was left and counts; the file is read as it lies there, before anything mends it."""
    with mounted(copy, root / "after") as disk:
        file = disk / "data" / "saggar.json"
        seen = survey(file.read_bytes() if file.exists() else b"")
    there = set(seen.lines)
    found.cuts += 1
    found.acks += len(acknowledged)
    found.lost += sum(ulid(n) not in there for n in acknowledged)
    # Beside what was acknowledged there may be the one record that was on its way.
    written = {ulid(n) for n in range(1, max(acknowledged, default=0) + 3)}
    found.wrong += len(there - written)
    found.doubled += seen.twins


@contextmanager
def mounted(image: Path, at: Path) -> Iterator[Path]:
    """An image of a file system, mounted in a folder for as long as this lasts. Errors: NotPossible."""
    at.mkdir(exist_ok=True)
    _run("mount", "-o", "loop", str(image), str(at))
    try:
        yield at
    finally:
        _unmount(at)


def _unmount(at: Path) -> None:
    for _ in range(50):  # a process that was just killed may hold it for a moment
        if subprocess.run(["umount", str(at)], capture_output=True).returncode == 0:
            return
        Event().wait(0.1)
    subprocess.run(["umount", "-l", str(at)], capture_output=True)


def _run(*call: str) -> None:
    done = subprocess.run(call, capture_output=True, text=True)
    if done.returncode != 0:
        raise NotPossible(f"{call[0]}: {done.stderr.strip() or done.returncode}")


def write_for_ever(folder: Path, syncs: bool) -> None:
    """Writes one record after another and prints the number of each once it is acknowledged."""
    disk = Disk(sync=full_sync if syncs else lambda fd: None)
    with open_journal(folder, HandClock(), disk) as journal:
        os.write(1, b"open\n")
        number = 0
        while True:
            number += 1
            journal.write("jar.assayed", JAR, assay(number), id=ulid(number))
            os.write(1, b"%d\n" % number)


if __name__ == "__main__":
    if sys.argv[1] == "write":
        write_for_ever(Path(sys.argv[2]), sys.argv[3] == "1")
    print(json.dumps(vars(cut_here(int(sys.argv[2]), sys.argv[3] == "1", int(sys.argv[4])))))
