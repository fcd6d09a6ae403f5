"""How a screen is shown: the kit of macros, what every template knows, and `page()`."""

import hashlib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from flask import (
    Flask,
    Response,
    current_app,
    g,
    has_app_context,
    make_response,
    redirect,
    render_template,
    request,
    url_for,
)
from jinja2 import Environment
from markupsafe import escape

from bench.science.formulas import pretty
from bench.steps import BY_VERB
from bench.web import drawing, modules, moments, styles
from bench.web import preferences as taste
from bench.web.channel import device, door
from bench.web.current import current_bench
from bench.web.flash import recorded_here
from bench.web.forms import Form, blank
from bench.web.guard import token
from bench.web.held_photos import held_photo
from bench.web.ids import fresh
from bench.web.numbers import whole_digits
from bench.web.prose import formulas, sentence
from bench.web.signs import SIGN_WORDS
from bench.web.step_words import listed_words, option_words
from bench.web.words import _, many
from bench.workshop import today
from bench.workshop.balance import cabled
from bench.workshop.digits import error_text, grams_text, readability_g

PARTS = "parts/"
AGAIN = "#again"
"""What an address ends in that leads back to a number to be typed anew (`static/forms.js`)."""


class Kit:
    """Every macro in `templates/parts/`, as `ui.name(…)` in any template, without an import.

    A part is one idea a file. Macros are loaded at first use; one name in two files is an error.
    """

    def __init__(self, environment: Environment) -> None:
        self._environment = environment
        self._macros: dict[str, Any] = {}

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        if not self._macros:
            self._macros = self._load()
        try:
            return self._macros[name]
        except KeyError:
            raise AttributeError(f"There is no macro {name} in templates/parts.") from None

    def _load(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for part in self._environment.list_templates(filter_func=lambda name: name.startswith(PARTS)):
            module = self._environment.get_template(part).make_module()
            for name, macro in vars(module).items():
                if name.startswith("_") or not callable(macro):
                    continue
                if name in found:
                    raise ValueError(f"The macro {name} stands in two parts.")
                found[name] = macro
        return found


def is_dangerous() -> bool:
    """Whether anything burns or is hot: *Emergency* then holds the same corner of every page.

    A phone's pages all depend on this answer, and none of them on what it was worked out from (`phone/marks.py`).
    """
    with current_bench().state.unnoticed():
        return today.is_dangerous(current_bench().state)


def here() -> str:
    """The path of this page with its query, for coming back after a setting was changed."""
    return request.full_path.rstrip("?")


def can_be_asked_again() -> bool:
    """Whether this page answers a form at an address that also shows it: *Back* and *Reload* may then ask for that."""
    return bool(g.get("answers_form")) and "GET" in current_app.url_map.bind("").allowed_methods(request.path)


@cache
def _digest(path: Path, changed: float) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:12]


@cache
def _path(folder: str, filename: str) -> Path:
    # Asked a hundred times a page.
    return Path(folder) / filename


def static_url(app: Flask, filename: str) -> str:
    """The address of a static file with its content's hash, so that a stored copy is never an old one.

    A page asks for the same few files a hundred times: each is looked at once a request.
    """
    known: dict[str, str] = g.setdefault("static_urls", {}) if has_app_context() else {}
    if filename not in known:
        known[filename] = _static_url(app, filename)
    return known[filename]


def _static_url(app: Flask, filename: str) -> str:
    if filename == styles.ALL:
        return url_for("static", filename=filename, v=styles.version())
    module = modules.modules().get(filename)
    if module is not None:
        return f"{app.static_url_path}/{filename}?v={module.mark}"
    path = _path(app.static_folder or "", filename)
    version = _digest(path, path.stat().st_mtime)
    return f"{app.static_url_path}/{filename}?v={version}"


def page(template: str, /, *, form: Form | None = None, status: int | None = None, **context: Any) -> Response:
    """A screen. With a posted form that was refused the status is 422 and the template shows the errors.

    A sentence that the template has no place for, such as one on a field that is hidden, stands at the top: no refusal
    is silent. A page and the fragment that htmx swaps into it share an address, so both say `Vary: HX-Request`.
    """
    shown = form if form is not None else blank()
    g.form_errors, g.say_why = dict(shown.errors), context.get("why")
    g.answers_form = shown.posted
    text = render_template(template, form=shown, **context)
    unsaid = [say for say in dict.fromkeys(shown.errors.values()) if str(escape(say)) not in text]
    if unsaid:
        shown.drawn = ""
        text = render_template(template, form=shown, unsaid=unsaid, **context)
    response = make_response(text)
    response.status_code = status or (422 if shown.posted and shown.errors else 200)
    response.vary.add("HX-Request")
    return response


