"""Parts of a target's row that stand in a table of their own: fluxes, left-overs and signs of failure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bench.reckoning.questions import ask_formula
from bench.reference import Library
from bench.science.formulas import parse
from bench.screens.known.owning.asked import Asked, Options
from bench.web.forms import Form
from bench.web.words import _

MOST = 6
FATES: Options = (
    ("washed-out", _("washed out")),
    ("stays", _("stays in the product")),
    ("burns-out", _("leaves in the fire")),
)


@dataclass(frozen=True)
class Table:
    """One table of a row: its field, its heading, and what a line of it asks. The first column makes a line stand."""

    name: str
    title: str
    columns: tuple[Asked, ...]
    lines: int = MOST

    def field(self, n: int, column: Asked) -> str:
        """The name of one cell in the form."""
        return f"{self.name}.{n}.{column.name}"

    def filled(self, form: Form) -> int:
        """How many of its lines hold something."""
        return sum(_filled(form, self, n) for n in range(self.lines))

    def refused(self, form: Form) -> bool:
        """Whether something in it was refused, so that it has to be in sight."""
        return any(self.field(n, column) in form.errors for n in range(self.lines) for column in self.columns)


TARGET_TABLES = (
    Table(
        "flux_options",
        _("Fluxes"),
        (
            Asked("formula", "formula", _("Flux, as a formula"), required=True),
            Asked("wt_pct_low", "number", _("Dose, from"), _("% of the product"), 0.001, 1000, required=True),
            Asked("wt_pct_high", "number", _("Dose, to"), _("% of the product"), 0.001, 1000, required=True),
            Asked("fate", "choice", _("Fate"), options=FATES, required=True),
            Asked("not_with", "list", _("Not with"), hint=_("Reagent names, separated by commas.")),
        ),
    ),
    Table(
        "left_overs",
        _("Side phases: what may be left beside it"),
        (
            Asked("oxide", "formula", _("Phase, as a formula"), required=True),
            Asked("colour", "words", _("Its colour"), required=True),
        ),
    ),
    Table(
        "failure_signs",
        _("When it goes wrong"),
        (
            Asked("sign", "words", _("Sign"), required=True),
            Asked("cause", "words", _("Cause"), required=True),
            Asked("tells_apart", "words", _("What sets it apart from a look-alike")),
        ),
    ),
)
TABLES_OF: Mapping[str, tuple[Table, ...]] = {"target": TARGET_TABLES}


def start_tables(what: str, row: Any) -> dict[str, Any]:
    """The tables of a row as the form shows them to begin with."""
    found: dict[str, Any] = {}
    for table in TABLES_OF.get(what, ()) if row is not None else ():
        for n, part in enumerate(getattr(row, table.name)[: table.lines]):
            for column in table.columns:
                value = getattr(part, column.name)
                shown = ", ".join(value) if isinstance(value, tuple) else value
                found[table.field(n, column)] = f"{shown:.10g}" if isinstance(shown, float) else shown
    return found


def read_tables(form: Form, what: str, row: Any, library: Library) -> dict[str, list[dict[str, Any]]]:
    """The lines that were filled in, table by table; those that the form has no room for are kept as they are."""
    found = {}
    for table in TABLES_OF.get(what, ()):
        lines = [_line(form, table, n, library) for n in range(table.lines) if _filled(form, table, n)]
        more = [_kept(part, table) for part in getattr(row, table.name)[table.lines :]] if row is not None else []
        found[table.name] = [*lines, *more]
    return found


def _filled(form: Form, table: Table, n: int) -> bool:
    return any(form.typed.get(table.field(n, column), "").strip() for column in table.columns)


def _kept(part: Any, table: Table) -> dict[str, Any]:
    values = {column.name: getattr(part, column.name) for column in table.columns}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in values.items()}


def _line(form: Form, table: Table, n: int, library: Library) -> dict[str, Any]:
    line = {column.name: _cell(form, table.field(n, column), column, library) for column in table.columns}
    low, high = line.get("wt_pct_low"), line.get("wt_pct_high")
    if low is not None and high is not None and low > high:
        form.refuse(_("The second is lower than the first."), f"{table.name}.{n}.wt_pct_high")
    return line


def _cell(form: Form, name: str, column: Asked, library: Library) -> Any:
    if column.look == "number":
        return form.number(name, column.low, column.high, required=column.required)
    if column.look == "choice":
        return form.choice(name, [value for value, _words in column.options], required=column.required)
    text = form.text(name, 300, required=column.required) or ""
    if column.look == "formula" and text:
        with form.beside(name):
            ask_formula(text, library, count=False)
            parse(text)
    if column.look == "list":
        return _reagents(form, name, text, library)
    return text


def _reagents(form: Form, name: str, text: str, library: Library) -> list[str]:
    names = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
    rows = [library.reagent(one) for one in names]
    unknown = [one for one, row in zip(names, rows, strict=True) if row is None]
    if unknown:
        form.refuse(_("No reagent is called {name}. Add that reagent, or fix the name.", name=unknown[0]), name)
    return [row.slug for row in rows if row is not None]
