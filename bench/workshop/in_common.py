"""What those that show a sign have in common, against those that do not: counts, and whether so many could be chance.

Nothing here says what causes what: two things that go together may have a third one in common.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import comb

from bench.records.state import State
from bench.translation import _
from bench.workshop.comparing import Fact, Facts, facts
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.trying import signs_seen

FEWEST = 3
"""Fewer powders on one side tell nothing (project default)."""
CHANCE = 0.05
"""So seldom chance alone may do it, over all that was looked at (Bonferroni; common practice)."""
MOST_SHOWN = 6
MOST_LOOKED = 500
"""Of so many powders, the newest, everything is compared: of more it takes too long for a page."""
JUDGED = "judged:"
"""Before a verdict, where it stands among the signs."""


@dataclass(frozen=True)
class Shared:
    """One thing that goes with a sign: so many of those with it, and of those without. `chance` is Fisher's exact,
    one-sided, times the number of things that were looked at."""

    what: str
    how: str
    with_it: int
    of_with: int
    without: int
    of_without: int
    chance: float

    @property
    def told(self) -> bool:
        return self.chance <= CHANCE


@dataclass(frozen=True)
class Common:
    """A sign: the powders that show it, those that were looked at and do not, and what goes with it."""

    sign: str
    with_it: tuple[str, ...]
    without: tuple[str, ...]
    shared: tuple[Shared, ...]

    @property
    def few(self) -> bool:
        return len(self.with_it) < FEWEST or len(self.without) < FEWEST


def signs(state: State) -> dict[str, list[str]]:
    """Every sign that was seen at opening, and every verdict, with the powders that show it; signs first, by number."""
    return state.memoize("signs", lambda: _signs(state))


def _signs(state: State) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for thing in state.things("pigment"):
        for sign in marks_of(state, thing):
            found.setdefault(sign, []).append(thing)
    return dict(sorted(found.items(), key=lambda one: (one[0].startswith(JUDGED), -len(one[1]), one[0])))


def powders(state: State) -> int:
    """How many powders there are."""
    return state.memoize("powders", lambda: len(state.things("pigment")))


def marks_of(state: State, thing: str) -> tuple[str, ...]:
    """The signs of a powder, and its newest verdict as one more: what is judged alike may have something in common."""

    def judged() -> str:
        found = state.by_time(thing, "judged")
        return JUDGED + found[-1].body.verdict if found else ""

    verdict = state.worked_out(thing, "verdict", judged)
    return (*signs_seen(state, thing), *((verdict,) if verdict else ()))


def common(state: State, sign: str) -> Common:
    """What goes with a sign."""
    return state.memoize(("common", sign), lambda: _common(state, sign))


def _common(state: State, sign: str) -> Common:
    found_in = [thing for thing in state.things("pigment")[-MOST_LOOKED:] if _opened(state, thing)]
    bad = [thing for thing in found_in if sign in marks_of(state, thing)]
    good = [thing for thing in found_in if thing not in bad]
    one, two = ([_facts_of(state, thing) for thing in side] for side in (bad, good))
    found = list(_all_shared(one, two)) if min(len(bad), len(good)) >= FEWEST else []
    looked = max(1, len({each.what for each in found}))
    kept = [Shared(**{**each.__dict__, "chance": min(1.0, each.chance * looked)}) for each in found]
    kept.sort(key=lambda each: (each.chance, each.what))
    first: dict[str, Shared] = {}
    for each in kept:
        first.setdefault(each.what, each)
    return Common(sign, tuple(bad), tuple(good), tuple(first.values())[:MOST_SHOWN])


def _facts_of(state: State, thing: str) -> Facts:
    return state.memoize(("facts of a powder", thing), lambda: facts(state, thing))


def _opened(state: State, thing: str) -> bool:
    return any(batches_of(state, charge) for charge in earlier_charges(state, thing))


def _all_shared(bad: Sequence[Facts], good: Sequence[Facts]) -> Iterator[Shared]:
    for name in dict.fromkeys(name for one in bad for name in one):
        one = [each[name] for each in bad if name in each]
        two = [each[name] for each in good if name in each]
        if min(len(one), len(two)) < FEWEST:
            continue
        if any(isinstance(each.value, str) for each in (*one, *two)):
            for words in dict.fromkeys(each.words for each in one):
                yield _shared(name, words, [e.words == words for e in one], [e.words == words for e in two])
        else:
            yield from _cuts(name, one, two)


def _cuts(name: str, one: Sequence[Fact], two: Sequence[Fact]) -> Iterator[Shared]:
    """A number over or under a value between two that were found: the cut that divides them best, to either side."""
    values = sorted({float(each.value) for each in (*one, *two)})
    best: list[Shared] = []
    for low, high in pairwise(values):
        cut = Fact((low + high) / 2, one[0].unit, 0.0, one[0].places)
        if high - low <= max(each.scatter for each in one):
            continue
        over = [[float(e.value) > (low + high) / 2 for e in side] for side in (one, two)]
        best.append(_shared(name, _("over {words}", words=cut.words), *over))
        best.append(_shared(name, _("under {words}", words=cut.words), *([not each for each in side] for side in over)))
    if best:
        found = min(best, key=lambda each: each.chance)
        yield Shared(**{**found.__dict__, "chance": min(1.0, found.chance * len(best) / 2)})


def _shared(name: str, how: str, one: Sequence[bool], two: Sequence[bool]) -> Shared:
    a, b = sum(one), sum(two)
    return Shared(name, how, a, len(one), b, len(two), fisher(a, len(one), b, len(two)))


def fisher(a: int, n: int, b: int, m: int) -> float:
    """Fisher's exact test, one-sided: how often chance alone puts `a` or more of `a + b` among `n` of `n + m`."""
    k = a + b
    ways = sum(comb(n, i) * comb(m, k - i) for i in range(a, min(n, k) + 1) if 0 <= k - i <= m)
    return ways / comb(n + m, k)
