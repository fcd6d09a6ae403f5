"""A bench in a process of its own, to be killed: `killable.py DATA TLS_PORT [COMMITS] [SCENE] [YARD_PORT]`.

SCENE `batch` has a batch planned and a firing that is not lit; `yard` a damp batch, a full crucible, and a firing that
burns beside one that is planned; else a firing burns. With COMMITS it ends itself, as by a power cut, after that many
commits of forms and before the answer to the last one.
"""

import os
import sys
import threading
from pathlib import Path
from typing import Any

from jinja2 import FileSystemBytecodeCache

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bench.app import create_app
from bench.science.codes import code_of
from bench.serving import network as networks
from bench.settings import Settings

CRUCIBLE_CODE = "T5C7HJ"
YARD_CODES = tuple(found for found in map(code_of, range(70_000, 70_020)) if found)[:3]
"""An empty crucible's, a full one's, a jar's."""
LINES = (("CuO", 4.0), ("SiO2", 10.0), ("CaCO3", 5.0))


def a_bench(bench: Any, scene: str) -> str:
    """What is on the bench, made at the first start: the ULIDs of its firing and of its batch."""
    known = [bench.state.open_things(what) for what in ("firing", "batch")]
    if known[0]:
        return " ".join(things[0] for things in known if things)
    journal = bench.journal
    furnace = {
        "name": "Box",
        "fuel": "electric",
        "layout": "grid",
        "tiers": 1,
        "rows": 2,
        "columns": 2,
        "volume_l": 8,
        "place": "roofed",
    }
    furnace |= {"ceiling_c": 1300, "lining_rated_c": 1350, "probe_type": "K"}
    made = journal.write("furnace.described", None, furnace)
    scenes = {"batch": _planned, "yard": _yard}
    return scenes.get(scene, _burning)(bench, made.id)


def _burning(bench: Any, furnace: str) -> str:
    journal = bench.journal
    segments = [{"to_c": 1000, "rate_c_per_h": 300, "hold_min": 60}]
    fire = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments})
    journal.write("lit", fire.id, {"deviations": []})
    return str(fire.id)


def _planned(bench: Any, furnace: str) -> str:
    """A batch of three reagents, a crucible with its code, and a firing: all of it only planned."""
    journal = bench.journal
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650}).id
    journal.write("crucible.seen", pot, {"condition": "clean", "tare_g": 50.0})
    journal.write("code.assigned", pot, {"code": CRUCIBLE_CODE, "thing": pot})
    lines = [{"line": n, "formula": formula, "target_g": g} for n, (formula, g) in enumerate(LINES, 1)]
    plan = {"name": "Yard blue", "from": "grams", "lines": lines, "cooling_mode": "in-furnace"}
    plan |= {"schedule": [{"to_c": 950, "hold_min": 30}]}
    planned = journal.write("batch.planned", None, plan).id
    segments = [{"to_c": 950, "rate_c_per_h": 300, "hold_min": 30}]
    fire = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
    return f"{fire} {planned}"


def _yard(bench: Any, furnace: str) -> str:
    """Two crucibles, one full; a damp batch, a jar and what is weighed from it; one firing burns, one is planned."""
    write = bench.journal.write
    write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    lines = [{"line": 1, "formula": "ZnO", "target_g": 20.0}]
    batches = {}
    for name, medium in (("Wrong B", "dry"), ("Damp C", "water")):
        plan = {"name": name, "from": "grams", "lines": lines, "schedule": [{"to_c": 950, "hold_min": 30}]}
        batch = write("batch.planned", None, plan).id
        write("weighed", batch, {"line": 1, "net_g": 20.0})
        write("mixed", batch, {"medium": medium, "streak": "even"})
        batches[name] = batch
    jar = write("jar.opened", None, {"reagent": "zinc-oxide", "formula": "ZnO", "net_g": 500.0}).id
    dip = {"name": "Dip E", "from": "grams", "lines": [{"line": 1, "formula": "ZnO", "target_g": 5.0, "jar": jar}]}
    write("batch.planned", None, dip)
    pots = [write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 40, "rated_c": 1650}).id for _ in "ab"]
    for thing, code in zip((*pots, jar), YARD_CODES, strict=True):
        write("code.assigned", thing, {"code": code, "thing": thing})
    sources = [{"batch": batches["Wrong B"], "g": 9.0}]
    write("charged", None, {"crucible": pots[1], "sources": sources, "lid": "loose"})
    segments = [{"to_c": 950, "rate_c_per_h": 300, "hold_min": 30}]
    fires = [write("firing.planned", None, {"furnace": furnace, "segments": segments}).id for _ in "ab"]
    write("lit", fires[0], {"deviations": []})
    return f"{fires[0]} {batches['Damp C']}"


def main() -> None:
    """Serve until killed."""
    data, port = Path(sys.argv[1]), int(sys.argv[2])
    left = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    scene = sys.argv[4] if len(sys.argv) > 4 else "fire"
    yard = int(sys.argv[5]) if len(sys.argv) > 5 else 0
    settings = Settings(data=data, plain=False, tls_port=port, yard_port=yard)
    app = create_app(settings)
    app.jinja_env.bytecode_cache = FileSystemBytecodeCache()
    bench = app.extensions["bench"]
    write_all, turn = bench.journal.write_all, bench.journal.turn
    last = threading.Event()

    def counted(*given: object) -> object:
        nonlocal left
        receipts = write_all(*given)
        left -= 1
        if left == 0:
            last.set()
        return receipts

    def deadly(at_once: bool = False) -> Any:
        made = turn(at_once)
        leave = made.leave

        def left_for_good() -> None:
            leave()
            if last.is_set():  # what was written is on the disk, and the answer is not sent
                os._exit(9)

        made.leave = left_for_good
        return made

    bench.journal.write_all, bench.journal.turn = counted, deadly
    networks.own_addresses = lambda: ["192.168.77.5"]
    workshop = networks.Workshop(app, settings, bench.now_ms)
    workshop.open(announce=False)
    assert not workshop.network.troubles, workshop.network.troubles
    print(app.extensions["pairing"].offer(), a_bench(bench, scene), flush=True)
    threading.Event().wait()


if __name__ == "__main__":
    main()
