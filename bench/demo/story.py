"""The yard workshop: a calcium copper silicate blue series, a zinc iron tan, a stalled fire and one that burns now.

Everything here is made up. Minutes are counted from now; the past has a minus sign.
"""

from bench.demo.pictures import swatch_picture
from bench.demo.setup import Yard, set_up
from bench.demo.teller import DAY_MIN, Teller
from bench.workshop.moments import utc_text

SODA = {0: (58.9, -4.1, -15.2), 2: (44.7, -3.6, -27.4), 4: (40.9, -2.2, -34.0), 6: (43.6, -8.9, -29.5)}
"""Masstone of each level of soda (% of the product): L*, a*, b*, made up in the range of such blues."""
BLUE_LINES = (("calcium-carbonate", "CaCO3", 7.99), ("copper", "Cu2CO3(OH)2", 8.82), ("quartz", "SiO2", 19.18))
TAN_LINES = (("zinc", "ZnO", 5.07), ("iron", "Fe2O3", 9.94))
BLUE = {
    "target": "egyptian-blue",
    "target_formula": "CaCuSi4O10",
    "cooling_mode": "slow",
    "cooling_basis": "read",
    "atmosphere": "oxidising",
}
TAN = {
    "target": "zinc-iron-tan",
    "target_formula": "ZnFe2O4",
    "cooling_mode": "either",
    "cooling_basis": "memory",
    "atmosphere": "oxidising",
}


def tell(teller: Teller) -> None:
    """Tell the whole story and hand it to the journal."""
    yard = set_up(teller, -9 * DAY_MIN)
    series = _series(teller, yard, -7 * DAY_MIN)
    _stalled_then_fired(teller, yard, series, -5 * DAY_MIN)
    _under_way(teller, yard)
    _burning(teller, yard)
    teller.deliver()


def _plan(
    teller: Teller, yard: Yard, at: float, name: str, lines: tuple[tuple[str, str, float], ...], **more: object
) -> str:
    rows = [
        {"line": n, "formula": formula, "target_g": g, "jar": yard.jars[jar], "name": yard.names[jar], "fate": "reacts"}
        for n, (jar, formula, g) in enumerate(lines, 1)
    ]
    soda = more.pop("soda_g", None)
    if soda:
        row = {"formula": "Na2CO3", "target_g": soda, "jar": yard.jars["soda"], "name": "Soda ash", "fate": "stays"}
        rows.append({"line": len(rows) + 1, **row})
    made = teller.tell(at, "batch.planned", None, {"name": name, "from": "target", "lines": rows, **more})
    teller.code(at, made)
    return made


def _weigh(teller: Teller, at: float, batch: str, lines: list[tuple[int, str, float]]) -> None:
    for n, (line, jar, g) in enumerate(lines):
        data = {"line": line, "jar": jar, "net_g": g, "balance_d_g": 0.01}
        teller.tell(at + 4 * n, "weighed", batch, data, device="demo-phone")


def _series(teller: Teller, yard: Yard, at: float) -> dict[int, str]:
    """Four batches that differ in their soda, weighed, ground wet, dried and filled."""
    plan = {"factor": "soda", "unit": "% of the product", "levels": [0, 2, 4, 6], "control": 2}
    series = teller.tell(at, "series.planned", None, plan)
    charges = {}
    for n, level in enumerate(SODA):
        start = at + 10 + 60 * n
        soda = 0.3 * level
        batch = _plan(
            teller, yard, start, f"Yard blue, soda {level} %", BLUE_LINES,
            soda_g=soda, series=series, level=level, fired_g=30.0 + 0.585 * soda, washed_g=30.0 + 0.585 * soda,
            schedule=[{"rate_c_per_h": 200, "to_c": 900, "hold_min": 240}, {"rate_c_per_h": 60, "to_c": 700}], **BLUE,
        )  # fmt: skip
        weighed = [(i, yard.jars[jar], g) for i, (jar, _, g) in enumerate(BLUE_LINES, 1)]
        weighed += [(4, yard.jars["soda"], soda)] if soda else []
        _weigh(teller, start + 5, batch, weighed)
        if level == 4:
            _misread(teller, start + 30, batch, yard)
        teller.tell(
            start + 32, "mixed", batch, {"medium": "water", "minutes": 20, "streak": "even"}, device="demo-phone"
        )
        for k, mass in enumerate((36.9 + soda, 36.9 + soda)):
            dried = {"where": "dish", "c": 110, "minutes": 120 + 60 * k, "mass_g": mass}
            teller.tell(start + 40 + 3 * k, "dried", batch, dried)
        charges[level] = _fill(teller, start + 50, yard.pots[n], batch, 12.0)
        teller.tell(start + 55, "closed", batch, {"outcome": "kept", "why": "The rest stands dry on the shelf."})
    return charges


