"""The screen of a printed page: the page as it will be, under *Back*, *PDF* and *Print*; or the PDF itself."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from flask import Response, make_response, render_template, request

from bench.printing.paper import can_set, html, on, pdf
from bench.printing.setter import SETTER
from bench.science.refusal import Refusal
from bench.settings import asset_folder
from bench.web import preferences
from bench.web.page import page
from bench.web.turns import out_of_turn
from bench.web.words import _

T = TypeVar("T")
DRAWING_POLICY = (
    "default-src 'none'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""A drawing that is a file of its own holds its own styles, and runs nothing."""
PRINT_POLICY = f"{DRAWING_POLICY}; script-src 'self'"
"""A printed page holds its own style sheet; the keys above it bring theirs, and one script that prints."""
ASKS_FOR_PDF = "pdf"


@dataclass(frozen=True)
class Choice:
    """The sheets of labels that a page can be printed on, as (name, words), and the one that it is on."""

    chosen: str
    sheets: Sequence[tuple[str, str]]


def paper_size() -> str:
    """The paper of a document: as asked for now, else as last time."""
    asked = request.args.get("sheet", "")
    return asked if asked in preferences.PAPERS else preferences.paper()


def papers() -> Choice:
    """What a document may be printed on."""
    return Choice(paper_size(), [("a4", "A4"), ("letter", _("Letter, 8.5 × 11 in"))])


def templates() -> Path:
    """The templates of `labels/`, as they are set on the paper that is used."""
    return on(asset_folder("labels"), paper_size())


def set_apart(function: Callable[..., T], *about: Any) -> T:
    """What sets pages, done in the process for it while others have their turns. Refusal where it refuses."""
    with out_of_turn():  # also to look whether a page can be set: the first look takes a third of a second
        return SETTER.call(function, *about) if can_set() else function(*about)


def paper(template: str, name: str, *, back: str = "/print", choice: Choice | None = None, **content: Any) -> Response:
    """A page for the printer from a template in `labels/`."""
    folder = templates()
    with out_of_turn():
        made = html(folder, template, **content)
    return for_printer(made, name, back=back, choice=choice)


def document(made: str, name: str, *, back: str) -> Response:
    """A document for the printer, from `templates()`: it goes on either paper."""
    return for_printer(made, name, back=back, choice=papers())


def for_printer(made: str, name: str, *, back: str = "/print", choice: Choice | None = None) -> Response:
    """A page for the printer on its screen; as PDF where `?pdf=1` asks for it.

    `back` is where *Back* leads. A sheet of labels that is chosen is remembered by its paper, for the next page.
    """
    if request.args.get(ASKS_FOR_PDF):
        return _as_pdf(made, name)
    response = make_response(_framed(made, back, choice))
    of = choice.chosen.partition("-")[0] if choice is not None and "sheet" in request.args else ""
    if of in preferences.PAPERS:
        preferences.keep(response, "paper", of)
    response.headers["Content-Security-Policy"] = PRINT_POLICY
    return response


def _as_pdf(made: str, name: str) -> Response:
    try:
        response = make_response(set_apart(pdf, made))
    except Refusal as refusal:
        return page("print/refused.html", say=refusal.say, status=422)
    response.mimetype = "application/pdf"
    response.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response


def _framed(made: str, back: str, choice: Choice | None) -> str:
    """The page with its keys. They are no part of what is set as PDF, and no printer shows them."""
    kept = [(name, value) for name, value in request.args.items(multi=True) if name not in ("sheet", ASKS_FOR_PDF)]
    head = render_template("print/paper_head.html")
    keys = render_template("print/paper_keys.html", back=back, choice=choice, kept=kept, pdf=_pdf_path())
    top, _, rest = made.partition("</head>")
    body, _, foot = rest.rpartition("</body>")
    return f"{top}{head}</head>{body}{keys}</body>{foot}"


def _pdf_path() -> str:
    query = request.query_string.decode()
    return f"{request.path}?{query}{'&' if query else ''}{ASKS_FOR_PDF}=1"
