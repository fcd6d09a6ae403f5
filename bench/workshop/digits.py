"""One rule of digits: a mass is shown as far as the balance shows it, on every screen and paper.

The command line keeps all digits; so does a working, which tells how a figure came about.
"""

from math import floor, log10

from bench.records.state import State

BALANCE_D_G = 0.01
"""The readability that is assumed while nobody has set it: that of a common kitchen or jeweller's balance."""
UNKNOWN = "–"


def readability_g(state: State) -> float:
    """The balance's last digit in grams, as set, else a hundredth of a gram."""
    set_to = state.setting("balance_d_g")
    usable = isinstance(set_to, int | float) and not isinstance(set_to, bool) and 1e-6 <= set_to <= 10
    return float(set_to) if usable else BALANCE_D_G


def places_of(d_g: float) -> int:
    """Decimals that a balance with this last digit shows."""
    return max(0, -floor(log10(d_g) + 1e-9))


def grams_text(g: float | None, d_g: float, sign: bool = False) -> str:
    """A mass as the balance would show it; a dash where it is not known.

    What is too little for the balance is told by its first digit: it is not nothing.
    """
    if g is None:
        return UNKNOWN
    plus = "+" if sign else ""
    small = 0 < abs(g) < 0.5 * 10 ** -places_of(d_g)
    return f"{g:{plus}.1g}" if small and abs(g) >= 1e-4 else f"{g + 0.0:{plus}.{places_of(d_g)}f}"


def error_text(pct: float | None) -> str:
    """An error in per cent by its first digit, so that none is told as nothing: `±0.05 %`."""
    if pct is None:
        return UNKNOWN
    return f"±{pct:.0f} %" if pct >= 10 else f"±{pct:.1g} %"
