"""What to try next with a powder: from the signs that were seen, the causes that are suspected, and its series.

Every piece comes from the reference rows, with its ground; only the level between two levels of a series is reckoned.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from bench.records.kinds import SeriesPlanned
from bench.records.state import State
from bench.reference import Library
from bench.reference.things import Sign
from bench.translation import _
from bench.workshop.expectation import gap
from bench.workshop.lineage import offspring
from bench.workshop.series_results import series_batches
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import pigment

COMMON = "common-practice"
CAUSES: dict[str, tuple[str, tuple[str, ...]]] = {
    "underfired": ("sign-underfired", ("rescue-underfired", "compare-soak", "compare-peak")),
    "overfired": ("sign-overfired", ("compare-peak",)),
    "coarse or unmixed": ("sign-unmixed", ("compare-milling", "compare-second-fire")),
    "wrong hydrate or assay": ("sign-assay", ("rescue-composition",)),
    "fire gas got in": ("sign-atmosphere", ("compare-lid",)),
    "flux wrong": ("sign-flux", ("compare-flux",)),
    "contamination": ("sign-contamination", ("control-in-each",)),
    "bed too deep": ("sign-deep-bed", ("compare-lid",)),
    "temperature wrong": ("sign-temperature", ("compare-peak",)),
    "poor wash or milling": ("sign-wash", ("wash-stop-conductivity", "compare-milling")),
    "mixed-up vessels": ("sign-mixed-up", ("loss-against-theory",)),
}
"""The usual causes: for each the advice that tells its sign, and what is advised then. All common practice."""
VERDICT_ADVICE: dict[str, tuple[str, ...]] = {
    "keep": ("keep-reference", "dry-and-bottle"),
    "refire": ("rescue-underfired", "crush-sieve"),
    "make-up": ("rescue-composition",),
    "tint": ("tint-recipe", "rescue-composition"),
    "discard": ("never-drain", "rescue-composition"),
}
KEEPERS = ("keep",)


@dataclass(frozen=True)
class Try:
    """One thing to try. `why` is what speaks for it here; `basis` and `sources` are those of its row.

    `level` is the level of the powder's own series that it suggests, with its unit in `unit`; else None.
    """

    say: str
    why: str
    basis: str
    sources: tuple[str, ...]
    level: float | None = None
    unit: str = ""


def failure_signs(state: State, thing: str, library: Library) -> tuple[Sign, ...]:
    """The known failure signs of the targets of a powder, or of a charge that is not opened yet."""
    charges = earlier_charges(state, thing) if state.sort_of(thing) == "pigment" else [thing]
    found: dict[str, Sign] = {}
    for slug in dict.fromkeys(_target_slugs(state, charges)):
        target = library.targets.get(slug)
        for sign in target.failure_signs if target is not None else ():
            found.setdefault(sign.sign, sign)
    return tuple(found.values())


def _target_slugs(state: State, charges: list[str]) -> list[str]:
    plans = [state.slot(b, "batch.planned").body for c in charges for b in batches_of(state, c)]
    return [plan.target for plan in plans if plan is not None and plan.target]


def signs_seen(state: State, thing: str) -> tuple[str, ...]:
    """What was seen when the crucibles of a powder were opened."""
    return tuple(dict.fromkeys(sign for one in earlier_charges(state, thing) for sign in _signs_of(state, one)))


def _signs_of(state: State, charge: str) -> list[str]:
    def read() -> list[str]:
        return [sign for r in state.own(charge, "opened") for sign in r.body.signs]

    found: list[str] = state.worked_out(charge, "signs", read)
    return found


def next_tries(state: State, thing: str, library: Library) -> tuple[Try, ...]:
    """What to try next, the most telling first; at least what teaches most in general."""
    view = pigment(state, thing)
    if view is None:
        return ()
    found = [*_from_signs(state, thing, library), *_from_causes(view.judged, library)]
    found += _from_series(state, view.charges)
    gaps = [found_gap for c in view.charges if (found_gap := gap(state, c, library)) is not None]
    found += [_of_gap(one.meaning) for one in gaps if one.meaning is not None]
    if not found and view.generation == 1:
        found += _advice(("compare-second-fire",), library, _("it was fired once"))
    found += _advice(("compare-peak", "control-in-each"), library, "") if len(found) < 2 else []
    kept: dict[str, Try] = {}
    for one in found:
        kept.setdefault(one.say, one)
    return tuple(kept.values())


def _from_signs(state: State, thing: str, library: Library) -> list[Try]:
    known = {sign.sign.casefold(): sign for sign in failure_signs(state, thing, library)}
    seen = [known[s.casefold()] for s in signs_seen(state, thing) if s.casefold() in known]
    return [Try(s.tells_apart, _possible(s), "memory", (COMMON,)) for s in seen]


def _possible(sign: Sign) -> str:
    """One batch does not show its cause: it is named as a possible one."""
    return _("{sign}, possibly: {cause}", sign=sign.sign, cause=sign.cause)


def _from_causes(judged: Any, library: Library) -> list[Try]:
    found: list[Try] = []
    for one in judged.suspected if judged is not None else ():
        advised = CAUSES[one.cause][1] if one.cause in CAUSES else ()
        found += _advice(advised, library, f"{one.cause} ({one.certainty})")
    return found


def advice_for_verdict(verdict: str, library: Library) -> list[Try]:
    """What is usually done after a verdict."""
    return _advice(VERDICT_ADVICE.get(verdict, ()), library, "")


def _advice(slugs: tuple[str, ...], library: Library, why: str) -> list[Try]:
    rows = [library.advice[slug] for slug in slugs if slug in library.advice]
    return [Try(row.says, why, row.basis, tuple(row.sources)) for row in rows]


def _of_gap(meaning: str) -> Try:
    return Try(meaning, _("the mass that came out"), "memory", (COMMON,))


def _from_series(state: State, charges: tuple[str, ...]) -> list[Try]:
    for charge in charges:
        for batch in batches_of(state, charge):
            plan = state.slot(batch, "batch.planned").body
            series = state.slot(plan.series, "series.planned").body if plan is not None and plan.series else None
            if plan is not None and series is not None:
                return between_levels(series, level_verdicts(state, plan.series))
    return []


def level_verdicts(state: State, series: str | None) -> dict[float, str]:
    """The newest verdict on each numbered level of a series."""
    found: dict[float, tuple[Any, str]] = {}
    levels: dict[str, Any] = {one.view.id: one.level for one in series_batches(state, series)} if series else {}
    for thing in _powders_of(state, list(levels)):
        view = pigment(state, thing)
        judged = state.by_time(thing, "judged")
        if view is None or not judged:
            continue
        for batch in dict.fromkeys(b for c in view.charges for b in batches_of(state, c)):
            level: Any = levels.get(batch)
            when = judged[-1].when
            if _is_number(level) and (float(level) not in found or when >= found[float(level)][0]):
                found[float(level)] = (when, judged[-1].body.verdict)
    return {level: verdict for level, (_when, verdict) in sorted(found.items())}


def _powders_of(state: State, ahead: list[str]) -> list[str]:
    """Every powder that came of some batches, through later fires too, by their making."""
    seen = set(ahead)
    while ahead:
        more = [one for one in offspring(state, ahead.pop()) if one not in seen]
        seen.update(more)
        ahead += more
    return sorted((t for t in seen if state.sort_of(t) == "pigment" and state.exists(t)), key=state.made_at)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def between_levels(series: SeriesPlanned, verdicts: dict[float, str]) -> list[Try]:
    """The middle between a level that was kept and its neighbour that was not: where the change lies."""
    levels = sorted(verdicts)
    unit = f" {series.unit}" if series.unit else ""
    found = []
    for low, high in pairwise(levels):
        if (verdicts[low] in KEEPERS) != (verdicts[high] in KEEPERS):
            good, bad = (low, high) if verdicts[low] in KEEPERS else (high, low)
            between = _("between {good:g} (kept) and {bad:g} (not kept): one verdict on each.", good=good, bad=bad)
            say = f"{series.factor} {(low + high) / 2:g}{unit}: {between}"
            found.append(Try(say, _("the series"), "computed", (), (low + high) / 2, series.unit or ""))
    return found
