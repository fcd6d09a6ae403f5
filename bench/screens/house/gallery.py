"""What the gallery shows: made-up numbers in real shapes, drawn and checked by the same code as on the bench."""

from bench.web.drawing import Curve, Fan, Gauge, Pot, Rule, curve, gauge, grid, heat_rule, ring
from bench.web.drawing.furnace import Plan
from bench.web.forms import Form, blank

SHEETS = ("today", "weigh", "fields", "refused", "firing", "reading", "plan", "lists", "safety", "swatches")

HOUR_MS = 3_600_000
LIT_MS = 1_794_470_400_000  # a morning, 08:00 UTC
CODES = ("7K3MQX", "8ZC4D9", "2NHV60", "6XJ1BS", "K48TWF", "M2G9XY")
WORKING = [
    {"say": "30.00 g of CaCuSi₄O₁₀ at 375.954 g/mol", "value": 0.0798, "unit": "mol", "source": "ciaaw"},
    {"say": "One copper in each: 0.07980 mol × 63.546 g/mol", "value": 5.071, "unit": "g", "source": "ciaaw"},
    {"say": "The jar has 55.7 % copper by its own assay", "value": 9.104, "unit": "g", "source": None},
]


def asked_form() -> Form:
    """A form as it is first shown."""
    return blank(net_g="", hydrate="known", c="903")


def refused_form() -> Form:
    """A form that was posted with one of every mistake."""
    form = Form(
        {"net_g": "9,1.1", "lot": "", "code": "T5C7HK", "note": "typed with care", "happened": "25:70", "hydrate": "x"},
        now_ms=LIT_MS,
    )
    form.number("net_g", low=0.01, high=500, unit="g")
    form.text("lot", required=True)
    form.choice("hydrate", ("known", "unknown"))
    form.code("code")
    return form


def within() -> Gauge:
    """A target with nothing on the balance yet."""
    return gauge(9.08, 9.12)


def on_target() -> Gauge:
    """A value in the band."""
    return gauge(9.08, 9.12, value=9.11)


def too_much() -> Gauge:
    """A value far over the band."""
    return gauge(9.08, 9.12, value=9.46)


def difference() -> Gauge:
    """A colour difference against the noise, with its uncertainty."""
    return gauge(0.0, 1.4, value=3.9, plus_minus=1.1, reach=(0.0, 8.0), band_words="noise 1.4")


READ = [
    (0, 18), (0.13, 60), (0.27, 105), (0.6, 118), (0.95, 125), (1.2, 190), (1.7, 330), (2.2, 470), (2.7, 610),
    (3.1, 720), (3.4, 775), (3.65, 845), (3.85, 886), (4.07, 900), (4.4, 905), (4.8, 901), (5.2, 904), (5.53, 903),
]  # fmt: skip
PLANNED = [(0, 20), (0.33, 120), (0.83, 120), (2.6, 650), (3.63, 900), (7.63, 900), (12.63, 700)]


def firing(look: str = "phone") -> Curve:
    """A firing in its soak."""
    at = [(LIT_MS + h * HOUR_MS, c) for h, c in READ]
    plan = [(LIT_MS + h * HOUR_MS, c) for h, c in PLANNED]
    end = LIT_MS + 8.07 * HOUR_MS
    mini = look == "mini"
    return curve(
        at,
        plan,
        look=look,
        to_ms=LIT_MS + (8.7 if mini else 12.83) * HOUR_MS,
        forecast=[at[-1], (end, 903)],
        fan=None if mini else Fan(end, 903, 25, 60, 700),
        soak=None if mini else (at[13][0], end),
        end_ms=end if mini else None,
        end_text="16:04",
    )


def first_reading() -> Curve:
    """A firing with a plan and one reading only."""
    return curve([(LIT_MS, 18)], [(LIT_MS + h * HOUR_MS, c) for h, c in PLANNED])


def at_heat(planned_min: float) -> Rule:
    """Minutes at heat of one crucible."""
    return heat_rule(98, planned_min, 240)


def yard(lit: bool = True) -> Plan:
    """A ring furnace with six places."""
    places = ("12", "2", "4", "6", "8", "10")
    state = "hot" if lit else "in"
    pots = [Pot(place, "out" if place == "4" else state, code) for place, code in zip(places, CODES, strict=True)]
    return ring(pots, lit=lit, port_clock="9", probe_clock="1")


def box(columns: int = 3, lit: bool = False) -> Plan:
    """A box furnace, one tier."""
    pots = [Pot(f"1.{n + 1}", "hot" if lit else "in", CODES[n]) for n in range(min(columns, 3))]
    return grid([*pots, Pot("2.1", "out", CODES[3])], 2, columns, lit=lit)


SWATCHES = [
    {
        "id": "a",
        "masstone": "#697d8f",
        "tint": "#a3b3bd",
        "name": "0",
        "unit": "%",
        "say": "Soda 0 %, masstone over tint",
    },
    {"id": "b", "masstone": "#3c6e9a", "tint": "#8eb1cb", "name": "2", "unit": "%", "say": "Soda 2 %", "picked": True},
    {"id": "c", "masstone": "#26649f", "tint": "#81abcf", "name": "4", "unit": "%", "say": "Soda 4 %", "picked": True},
    {"id": "d", "masstone": "#166f99", "tint": "#7db2c7", "name": "6", "unit": "%", "say": "Soda 6 %"},
]
