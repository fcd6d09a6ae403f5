"""The pure tests are quick: from edit to verdict nothing of the web is imported, neither by them nor for them."""

import re
import subprocess
import sys

import pytest

from tests.conftest import PURE, ROOT
from tests.top.test_imports import WEB, imported, modules, reached

HEAVY = {*WEB, "weasyprint", "playwright"} - {"socket", "ssl", "urllib", "http", "asyncio"}
LONG = re.compile(r"@pytest\.mark\.long\s+def (test_\w+)")
ALLOWED = {"science", "reference", "reckoning", "records", "workshop", "journal", "steps", "measure"}


@pytest.mark.parametrize("room", PURE)
def test_the_files_of_pure_tests_name_nothing_of_the_web(room: str) -> None:
    files = list(modules(ROOT / "tests" / room))
    assert files
    for path, tree in files:
        assert reached(tree) <= ALLOWED, path
        assert not {name.split(".")[0] for name in imported(tree)} & HEAVY, path


def test_a_run_of_the_science_imports_nothing_of_the_web() -> None:
    ask = ["-q", "--collect-only", "-m", "quick", "-p", "no:cacheprovider", "-p", "no:xdist", "tests/science"]
    code = (
        f"import pytest, sys; code = pytest.main({ask}); names = {sorted(HEAVY | {'bench.app', 'bench.screens'})}\n"
        "print('ended', int(code), [name for name in names if name in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True).stdout
    assert said.splitlines()[-1] == "ended 0 []", said[-2000:]
    assert "test_batch.py" in said
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests/science").glob("test_*.py")]
    long = [name for text in texts for name in LONG.findall(text)]
    assert long and not [name for name in long if name in said], "long tests are run by name alone"
