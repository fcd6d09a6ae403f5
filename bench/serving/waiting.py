"""What stands at the door while the bench reads its records: a page that says how far it has come.

The bench itself takes over once it is ready. Until then a phone's outbox, a page's own calls and every form are told to
come again; a person who opens a page sees the count, and then the page that was asked for.
"""

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, Template

from bench.serving.doors import App
from bench.settings import asset_folder
from bench.translation import _, language
from bench.web import styles

STYLE = f"/static/{styles.ALL}"
LONG = {"checked": 20_000_000, "read": 50_000}
"""From so many bytes to check, or records to read, somebody who waits is told: it is seconds then, or minutes."""
POLICY = "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


class Waiting:
    """The app at the door: the page of the wait, then the bench. `long` is called once, where it will take long."""

    def __init__(self, long: Callable[[], None] = lambda: None) -> None:
        self._app: App | None = None
        self._long, self.is_long = long, False
        self._what, self._done, self._of = "", 0, 0

    def heard(self, what: str, done: int, of: int) -> None:
        """How much of the file is checked, in bytes, or how many of its records are read."""
        self._what, self._done, self._of = what, done, of
        if not self.is_long and of >= LONG[what]:
            self.is_long = True
            self._long()

    def ready(self, app: App) -> None:
        """The bench answers from now on."""
        self._app = app

    def __call__(self, environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        if self._app is not None:
            return self._app(environ, start)
        if environ["REQUEST_METHOD"] in ("GET", "HEAD") and environ["PATH_INFO"] == STYLE:
            start("200 OK", [("Content-Type", "text/css; charset=utf-8"), ("Cache-Control", "no-cache")])
            return [styles.joined().encode()]
        # A page that a worker takes in for later is none of these: what it keeps must be the page itself.
        shown = environ["REQUEST_METHOD"] == "GET" and environ.get("HTTP_SEC_FETCH_MODE") == "navigate"
        head = {
            "Content-Type": "text/html; charset=utf-8",
            "Cache-Control": "no-store",
            "Retry-After": "2",
            "Content-Security-Policy": POLICY,
            "X-Content-Type-Options": "nosniff",
        }
        start("200 OK" if shown else "503 Service Unavailable", list(head.items()))
        return [self._page().encode()]

    def _page(self) -> str:
        values = {"done": self._done, "of": self._of, "style": STYLE, "said": self.said(), "language": language}
        return _template().render(values)

    def said(self) -> str:
        """How far it has come, in a sentence."""
        if self._what == "checked" and self._of:
            return _("Checking the data file: {share} %.", share=100 * self._done // self._of)
        if self._what == "read":
            return _("{done} of {of} records read.", done=f"{self._done:,}", of=f"{self._of:,}")
        return _("Opening the data file.")


@cache
def _template() -> Template:
    made = Environment(loader=FileSystemLoader(asset_folder("templates")), autoescape=True)
    made.globals["_"] = _
    return made.get_template("waiting.html")
