"""Gases in words: their names, when they come, how much; a remembered window carries its mark."""

from bench.reference import Library
from bench.science.formulas import pretty
from bench.web.page import grams
from bench.web.words import _

MARK = "◦"
NAMES = {
    "CH3COCH3": _("Acetone"), "H3BO3": _("Boric acid"), "HCN": _("Hydrogen cyanide"), "HNO3": _("Nitric acid"),
    "Ni(CO)4": _("Nickel carbonyl"), "SiF4": _("Silicon tetrafluoride"),
}  # fmt: skip
"""Names of gases that have no row of limits, or one that speaks of what they become."""


def gas_name(gas: str, library: Library, form: str = "gas") -> str:
    """The name of a gas; a vapour or a fume by its formula says which it is."""
    known = library.gases.get(gas)
    name = known.name if known is not None else _(NAMES[gas]) if gas in NAMES else ""
    if name and (form == "gas" or form in name):
        return name
    formed = {"vapour": _("vapour"), "fume": _("fume")}.get(form, "")
    return f"{name or pretty(gas)} {formed}".strip()


def when(low: float | None, high: float | None, remembered: bool) -> str:
    """Between which temperatures a gas comes, as far as that is known."""
    mark = f" {MARK}" if remembered else ""
    if low is not None and high is not None:
        return _("{low:.0f} to {high:.0f} °C", low=low, high=high) + mark
    if low is not None:
        return _("from {low:.0f} °C", low=low) + mark
    return _("to {high:.0f} °C", high=high) + mark if high is not None else "–"


def amount(g: float, bound: bool) -> str:
    """Grams as the balance would show them, a bound as such."""
    return _("up to {amount}", amount=grams(g)) if bound else grams(g)
