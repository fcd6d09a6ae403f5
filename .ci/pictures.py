"""Makes the README's pictures anew from the demo: `python .ci/pictures.py`, where Chromium is.

The data is that of `saggar demo` at this moment, on screens of the size of a phone and of a small laptop.
"""

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from threading import Thread

from PIL import Image
from playwright.sync_api import Page, ViewportSize, sync_playwright
from werkzeug.serving import WSGIRequestHandler, make_server

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from bench.app import create_app  # noqa: E402
from bench.demo import fill  # noqa: E402
from bench.records.state import State  # noqa: E402
from bench.settings import Settings  # noqa: E402

PICTURES = ROOT / "static" / "pictures"
PHONE, LAPTOP = ViewportSize(width=360, height=740), ViewportSize(width=1280, height=800)
CHROMIUM = ("chromium", "chromium-browser", "google-chrome")
COLOURS = 64


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
def served() -> Iterator[tuple[str, State]]:
    """The demo at an address of this computer, and its state."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(data=Path(folder), open_browser=False))
        fill(app.extensions["bench"])
        server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.port}", app.extensions["bench"].state
        server.shutdown()
        app.extensions["bench"].journal.close()


def take(page: Page, name: str, theme: str) -> None:
    """The screen as it stands, in few colours."""
    page.evaluate("(theme) => (document.documentElement.dataset.theme = theme)", theme)
    page.wait_for_timeout(300)
    picture = Image.open(BytesIO(page.screenshot()))
    picture.convert("RGB").quantize(COLOURS).save(PICTURES / f"{name}.png", optimize=True)


def main() -> None:
    """Every picture."""
    path = next(found for name in CHROMIUM if (found := shutil.which(name)))
    with served() as (address, state), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_page(viewport=PHONE)
        for name, where, theme in shots(state):
            page.set_viewport_size(LAPTOP if name.endswith("-laptop") else PHONE)
            page.goto(address + where)
            take(page, name, theme)
        browser.close()


if __name__ == "__main__":
    main()