def _misread(teller: Teller, at: float, batch: str, yard: Yard) -> None:
    wrong = teller.tell(
        at, "weighed", batch, {"line": 3, "jar": yard.jars["quartz"], "net_g": 19.81}, device="demo-laptop"
    )
    data = {"ids": [wrong], "why": "Typed the figures the wrong way round; the phone's 19.18 g is right."}
    teller.tell(at + 1, "withdrawn", batch, data)


def _fill(teller: Teller, at: float, pot: str, batch: str, g: float) -> str:
    data = {"crucible": pot, "sources": [{"batch": batch, "g": g}], "lid": "loose", "gross_g": 48.2 + g}
    return teller.tell(at, "charged", None, data, also={"batch": batch, "crucible": pot}, device="demo-phone")


def _checks(teller: Teller, at: float, firing: str, phase: str) -> None:
    for n, item in enumerate(teller.bench.library.phase_items(phase, "gas")):
        teller.tell(at + 0.3 * n, "check.answered", firing, {"list": phase, "item": item.item, "answer": "fine"})


def _firing(teller: Teller, yard: Yard, at: float, name: str, burner: str, placed: list[tuple[str, int]]) -> str:
    segments = [
        {"rate_c_per_h": 240, "to_c": 120, "hold_min": 30},
        {"rate_c_per_h": 260, "to_c": 900, "hold_min": 240},
        {"rate_c_per_h": 60, "to_c": 700},
    ]
    data = {"furnace": yard.furnace, "burner": burner, "name": name, "segments": segments}
    firing = teller.tell(at, "firing.planned", None, data)
    teller.code(at, firing)
    for n, (charge, clock) in enumerate(placed):
        teller.tell(at + 2 + n, "placed", charge, {"firing": firing, "clock": clock}, also={"firing": firing})
    _checks(teller, at + 10, firing, "before-lighting")
    teller.tell(at + 20, "lit", firing, {"deviations": []})
    return firing


def _read(teller: Teller, firing: str, start: float, curve: list[tuple[float, float]]) -> None:
    for minutes, c in curve:
        data = {"c": c, "raw": c, "raw_unit": "C"}
        teller.tell(start + minutes, "reading", firing, data, device="demo-phone")


def _climb(plateau: float, tau_min: float, until: float, every: float = 10.0) -> list[tuple[float, float]]:
    """A climb towards a plateau with a halt at 120 °C while steam leaves, as a small gas ring does it."""
    points = [(0.0, 18.0), (6.0, 70.0), (14.0, 112.0), (25.0, 119.0), (36.0, 123.0)]
    minute = 46.0
    while minute <= until:
        c = plateau - (plateau - 123.0) * 2.718281828 ** (-(minute - 36.0) / tau_min)
        points.append((minute, round(c + (3.0 if round(minute) % 3 else -2.0))))
        minute += every
    return points


def _stalled_then_fired(teller: Teller, yard: Yard, charges: dict[int, str], at: float) -> None:
    """The old burner never gets there; the same charges go on under the new one, and are judged."""
    places = [(charge, clock) for charge, clock in zip(charges.values(), (12, 3, 6, 9), strict=True)]
    first = _firing(teller, yard, at, "Yard ring, old burner", yard.burners["old"], places)
    _read(teller, first, at + 20, _climb(742, 52, 210))
    teller.tell(at + 190, "noted", first, {"what": "wind", "value": "gusty"}, device="demo-phone")
    teller.tell(at + 232, "fire.off", first, {"reason": "stalled", "words": "742 at the most, in gusts"})
    _checks(teller, at + 295, first, "after-shutdown")
    teller.tell(at + 310, "closed", first, {"outcome": "stalled", "why": "Burner too small; go on with the new one"})
    later = at + DAY_MIN
    second = _firing(teller, yard, later, "Yard ring, new burner", yard.burners["new"], places)
    start = later + 20
    _read(teller, second, start, _climb(935, 78, 330))
    _read(teller, second, start + 340, [(10.0 * n, 899 + (n * 7) % 9) for n in range(21)])
    teller.tell(start + 560, "fire.off", second, {"reason": "reached"})
    _checks(teller, start + 625, second, "after-shutdown")
    teller.tell(start + 700, "closed", second, {"outcome": "reached"})
    for n, (level, charge) in enumerate(charges.items()):
        _out_and_judge(teller, yard, later + DAY_MIN + 30 * n, second, level, charge)


