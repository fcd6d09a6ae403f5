"""The yard as it stands before the first batch: jars, crucibles, a ring furnace with two burners, and the settings."""

from dataclasses import dataclass

from bench.demo.teller import ITSELF, Teller
from bench.workshop.records import BENCH

JARS = {
    "calcium-carbonate": ("calcium-carbonate", "CaCO3", "Calcium carbonate", 99.0, 500.0, "26-031"),
    "copper": ("copper-carbonate-basic", "Cu2CO3(OH)2", "Basic copper carbonate", 99.0, 250.0, "26-114"),
    "quartz": ("quartz-silica", "SiO2", "Quartz flour", 99.5, 1000.0, "25-220"),
    "soda": ("sodium-carbonate", "Na2CO3", "Soda ash", 99.5, 500.0, "26-007"),
    "zinc": ("zinc-oxide", "ZnO", "Zinc oxide", 99.7, 250.0, "25-198"),
    "iron": ("iron-iii-oxide", "Fe2O3", "Red iron oxide", 97.0, 500.0, "25-061"),
}
POTS = 8
TARE_G = (48.21, 47.96, 48.77, 48.05, 47.43, 48.91, 47.12, 49.30)
SETTINGS = {
    "emergency_number": "000 (made up: set your own)",
    "poison_number": "000 (made up)",
    "balance_d_g": 0.01,
    "place": "outdoors",
}


@dataclass(frozen=True)
class Yard:
    """The ids of what stands in the yard."""

    jars: dict[str, str]
    names: dict[str, str]
    pots: list[str]
    furnace: str
    burners: dict[str, str]
    waste: str


def set_up(teller: Teller, at: float) -> Yard:
    """Put the yard's things on the shelf and rack, each with its code."""
    for name, value in SETTINGS.items():
        teller.tell(at, "setting.changed", BENCH, {"name": name, "value": value})
    jars = {key: _jar(teller, at + 1, row) for key, row in JARS.items()}
    pots = [_pot(teller, at + 10 + n, TARE_G[n]) for n in range(POTS)]
    furnace = teller.tell(
        at + 20,
        "furnace.described",
        None,
        {
            "name": "Yard ring",
            "fuel": "gas",
            "layout": "ring",
            "places": 6,
            "volume_l": 9.0,
            "ceiling_c": 1150,
            "lining_rated_c": 1260,
            "place": "outdoors",
            "probe_type": "K",
            "probe_class": "2",
        },
    )
    burners = {
        key: teller.tell(at + 21, "burner.described", None, {"name": name, "fuel": "gas", "notes": notes})
        for key, (name, notes) in {
            "old": ("Old burner", "narrow; loses against the wind"),
            "new": ("New burner", "wide port, fan-fed"),
        }.items()
    }
    waste = teller.tell(at + 22, "waste.added", None, {"container": ITSELF, "contents": "rinses with copper"})
    return Yard(jars, {key: row[2] for key, row in JARS.items()}, pots, furnace, burners, waste)


def _jar(teller: Teller, at: float, row: tuple[str, str, str, float, float, str]) -> str:
    slug, formula, _, assay, net, lot = row
    data = {"reagent": slug, "formula": formula, "assay_pct": assay, "net_g": net, "lot": lot}
    made = teller.tell(at, "jar.opened", None, data | {"hydrate_known": True, "assay_sd_pct": 0.2})
    teller.code(at, made)
    return made


def _pot(teller: Teller, at: float, tare_g: float) -> str:
    data = {"ware": "alumina-99", "volume_ml": 30.0, "rated_c": 1650.0, "mark": "notches on the base"}
    made = teller.tell(at, "crucible.added", None, data)
    teller.tell(at, "crucible.seen", made, {"condition": "clean", "tare_g": tare_g, "lid_g": 12.4})
    teller.code(at, made)
    return made
