"""Makes the README's pictures anew from the demo: `python .ci/pictures.py`, where Chromium is.

The data is that of `saggar demo` at this moment, on screens of the size of a phone and of a small laptop.
`python .ci/pictures.py --all FOLDER` makes every screen (a phone by day and by night, turned
sideways, and a laptop) and every paper as a picture, and lays each sort on sheets side by side, to be looked at.
"""

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from threading import Thread

import pypdfium2
from flask import Flask
from PIL import Image, ImageDraw
from playwright.sync_api import Page, ViewportSize, sync_playwright
from werkzeug.serving import WSGIRequestHandler, make_server

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from bench.app import create_app  # noqa: E402
from bench.demo import fill  # noqa: E402
from bench.records.state import State  # noqa: E402
from bench.settings import Settings  # noqa: E402
from tests.acceptance.addresses import addresses, few  # noqa: E402

PICTURES = ROOT / "static" / "pictures"
PHONE, LAPTOP = ViewportSize(width=360, height=740), ViewportSize(width=1280, height=800)
CHROMIUM = ("chromium", "chromium-browser", "google-chrome")
COLOURS = 64
SIDEWAYS = ViewportSize(width=740, height=360)
LOOKS = {
    "phone-day": (PHONE, "day"),
    "phone-night": (PHONE, "night"),
    "sideways": (SIDEWAYS, "day"),
    "laptop": (LAPTOP, "day"),
}
"""How every screen is looked at: the name of its folder, the window and the theme."""
SHEET_PX, WIDEST_PX, GAP_PX, NAME_PX = 2280, 744, 12, 16


class Quiet(WSGIRequestHandler):
    """A server that does not tell of each page."""

    def log_request(self, *_args: object) -> None:
        """Nothing is said."""


def shots(state: State) -> list[tuple[str, str, str]]:
    """Each picture's name, which says whether it is of a laptop, its page, and its theme."""
    fire, half = state.open_things("firing")[-1], state.open_things("batch")[-2]
    series = "&".join(f"pick.{one}=1" for one in state.things("swatch")[-4:])
    return [
        ("today-day", "/", "day"),
        ("today-night", "/", "night"),
        ("today-laptop", "/", "day"),
        ("weigh-day", f"/batch/{half}/weigh/3", "day"),
        ("weigh-sun", f"/batch/{half}/weigh/3", "sun"),
        ("firing-day", f"/firing/{fire}", "day"),
        ("firing-night", f"/firing/{fire}", "night"),
        ("firing-laptop", f"/firing/{fire}", "day"),
        ("plan-day", "/plan/target?target=zinc-iron-titanate-tan", "day"),
        ("swatches-day", f"/swatches?{series}", "day"),
    ]


@contextmanager
def served() -> Iterator[tuple[str, Flask]]:
    """The demo at an address of this computer, and its app."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(data=Path(folder), open_browser=False))
        fill(app.extensions["bench"])
        server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.port}", app
        server.shutdown()
        app.extensions["bench"].journal.close()


def take(page: Page, name: str, theme: str) -> None:
    """The screen as it stands, in few colours."""
    page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
    page.wait_for_timeout(300)
    picture = Image.open(BytesIO(page.screenshot()))
    picture.convert("RGB").quantize(COLOURS).save(PICTURES / f"{name}.png", optimize=True)


def readme(page: Page, address: str, state: State) -> None:
    """The README's pictures."""
    for name, where, theme in shots(state):
        page.set_viewport_size(LAPTOP if name.endswith("-laptop") else PHONE)
        page.goto(address + where)
        take(page, name, theme)


def everything(page: Page, address: str, app: Flask, folder: Path) -> None:
    """Every screen in each of the `LOOKS` and every paper, and their sheets."""
    client = app.test_client()
    for name in (*LOOKS, "paper"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    for endpoint, paths in sorted(addresses(app).items()):
        path = few(paths, 1)[0]
        answer = client.get(path, follow_redirects=True)
        if answer.status_code == 200 and answer.mimetype == "text/html":
            screens(page, endpoint, address + path, folder)
        if path.startswith("/print/"):
            papers(client.get(path + ("&" if "?" in path else "?") + "pdf=1").data, endpoint, folder / "paper")
    for name in (*LOOKS, "paper"):
        lay_out(sorted((folder / name).glob("*.png")), folder / name)


def screens(page: Page, name: str, address: str, folder: Path) -> None:
    """One screen as it opens, in each of the `LOOKS`."""
    for look, (size, theme) in LOOKS.items():
        page.set_viewport_size(size)
        page.goto(address)
        page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
        page.wait_for_timeout(150)
        page.screenshot(path=folder / look / f"{name}.png")


def papers(pdf: bytes, name: str, folder: Path) -> None:
    """Each page of a printed paper at 90 dots an inch; nothing where the address makes no PDF."""
    if not pdf.startswith(b"%PDF"):
        return
    for number, sheet in enumerate(pypdfium2.PdfDocument(pdf), 1):
        sheet.render(scale=90 / 72).to_pil().save(folder / f"{name}-{number}.png")


def lay_out(paths: list[Path], name: Path) -> None:
    """The pictures side by side under their names, on as many sheets as it takes: `name-1.png` and on."""
    rows: list[list[tuple[str, Image.Image]]] = [[]]
    for path in paths:
        picture = Image.open(path).convert("RGB")
        picture.thumbnail((WIDEST_PX, picture.height))
        if sum(one.width + GAP_PX for _, one in rows[-1]) + picture.width > SHEET_PX and rows[-1]:
            rows.append([])
        rows[-1].append((path.stem, picture))
    for number, start in enumerate(range(0, len(rows), 2), 1):
        sheet_of(rows[start : start + 2]).save(f"{name}-{number}.png")


def sheet_of(rows: list[list[tuple[str, Image.Image]]]) -> Image.Image:
    """Rows of pictures on grey, each picture with its name above it."""
    heights = [max((one.height for _, one in row), default=0) + NAME_PX + GAP_PX for row in rows]
    sheet = Image.new("RGB", (SHEET_PX, sum(heights)), "#888")
    draw, top = ImageDraw.Draw(sheet), 0
    for row, height in zip(rows, heights, strict=True):
        left = 0
        for name, picture in row:
            draw.text((left + 2, top + 2), name, fill="white")
            sheet.paste(picture, (left, top + NAME_PX))
            left += picture.width + GAP_PX
        top += height
    return sheet


def main() -> None:
    """The README's pictures, or every screen and paper."""
    options = argparse.ArgumentParser(description="Makes pictures of the demo.")
    options.add_argument("--all", type=Path, metavar="FOLDER", help="every screen and every paper, into this folder")
    chosen = options.parse_args().all
    path = next(found for name in CHROMIUM if (found := shutil.which(name)))
    with served() as (address, app), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_page(viewport=PHONE)
        if chosen:
            everything(page, address, app, chosen)
        else:
            readme(page, address, app.extensions["bench"].state)
        browser.close()


if __name__ == "__main__":
    main()
