"""A bench with the demo's records in a process of its own, to be stopped and stalled.

`python -m tests.measure.phone_laptop FOLDER PORT` prints a pairing code, a batch and a firing, and serves until it is
killed. For each line that it is sent it prints one more code.
"""

import gc
import importlib
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Laptop:
    """The process, what it says of itself, and where its certificate lies."""

    process: "subprocess.Popen[bytes]"
    port: int
    code: str
    batch: str
    firing: str
    certificate: Path

    def another_code(self) -> str:
        """A fresh code for pairing."""
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.write(b"\n")
        self.process.stdin.flush()
        return self.process.stdout.readline().decode().strip()

    def freeze(self) -> None:
        """It is there and answers nobody, as behind a wall."""
        self.process.send_signal(signal.SIGSTOP)

    def wake(self) -> None:
        """It answers again."""
        self.process.send_signal(signal.SIGCONT)

    def end(self) -> None:
        """Off."""
        self.process.kill()
        self.process.wait(20)
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                pipe.close()


def started(folder: Path, port: int) -> Laptop:
    """Start it; it serves when this returns."""
    call = [sys.executable, "-m", "tests.measure.phone_laptop", str(folder), str(port)]
    process = subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT)
    assert process.stdout is not None
    code, batch, firing = process.stdout.readline().decode().split()
    return Laptop(process, port, code, batch, firing, folder / "keys" / "authority.crt")


def main() -> None:
    """Serve until killed."""
    from bench.app import create_app
    from bench.serving.network import Workshop
    from bench.settings import Settings

    settings = Settings(data=Path(sys.argv[1]), plain=False, tls_port=int(sys.argv[2]), yard_port=0)
    app = create_app(settings)
    bench: Any = app.extensions["bench"]
    importlib.import_module("bench.demo").fill(bench)
    gc.freeze()  # as where a bench is opened to be used
    Workshop(app, settings, bench.now_ms).open(announce=False)
    weighing = bench.state.open_things("batch")[-1]
    burning = bench.state.open_things("firing")[-1]
    print(app.extensions["pairing"].offer(), weighing, burning, flush=True)
    for _ in sys.stdin:
        print(app.extensions["pairing"].offer(), flush=True)
    threading.Event().wait()


if __name__ == "__main__":
    main()
