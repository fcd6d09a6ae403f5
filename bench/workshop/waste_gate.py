"""What stands against putting something into a waste container: what is in it, what it was set up for, its room."""

from collections.abc import Sequence

from bench.reckoning.rules import Finding, Part, facts_of, judge
from bench.reckoning.rules.cards import known
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import atoms_of
from bench.translation import _
from bench.workshop.gates import declared, reason
from bench.workshop.parts import charge_parts
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.waste import waste

Put = tuple[str, str | None]
"""What went in: its words, and the powder that it came from."""
LASTS_IN_FIRE = frozenset({"sulfide", "fluoride", "hypochlorite"})
"""What of a fired charge still bites with acid: nitrate and what burns have left it."""


def gate_waste(
    state: State, thing: str, contents: str, library: Library, from_: str | None = None, volume_ml: float | None = None
) -> list[Finding]:
    """What stands against these contents going into this container now; `from_` is the powder that they come from."""
    view = waste(state, thing)
    if view is None:
        return [reason("no-such-thing", _("There is no such container on this bench."), "waste")]
    inside = [(one.contents, one.from_) for one in view.added]
    full = declared(state, "fill-waste", thing, "waste", {"volume_ml": volume_ml or 0.0})
    return [*full, *_clashes(state, inside, (contents, from_), library)]


def clashes_in_fact(state: State, thing: str, library: Library) -> list[tuple[int, Finding]]:
    """Contents that went into a container against a rule, each by its place among what was added."""
    view = waste(state, thing)
    added = [(one.contents, one.from_) for one in view.added] if view is not None else []
    return [(n, one) for n in range(1, len(added)) for one in _clashes(state, added[:n], added[n], library)]


def _clashes(state: State, before: Sequence[Put], new: Put, library: Library) -> list[Finding]:
    coming = _parts(state, new)
    held = [part for one in before for part in _parts(state, one)]
    labels = {known(library).label(part) for part in coming}
    return [one for one in judge("waste", [*held, *coming], {}, library) if labels & set(one.because)]


def _parts(state: State, put: Put) -> list[Part]:
    """What the words name, by trade name and by each formula among them, and what the powder behind them holds."""
    contents, from_ = put
    words = [Part(None, contents)] + [Part(word, word) for word in contents.split() if _is_formula(word)]
    charges = earlier_charges(state, from_) if from_ is not None else ()
    fired = [part for charge in charges for part in charge_parts(state, charge)]
    return words + [part for part in fired if facts_of(part.formula, part.name, part.role).marks & LASTS_IN_FIRE]


def _is_formula(word: str) -> bool:
    """Whether a word among the contents is a formula of two elements or more: `In` and `No` are words."""
    return len(atoms_of(word)) > 1
