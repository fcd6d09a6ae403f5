"""The furnace from above, front at the bottom: a ring of places like a clock, or a grid of rows and columns."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, radians, sin

SIDE = 360.0
CENTRE = 180.0
LINING_R, CHAMBER_R = 172.0, 145.0
PLACES_R, POT_R = 95.0, 35.0
TAG_W, TAG_H = 96.0, 27.0
MOST_TAGGED = 8
MOST_COLUMNS_TAGGED = 3
STATES = ("in", "hot", "out", "empty")

Line = tuple[float, float, float, float]


@dataclass(frozen=True)
class Pot:
    """One place and what stands in it. `state`: in (cold), hot (at heat), out, empty. `place`: its name on the plan."""

    place: str
    state: str
    code: str = ""
    x: float = 0.0
    y: float = 0.0
    r: float = POT_R
    tagged: bool = True

    @property
    def rays(self) -> list[Line]:
        """The rays that say heat without colour."""
        return (
            [_spoke(self.x, self.y, self.r + 4, self.r + 9, 20.0 * n) for n in range(18)] if self.state == "hot" else []
        )

    @property
    def tag_path(self) -> str:
        """The outline of the tag, chamfered on the left."""
        x, y = self.x - TAG_W / 2, self.y + self.r * 0.17
        return f"M{x + 7:.1f} {y:.1f}h{TAG_W - 7:.1f}v{TAG_H}h-{TAG_W - 7:.1f}l-7 -7v-13z"

    @property
    def tag_at(self) -> tuple[float, float]:
        """Where the tag's left edge and the line of its text are."""
        return self.x - TAG_W / 2, self.y + self.r * 0.17 + 20.0


@dataclass(frozen=True)
class Plan:
    """A furnace drawn from above. `shape` is ring or grid; `lit` darkens and warms its floor."""

    shape: str
    width: float
    height: float
    lit: bool
    pots: list[Pot]
    joints: list[Line]
    ticks: list[Line]
    hours: list[tuple[float, float, str]]
    port: str | None
    probe: Line | None
    chamber: tuple[float, float, float, float] | None = None


def _spoke(x: float, y: float, near: float, far: float, degrees: float) -> Line:
    """A line outward from a centre; 0° is up and the angle grows with the clock."""
    s, c = sin(radians(degrees)), -cos(radians(degrees))
    return (x + near * s, y + near * c, x + far * s, y + far * c)


def clock_angle(place: str) -> float | None:
    """Degrees of a clock place (`12` is 0, `3` is 90); None for a place that is no hour of the clock."""
    return (int(place) % 12) * 30.0 if place.isascii() and place.isdigit() and 1 <= int(place) <= 12 else None


def ring(
    pots: Sequence[Pot], *, lit: bool = False, port_clock: str | None = None, probe_clock: str | None = None
) -> Plan:
    """A round furnace. Each pot's `place` is an hour of the clock, 6 at the front; any other place is the middle."""
    angles = sorted({angle for pot in pots if (angle := clock_angle(pot.place)) is not None})
    gaps = [(b - a) for a, b in pairwise(angles)] + ([360 - angles[-1] + angles[0]] if angles else [])
    closest = min((gap for gap in gaps if gap), default=360.0)
    r = min(POT_R, PLACES_R * sin(radians(min(closest, 180.0)) / 2) * 0.86)
    tagged = len(pots) <= MOST_TAGGED
    put = []
    for pot in pots:
        angle = clock_angle(pot.place)
        x, y = _spoke(CENTRE, CENTRE, 0, PLACES_R if angle is not None else 0.0, angle or 0.0)[2:]
        put.append(Pot(pot.place, pot.state, pot.code, x, y - 6.0, r, tagged and bool(pot.code)))
    hours = [str(hour) for hour in (2, 4, 6, 8, 10, 12)]
    named = sorted({*hours, *(pot.place for pot in pots if clock_angle(pot.place) is not None)}, key=int)
    port_angle = None if port_clock is None else clock_angle(port_clock)
    return Plan(
        shape="ring",
        width=SIDE,
        height=SIDE + 28.0,
        lit=lit,
        pots=put,
        joints=[_spoke(CENTRE, CENTRE, CHAMBER_R, LINING_R + 2, 15.0 + 30.0 * n) for n in range(12)],
        ticks=[_spoke(CENTRE, CENTRE, 134.0 if n % 5 == 0 else 139.0, 144.0, 6.0 * n) for n in range(60)],
        hours=[
            (*_spoke(CENTRE, CENTRE, 0, 159.5, (int(hour) % 12) * 30.0)[2:], hour)
            for hour in named
            if hour != port_clock
        ],
        port=None if port_angle is None else f"rotate({port_angle - 270:.0f} 180 180)",
        probe=_probe(probe_clock, put),
    )


def _probe(place: str | None, pots: Sequence[Pot]) -> Line | None:
    """The thermocouple, from outside the shell to its tip near the middle."""
    angle = clock_angle(place) if place is not None else None
    if angle is None:
        return None
    outer = _spoke(CENTRE, CENTRE, 0, 183.0, angle)[2:]
    return (*outer, *_spoke(CENTRE, CENTRE, 0, 44.0, angle)[2:])


def grid(pots: Sequence[Pot], rows: int, columns: int, *, lit: bool = False) -> Plan:
    """A box furnace, one tier. Each pot's `place` is `row.column`, counted from 1 at the back left; front below."""
    rows, columns = max(1, rows), max(1, columns)
    inner_w, pitch_x = 300.0, 300.0 / columns
    pitch_y = min(104.0, max(64.0, pitch_x))
    inner_h = pitch_y * rows + 20.0
    r = min(POT_R, pitch_x / 2 - 9.0, pitch_y / 2 - 7.0)
    by_place = {pot.place: pot for pot in pots}
    put = []
    for row in range(1, rows + 1):
        for column in range(1, columns + 1):
            place = f"{row}.{column}"
            pot = by_place.get(place, Pot(place, "empty"))
            x, y = 30.0 + pitch_x * (column - 0.5), 40.0 + pitch_y * (row - 0.5)
            tagged = columns <= MOST_COLUMNS_TAGGED and bool(pot.code)
            put.append(Pot(place, pot.state, pot.code, x, y - (6.0 if tagged else 0.0), r, tagged))
    bricks = 60.0
    joints = [(x, y, x, y + 24.0) for y in (3.0, 33.0 + inner_h) for x in _steps(30.0, 330.0, bricks)]
    joints += [(x, y, x + 24.0, y) for x in (3.0, 333.0) for y in _steps(32.0, 32.0 + inner_h, bricks)]
    return Plan(
        shape="grid",
        width=SIDE,
        height=inner_h + 62.0 + 28.0,
        lit=lit,
        pots=put,
        joints=joints,
        ticks=[],
        hours=[],
        port=None,
        probe=None,
        chamber=(30.0, 30.0, inner_w, inner_h),
    )


def _steps(low: float, high: float, step: float) -> list[float]:
    return [low + step * n for n in range(int((high - low) / step + pi / 1000) + 1)]
