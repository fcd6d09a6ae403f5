"""Where something came from, gram by gram, and what became of something: batch, charge, pigment, swatch."""

from dataclasses import dataclass, replace
from typing import Literal

from bench.records.state import State
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.jars import lost_g
from bench.workshop.things.pigments import mass_g

What = Literal["swatch", "pigment", "charge", "batch", "jar", "line"]


@dataclass(frozen=True)
class Node:
    """One thing in a lineage: what it is, its grams that count here, its firings and losses, and what it came from."""

    what: What
    thing: str
    g: float | None
    words: str
    firings: tuple[str, ...] = ()
    lost_g: float = 0.0
    sources: tuple["Node", ...] = ()


def origin(state: State, thing: str) -> Node | None:
    """The tree of what a swatch, pigment, charge or batch came from, down to the weighed lines."""
    what = state.sort_of(thing)
    if what == "swatch":
        return _swatch(state, thing)
    if what == "pigment":
        return _pigment(state, thing, None, frozenset())
    if what == "charge":
        return _charge(state, thing, frozenset())
    return _batch(state, thing, None) if what == "batch" else None


def _swatch(state: State, thing: str) -> Node | None:
    made = state.slot(thing, "swatch.made").body
    if made is None:
        return None
    return Node("swatch", thing, None, "paint-out", sources=(_pigment(state, made.pigment, None, frozenset()),))


def _pigment(state: State, thing: str, g: float | None, seen: frozenset[str]) -> Node:
    """A powder as a source: with `g` grams of it, of all that it came from the share that they hold."""
    whole = mass_g(state, thing)
    sources = () if thing in seen else tuple(_pigment_sources(state, thing, seen | {thing}))
    share = 1.0 if g is None else g / whole if whole is not None and whole > 0 else None
    shared = tuple(_share_of(s, share) for s in sources)
    return Node("pigment", thing, whole if g is None else g, "powder", lost_g=lost_g(state, thing), sources=shared)


def _share_of(node: Node, share: float | None) -> Node:
    # A powder that was never weighed has no share to tell: what it came from is named, its grams are not.
    if share == 1.0:
        return node
    g = None if node.g is None or share is None else node.g * share
    return replace(node, g=g, sources=tuple(_share_of(s, share) for s in node.sources))


def _pigment_sources(state: State, thing: str, seen: frozenset[str]) -> list[Node]:
    gathered = state.slot(thing, "gathered").body
    if gathered is None:
        return [_charge(state, c, seen) for c in earlier_charges(state, thing)]
    found = []
    for source in gathered.sources:
        if source.charge is not None:
            found.append(_charge(state, source.charge, seen, source.g))
        elif source.pigment is not None:
            found.append(_pigment(state, source.pigment, source.g, seen))
    return found


def _charge(state: State, thing: str, seen: frozenset[str], gathered_g: float | None = None) -> Node:
    """A charge as a source: whole, or the share of it that `gathered_g` grams are of all that was gathered from it."""
    view = charge(state, thing)
    if view is None or thing in seen:
        return Node("charge", thing, gathered_g, "charge")
    sources = []
    for source in view.charged.sources:
        if source.batch is not None:
            sources.append(_batch(state, source.batch, source.g))
        elif source.pigment is not None:
            sources.append(_pigment(state, source.pigment, source.g, seen | {thing}))
        elif source.charge is not None:
            sources.append(_charge(state, source.charge, seen | {thing}, source.g))
        elif source.jar is not None:
            opened = state.slot(source.jar, "jar.opened").body
            sources.append(Node("jar", source.jar, source.g, opened.reagent if opened else "jar"))
    fires = tuple(s.firing for s in view.residences if s.went_in is not None)
    whole = Node("charge", thing, view.dry_g, "charge", fires, view.lost_g, tuple(sources))
    return whole if gathered_g is None else _share_of(whole, gathered_g / _all_gathered_g(state, thing, gathered_g))


def _all_gathered_g(state: State, thing: str, at_least_g: float) -> float:
    found = [s.g for r in state.gatherings(thing) for s in r.body.sources if s.charge == thing]
    return max(sum(found), at_least_g) or 1.0


def _batch(state: State, thing: str, g: float | None) -> Node:
    """A batch as a source: of each weighed line the share that `g` grams of the mixture hold."""
    view = batch(state, thing)
    if view is None:
        return Node("batch", thing, g, "batch")
    share = 1.0 if g is None or view.weighed_g <= 0 else g / view.weighed_g
    lines = []
    for line in view.lines:
        weighed = line.weighed_g
        label = line.plan.name or line.plan.formula
        lines.append(Node("line", line.plan.jar or thing, None if weighed is None else weighed * share, label))
    total = view.weighed_g if g is None else g
    return Node("batch", thing, total, view.name, lost_g=view.lost_g, sources=tuple(lines))


def firings_of(node: Node) -> tuple[str, ...]:
    """Every firing anywhere in a lineage, each once."""
    found = dict.fromkeys(node.firings)
    for source in node.sources:
        found |= dict.fromkeys(firings_of(source))
    return tuple(found)


def weighed_lines(node: Node) -> list[tuple[str, float | None]]:
    """Every weighed line and jar share in a lineage: what it is, and its grams."""
    if node.what in ("line", "jar"):
        return [(node.words, node.g)]
    return [line for source in node.sources for line in weighed_lines(source)]


def total_lost_g(node: Node) -> float:
    """Grams lost anywhere in a lineage. A loss of a batch that was split is counted whole, and said so on its page."""
    return node.lost_g + sum(total_lost_g(s) for s in node.sources)


def offspring(state: State, thing: str) -> list[str]:
    """What was made of a thing directly: a batch's charges, a charge's pigment, a pigment's charges and swatches."""
    found: dict[str, None] = {}
    for kind in ("charged", "gathered"):
        for record in state.effective_records(thing, kind):
            if record.subject != thing and any(
                thing in (s.batch, s.pigment, s.jar, s.charge) for s in record.body.sources
            ):
                found[record.subject] = None
    for record in state.own(thing, "opened"):
        found[state.made(record) or record.id] = None
    for record in state.effective_records(thing, "swatch.made"):
        if record.body.pigment == thing:
            found[record.subject] = None
    return list(found)
