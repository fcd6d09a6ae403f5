"""`saggar test` runs every check even when one fails, says how each went, and ends with 0 only if all are clean."""

from pathlib import Path

import pytest

from bench import selfcheck

PROJECT = """
[tool.mypy]
files = ["sample.py"]
disallow_untyped_defs = true
[tool.pytest.ini_options]
testpaths = ["tests"]
addopts = "-p no:cacheprovider"
markers = ["quick: at once"]
"""
CLEAN = '"""A sample."""\n\n\ndef double(x: int) -> int:\n    """Twice as much."""\n    return 2 * x\n'
TEST = "def test_it() -> None:\n    assert 2 * 2 == {}\n"


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small project that is clean."""
    (tmp_path / "tests").mkdir()
    (tmp_path / "pyproject.toml").write_text(PROJECT, encoding="utf-8")
    (tmp_path / "sample.py").write_text(CLEAN, encoding="utf-8")
    (tmp_path / "tests/test_sample.py").write_text(TEST.format(4), encoding="utf-8")
    monkeypatch.setattr(selfcheck, "ROOT", tmp_path)
    monkeypatch.delenv("PYTEST_ADDOPTS", raising=False)
    return tmp_path


def went(capfd: pytest.CaptureFixture[str]) -> dict[str, str]:
    """How each check went, from the summary at the end."""
    lines = capfd.readouterr().out.strip().splitlines()[-4:]
    return {line[:13].strip(): line[13:32].strip() for line in lines}


def test_a_clean_project_ends_with_nought(project: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert selfcheck.main(["-n", "0"]) == 0
    assert went(capfd) == {"linter": "clean", "formatter": "clean", "type checker": "clean", "tests": "clean"}


@pytest.mark.parametrize(
    ("sample", "test", "failed"),
    [
        (CLEAN.replace('"""A sample."""', "import os"), TEST.format(5), {"linter", "tests"}),
        (CLEAN.replace("2 * x", "2*x"), TEST.format(5), {"formatter", "tests"}),
        (CLEAN.replace("2 * x", '"x"'), TEST.format(4), {"type checker"}),
    ],
)
def test_each_fault_is_found_and_the_other_checks_run_all_the_same(
    project: Path, capfd: pytest.CaptureFixture[str], sample: str, test: str, failed: set[str]
) -> None:
    (project / "sample.py").write_text(sample, encoding="utf-8")
    (project / "tests/test_sample.py").write_text(test, encoding="utf-8")
    assert selfcheck.main(["-n", "0"]) == 1
    said = went(capfd)
    assert {what for what, how in said.items() if how == "FAILED"} == failed
    assert len(said) == 4


@pytest.mark.parametrize("named", [["tests/test_sample.py"], ["tests/test_sample.py::test_it"], ["-k", "test_it"]])
def test_what_is_named_runs_alone(project: Path, capfd: pytest.CaptureFixture[str], named: list[str]) -> None:
    (project / "sample.py").write_text("import os\n", encoding="utf-8")
    assert selfcheck.main([*named, "-n", "0"]) == 0
    said = capfd.readouterr().out
    assert "1 passed" in said and "linter" not in said


def test_the_quick_ones_run_alone(project: Path, capfd: pytest.CaptureFixture[str]) -> None:
    marked = "import pytest\n\n\n@pytest.mark.quick\n" + TEST.format(4) + "\n\ndef test_slow():\n    assert False\n"
    (project / "tests/test_sample.py").write_text(marked, encoding="utf-8")
    assert selfcheck.main(["--quick", "-n", "0"]) == 0
    assert "1 passed" in capfd.readouterr().out


@pytest.mark.parametrize(
    ("argv", "apart"),
    [(["tests/test_sample.py"], False), (["tests"], True), (["tests/test_sample.py", "-n", "2"], True)],
)
def test_a_single_file_runs_in_one_process(project: Path, argv: list[str], apart: bool) -> None:
    assert ("no:xdist" not in selfcheck.tests(argv)) == apart


@pytest.mark.parametrize("roomy", [True, False])
def test_throwaway_folders_lie_in_memory_where_it_has_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, roomy: bool
) -> None:
    monkeypatch.setattr(selfcheck, "IN_MEMORY", tmp_path)
    monkeypatch.setattr(selfcheck, "ROOMY_BYTES", 0 if roomy else 1 << 60)
    monkeypatch.setattr(selfcheck.os, "ST_NOEXEC", 0)
    with selfcheck.throwaway() as told:
        assert [str(one) for one in tmp_path.iterdir()] == [told[name] for name in ("PYTEST_DEBUG_TEMPROOT",) if told]
        assert bool(told) == roomy
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("apart", [True, False])
def test_the_tests_are_compiled_once_and_nothing_is_left_beside_the_source_that_may_not_be(
    project: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch, apart: bool
) -> None:
    monkeypatch.delenv("PYTHONPYCACHEPREFIX", raising=False)  # these tests may run in a check of this kind themselves
    monkeypatch.setattr(selfcheck.sys, "dont_write_bytecode", apart)
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1" if apart else "")
    folder = tmp_path_factory.mktemp("throwaway")
    with selfcheck.reading_ahead(selfcheck.kept_apart(str(folder))):
        pass
    compiled = [path.name for path in (folder if apart else project / "tests").rglob("test_sample.*.pyc")]
    assert len(compiled) == 1 and "pytest" in compiled[0]
    assert (project / "tests" / "__pycache__").exists() != apart


def test_no_test_at_all_is_no_success(project: Path, capfd: pytest.CaptureFixture[str]) -> None:
    (project / "tests/test_sample.py").write_text("", encoding="utf-8")
    assert selfcheck.main(["-n", "0"]) == 1
    assert went(capfd)["tests"] == "no test was found"
    assert selfcheck.main(["-k", "nothing_of_this_name", "-n", "0"]) == 1
