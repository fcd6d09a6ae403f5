"""The lean-to workshop: an electric box furnace whose element ages, a hydrate that was not the one on the label, two
crucibles that changed places on the rack, a batch half weighed, and a firing that burns now.

Everything here is made up. Minutes are counted from now; the past has a minus sign.
"""

from typing import Any

from bench.demo.setup import element, label, set_up
from bench.demo.steps import Filled, Maker, Result, climb, hold
from bench.demo.teller import DAY_MIN, Teller
from bench.records.moments import to_ms, utc_text
from bench.steps.named import STEADY_MIN
from bench.workshop.soaking import soaking
from bench.workshop.things.firings import firing as firing_of

BLUE: dict[str, Any] = {
    "target": "egyptian-blue",
    "target_formula": "CaCuSi4O10",
    "cooling_mode": "slow",
    "cooling_basis": "read",
    "atmosphere": "oxidising",
    "schedule": [{"rate_c_per_h": 300, "to_c": 950, "hold_min": 240}, {"rate_c_per_h": 60, "to_c": 700}],
}
TITANATE: dict[str, Any] = {
    "target": "zinc-iron-titanate-tan",
    "cooling_mode": "either",
    "cooling_basis": "memory",
    "atmosphere": "oxidising",
    "schedule": [{"rate_c_per_h": 300, "to_c": 1000, "hold_min": 180}],
}
TAN: dict[str, Any] = {
    "target": "zinc-iron-tan",
    "target_formula": "ZnFe2O4",
    "cooling_mode": "either",
    "cooling_basis": "memory",
    "atmosphere": "oxidising",
    "schedule": [{"rate_c_per_h": 350, "to_c": 900, "hold_min": 120}],
}
BLUE_LINES = (("chalk", 4.03), ("copper", 4.46), ("quartz", 9.64), ("soda", 0.30))
TRIAL_LINES = (("zinc", 6.08), ("yellow", 4.50), ("titania", 2.00))
TAN_LINES = (("zinc", 5.08), ("red", 10.24))
HYDRATE = "Fe2O3*2H2O"
"""What the fire-assay finds in the jar of yellow iron oxide."""
HALF_WEIGHED_LINES = (("chalk", 8.07), ("copper", 8.91), ("quartz", 19.27), ("soda", 0.90))

SERIES = {
    0.3: ("Zn1.3Fe1.4Ti0.3O4", (5.27, 6.81, 1.20), 0.9056),
    0.4: ("Zn1.4Fe1.2Ti0.4O4", (5.67, 5.83, 1.60), 0.9181),
    0.5: ("Zn1.5FeTi0.5O4", (6.08, 4.86, 2.00), 0.9309),
    0.6: ("Zn1.6Fe0.8Ti0.6O4", (6.48, 3.88, 2.40), 0.9440),
}
"""For each share of titanium: the formula, grams of zinc, yellow iron and titanium oxide for 12 g, and what each gram
leaves in the fire. The yellow iron oxide is counted as the hydrate that the fire-assay found."""
SWAPPED = {0.4: 0.5, 0.5: 0.4}
"""Whose crucible was taken for whose when they were weighed out."""
SAID = {
    0.3: Result((57.9, 14.2, 29.8), "tint", "brown rather than tan"),
    0.4: Result((62.8, 11.6, 32.1), "keep", "weighed out in the crucible of 0.5: a warm tan"),
    0.5: Result((67.4, 8.9, 33.5), "keep", "weighed out in the crucible of 0.4: the cleanest of the four"),
    0.6: Result((72.6, 6.1, 31.2), "tint", "pale, weak in oil"),
}
"""What each share of titanium gave. Colours are made up in the range of such tans."""


def tell(teller: Teller) -> None:
    """Tell the whole story and hand it to the journal."""
    shop = set_up(teller, -14 * DAY_MIN)
    maker = Maker(teller, shop)
    _trials(maker, -12 * DAY_MIN)
    _assay(maker, -9 * DAY_MIN)
    _aged_element(maker, _series(maker, -8 * DAY_MIN), -6 * DAY_MIN)
    new = element(teller, -4 * DAY_MIN, "New element")
    _half_weighed(maker)
    firing = _burning(maker, new)
    teller.deliver()
    _soak_timer(teller, firing)
    teller.deliver()


