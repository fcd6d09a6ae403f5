"""No sentence names a cause or an effect from single batches without saying that it is one, or may be chance."""

import re
from pathlib import Path

import pytest

from bench.records.kinds import SeriesPlanned
from bench.reference import Library, load_library
from bench.workshop.expectation import HEAVIER, LIGHTER
from bench.workshop.trying import between_levels, next_tries
from tests.workshop.builder import Builder
from tests.workshop.test_trying import powder

ROOT = Path(__file__).resolve().parents[2]
SPOKEN = [
    *sorted((ROOT / "templates" / "swatch").glob("*.html")),
    *sorted((ROOT / "templates" / "signs").glob("*.html")),
    *sorted((ROOT / "templates" / "series").glob("*.html")),
    *(ROOT / "templates" / name for name in ("pigment/show.html", "batch/repeats.html", "copying/ask.html")),
    *(ROOT / "labels" / name for name in ("show.html", "series_sheet.html", "batch_record.html")),
    *(ROOT / "bench" / "workshop" / f"{name}.py" for name in
      ("trying", "comparing", "in_common", "between", "repeats", "series_results", "share_changes", "expectation")),
    *(ROOT / "bench" / "screens" / name for name in
      ("powders/swatches.py", "powders/signs.py", "powders/towards.py", "powders/pigment.py", "planning/series.py",
       "planning/repeating.py", "planning/again.py", "paper/show_content.py", "paper/batch_record.py")),
]  # fmt: skip
"""All that speaks of what came of a batch, and why."""
NAMES_A_CAUSE = re.compile(
    r"\b(causes?|caused|because|due to|effects?|makes it|made it|turns? it|gives? it|leads? to|therefore"
    r"|thus|so it|explains?|thanks to|is to blame|worked|helped|variation|perhaps|possibly|comes? from|came from it)\b",
    re.IGNORECASE,
)
SAYS_HOW_SURE = re.compile(
    r"\b(may|need not|cannot|none of them|chance|one batch|single|guess(ed)?|perhaps|possibl[ey]|suspected"
    r"|another cause|look for|from these two alone|confirmed)\b",
    re.IGNORECASE,
)
TEXT = re.compile(r"""_\(\s*(?:\n\s*)?"((?:[^"\\]|\\.)*)\"""")


def texts() -> list[tuple[str, str]]:
    """Every text of those files, by its file."""
    return [(one.name, text) for one in SPOKEN for text in TEXT.findall(one.read_text(encoding="utf-8"))]


def test_every_text_that_names_a_cause_says_how_sure_it_is() -> None:
    told = texts()
    assert len(told) > 200 and len({name for name, _text in told}) >= 15
    causal = [(name, text) for name, text in told if NAMES_A_CAUSE.search(text)]
    assert len(causal) >= 4  # else nothing is looked at
    assert [one for one in causal if not SAYS_HOW_SURE.search(one[1])] == []


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def test_the_cause_of_a_sign_on_one_batch_is_a_possible_one(library: Library) -> None:
    b = Builder()
    thing = powder(b, ("black specks",))
    found = [one for one in next_tries(b.state, thing, library) if "black specks" in one.why]
    assert found and all("possibly" in one.why for one in found)


def test_a_gap_and_a_step_between_verdicts_say_so_too() -> None:
    assert all(SAYS_HOW_SURE.search(str(one)) for one in (LIGHTER, HEAVIER))
    [one] = between_levels(SeriesPlanned("soda", (0, 2), "%"), {0.0: "discard", 2.0: "keep"})
    assert "one verdict on each" in one.say


def test_the_check_itself_finds_what_it_is_for() -> None:
    for text in ("The soda caused the grey.", "Grey because of the short soak.", "Soda makes it bluer."):
        assert NAMES_A_CAUSE.search(text) and not SAYS_HOW_SURE.search(text)
