"""`--house`: what the house costs who lives in it and who builds on: counted in the source, and taken at work.

What a page takes beside a PDF and a dribbled body is taken with paired phones, as in `--crowd`. How many mistakes the
tests find is `--mutants`.
"""

from tests.measure import house_counts as counts
from tests.measure import house_times as times
from tests.measure.crowd import after_a_reading, beside, pdf_figures, yard
from tests.measure.crowd_strangers import dribbled
from tests.measure.figure import Figure

NAME = "house"
STEP, RECORD = "sieve", "sieved"
"""An optional step that works away from the laptop too: the files that know of it are what a step costs."""
MOST_FILES, MOST_LINES, MOST_MODULES, MOST_SCRIPT = 4, 40_000, 24, 3_000
MOST_SYNCS, MOST_TEST_S = 28, 0.6


def run() -> list[Figure]:
    """Counts and measures; about three minutes."""
    return [*counted(), *at_work(), *with_phones()]


def counted() -> list[Figure]:
    """What the source says."""
    step = counts.knowing(STEP, RECORD)
    scripts = list(counts.script_files())
    return [
        _at_most("files that know of an optional step", len(step), "", MOST_FILES, f"{STEP}: {', '.join(step)}"),
        _at_most("lines of Python in bench/", counts.lines_of(counts.python_files()), "", MOST_LINES),
        _at_most("own modules of JavaScript", len(scripts), "", MOST_MODULES),
        _at_most("their lines", counts.lines_of(iter(scripts)), "", MOST_SCRIPT),
        _strict(counts.strict_errors()),
    ]


def at_work() -> list[Figure]:
    """What a bench on this computer takes."""
    syncs, lone = times.together()
    few_s, many_s = times.firing_page()
    note = f"{many_s * 1000:.0f} ms at {times.MANY:,} readings, {few_s * 1000:.0f} ms at {times.FEW}"
    at_once = f"{times.WRITERS} at once, each sync {times.SYNC_S * 1000:g} ms longer"
    return [
        _at_most(f"syncs of {times.SUBMITS} submits", syncs, "", MOST_SYNCS, at_once),
        Figure("a lone submit, in such syncs", lone, "×"),
        _at_most("a firing's page after a reading, long against short", many_s / few_s, "×", 2, note),
        _at_most("one pure test, from call to verdict", times.one_pure_test(), "s", MOST_TEST_S, times.PURE_TEST),
    ]


def with_phones() -> list[Figure]:
    """What paired phones see."""
    with yard() as here:
        fetched = after_a_reading(here)
        middle, _slow, note = beside(here, lambda: dribbled(here.laptop.port, here.trusts, 1))
        dribble = _at_most("a page beside a dribbled body: median", middle, "×", 5, note)
        return [*pdf_figures(here), dribble, fetched]


def _at_most(name: str, value: float, unit: str, goal: float, note: str = "") -> Figure:
    return Figure(name, value, unit, f"at most {goal:,g}", value <= goal, note)


def _strict(errors: int | None) -> Figure:
    name = "errors of mypy --strict"
    return Figure(
        name, errors, "", "0", None if errors is None else errors == 0, "" if errors is not None else "no mypy"
    )