def go(endpoint: str, **values: Any) -> Response:
    """On to the next screen after something was recorded, by 303, so that *Back* and *Reload* record nothing again."""
    return make_response(redirect(url_for(endpoint, **values), 303))


def code_text(code: str | None) -> str:
    """A code as it is read out: `T5C7H-J`. What is not six characters stays as it is."""
    return f"{code[:5]}-{code[5]}" if code and len(code) == 6 else (code or "–")


def grams(value: float | None, places: int | None = None) -> str:
    """A mass as the bench's balance shows it, or with these places; a dash where it is not known."""
    if value is not None and places is not None:
        return f"{value:.{places}f}"
    return grams_text(value, readability_g(current_bench().state))


def grams_sum(values: Iterable[float], places: int | None = None) -> str:
    """The sum of some masses as they are shown, so that the shown ones add up to it."""
    return grams(sum(float(grams(one, places)) for one in values), places)


def grams_out(value: float | None, goes_in: Iterable[float]) -> str:
    """What comes out of some masses as it is shown: no more than they are together as shown, where it is no more."""
    masses = list(goes_in)
    if value is not None and value <= sum(masses) + 1e-9:
        value = min(value, float(grams_sum(masses)))
    return grams(value)


def grams_off(value: float | None) -> str:
    """A difference of masses with its sign, as the bench's balance shows it."""
    return grams_text(value, readability_g(current_bench().state), sign=True)


def grams_span(span: tuple[float, float]) -> str:
    """A range of masses as the bench's balance shows it."""
    return _("{low} to {high}", low=grams(span[0]), high=grams(span[1]))


def clock_here(ms: int, zone_min: int | None = None) -> str:
    """A clock time in the given zone, else in the bench's own: `16:04`."""
    return moments.clock_text(ms, current_bench().zone_min() if zone_min is None else zone_min)


def date_here(ms: int, zone_min: int | None = None) -> str:
    """A date in the given zone, else in the bench's own: `2026-03-01`."""
    return moments.date_text(ms, current_bench().zone_min() if zone_min is None else zone_min)


def px(value: float) -> str:
    """A length in a drawing: a tenth of a px is fine enough."""
    return f"{value:.1f}".removesuffix(".0")


def shown(value: object) -> str:
    """A result's value as its working shows it: up to five significant digits, lists and words as they are."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, float):
        return f"{value:.5g}" if abs(value) < 1e5 else f"{value:.0f}"
    if isinstance(value, list | tuple):
        return ", ".join(shown(one) for one in value)
    return str(value)


def prepare(app: Flask) -> None:
    """Give every template its kit, its words and what it may ask."""
    known: Mapping[str, Any] = {
        "ui": Kit(app.jinja_env),
        "_": _,
        "many": many,
        "asset": lambda filename: static_url(app, filename),
        "token": token,
        "fresh_id": lambda: fresh(current_bench().now_ms()),
        "current_bench": current_bench,
        "here": here,
        "recorded_here": recorded_here,
        "held_photo": held_photo,
        "is_dangerous": is_dangerous,
        "theme": taste.theme,
        "hand": taste.hand,
        "can_be_asked_again": can_be_asked_again,
        "doubted": lambda: g.get("doubts") or [],
        "is_refused": lambda: bool(g.get("form_errors")),
        "is_held": lambda: [*g.get("form_errors", ())] == [""],
        "balance": lambda: cabled(current_bench().state),
        "device": device,
        "door": door,
        "draw": drawing,
        "declared_steps": BY_VERB,
        "sign_said": SIGN_WORDS,
        "option_words": option_words,
        "listed_words": listed_words,
        "span_parts": moments.span_parts,
        "has_endpoint": lambda name: name in app.view_functions,
    }
    app.jinja_env.globals.update(known)
    app.jinja_env.filters.update(
        code=code_text,
        g=grams,
        g_off=grams_off,
        g_sum=grams_sum,
        g_out=grams_out,
        g_span=grams_span,
        error=error_text,
        clock=clock_here,
        date=date_here,
        px=px,
        shown=shown,
        sentence=sentence,
        formulas=formulas,
    )
    app.jinja_env.filters["formula"] = pretty
    app.jinja_env.filters["whole_digits"] = whole_digits
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
