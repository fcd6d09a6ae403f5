"""A schedule held against what it is for: the furnace, the crucibles and their ramps, the targets, and the gases."""

from collections.abc import Iterable, Iterator, Sequence

from bench.reckoning.rules import Finding
from bench.records.kinds import FurnaceDescribed, Segment
from bench.records.state import State
from bench.reference import Library
from bench.reference.things import Target
from bench.translation import _
from bench.workshop.alarms import HALVED_C, ramp_limit
from bench.workshop.load_gas import load_gas
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible

START_C = 20.0
HOLD_MIN = 30.0
"""A stretch is held for gas when it is held so long (30 to 60 min in common practice)."""
NEAR_C = 40.0
LEAST_GAS_G = 0.02
WINDOW_SLACK_C = 0.5
LONG_WATCH_H = 8.0
"""A fire planned to burn longer than one watch is pointed out (our own default): somebody stays all the time."""


def check_schedule(
    segments: Sequence[Segment],
    furnace: FurnaceDescribed | None,
    charges: Iterable[str],
    state: State,
    library: Library,
) -> list[Finding]:
    """What a maker should mind of a schedule before lighting; only a furnace's own ceiling blocks here.

    `charges` are those of its load. Ratings and what the rules block stand in the gate of lighting.
    """
    load = list(charges)
    found = [
        *_of_furnace(segments, furnace),
        *_of_watch(segments, library),
        *_of_crucibles(segments, load, state, library),
    ]
    found += _of_targets(segments, load, state, library)
    found += _of_gases(segments, load, state, library)
    return sorted(found, key=lambda one: one.effect == "flag")


def _finding(
    rule: str, say: str, because: tuple[str, ...] = (), effect: str = "flag", basis: str = "memory"
) -> Finding:
    return Finding(rule, effect, say, (), basis, "none", because, "light")


def _peak_c(segments: Sequence[Segment]) -> float:
    return max(s.to_c for s in segments)


def _of_furnace(segments: Sequence[Segment], furnace: FurnaceDescribed | None) -> Iterator[Finding]:
    peak = _peak_c(segments)
    if furnace is None:
        return
    if furnace.ceiling_c is not None and peak > furnace.ceiling_c:
        say = _(
            "The plan goes to {peak:g} °C; this furnace goes to {ceiling_c:g} °C.",
            peak=peak,
            ceiling_c=furnace.ceiling_c,
        )
        yield _finding("over-ceiling", say, effect="block", basis="own")
    if furnace.lining_rated_c is not None and peak > furnace.lining_rated_c:
        say = _(
            "The plan goes to {peak:g} °C; the lining is rated to {lining_rated_c:g} °C.",
            peak=peak,
            lining_rated_c=furnace.lining_rated_c,
        )
        yield _finding("over-lining", say, basis="own")


def _of_watch(segments: Sequence[Segment], library: Library) -> Iterator[Finding]:
    """A fire is never left alone: one that is planned to burn long needs more than one person to stay."""
    hours = planned_min(segments) / 60
    rule = library.rules.get("unattended")
    if hours > LONG_WATCH_H and rule is not None:
        say = _(
            "The plan burns {hours:.0f} h or more. {in_general} Decide now who takes over.",
            hours=hours,
            in_general=rule.in_general,
        )
        yield Finding("long-watch", "flag", say, rule.sources, "project default", "none", (), "light")


def planned_min(segments: Sequence[Segment]) -> float:
    """Minutes that a schedule burns at the least: its climbs at their planned rates, and its holds."""
    total, before = 0.0, START_C
    for one in segments:
        if one.rate_c_per_h and one.to_c > before:
            total += (one.to_c - before) / one.rate_c_per_h * 60
        total, before = total + one.hold_min, one.to_c
    return total


def _of_crucibles(segments: Sequence[Segment], load: list[str], state: State, library: Library) -> Iterator[Finding]:
    """Each ware's ramp against each climb whose rate is planned, and each rating against the peak."""
    wares: dict[str, list[str]] = {}
    for thing in load:
        view = charge(state, thing)
        vessel = crucible(state, view.crucible) if view is not None else None
        if vessel is None:
            continue
        code = f"{vessel.code[:5]}-{vessel.code[5:]}" if vessel.code else _("a crucible")
        wares.setdefault(vessel.added.ware, []).append(code)
        if vessel.rated_c is not None and _peak_c(segments) > vessel.rated_c:
            say = _(
                "The plan goes to {peak:g} °C; {code} is rated to {rated_c:g} °C.",
                peak=_peak_c(segments),
                code=code,
                rated_c=vessel.rated_c,
            )
            yield _finding("over-rating", say, (code,), basis="own")
    for slug, codes in wares.items():
        say = ramp_words(segments, slug, library)
        if say:
            yield _finding("ramp", say, tuple(codes))


