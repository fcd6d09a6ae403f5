"""Mistakes at random: drawn the same for a seed, tried on a copy, met by the tests that mirror their module."""

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest

from tests.measure.mutants import FAILED, MIRRORED, PASSED, ROOT, UNREADABLE, copied, mirrors, modules, tried
from tests.measure.mutating import Mutant, drawn, unread

CODES = "bench/science/codes.py"


def with_mistake(was: str, put: str, file: str = CODES) -> Mutant:
    """A mistake that is put in by hand."""
    sound = (ROOT / file).read_text(encoding="utf-8")
    assert sound.count(was) == 1
    return Mutant(file, 1, was, put, sound.replace(was, put))


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    yield copied(tmp_path_factory.mktemp("copy"))


def test_every_module_is_mirrored_by_tests_that_are_there() -> None:
    assert {file.rpartition("/")[0] for file in modules()} == set(MIRRORED)
    near, far = mirrors(CODES)
    assert near == ["tests/science/test_small.py"] and "tests/science/test_batch.py" in far
    near, far = mirrors("bench/journal/survey.py")
    assert "tests/journal/test_damage.py" in near and not {"tests/journal/test_kills.py"} & {*near, *far}


def test_what_a_test_sees_is_found_and_taken_out_again(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.measure.mutants.mirrors", lambda _file: (["tests/science/test_small.py"], []))
    before = (copy / CODES).read_bytes()
    assert tried(copy, with_mistake("            seen.add(code)\n", "")) == FAILED
    assert (copy / CODES).read_bytes() == before == (ROOT / CODES).read_bytes()
    assert tried(copy, with_mistake("`count` codes", "So many codes")) == PASSED
    assert tried(copy, with_mistake("class Refusal", "class class", "bench/science/refusal.py")) == UNREADABLE


def test_nothing_is_put_where_nothing_is_read() -> None:
    text = "@cache\ndef f(x: int | None = 3) -> int | str:\n    return zip(x, 1, strict=True)\n"
    lines = text.splitlines()
    parts = [lines[line - 1][first:last] for (line, first), (_, last) in unread(text)]
    assert sorted(parts) == ["True", "cache", "int | None", "int | str"]


def test_the_same_mistakes_are_drawn_for_a_seed() -> None:
    pytest.importorskip("cosmic_ray", reason="Cosmic Ray is not installed.")
    first, again, other = (list(islice(drawn(ROOT, [CODES], seed), 5)) for seed in (1, 1, 2))
    assert first == again != other
    for mutant in first:
        compile(mutant.text, mutant.file, "exec")
        assert mutant.was != mutant.put and mutant.was in (ROOT / CODES).read_text(encoding="utf-8")
