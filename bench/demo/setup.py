"""The lean-to as it is before the first batch: jars, crucibles, an electric box furnace, and the settings."""

from dataclasses import dataclass

from bench.demo.teller import ITSELF, Teller
from bench.records.record import BENCH
from bench.workshop.checked import BALANCE, probe_name

JARS = {
    "zinc": ("zinc-oxide", "ZnO", "Zinc oxide", 99.7, 250.0, "25-198", 9.5),
    "yellow": ("goethite", "FeOOH", "Yellow iron oxide", 98.0, 500.0, "26-044", 11.0),
    "red": ("iron-iii-oxide", "Fe2O3", "Red iron oxide", 97.0, 500.0, "25-061", 8.0),
    "titania": ("titania-anatase", "TiO2", "Titanium dioxide", 99.0, 250.0, "26-022", 10.5),
    "copper": ("copper-carbonate-basic", "Cu2CO3(OH)2", "Basic copper carbonate", 99.0, 250.0, "26-114", 19.0),
    "chalk": ("calcium-carbonate", "CaCO3", "Calcium carbonate", 99.0, 500.0, "26-031", 4.5),
    "quartz": ("quartz-silica", "SiO2", "Quartz flour", 99.5, 1000.0, "25-220", 6.0),
    "soda": ("sodium-carbonate", "Na2CO3", "Soda ash", 99.5, 500.0, "26-007", 5.0),
}
"""Reagent, formula, name, assay in per cent, grams, lot, and a price that is made up."""
POTS = (
    ("one notch on the base", 48.21),
    ("two notches on the base", 47.96),
    ("three notches on the base", 48.77),
    ("a cross on the base", 48.05),
    ("a ring on the base", 47.43),
    ("a triangle on the base", 48.91),
    ("a bar on the rim", 47.12),
    ("two bars on the rim", 49.30),
)
"""The mark of each crucible and its empty mass in grams: no two alike."""
SETTINGS = {
    # Numbers that are reserved for fiction: nobody is called by a key that is tried out.
    "emergency_number": "01632 960112 (made up: set your own)",
    "poison_number": "01632 960113 (made up)",
    "balance_d_g": 0.01,
    "place": "outdoors",
    "currency": "EUR",
}
FURNACE = {
    "name": "Lean-to box",
    "fuel": "electric",
    "layout": "grid",
    "tiers": 1,
    "rows": 2,
    "columns": 3,
    "volume_l": 6.0,
    "ceiling_c": 1150,
    "lining_rated_c": 1260,
    "place": "outdoors",
    "probe_type": "K",
    "probe_class": "2",
    "lid_switch": True,
    "cut_out": True,
    "rcd": True,
}


@dataclass(frozen=True)
class Workshop:
    """The ids of what the workshop has."""

    jars: dict[str, str]
    pots: list[str]
    furnace: str
    element: str
    waste: str


def set_up(teller: Teller, at: float) -> Workshop:
    """Put the workshop's things on the shelf and rack, each with its code."""
    for name, value in SETTINGS.items():
        teller.tell(at, "setting.changed", BENCH, {"name": name, "value": value})
    jars = {key: _jar(teller, at + 1, key) for key in JARS}
    pots = [_pot(teller, at + 10 + n, mark, tare_g) for n, (mark, tare_g) in enumerate(POTS)]
    furnace = teller.tell(at + 20, "furnace.described", None, FURNACE)
    waste = teller.tell(at + 22, "waste.added", None, {"container": ITSELF, "contents": "rinses with copper"})
    teller.code(at + 22, waste)
    _checks(teller, at + 25, furnace)
    return Workshop(jars, pots, furnace, element(teller, at + 21, "First element"), waste)


def _checks(teller: Teller, at: float, furnace: str) -> None:
    """Before the work begins: a check weight on the balance, a second probe beside that of the furnace."""
    for name, how, true, shown in (
        (BALANCE, "check-weight", 50.0, 50.01),
        (probe_name(furnace), "second-probe", 900.0, 903.0),
    ):
        value = {"how": how, "true": true, "shown": shown}
        teller.tell(at, "setting.changed", BENCH, {"name": name, "value": value})


def element(teller: Teller, at: float, name: str) -> str:
    """A heating element of the furnace, by which its firings are told apart."""
    return teller.tell(at, "burner.described", None, {"name": name, "fuel": "electric"})


def _jar(teller: Teller, at: float, key: str) -> str:
    made = teller.tell(at, "jar.opened", None, label(key))
    teller.code(at, made)
    return made


def label(key: str) -> dict[str, object]:
    """What the label of a jar says, as a record's data."""
    slug, formula, _name, assay, net, lot, price = JARS[key]
    told = {"reagent": slug, "formula": formula, "assay_pct": assay, "assay_sd_pct": 0.2, "net_g": net, "lot": lot}
    return told | {"hydrate_known": True, "price": price}


def _pot(teller: Teller, at: float, mark: str, tare_g: float) -> str:
    data = {"ware": "alumina-99", "volume_ml": 30.0, "rated_c": 1650.0, "mark": mark}
    made = teller.tell(at, "crucible.added", None, data)
    teller.tell(at, "crucible.seen", made, {"condition": "clean", "tare_g": tare_g, "lid_g": 12.4})
    teller.code(at, made)
    return made
