"""Filled crucibles beside a described furnace, ready to be fired, as the steps before would have left them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from flask import Flask

CODES = ("T5C7HJ", "7K3MQX", "9QH2FB", "2NHV60", "K48TWF", "M2G9XY")
POWDER_G = 5.0


@dataclass(frozen=True)
class Load:
    """A furnace and what is to stand in it; `codes` are those of the crucibles, `tares_g` their empty masses."""

    furnace: str
    charges: tuple[str, ...]
    codes: tuple[str, ...]
    tares_g: tuple[float, ...]


def batch_of(app: Flask, lines: Sequence[tuple[str, float]], name: str, **more: Any) -> str:
    """A batch that was weighed, mixed and dried."""
    journal = app.extensions["bench"].journal
    planned = [{"line": n, "formula": formula, "target_g": g} for n, (formula, g) in enumerate(lines, 1)]
    plan = {"name": name, "from": "grams", "lines": planned, "cooling_mode": "in-furnace", "cooling_basis": "read"}
    batch: str = journal.write("batch.planned", None, plan | more).id
    for n, (_formula, g) in enumerate(lines, 1):
        journal.write("weighed", batch, {"line": n, "net_g": g})
    journal.write("mixed", batch, {"medium": "dry", "streak": "even"})
    for _ in range(2):
        journal.write("dried", batch, {"where": "dish", "mass_g": sum(g for _, g in lines)})
    return batch


def filled(app: Flask, batch: str, code: str, tare_g: float, g: float = POWDER_G, **charge: Any) -> str:
    """A tared crucible with a code, filled from a batch and lidded."""
    journal = app.extensions["bench"].journal
    pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 30, "rated_c": 1650}).id
    journal.write("crucible.seen", pot, {"condition": "clean", "tare_g": tare_g})
    journal.write("code.assigned", pot, {"code": code, "thing": pot})
    data = {"crucible": pot, "sources": [{"batch": batch, "g": g}], "lid": "loose"} | charge
    found: str = journal.write("charged", None, data).id
    return found


def load_of(app: Flask, tares_g: Sequence[float], cooling: str = "in-furnace", fuel: str = "gas") -> Load:
    """An emergency number, a ring furnace outdoors, and as many filled crucibles as tares are given."""
    journal = app.extensions["bench"].journal
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    batch = batch_of(app, [("ZnO", 10.0), ("Fe2O3", 20.0)], "Tan", cooling_mode=cooling)
    codes = CODES[: len(tares_g)]
    charges = tuple(filled(app, batch, code, g) for code, g in zip(codes, tares_g, strict=True))
    told = {"name": "Yard ring", "fuel": fuel, "layout": "ring", "places": 6, "place": "outdoors", "ceiling_c": 1250}
    furnace = journal.write("furnace.described", None, told | {"lining_rated_c": 1300, "probe_type": "K"}).id
    return Load(furnace, charges, codes, tuple(tares_g))


def planned(app: Flask, load: Load, segments: Sequence[dict[str, Any]]) -> str:
    """A firing of this load, planned, every crucible in its place of the ring."""
    journal = app.extensions["bench"].journal
    firing: str = journal.write("firing.planned", None, {"furnace": load.furnace, "segments": list(segments)}).id
    for thing, hour in zip(load.charges, (12, 2, 4, 6, 8, 10), strict=False):
        journal.write("placed", thing, {"firing": firing, "clock": hour})
    return firing