def ramp_words(segments: Sequence[Segment], slug: str, library: Library) -> str:
    """What a schedule asks of a ware that is too fast for it, the worst climb; empty where nothing is."""
    ware = library.ware.get(slug)
    worst: tuple[float, str] = (1.0, "")
    before = START_C
    for n, one in enumerate(segments, 1):
        if one.rate_c_per_h and one.to_c > before and ware is not None:
            rate = one.rate_c_per_h / 60
            for c in (before, *(low for low, _ in HALVED_C if before < low < one.to_c)):
                limit = ramp_limit(ware, c)
                if limit is not None and rate / limit > worst[0]:
                    name = slug.replace("-", " ")
                    where = _(" through {c:g} °C", c=c) if limit != ware.max_ramp_c_per_min else ""
                    say = _(
                        "Segment {n} climbs {rate:.1f} °C a minute; {name} takes {limit:g} at most{where}.",
                        n=n,
                        rate=rate,
                        name=name,
                        limit=limit,
                        where=where,
                    )
                    worst = (rate / limit, say)
        before = one.to_c
    return worst[1]


def _of_targets(segments: Sequence[Segment], load: list[str], state: State, library: Library) -> Iterator[Finding]:
    """The soak of the schedule against the window of each target, and its atmosphere."""
    named: dict[str, list[str]] = {}
    for thing in load:
        view = charge(state, thing)
        for batch in view.batches if view is not None else ():
            plan = state.slot(batch, "batch.planned").body
            if plan is not None and plan.target:
                named.setdefault(plan.target, []).append(plan.name)
    for slug, names in named.items():
        target = library.target(slug)
        if target is not None:
            because = tuple(dict.fromkeys(names))
            for rule, say in target_words(segments, target):
                yield _finding(rule, say, because, basis=target.basis)


def target_words(segments: Sequence[Segment], target: Target) -> Iterator[tuple[str, str]]:
    """What a schedule and a target disagree about: (rule, words)."""
    held = [s for s in segments if s.hold_min > 0] or list(segments)
    soak = max(held, key=lambda s: s.to_c)
    window = (target.soak_low_c, target.soak_high_c)
    side = _off(soak.to_c, *window, WINDOW_SLACK_C)
    if side:
        yield (
            f"{side}-window",
            _(
                "The soak is at {to_c:g} °C; {name} wants {span} °C.",
                to_c=soak.to_c,
                name=target.name,
                span=_between(*window),
            ),
        )
    minutes = (target.soak_min_minutes, target.soak_max_minutes)
    side = _off(soak.hold_min, *minutes)
    if side:
        yield (
            {"under": "short-soak", "over": "long-soak"}[side],
            _(
                "It is held {hold_min:g} min; {name} wants {span} min.",
                hold_min=soak.hold_min,
                name=target.name,
                span=_between(*minutes),
            ),
        )
    limit = target.decomposes_above_c
    if limit is not None and _peak_c(segments) > limit:
        yield (
            "decomposes",
            _(
                "The plan goes to {peak:g} °C; {name} decomposes over {limit:g} °C.",
                peak=_peak_c(segments),
                name=target.name,
                limit=limit,
            ),
        )
    said = {s.atmosphere for s in segments} - {"unknown"}
    if said and target.atmosphere not in ("unknown", *said):
        words = _(" then ").join(dict.fromkeys(s.atmosphere for s in segments if s.atmosphere != "unknown"))
        wanted = target.atmosphere_words or target.atmosphere
        yield (
            "atmosphere",
            _("The schedule says {words}; {name} wants {wanted}.", words=words, name=target.name, wanted=wanted),
        )


def _off(value: float, low: float | None, high: float | None, slack: float = 0.0) -> str:
    """On which side a value lies outside a window: `under`, `over`, or nothing."""
    if low is not None and value < low - slack:
        return "under"
    return "over" if high is not None and value > high + slack else ""


def _between(low: float | None, high: float | None) -> str:
    if low is None or high is None or low == high:
        return f"{low if low is not None else high:g}"
    return _("{low:g} to {high:g}", low=low, high=high)


def _of_gases(segments: Sequence[Segment], load: list[str], state: State, library: Library) -> Iterator[Finding]:
    """A gas that leaves in a stretch where nothing is held for it."""
    found = load_gas(state, load, library)
    for gas, g in found.grams.items():
        low, high = found.windows.get(gas, (None, None))
        if gas == "O2" or low is None or high is None or g < LEAST_GAS_G or _peak_c(segments) < low:
            continue
        if not any(s.hold_min >= HOLD_MIN and low - NEAR_C <= s.to_c <= high + NEAR_C for s in segments):
            most = _("Up to ") if gas in found.bounds else ""
            window = f"{low:g} and {high:g} °C{_(' (from memory)') if gas in found.remembered else ''}"
            say = _(
                "{most}{g:.2g} g {gas} leaves between {window}. No hold is planned there: hold 30 to 60 min.",
                most=most,
                g=g,
                gas=gas,
                window=window,
            )
            yield _finding("no-gas-hold", say, (gas,))