def _out_and_judge(teller: Teller, yard: Yard, at: float, firing: str, level: int, charge: str) -> None:
    data = {"firing": firing, "charge": charge, "rest_place": "brick stand"}
    teller.tell(at, "came.out", charge, data, also={"firing": firing}, device="demo-phone")
    teller.tell(at + 1, "touched", charge, {"thing": charge, "surface_c": 24.0}, device="demo-phone")
    signs = ["pale all through"] if level == 0 else ["greenish, some glass"] if level == 6 else []
    opened = {"gross_g": 58.1, "tare_after_g": 48.2, "stuck_g": 0.1 if level == 6 else 0.0, "signs": signs}
    pigment = teller.tell(at + 5, "opened", charge, opened)
    teller.code(at + 5, pigment)
    teller.tell(
        at + 9, "washed", pigment, {"round": 1, "water_ml": 200, "test": "pH", "result": "9", "waste": yard.waste}
    )
    teller.tell(
        at + 16, "washed", pigment, {"round": 2, "water_ml": 200, "test": "pH", "result": "7", "waste": yard.waste}
    )
    added = {"container": yard.waste, "from": pigment, "volume_ml": 400, "contents": "rinse water with copper"}
    teller.tell(at + 17, "waste.added", yard.waste, added)
    teller.tell(at + 18, "ground", pigment, {"medium": "water", "minutes": 10, "sieve_um": 45})
    teller.tell(at + 20, "dry.weighed", pigment, {"net_g": 9.6})
    made = {"pigment": pigment, "binder": "linseed oil", "oil_g": 0.42, "film_um": 120}
    swatch = teller.tell(at + 22, "swatch.made", None, made)
    teller.code(at + 22, swatch)
    lab = {"lab": list(SODA[level]), "se": [0.4, 0.3, 0.5], "method": "photo beside a grey card, by camera"}
    teller.tell(at + 25, "swatch.measured", swatch, lab)
    swatch_picture(teller, at + 26, swatch, SODA[level])
    verdicts = {0: ("refire", "grey and gritty"), 2: ("keep", "clean mid blue"), 4: ("keep", "the deepest of the four")}
    verdict, words = verdicts.get(level, ("tint", "turns green and sticks"))
    suspects = {0: [("underfired", "guess")], 6: [("flux wrong", "sure")]}.get(level, [])
    judged = [{"cause": cause, "certainty": certainty} for cause, certainty in suspects]
    teller.tell(at + 28, "judged", pigment, {"verdict": verdict, "words": words, "suspected": judged})
    teller.tell(at + 29, "judged", swatch, {"verdict": verdict, "words": words})


def _under_way(teller: Teller, yard: Yard) -> None:
    """One batch with two of four lines weighed, and two devices that do not agree about one of them."""
    batch = _plan(
        teller, yard, -95, "Yard blue, soda 3 %", BLUE_LINES, soda_g=0.9, fired_g=30.5, washed_g=30.5,
        schedule=[{"rate_c_per_h": 200, "to_c": 900, "hold_min": 240}, {"rate_c_per_h": 60, "to_c": 700}], **BLUE,
    )  # fmt: skip
    _weigh(teller, -80, batch, [(1, yard.jars["calcium-carbonate"], 7.99), (2, yard.jars["copper"], 8.83)])
    data = {"line": 2, "jar": yard.jars["copper"], "net_g": 8.38, "balance_d_g": 0.01}
    teller.tell(-70, "weighed", batch, data, device="demo-laptop", happened_min=-76)


def _burning(teller: Teller, yard: Yard) -> None:
    """A fire that burns now: three crucibles in, one of them out and still too hot to touch."""
    tan = {
        "fired_g": 15.0,
        "washed_g": 15.0,
        "schedule": [{"rate_c_per_h": 200, "to_c": 900, "hold_min": 120}],
        **TAN,
    }
    batch = _plan(teller, yard, -2 * DAY_MIN, "Zinc iron tan", TAN_LINES, **tan)
    _weigh(teller, -2 * DAY_MIN + 5, batch, [(1, yard.jars["zinc"], 5.07), (2, yard.jars["iron"], 9.94)])
    teller.tell(-2 * DAY_MIN + 20, "mixed", batch, {"medium": "dry", "minutes": 15, "streak": "even"})
    for n in range(2):
        dried = {"where": "dish", "c": 110, "minutes": 60, "mass_g": 15.0}
        teller.tell(-2 * DAY_MIN + 90 + 60 * n, "dried", batch, dried)
    charges = [_fill(teller, -DAY_MIN + 3 * n, yard.pots[4 + n], batch, 5.0) for n in range(3)]
    places = [(charge, clock) for charge, clock in zip(charges, (12, 4, 8), strict=True)]
    lit = -330.0
    firing = _firing(teller, yard, lit - 20, "Yard ring", yard.burners["new"], places)
    _read(teller, firing, lit, _climb(935, 78, 236))
    _read(teller, firing, lit + 242, [(6.0 * n, 899 + (n * 5) % 8) for n in range(15)])
    teller.tell(lit + 60, "noted", firing, {"what": "flame", "value": "clear"}, device="demo-phone")
    out = {"firing": firing, "charge": charges[1], "rest_place": "brick stand"}
    teller.tell(-38, "came.out", charges[1], out, also={"firing": firing}, device="demo-phone")
    timer = {"purpose": "Soak ends", "ends_at": utc_text(teller.now_ms + 142 * 60_000), "known_to_laptop": True}
    teller.tell(-90, "timer.set", firing, timer, device="demo-phone")
