"""What stands at the head of a firing's run sheet: its schedule, and its load by places."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from bench.printing.load_cards import cooling_of_card, place_words
from bench.records.kinds import Segment
from bench.records.state import State
from bench.translation import _
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

START_C = 20.0
UNKNOWN = "–"
MOST_LETTERS = 36


@dataclass(frozen=True)
class Leg:
    """A segment of the schedule in words; `starts` and `ends` count from the moment of lighting."""

    no: str
    rate: str
    target: str
    hold: str
    starts: str
    ends: str


@dataclass(frozen=True)
class Pot:
    """A crucible of the load: where it stands, its code, what is in it, and how it cools."""

    place: str
    code: str
    what: str
    mass: str
    cooling: str


@dataclass(frozen=True)
class SheetHead:
    """Both tables; empty for the sheet of a batch."""

    schedule: tuple[Leg, ...] = ()
    load: tuple[Pot, ...] = ()


def sheet_head(state: State, thing: str) -> SheetHead:
    """The head of a firing's sheet; an empty one for anything else."""
    fire = firing(state, thing)
    if fire is None:
        return SheetHead()
    return SheetHead(tuple(legs(fire.plan.segments)), tuple(_pots(state, thing, fire.charges)))


def legs(segments: Sequence[Segment]) -> Iterator[Leg]:
    """The segments with their times; none after one that goes as fast as it goes: nobody knows how long that takes."""
    at_min: float | None = 0.0
    c = START_C
    for n, one in enumerate(segments, 1):
        starts, at_min = at_min, _ends_min(at_min, c, one)
        rate = f"{one.rate_c_per_h:g}" if one.rate_c_per_h else _("as it goes")
        hold = _span(one.hold_min) if one.hold_min else ""
        yield Leg(str(n), rate, f"{one.to_c:g}", hold, _clock(starts), _clock(at_min))
        c = one.to_c


def _ends_min(at_min: float | None, c: float, one: Segment) -> float | None:
    if at_min is None or not one.rate_c_per_h:
        return None
    return at_min + abs(one.to_c - c) / one.rate_c_per_h * 60 + one.hold_min


def _clock(minutes: float | None) -> str:
    if minutes is None:
        return UNKNOWN
    hours, rest = divmod(round(minutes), 60)
    return f"{hours}:{rest:02}"


def _span(minutes: float) -> str:
    return _("{n:g} h", n=round(minutes / 60, 2)) if minutes > 120 else _("{n:g} min", n=minutes)


def _pots(state: State, thing: str, charges: Iterable[str]) -> Iterator[Pot]:
    for one in charges:
        view = charge(state, one)
        if view is None or view.stay is None or view.stay.firing != thing:
            continue
        code = view.crucible_code or ""
        plans = [p for p in (state.slot(b, "batch.planned").body for b in view.batches) if p is not None]
        yield Pot(
            place_words(view.stay.placed) or UNKNOWN,
            f"{code[:5]}-{code[5:]}" if len(code) == 6 else UNKNOWN,
            _short(" + ".join(p.name for p in plans)) or _("Charge"),
            f"{grams_text(view.dry_g, readability_g(state))} g",
            str(cooling_of_card(view)),
        )


def _short(words: str) -> str:
    """Names as far as a column takes them; the load card says all of it."""
    return words if len(words) <= MOST_LETTERS else words[: MOST_LETTERS - 1] + "…"
