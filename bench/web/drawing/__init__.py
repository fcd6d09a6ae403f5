"""The geometry of the pictures, worked out here from plain numbers; the templates only put it into SVG.

Lengths are in px of the drawing's own box, which is drawn 1 : 1 on a phone 360 px wide, y downwards.
"""

from bench.web.drawing.curve import Curve, Fan, curve
from bench.web.drawing.furnace import Pot, grid, ring
from bench.web.drawing.gauge import Gauge, gauge
from bench.web.drawing.levels import LevelPlot, level_plot
from bench.web.drawing.rule import Rule, heat_rule

__all__ = [
    "Curve", "Fan", "Gauge", "LevelPlot", "Pot", "Rule", "curve", "gauge", "grid", "heat_rule", "level_plot", "ring",
]  # fmt: skip
