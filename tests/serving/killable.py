"""A bench in a process of its own, to be killed: `killable.py DATA TLS_PORT [COMMITS]`.

With COMMITS it ends itself, as by a power cut, after that many commits of forms and before the answer to the last one.
"""

import os
import sys
import threading
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bench.app import create_app
from bench.serving import network as networks
from bench.settings import Settings


def a_firing(bench: Any) -> str:
    """A firing that is lit, made at the first start: its ULID."""
    known = bench.state.open_things("firing")
    if known:
        return str(known[0])
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
    segments = [{"to_c": 1000, "rate_c_per_h": 300, "hold_min": 60}]
    fire = journal.write("firing.planned", None, {"furnace": made.id, "segments": segments})
    journal.write("lit", fire.id, {"deviations": []})
    return str(fire.id)


def main() -> None:
    """Serve until killed."""
    data, port = Path(sys.argv[1]), int(sys.argv[2])
    left = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    settings = Settings(data=data, plain=False, tls_port=port, yard_port=0)
    app = create_app(settings)
    bench = app.extensions["bench"]
    write_all = bench.journal.write_all

    def deadly(*given: object) -> object:
        nonlocal left
        receipts = write_all(*given)
        if left:
            left -= 1
            if not left:
                os._exit(9)
        return receipts

    bench.journal.write_all = deadly
    networks.own_addresses = lambda: ["192.168.77.5"]
    workshop = networks.Workshop(app, settings, bench.now_ms)
    workshop.open(announce=False)
    assert not workshop.network.troubles, workshop.network.troubles
    print(app.extensions["pairing"].offer(), a_firing(bench), flush=True)
    threading.Event().wait()


if __name__ == "__main__":
    main()
