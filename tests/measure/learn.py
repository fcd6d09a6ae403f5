"""`--learn`: a simulated maker, whose true colours are known: what the bench tells, wrongly or rightly, and how soon
its guesses lead to a colour that is wanted."""

from collections.abc import Callable
from random import Random
from statistics import median
from typing import Final

from bench.science.colour import Lab
from bench.workshop.between import guesses
from bench.workshop.in_common import common, signs
from bench.workshop.series_results import results
from tests.measure.figure import Figure
from tests.measure.simulated_maker import FACTORS, HIGH, LOW, MIXED, Maker, Recipe, Surface, middle, signed, within

NAME = "learn"
RUNS: Final = 200
FALSE_GOAL: Final = 5.0
POWDERS: Final = 24
NEAR_DE: Final = 2.0
"""A maker is content with a batch that is measured so near to what is wanted."""
MOST_BATCHES: Final = 60
LEAST_SHARE: Final = 0.125
"""No smaller step of what is tried is made: it would drown in the scatter."""


def run(count: int = RUNS) -> list[Figure]:
    """Makers that vary what does nothing, what does much, and what cannot be told; then makers with a wish."""
    return [*effects_told(count), *signs_told(count), *ways_to_a_colour(count)]


def effects_told(count: int) -> list[Figure]:
    """What series say: of a factor that does nothing, of one that does much, and without repeats in one load."""
    flat = [_series_tells(Random(seed), flat=True) for seed in range(count)]
    steep = [_series_tells(Random(seed), flat=False) for seed in range(count)]
    unfounded = [_tells_without_ground(Random(seed)) for seed in range(count)]
    return [
        _false("a factor that does nothing is named", flat),
        Figure("a factor that does much is named", _share(steep), "%", note="three levels, made twice"),
        Figure("named without repeats in one load", sum(unfounded), "runs", "none", not any(unfounded)),
    ]


def _share(told: list[bool]) -> float:
    return 100 * sum(told) / len(told)


def _false(name: str, told: list[bool]) -> Figure:
    share = _share(told)
    return Figure(name, share, "%", f"at most {FALSE_GOAL:g}", share <= FALSE_GOAL, f"{sum(told)} of {len(told)} runs")


def _series_tells(draw: Random, flat: bool) -> bool:
    maker, name = Maker(draw, Surface(draw, flat)), draw.choice(MIXED)
    thing = maker.series(name, [LOW[name], middle()[name], HIGH[name]], middle(), repeats=draw.choice([2, 3]))
    return _any_told(maker, thing)


def _any_told(maker: Maker, series: str) -> bool:
    return any(each.told for one in results(maker.state, series).figures for each in one.found.effects)


def _tells_without_ground(draw: Random) -> bool:
    """A dose that does much, each level made once; and a peak that does, each level made twice in a fire of its own."""
    once, apart = Maker(draw, Surface(draw)), Maker(draw, Surface(draw))
    first = once.series("dose", [LOW["dose"], middle()["dose"], HIGH["dose"]], middle(), repeats=1)
    second = apart.series("peak", [], middle(), repeats=2)
    for level in (LOW["peak"], HIGH["peak"]):
        apart.fire([apart.plan(middle() | {"peak": level}, second, level) for _n in range(2)])
    return _any_told(once, first) or _any_told(apart, second)


def signs_told(count: int) -> list[Figure]:
    """What is said to go with a sign: one that comes by chance, one that a cold fire brings, and one seen seldom."""
    chance = [_sign_told(Random(seed), POWDERS, lambda _recipe: 0.4) for seed in range(count)]
    cold = [_sign_told(Random(seed), POWDERS, _cold, "hottest") for seed in range(count)]
    few = [_sign_told(Random(seed), 5, _cold) for seed in range(count)]
    return [
        _false("something is named for a sign that comes by chance", chance),
        Figure("a cold fire is named for a sign that it brings", _share(cold), "%", note=f"{POWDERS} powders"),
        Figure("named from five powders", sum(few), "runs", "none", not any(few)),
    ]


def _cold(recipe: Recipe) -> float:
    return 0.95 if recipe["peak"] < middle()["peak"] else 0.05


def _sign_told(draw: Random, powders: int, cause: Callable[[Recipe], float], of: str = "") -> bool:
    state = signed(draw, powders, cause)
    if "grey" not in signs(state):
        return False
    return any(one.told and of in one.what for one in common(state, "grey").shared)


Way = Callable[[Maker, Lab], None]


def ways_to_a_colour(count: int) -> list[Figure]:
    """How many batches it takes to a colour that can be had: by the bench's guesses, and one factor at a time."""
    found = []
    for words, way in (("by the guesses", by_guesses), ("one factor at a time", one_at_a_time)):
        makers = [_sought(Random(seed), way) for seed in range(count)]
        took = sorted(min(MOST_BATCHES, one.made) for one in makers)
        left = sum(one >= MOST_BATCHES for one in took)
        note = (
            f"nine of ten within {took[int(0.9 * count)]}; {left} of {count} not within {MOST_BATCHES}; "
            f"{median(one.loads for one in makers):g} firings"
        )
        found.append(Figure(f"batches to a wanted colour, {words}", median(took), "batches", note=note))
    return found


def _sought(draw: Random, way: Way) -> Maker:
    surface = Surface(draw)
    wanted = surface.lab({name: draw.uniform(LOW[name], HIGH[name]) for name in FACTORS})
    maker = Maker(draw, surface)
    maker.fire([maker.plan(middle())])
    way(maker, wanted)
    return maker


def _done(maker: Maker, wanted: Lab) -> bool:
    return maker.made >= MOST_BATCHES or maker.off(maker.nearest(wanted), wanted) <= NEAR_DE


def by_guesses(maker: Maker, wanted: Lab) -> None:
    """A series of each factor about the nearest batch, and then what the bench guesses of it."""
    span = 0.5
    while not _done(maker, wanted):
        for name in FACTORS:
            _guess(maker, wanted, name, span * (HIGH[name] - LOW[name]))
            if _done(maker, wanted):
                return
        span = max(LEAST_SHARE, span / 2)


def _guess(maker: Maker, wanted: Lab, name: str, reach: float) -> None:
    control = maker.nearest(wanted)
    start = maker.recipes[control]
    levels = {within(name, start[name] - reach), within(name, start[name] + reach)} - {start[name]}
    thing = maker.series(name, sorted(levels), start, repeats=1, control=control)
    mine = [one for one in guesses(maker.state, wanted) if one.series == thing]
    if mine and not _done(maker, wanted):
        maker.again(thing, name, within(name, mine[0].guess.level), start)


def one_at_a_time(maker: Maker, wanted: Lab) -> None:
    """One factor a step up or down, on as long as it comes nearer; then the next; then all with half the step."""
    share = 0.5
    while not _done(maker, wanted):
        for name in FACTORS:
            for way in (share, -share):
                if _walked(maker, wanted, name, way * (HIGH[name] - LOW[name])):
                    break
        share = max(LEAST_SHARE, share / 2)


def _walked(maker: Maker, wanted: Lab, name: str, step: float) -> bool:
    """Whether a step that way came nearer; it goes on until one does not."""
    came = False
    while not _done(maker, wanted):
        best = maker.nearest(wanted)
        recipe = maker.recipes[best] | {name: within(name, maker.recipes[best][name] + step)}
        if recipe == maker.recipes[best]:
            return came
        made = maker.plan(recipe)
        maker.fire([made])
        if maker.nearest(wanted) != made:
            return came
        came = True
    return True
