"""A hundred kills of a bench that writes from several threads; `./saggar measure --crash` makes more of them."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills need fork")
def test_kills_lose_nothing_and_double_nothing(tmp_path: Path) -> None:
    call = [sys.executable, "-W", "error", "-m", "tests.measure.crash_kills", str(tmp_path / "data"), "100", "0"]
    done = subprocess.run(call, capture_output=True, text=True, cwd=Path(__file__).parents[2])
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found.pop("acknowledged") > 150
    assert found.pop("repaired") > 5  # some kills did fall into the middle of a write
    assert found == dict.fromkeys(found, 0)
