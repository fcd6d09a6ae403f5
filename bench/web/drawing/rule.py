"""The heat rule: minutes at heat as a bar on a graduation, with the end that was planned."""

from dataclasses import dataclass

from bench.web.drawing.scale import Scale, marks, step_for

WIDTH = 328.0


@dataclass(frozen=True)
class Rule:
    """`ticks` are (x, major); `done` is the x to which the bar reaches; `end` the x of the planned end, or None."""

    width: float
    ticks: list[tuple[float, bool]]
    done: float
    end: float | None


def heat_rule(done_min: float, planned_min: float | None, longest_min: float | None = None) -> Rule:
    """Minutes at heat against the planned ones, on a rule as long as the longest of those shown together."""
    top = max(longest_min or 0.0, planned_min or 0.0, done_min, 1.0)
    scale = Scale(0.0, top, 1.0, WIDTH - 1.0)
    step = step_for(top, 16)
    ticks = [(scale.at(mark), round(mark / step) % 4 == 0) for mark in marks(0.0, top, step)]
    return Rule(WIDTH, ticks, scale.inside(max(done_min, 0.0)), None if planned_min is None else scale.at(planned_min))