def _trials(maker: Maker, at: float) -> None:
    """A blue that came out well, and a tan that came out pale: its iron was short, and nobody knew why yet."""
    blue = maker.plan(at, "Lean-to blue, soda 2 %", BLUE_LINES, BLUE, fired_g=15.3, washed_g=15.3)
    tan = maker.plan(
        at + 60, "Trial tan", TRIAL_LINES, TITANATE, target_formula="Zn1.5FeTi0.5O4", fired_g=12.1, washed_g=12.1
    )
    for start, batch, lines in ((at + 5, blue, BLUE_LINES), (at + 65, tan, TRIAL_LINES)):
        maker.weigh(start, batch, lines)
        maker.mix_wet(start + 20, batch, lines)
    filled = [maker.fill(at + 280, 6, blue, 14.0), maker.fill(at + 340, 7, tan, 11.0)]
    for batch in (blue, tan):
        maker.close(at + 360, batch, "kept", "The rest is dry on the shelf.")
    lit = at + DAY_MIN
    firing = maker.light(
        lit - 20, "Two trials", maker.shop.element, BLUE["schedule"], list(zip(filled, ((1, 1), (1, 3)), strict=True))
    )
    maker.read(firing, lit, [*climb(1180, 170), *hold(180, 950, 25)])
    maker.read(firing, lit, [(470, 902), (520, 851), (570, 800), (620, 750), (670, 701)])
    maker.off(lit + 672, firing)
    out = lit + DAY_MIN
    deep = Result((44.2, -3.4, -28.1), "keep", "clean mid blue")
    pale = Result((74.8, 5.2, 24.6), "make-up", "pale, with white specks", "wrong hydrate or assay", ("white specks",))
    pigment = maker.open(out, firing, filled[0], 0.8307, deep)
    maker.rinse(out + 9, pigment)
    maker.judge(out + 20, pigment, 11.4, deep)
    maker.judge(out + 60, maker.open(out + 45, firing, filled[1], 0.934, pale), 10.1, pale)


def _assay(maker: Maker, at: float) -> None:
    """Two samples of the yellow iron oxide, fired: more water leaves than its label allows, and the label is mended."""
    teller, jar = maker.teller, maker.shop.jars["yellow"]
    maker.found["yellow"] = HYDRATE
    for n, (before, after) in enumerate(((10.00, 8.16), (10.02, 8.17))):
        data = {"before_g": before, "after_g": after, "at_c": 900}
        teller.tell(at + 90 * n, "jar.assayed", jar, data, device="demo-phone")
    told = label("yellow") | {"formula": HYDRATE, "assay_pct": 100.0}
    teller.tell(at + 100, "jar.opened", jar, told, corrects=(jar,))
    teller.tell(at + 130, "crucible.seen", maker.shop.pots[6], {"condition": "clean"})


def _series(maker: Maker, at: float) -> dict[float, Filled]:
    """Four batches that differ in their titanium, weighed by the mended label, ground wet, dried and filled."""
    plan = {"factor": "titanium", "unit": "of each formula", "levels": list(SERIES), "control": 0.5}
    series = maker.teller.tell(at, "series.planned", None, plan)
    filled = {}
    for n, (level, (formula, grams, _left)) in enumerate(SERIES.items()):
        start = at + 10 + 60 * n
        lines = tuple(zip(("zinc", "yellow", "titania"), grams, strict=True))
        more = {"series": series, "level": level, "target_formula": formula, "fired_g": 12.0, "washed_g": 12.0}
        batch = maker.plan(start, f"Titanate tan, titanium {level}", lines, TITANATE, **more)
        maker.weigh(start + 5, batch, lines)
        if level == 0.5:
            _misread(maker, start + 24, batch)
        maker.mix_wet(start + 28, batch, lines)
        filled[level] = maker.fill(start + 280, n, batch, 11.0)
        maker.close(start + 290, batch, "kept", "The rest is dry on the shelf.")
    return filled


