"""The batches to find again: what came of each, when, its picture, and all the words by which it may be remembered."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from bench.records.state import State
from bench.reference import Library
from bench.reference.search import near_text, words_of
from bench.workshop.lineage import offspring
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.pigments import Pigment, pigment
from bench.workshop.things.swatches import photos_of, swatch

Outcome = Literal["open", "kept", "failed", "closed"]
OUTCOMES: tuple[Outcome, ...] = ("open", "kept", "failed", "closed")
KEPT, THROWN = frozenset({"keep", "tint"}), "discard"


@dataclass(frozen=True)
class Found:
    """A batch as a list shows it. `verdict` and `words` are the last ones on its powders; `lab` a measured colour."""

    view: Batch
    at: datetime
    outcome: Outcome
    verdict: str | None
    words: str
    peak_c: float | None
    photo: str | None
    lab: Any
    remembered: tuple[str, ...]
    """Every word that its records hold of it, in the order in which a list would look for them."""


def found(state: State, thing: str, library: Library) -> Found | None:
    """A batch with all that became of it; None where there is no such batch."""
    return state.memoize(("batch-found", thing, library.mark), lambda: _found(state, thing, library))


def _found(state: State, thing: str, library: Library) -> Found | None:
    view = batch(state, thing)
    if view is None:
        return None
    charges = [made for c in offspring(state, thing) if (made := charge(state, c)) is not None]
    powders = [came for c in charges if c.pigment and (came := pigment(state, c.pigment)) is not None]
    judged = [one.judged for one in powders if one.judged is not None]
    swatches = [brushed for p in powders for s in p.swatches if (brushed := swatch(state, s)) is not None]
    measured = [s.colour.lab for s in swatches if s.colour is not None]
    photos = [p for one in (*[s.id for s in swatches], *[p.id for p in powders], thing) for p in photos_of(state, one)]
    return Found(
        view=view,
        at=state.records[thing].local,
        outcome=_outcome(state, view, [one.verdict for one in judged]),
        verdict=judged[-1].verdict if judged else None,
        words=(judged[-1].words or "") if judged else _why_closed(state, thing),
        peak_c=max((one.to_c for one in view.plan.schedule), default=None),
        photo=photos[-1] if photos else None,
        lab=measured[-1] if measured else None,
        remembered=words_of(" ".join(_remembered(state, view, charges, powders, library))),
    )


def _outcome(state: State, view: Batch, verdicts: list[str]) -> Outcome:
    closed = state.slot(view.id, "closed").body
    if KEPT & set(verdicts):
        return "kept"
    if (closed is not None and closed.outcome == "failed") or (verdicts and set(verdicts) == {THROWN}):
        return "failed"
    return "open" if closed is None else "closed"


def _why_closed(state: State, thing: str) -> str:
    closed = state.slot(thing, "closed").body
    return (closed.why or "") if closed is not None else ""


def _remembered(
    state: State, view: Batch, charges: list[Charge], powders: list[Pigment], library: Library
) -> Iterator[str]:
    target = library.targets.get(view.plan.target or "")
    yield from (view.name, view.code or "", target.name if target else "", view.plan.target_formula or "")
    for line in view.plan.lines:
        known = library.reagents.get(line.name or "")
        yield from (line.formula, line.name or "", known.name if known else "")
    yield from (view.plan.notes or "", _why_closed(state, view.id))
    for one in charges:
        yield one.crucible_code or ""
        opened = state.slot(one.id, "opened").body
        yield from opened.signs if opened is not None else ()
    for powder in powders:
        yield powder.code or ""
        yield from (state.code_of(s) or "" for s in powder.swatches)
        for record in state.by_time(powder.id, "judged"):
            yield from (record.body.words or "", *(one.cause for one in record.body.suspected))
    things = [view.id, *(c.id for c in charges), *(p.id for p in powders), *(s for p in powders for s in p.swatches)]
    for thing in things:
        yield from (str(r.body.value) for r in state.by_time(thing, "noted") if r.body.what == "words")


def fits(one: Found, typed: Iterable[str]) -> bool:
    """Whether every typed word stands somewhere in what is remembered of a batch; a slip or two are forgiven."""
    return all(near_text(word, one.remembered) for word in typed)
