"""Which reagents' shares differ between batches: each change counted once, though it moves the shares of all others."""

from collections.abc import Mapping, Sequence
from typing import Any

from bench.translation import Later

SHARE = ", % of what reacts"


def share_name(formula: str) -> str:
    """The fact that is a share of a reagent."""
    return Later("{formula}, % of what reacts", formula=formula)


def is_share(name: str) -> bool:
    """Whether a fact is a share of a reagent, in whatever language its name is said."""
    return str.endswith(name, SHARE)


def share_names(facts: Sequence[Mapping[str, Any]]) -> list[str]:
    """The facts that are shares of a reagent, of any of some powders."""
    return list(dict.fromkeys(name for one in facts for name in one if is_share(name)))


def changed_shares(facts: Sequence[Mapping[str, Any]], scatter_pct: float) -> list[str]:
    """The fewest shares by which the batches of some powders differ beyond a scatter.

    One reagent is held still: against it the others are measured. It is the one against which the fewest others
    differ, and of two such the larger. So one dose that was changed is one difference.
    """
    names = share_names(facts)
    shares = {name: [_value(one.get(name)) for one in facts] for name in names}
    held = [name for name in names if all(shares[name])]
    if not held:
        return [name for name in names if max(shares[name]) - min(shares[name]) > scatter_pct]
    found = {name: [other for other in names if _moves(shares[other], shares[name], scatter_pct)] for name in held}
    return min(found.items(), key=lambda one: (len(one[1]), -shares[one[0]][0]))[1]


def _value(fact: Any) -> float:
    value = getattr(fact, "value", 0.0)
    return value if isinstance(value, float) else 0.0


def _moves(shares: list[float], held: list[float], scatter_pct: float) -> bool:
    """Whether shares differ beyond the scatter, once all batches hold as much of one reagent as the first."""
    even = [share * held[0] / still for share, still in zip(shares, held, strict=True)]
    return max(even) - min(even) > scatter_pct + 1e-9