def _misread(maker: Maker, at: float, batch: str) -> None:
    data = {"line": 2, "jar": maker.shop.jars["yellow"], "net_g": 4.68}
    wrong = maker.teller.tell(at, "weighed", batch, data, device="demo-laptop")
    why = "Typed the figures the wrong way round; the phone's 4.86 g is right."
    maker.teller.tell(at + 1, "withdrawn", batch, {"ids": [wrong], "why": why})


def _aged_element(maker: Maker, filled: dict[float, Filled], at: float) -> None:
    """The element holds less than it did: the climb takes longer. On the rack, two crucibles change places."""
    places = ((1, 1), (1, 3), (2, 1), (2, 3))
    firing = maker.light(
        at - 20, "Titanate series", maker.shop.element, TITANATE["schedule"],
        list(zip(filled.values(), places, strict=True)),
    )  # fmt: skip
    maker.read(firing, at, [*climb(1065, 300), *hold(310, 1000, 19)])
    words = {"what": "words", "value": "Full power since 700 °C; the left side glows darker"}
    maker.teller.tell(at + 240, "noted", firing, words, device="demo-phone")
    maker.off(at + 492, firing, "950 °C came 65 min later than in the first firing: the element is worn.")
    for n, (level, one) in enumerate(filled.items()):
        really = SWAPPED.get(level, level)
        left, said = SERIES[really][2], SAID[really]
        out = at + DAY_MIN + 30 * n
        pigment = maker.open(out, firing, one, left, said, filled[really])
        maker.judge(out + 10, pigment, round(one.g * left - 0.2, 1), said)


def _half_weighed(maker: Maker) -> None:
    """A batch with two of four lines weighed, and two devices that do not agree about one of them."""
    batch = maker.plan(-95, "Lean-to blue, soda 3 %", HALF_WEIGHED_LINES, BLUE, fired_g=30.8, washed_g=30.8)
    maker.weigh(-80, batch, (("chalk", 8.07), ("copper", 8.92)))
    data = {"line": 2, "jar": maker.shop.jars["copper"], "net_g": 8.29, "balance_d_g": 0.01}
    maker.teller.tell(-70, "weighed", batch, data, device="demo-laptop", happened_min=-76)


def _burning(maker: Maker, new: str) -> str:
    """A firing under the new element: three crucibles in, one of them out and still too hot to touch."""
    at, lit = -2 * DAY_MIN, -255.0
    batch = maker.plan(at, "Zinc iron tan", TAN_LINES, TAN, fired_g=15.3, washed_g=15.3)
    maker.weigh(at + 5, batch, TAN_LINES)
    maker.mix(at + 20, batch, "dry", 15)
    for n in range(2):
        dried = {"where": "dish", "c": 110, "minutes": 60, "mass_g": 15.3, "apart_min": STEADY_MIN}
        maker.teller.tell(at + 90 + 60 * n, "dried", batch, dried)
    filled = [maker.fill(-DAY_MIN + 3 * n, 4 + n, batch, 5.0) for n in range(3)]
    places = ((1, 2), (2, 1), (2, 3))
    firing = maker.light(lit - 20, "Zinc iron tan", new, TAN["schedule"], list(zip(filled, places, strict=True)))
    maker.read(firing, lit, [*climb(1180, 150), *hold(158, 900, 16, 6.0)])
    maker.take_out(-38, firing, filled[1])
    return firing


def _soak_timer(teller: Teller, firing: str) -> None:
    """A timer to the end of the soak, as the page of the fire says it by its readings."""
    view = firing_of(teller.bench.state, firing)
    ends = soaking(teller.bench.state, view).ends if view is not None else None
    if ends is not None:
        timer = {"purpose": "Soak ends", "ends_at": utc_text(to_ms(ends)), "known_to_laptop": True}
        teller.tell(-7, "timer.set", firing, timer, device="demo-phone")
