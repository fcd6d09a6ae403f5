"""`--reckon`: how long the calculations take, as a whole process and inside one."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from random import Random
from statistics import median
from typing import Any, Final

from bench.clock import tick_s
from bench.reckoning import reckon
from bench.reckoning.rules import Part, refuse_if_dangerous
from bench.reference import load_library
from bench.reference.search import search
from tests.measure.figure import Figure
from tests.measure.furnaces import REACHING, STALLING, TARGET_C, readings
from tests.measure.furnaces import Rhythm as FurnaceRhythm

NAME = "reckon"
ROOT: Final = Path(__file__).resolve().parents[2]
HAND_OVER: Final = "import sys; from bench.cli import main; sys.exit(main())"
CALL: Final = ("reckon", "molar-mass", '{"formula": "CuSO4*5H2O"}')
CALL_GOAL_S, WEIGH_UP_GOAL_MS, FORECAST_GOAL_MS = 0.5, 1.0, 50.0
JUDGE_GOAL_MS, SEARCH_GOAL_MS = 1.0, 100.0
"""A tenth of a second is felt as at once (common practice)."""
FORECAST_READINGS: Final = 120

SIX_REAGENTS: Final[dict[str, Any]] = {
    "target": "Cu0.4Zn0.3Mg0.3Fe1.5Cr0.5O4",
    "product_g": 20,
    "reagents": [
        {"formula": "CuO"},
        {"formula": "ZnO"},
        {"formula": "MgCO3"},
        {"formula": "FeOOH", "assay_pct": 99},
        {"formula": "Cr2O3"},
        {"formula": "KCl", "fate": "washed-out", "g": 5},
    ],
}

SIX_PARTS: Final = [
    Part("CuO", "copper oxide", "copper-ii-oxide", 4.0),
    Part("FeOOH", "yellow iron oxide", None, 8.0),
    Part("ZnO", "zinc oxide", None, 2.0),
    Part("KNO3", "saltpetre", None, 1.0),
    Part("SiO2", "quartz", None, 1.0),
    Part("KCl", "salt", None, 3.0),
]
MISSPELT: Final = "prasodymium zirkon yelow"


def command() -> list[str]:
    """How a person's call starts: through the launcher where the bench runs in its private environment."""
    launcher = ROOT / "saggar"
    if launcher.is_file() and Path(sys.prefix).resolve() == ROOT / ".venv":
        return [getattr(sys, "_base_executable", sys.executable), str(launcher), *CALL]
    return [sys.executable, "-c", HAND_OVER, *CALL]


def call_s(tries: int) -> float:
    """The median seconds of a whole call, from the start of the process to its end; the first, cold one left out."""
    taken = []
    for _ in range(tries + 1):
        started = tick_s()
        subprocess.run(command(), check=True, capture_output=True, stdin=subprocess.DEVNULL, cwd=ROOT, env=os.environ)
        taken.append(tick_s() - started)
    return median(taken[1:])


def inside_ms(act: Callable[[], object], tries: int) -> float:
    """The median milliseconds of an act inside the process, after one to warm up."""
    act()
    taken = []
    for _ in range(tries):
        started = tick_s()
        act()
        taken.append(tick_s() - started)
    return 1000 * median(taken)


def run(tries: int = 9) -> list[Figure]:
    """All figures; a few seconds."""
    library = load_library()
    whole_s = call_s(tries)
    weigh_ms = inside_ms(lambda: reckon("weigh-up", SIX_REAGENTS, library), 20 * tries)
    judge_ms = inside_ms(lambda: refuse_if_dangerous(SIX_PARTS, library), 20 * tries)
    search_ms = inside_ms(lambda: search(library, MISSPELT), tries)
    asks = [_forecast_ask(furnace.at, place) for place, furnace in enumerate((*REACHING, *STALLING))]
    forecast_ms = max(inside_ms(lambda ask=ask: reckon("forecast", ask, library), tries) for ask in asks)  # type: ignore[misc]
    return [
        _within("a saggar reckon call, whole process", whole_s, "s", CALL_GOAL_S),
        _within("weigh-up of six reagents", weigh_ms, "ms", WEIGH_UP_GOAL_MS),
        _within("six reagents judged together", judge_ms, "ms", JUDGE_GOAL_MS),
        _within("search by three misspelt words", search_ms, "ms", SEARCH_GOAL_MS),
        _within(
            f"forecast on {FORECAST_READINGS} readings, the slowest of {len(asks)}", forecast_ms, "ms", FORECAST_GOAL_MS
        ),
    ]


def _forecast_ask(curve: Callable[[float], float], seed: int) -> dict[str, Any]:
    taken = readings(curve, FurnaceRhythm("every minute", 1, 1, 1.5), Random(seed))[:FORECAST_READINGS]
    return {"readings": [list(reading) for reading in taken], "target_c": TARGET_C}


def _within(name: str, value: float, unit: str, goal: float) -> Figure:
    return Figure(name, value, unit, f"at most {goal:g}", value <= goal)
