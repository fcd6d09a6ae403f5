"""What the browser makers' own audit says of some pages on a throttled phone, where that tool is installed."""

import json
import os
import shutil
import subprocess
from pathlib import Path
from statistics import median_low

from bench.serving.authority import NAME
from tests.measure.figure import Figure

GOALS = {"performance": 0.95, "accessibility": 1.0, "best-practices": 1.0}
SHIFT, SHIFT_MOST = "cumulative-layout-shift", 0.02
RUNS = 5
"""One run of the audit scatters with whatever else the computer does; its makers advise the middle of five."""
READ = "accessibility"
WHOLE = [f"--screenEmulation.{said}" for said in ("mobile", "width=412", "height=3000", "deviceScaleFactor=1.75")]
"""As tall as any page. On a phone's height the bar at the foot half covers what stands at the fold, until one scrolls,
and the audit takes that for a small key. One such run is enough: it does not scatter."""
MISSING = "Lighthouse is not installed here: npm install -g lighthouse"


def lighthouse_figures(pages: dict[str, str], cookie: str, browser: str, home: Path) -> list[Figure]:
    """The three scores of each page, those that scatter the middle of five runs; none where the tool is not at hand.

    It is never fetched for this.
    """
    tool = shutil.which("lighthouse")
    if tool is None:
        return [_figure(f"{what}, {name}", None, goal, MISSING) for name in pages for what, goal in GOALS.items()]
    found = []
    for name, url in pages.items():
        quick = [goal for goal in GOALS if goal != READ]
        runs = [_run([tool, url], quick, [], cookie, browser, home) for _ in range(RUNS)]
        runs.append(_run([tool, url], [READ], WHOLE, cookie, browser, home))
        for what, goal in GOALS.items():
            scores = sorted(run[what] for run in runs if what in run)
            note = f"the middle of {len(scores)}, {scores[0]:g} to {scores[-1]:g}" if len(scores) > 1 else ""
            found.append(_figure(f"{what}, {name}", median_low(scores) if scores else None, goal, note))
        moved = [run[SHIFT] for run in runs if SHIFT in run]
        most = max(moved) if moved else None
        met = None if most is None else most <= SHIFT_MOST
        found.append(
            Figure(f"layout shift, {name}", most, "", f"at most {SHIFT_MOST:g}", met, f"the most of {len(moved)}")
        )
    return found


def _figure(name: str, value: float | None, goal: float, note: str) -> Figure:
    met = None if value is None else value >= goal
    return Figure(name, value, "", f"at least {goal:g}", met, note or ("" if value is not None else "it gave no score"))


def _run(what: list[str], goals: list[str], size: list[str], cookie: str, browser: str, home: Path) -> dict[str, float]:
    out = home / "lighthouse.json"
    flags = "--headless=new --no-sandbox --disable-gpu --disable-background-networking"
    call = [
        *what, *size, "--quiet", "--output=json", f"--output-path={out}", f"--only-categories={','.join(goals)}",
        f"--extra-headers={json.dumps({'Cookie': cookie})}",
        f"--chrome-flags={flags} --host-resolver-rules='MAP {NAME} 127.0.0.1'",
    ]  # fmt: skip
    env = {**os.environ, "CHROME_PATH": browser, "HOME": str(home)}
    ran = subprocess.run(call, env=env, capture_output=True, timeout=180, check=False)
    if ran.returncode != 0 or not out.exists():
        return {}
    whole = json.loads(out.read_text(encoding="utf-8"))
    out.unlink()
    told, moved = whole["categories"], whole["audits"].get(SHIFT, {}).get("numericValue")
    scores = {goal: float(told[goal]["score"]) for goal in goals if told.get(goal, {}).get("score") is not None}
    return scores if moved is None else scores | {SHIFT: float(moved)}
