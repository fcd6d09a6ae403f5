"""What `--house` counts, on a planted source; and its part of the table as a whole, without the times."""

from pathlib import Path

import pytest

from tests.measure import house_counts

PLANTED = {
    "bench/steps/sieve.py": "STEP = Step()\n",
    "bench/steps/__init__.py": 'ORDER = ("grind", "sieve")\n',
    "bench/steps/bounds.py": "# what goes through a sieve, or was sieved\n",
    "bench/things.py": "from bench.steps.sieve import STEP\nnow = 1\n",
    "templates/steps/sieve.html": "<p>Mesh</p>\n",
    "static/steps.js": "const verb = 'sieved';\n",
    "static/vendor/other.js": "const no = 1;\nconst more = 2;\n",
    "tests/steps/test_sieve.py": "\n",
    "tests/steps/test_all.py": "verb = 'sieve'\n",
    "tests/kinds/test_kinds.py": "kind = 'sieved'\n",
    "tests/measure/house.py": 'STEP = "sieve"\n',
    "tests/journal/past/1-kinds.json": '{"kind": "sieved"}\n',
}


@pytest.fixture
def planted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small source."""
    for name, text in PLANTED.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(house_counts, "ROOT", tmp_path)
    return tmp_path


@pytest.mark.usefixtures("planted")
def test_the_files_that_know_of_a_step_are_those_that_name_it_as_code_does() -> None:
    left_out = {"bench/steps/bounds.py", "static/vendor/other.js", "tests/measure/house.py", "tests/steps/test_all.py"}
    left_out |= {"tests/journal/past/1-kinds.json"}
    assert set(house_counts.knowing("sieve", "sieved")) == set(PLANTED) - left_out


@pytest.mark.usefixtures("planted")
def test_lines_are_all_lines_of_our_own() -> None:
    assert house_counts.lines_of(house_counts.python_files()) == 1 + 1 + 1 + 2
    assert house_counts.lines_of(house_counts.script_files()) == 1
