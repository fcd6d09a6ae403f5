"""The ratio of the elements in a charge, and how sure it is."""

from collections.abc import Mapping, Sequence
from math import hypot

from bench.reckoning.ask import Ask
from bench.science.charge import Line


def ratio_of(rows: Sequence[str], brought: Mapping[str, float], wanted: Mapping[str, float]) -> dict[str, float | None]:
    """The elements in relation to the target's first one, which stands with its count in the target."""
    first = rows[0]
    if not brought.get(first):
        return dict.fromkeys(rows)
    return {symbol: wanted[first] * brought.get(symbol, 0.0) / brought[first] for symbol in rows}


def too_much_pct(
    actual: Mapping[str, float | None], wanted: Mapping[str, float], limiting: str | None
) -> dict[str, float]:
    """How much more of each element there is than the limiting one can take up, in %; the limiting one left out.

    Empty where nothing limits or a ratio is not known.
    """
    if limiting is None or not wanted.get(limiting) or not actual.get(limiting):
        return {}
    scarce = (actual[limiting] or 0.0) / wanted[limiting]
    shares = {symbol: (actual.get(symbol) or 0.0) / count for symbol, count in wanted.items() if count}
    return {symbol: 100 * (share / scarce - 1) for symbol, share in shares.items() if symbol != limiting}


def ratio_error_pct(
    rows: Sequence[str], lines: Sequence[Line], items: Sequence[Ask], balance_d_g: float | None
) -> dict[str, float | None]:
    """The relative error of each element's ratio to the first one, in %, from balance and assays; None where neither is
    given.
    """
    spreads = [_spread(line, item, balance_d_g) for line, item in zip(lines, items, strict=True)]
    if all(spread is None for spread in spreads):
        return dict.fromkeys(rows)
    first, *others = rows
    errors: dict[str, float | None] = {first: 0.0}
    for symbol in others:
        errors[symbol] = 100 * _error(symbol, first, lines, [spread or 0.0 for spread in spreads])
    return errors


def _spread(line: Line, item: Ask, balance_d_g: float | None) -> float | None:
    """The relative error of what a line brings: the balance's last digit, and one standard deviation of the assay."""
    pct = item.number("assay_pct", above=0, high=110, default=100.0)
    sd = item.number("assay_sd_pct", low=0, high=50, default=None)
    if balance_d_g is None and sd is None:
        return None
    balance = balance_d_g / line.g if balance_d_g is not None and line.g > 0 else 0.0
    return hypot(balance, (sd or 0.0) / pct)


def _error(symbol: str, first: str, lines: Sequence[Line], spreads: Sequence[float]) -> float:
    """The relative error of one element over another: each line counts by how much it shifts their quotient."""
    reacting = [(line, spread) for line, spread in zip(lines, spreads, strict=True) if line.fate == "reacts"]
    totals = {each: sum(line.mol * line.atoms.get(each, 0.0) for line, _ in reacting) for each in (symbol, first)}
    if not all(totals.values()):
        return 0.0
    shifts = [
        spread * line.mol * (line.atoms.get(symbol, 0.0) / totals[symbol] - line.atoms.get(first, 0.0) / totals[first])
        for line, spread in reacting
    ]
    return hypot(*shifts)
