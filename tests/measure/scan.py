"""`--scan`: printed tags, harmed and held before a camera, read by the very readers of the phone's scanner.

The labels are our own PDF, rendered; what befalls them and the camera are simulated (`scan_tags.py`, `scan_camera.py`):
no real phone and no real soot. A single frame is read by all readers. A film lasts three seconds, in which a phone
four times slower than this computer looks at nine frames, the slow readers at every third, as `static/scan.js` does.
It needs Playwright and Chromium, and pypdfium2.
"""

import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

from bench.printing.sheets import load_sheets
from bench.settings import asset_folder
from tests.measure.figure import Figure
from tests.measure.pace import ARGS, BROWSERS, START_MS, Standing, served
from tests.measure.print import printed_tags, some_codes
from tests.measure.scan_camera import as_data, frame, held, moved
from tests.measure.scan_tags import HARMS, Printed, harmed, labels_of

NAME = "scan"
SIZES = {"a4-24": "22 mm twice", "a4-40": "17 mm twice", "tag-18": "17 mm once"}
"""The sheets that are printed, one for each way in which symbols stand on a tag."""
TWO = "two of these"
FRAMES, FILMS = 12, 4
"""Single frames and films of each size and each harm."""
LOOKS = 9
THOROUGH = 3
SEED = 20260301
FRAMES_PCT, FILMS_PCT = 65.0, 95.0

READ = """async ([frames, every]) => {
  const { decode, FOREIGN } = await import('/static/decode.js');
  let foreign = 0;
  for (let n = 0; n < frames.length; n += 1) {
    const image = new Image();
    image.src = frames[n];
    await image.decode();
    const found = await decode(image, image.width, image.height, n % every === every - 1);
    if (found && found !== FOREIGN) return found;
  }
  return null;
}"""
"""Looks at frames one after the other, as the scanner does, and gives the first code."""


@dataclass(frozen=True)
class Tried:
    """One frame or film: the size and the harm by name, what the tag says and what was read."""

    size: str
    harm: str
    code: str
    read: str | None
    film: bool

    @property
    def right(self) -> bool:
        return self.read == self.code


def run(frames: int = FRAMES, films: int = FILMS) -> list[Figure]:
    """Reads some 290 frames and 100 films; about three minutes on an idle computer."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    wanted = ("playwright", "pypdfium2")
    if browser is None or any(find_spec(name) is None for name in wanted):
        return [Figure("all of it", None, "", "see --help", None, "Chromium, Playwright or pypdfium2 is missing here")]
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        return figures(list(_tried(Path(root), browser, frames, films)))


def _tried(root: Path, browser: str, frames: int, films: int) -> Iterator[Tried]:
    from playwright.sync_api import sync_playwright

    chance = Random(SEED)
    with served(root / "bench", Standing(START_MS)) as (url, _bench), sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=browser, args=ARGS)
        page = opened.new_context(base_url=url).new_page()
        page.goto("/find")
        for slug, size in SIZES.items():
            waiting = iter(_labels(slug, (frames + films) * (len(HARMS) + 1)))
            for harm in (*HARMS, TWO):
                for n in range(frames + films):
                    yield _one(page, next(waiting), size, harm, n >= frames, chance)
        opened.close()


def _labels(slug: str, count: int) -> list[Printed]:
    sheet = load_sheets(asset_folder("labels"))[slug]
    codes = some_codes(count)
    return labels_of(printed_tags(sheet, codes).data, sheet, codes)


def _one(page: Any, label: Printed, size: str, harm: str, film: bool, chance: Random) -> Tried:
    pairs = list(combinations([name for name in HARMS if name != "unharmed"], 2))
    names = chance.choice(pairs) if harm == TWO else (harm,)
    picture = harmed(label.picture, names, chance)
    how = held(chance, names)
    seen = []
    for _ in range(LOOKS if film else 1):
        seen.append(as_data(frame(picture, how, chance)))
        how = moved(how, chance, names)
    return Tried(size, harm, label.code, page.evaluate(READ, [seen, THOROUGH if film else 1]), film)


def figures(tried: list[Tried]) -> list[Figure]:
    """The shares that were read, by size and by harm, and how many were read wrongly."""
    singles = [one for one in tried if not one.film]
    films = [one for one in tried if one.film]
    wrong = sum(one.read is not None and not one.right for one in tried)
    return [
        _share("single frames read", singles, FRAMES_PCT),
        _share("films of three seconds read", films, FILMS_PCT),
        Figure("read wrongly", wrong, "", "0", wrong == 0, f"of {len(tried)}"),
        _share("films, symbol printed twice", [one for one in films if one.size.endswith("twice")], FILMS_PCT),
        *(_by(f"  {size}", [one for one in tried if one.size == size]) for size in SIZES.values()),
        *(_by(f"  {harm}", [one for one in tried if one.harm == harm]) for harm in (*HARMS, TWO)),
    ]


def _share(name: str, tried: list[Tried], goal_pct: float) -> Figure:
    pct = _pct(tried)
    note = f"{sum(one.right for one in tried)} of {len(tried)}"
    return Figure(name, pct, "%", f"at least {goal_pct:g}", pct >= goal_pct, note)


def _by(name: str, tried: list[Tried]) -> Figure:
    films = [one for one in tried if one.film]
    note = f"films {sum(one.right for one in films)} of {len(films)}"
    return Figure(name, _pct([one for one in tried if not one.film]), "%", note=note)


def _pct(tried: list[Tried]) -> float:
    return 100 * sum(one.right for one in tried) / len(tried) if tried else 0.0
