"""Each question that a maker asks afterwards is answered in four taps, in a real browser of a phone's size."""

import shutil
from pathlib import Path

import pytest

from tests.measure.pace import asked
from tests.measure.questions import MOST_TAPS, QUESTIONS


@pytest.mark.long
def test_every_question_in_four_taps(tmp_path: Path) -> None:
    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("Chromium is not installed here")
    found = asked(tmp_path, browser)
    assert len(found) == len(QUESTIONS) >= 10
    assert [(one.name, one.value) for one in found if not 1 <= (one.value or 0) <= MOST_TAPS] == []
