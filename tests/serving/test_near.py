"""Two computers on one network: a bench opened as its maker opens it, looked for from the other by name and by trust.

Each is a network namespace of this machine, joined to the other by a virtual cable; nothing leaves the machine.
"""

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent
LAPTOP, MOVED, PHONE = "10.77.0.1", "10.77.0.9", "10.77.0.2"
TLS_PORT, HOME_PORT = 8443, 8440
CABLE = "eth0"
NO_NETWORK = "This computer has no network"
SERVE = """
import sys
from bench.serving import naming
naming.EVERY_S = 0.3
from bench.cli import main
sys.exit(main(["serve", "--data", sys.argv[1], "--no-browser"]))
"""


def ip(*words: str) -> str:
    """One call of the system's tool for networks."""
    return subprocess.run(["ip", *words], check=True, capture_output=True, text=True).stdout


@dataclass
class Wire:
    """The two namespaces, and where the bench keeps its data."""

    laptop: str
    phone: str
    data: Path

    def seen(self) -> Any:
        """What the phone finds."""
        certificate = self.data / "keys" / "authority.crt"
        call = [sys.executable, str(HERE / "far_phone.py"), PHONE, str(certificate), str(TLS_PORT)]
        ran = subprocess.run(
            ["ip", "netns", "exec", self.phone, *call], capture_output=True, text=True, timeout=60, check=False
        )
        assert ran.returncode == 0, ran.stderr
        return json.loads(ran.stdout)

    def says_of_phones(self) -> str:
        """The laptop's own page for letting phones in."""
        read = "import sys, urllib.request; print(urllib.request.urlopen(sys.argv[1]).read().decode())"
        call = [sys.executable, "-c", read, f"http://localhost:{HOME_PORT}/pair"]
        return subprocess.run(
            ["ip", "netns", "exec", self.laptop, *call], capture_output=True, text=True, timeout=60, check=True
        ).stdout

    def joins(self, address: str) -> None:
        """The laptop gets an address on the cable."""
        ip("-n", self.laptop, "addr", "add", f"{address}/24", "dev", CABLE)
        ip("-n", self.laptop, "route", "replace", "default", "dev", CABLE)

    def leaves(self) -> None:
        """The laptop is on no network."""
        ip("-n", self.laptop, "addr", "flush", "dev", CABLE)


def until(told: Callable[[], bool]) -> bool:
    """Whether it comes true within a while."""
    end = time.monotonic() + 20
    while not told():
        if time.monotonic() > end:
            return False
        time.sleep(0.3)
    return True


@pytest.fixture
def wire(tmp_path: Path) -> Iterator[Wire]:
    """Two computers and a cable."""
    if shutil.which("ip") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("Two computers in one need root and ip (package iproute2).")
    made = Wire(f"laptop-{os.getpid()}", f"phone-{os.getpid()}", tmp_path / "bench")
    for space in (made.laptop, made.phone):
        try:
            ip("netns", "add", space)
        except subprocess.CalledProcessError as error:
            pytest.skip(f"This system lets nobody make a network namespace: {error.stderr.strip()}")
    try:
        ip("-n", made.laptop, "link", "add", CABLE, "type", "veth", "peer", "name", CABLE, "netns", made.phone)
        for space in (made.laptop, made.phone):
            ip("-n", space, "link", "set", "lo", "up")
            ip("-n", space, "link", "set", CABLE, "up")
        ip("-n", made.phone, "addr", "add", f"{PHONE}/24", "dev", CABLE)
        ip("-n", made.phone, "route", "add", "default", "dev", CABLE)
        made.joins(LAPTOP)
        yield made
    finally:
        for space in (made.laptop, made.phone):
            with suppress(subprocess.CalledProcessError):
                ip("netns", "del", space)


@pytest.fixture
def bench(wire: Wire) -> Iterator[Wire]:
    """The bench, opened on the laptop of the two."""
    process = subprocess.Popen(
        ["ip", "netns", "exec", wire.laptop, sys.executable, "-c", SERVE, str(wire.data)],
        cwd=HERE.parents[1], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip
    try:
        end = time.monotonic() + 30
        while not (wire.data / "keys" / "authority.crt").exists() and process.poll() is None:
            assert time.monotonic() < end
            time.sleep(0.1)
        yield wire
    finally:
        process.terminate()
        process.communicate(timeout=20)


def test_another_computer_finds_the_bench_by_its_name_and_trusts_it_wherever_it_moves(bench: Wire) -> None:
    seen = bench.seen()
    assert seen["found"] == [LAPTOP] and seen["status"] == 200 and LAPTOP in seen["shown"]
    assert NO_NETWORK not in bench.says_of_phones()

    bench.leaves()
    assert until(lambda: NO_NETWORK in bench.says_of_phones())

    bench.joins(MOVED)
    assert until(lambda: NO_NETWORK not in bench.says_of_phones()), "what was said of no network holds no more"
    seen = bench.seen()
    assert seen["found"] == [MOVED] and seen["status"] == 200
    assert MOVED in seen["shown"] and LAPTOP not in seen["shown"], "the certificate follows the address"
