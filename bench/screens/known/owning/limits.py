"""A limit of exposure of the maker's own country: body, year, figure and period, as a row over the library's gases."""

from typing import Any

from bench.reference import Library
from bench.reference.surroundings import FRACTIONS
from bench.web.forms import Form
from bench.web.words import _

PERIODS = {
    "8h": _("a working day (8 hours)"),
    "short": _("15 minutes"),
    "ceiling": _("never above it"),
    "danger": _("immediately dangerous to life or health"),
}
NAMES = {"8h": "8 hours", "short": "15 minutes", "ceiling": "ceiling", "danger": "danger to life or health"}
UNITS = ("ppm", "mg/m3")
YEARS = (1900, 2200)


def read_limit(form: Form, library: Library) -> tuple[str, dict[str, Any]] | None:
    """The gas or hazard card, and the row of a limit; None where something was refused.

    A card's limit may say for which form of the substance and which fraction of its dust it is set.
    """
    of = form.choice("gas", [*library.gases, *library.hazards])
    body = form.text("body", max_len=80, required=True)
    year = form.whole("year", *YEARS)
    value = form.number("value", low=1e-6, high=1e6)
    unit = form.choice("unit", UNITS)
    period = form.choice("period", PERIODS)
    counted = form.text("counted_as", max_len=60) or ""
    dust = {"form": form.text("form", max_len=60) or "", "fraction": form.choice("fraction", FRACTIONS, False) or ""}
    gas = library.gases.get(of or "")
    if gas is not None and unit == "ppm" and not gas.molar_mass_g_mol:
        form.refuse(_("This is a dust or fume: give the limit in mg/m³."), "unit")
    if gas is not None and any(dust.values()):
        form.refuse(_("A gas has no dust form. Choose a substance, or leave this empty."), "fraction")
    if not form.ok or of is None or period is None:
        return None
    row = {
        "name": NAMES[period], "value": value, "unit": unit, "body": body, "year": year, "period": period,
        "counted_as": counted, "words": f"{value:g} {unit}" + (f" ({counted})" if counted else ""),
    }  # fmt: skip
    return of, row if gas is not None else row | dust


def start_limit(gas: str, row: dict[str, Any]) -> dict[str, Any]:
    """A limit as the form shows it to begin with."""
    names = ("body", "year", "value", "unit", "period", "counted_as", "form", "fraction")
    found = {name: row.get(name) for name in names}
    return {"gas": gas} | {name: f"{v:.10g}" if isinstance(v, float) else v for name, v in found.items()}
