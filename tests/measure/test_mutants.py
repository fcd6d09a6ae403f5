"""The list of mistakes: each has its place in the program, and the trying tells found from survived from not run."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.measure.mutant_list import MUTANTS, Mutant
from tests.measure.mutants import ROOT, copied, found, tried

QUICK = "tests/science/test_small.py"


def test_there_are_twenty_and_each_has_its_place_once() -> None:
    assert len(MUTANTS) == 20 == len({mutant.name for mutant in MUTANTS})
    for mutant in MUTANTS:
        assert (ROOT / mutant.file).read_text("utf-8").count(mutant.was) == 1, mutant.name
        assert mutant.was != mutant.put and (ROOT / mutant.tests).is_file(), mutant.name


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    yield copied(tmp_path_factory.mktemp("copy"))


def test_a_mistake_is_found_by_its_test_and_taken_out_again(copy: Path) -> None:
    (mutant,) = (one for one in MUTANTS if one.name == "infinity is written")
    before = (copy / mutant.file).read_bytes()
    figure = found(mutant, tried(copy, mutant))
    assert figure.met is True and figure.note == f"found by {mutant.tests}"
    assert (copy / mutant.file).read_bytes() == before == (ROOT / mutant.file).read_bytes()


def test_what_no_test_sees_survives_and_what_cannot_run_is_not_found(copy: Path) -> None:
    harmless = Mutant("other words", "bench/journal/lines.py", "The data file, byte by byte", "The data file", QUICK)
    figure = found(harmless, tried(copy, harmless))
    assert figure.met is False and figure.note == f"survived {QUICK}"
    broken = Mutant("no Python", "bench/science/refusal.py", "class Refusal", "class class", QUICK)
    figure = found(broken, tried(copy, broken))
    assert figure.met is False and "could not run" in figure.note
    with pytest.raises(ValueError, match="does not hold this once"):
        tried(copy, Mutant("nowhere", "bench/journal/lines.py", "no such words", "", QUICK))
