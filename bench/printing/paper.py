"""From a template in `labels/` to a page of HTML, and from there to PDF."""

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from bench.science.refusal import Refusal
from bench.translation import _, language, many

FONTS = Markup('"Roboto", "Segoe UI", "Helvetica Neue", "DejaVu Sans Condensed", "DejaVu Sans", sans-serif')


LETTER = "letter"


def on(folder: Path, size: str) -> Path:
    """The templates of a folder for one paper: on Letter, what lies in a folder of its own goes first."""
    return folder / LETTER if size == LETTER else folder


@cache
def _templates(folder: Path) -> Environment:
    made = Environment(
        loader=FileSystemLoader([folder, folder.parent] if folder.name == LETTER else folder),
        autoescape=select_autoescape(["html", "svg"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["mm"] = lambda value: f"{value:.3f}".rstrip("0").rstrip(".") + "mm"
    made.globals |= {"FONTS": FONTS, "_": _, "many": many, "language": language}
    return made


def html(folder: Path, template: str, **content: Any) -> str:
    """The printed page as HTML with its style sheet inside, so that a browser can print it where no PDF can be made."""
    return _templates(folder).get_template(template).render(**content)


def can_set() -> bool:
    """Whether this computer can set a page; it cannot without Pango."""
    try:
        import weasyprint  # noqa: F401
    except OSError:
        return False
    return True


def rendered(page: str) -> Any:
    """The page as it is set, before it is PDF. Refusal where this computer has no Pango, with the way round it."""
    if not can_set():
        say = _("This computer cannot make a PDF: Pango is missing. Print the page from the browser.")
        raise Refusal(say)
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher

    # A printed page holds everything itself, pictures too, and asks for nothing.
    return HTML(string=page, url_fetcher=URLFetcher(allowed_protocols=("data",))).render()


def pdf(page: str) -> bytes:
    """The page as PDF. Refusal where this computer has no Pango."""
    return bytes(rendered(page).write_pdf())
