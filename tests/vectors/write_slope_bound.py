"""Writes slope_bound.json: firings with what is said of them, for the Python modules and their twins on the phone.

Run it from the top of the project after a deliberate change of a rule: python -m tests.vectors.write_slope_bound
The curves come from simulated furnaces of eight families with a fixed seed, and from a stall that was read by hand; the
expected words are those of the Python modules, whose truth is tested elsewhere against what the furnaces then did.
"""

import json
from pathlib import Path
from typing import Any

from bench.science.slope_bound import Track
from bench.science.standstill import standstill
from tests.measure.firings import FAMILIES, firings

FILE = Path(__file__).with_name("slope_bound.json")
EACH, DRAWN, SEED = 6, 12, 777
TAUS_MIN = (180.0, 180.0, 90.0, 240.0)
BY_HAND_C = (180, 330, 450, 560, 640, 690, 712, 719, 721, 720, 722, 721, 721, 720, 721, 721, 720)


def case(
    name: str,
    taken: list[tuple[float, float]],
    target_c: float,
    tau_min: float = 180.0,
    carbonate: bool = True,
    dry: bool = False,
    changed_min: float | None = None,
) -> dict[str, Any]:
    """One firing, what is said at each judged reading, a stall's bound, and the fact from the fourth reading on."""
    track = Track(taken, tau_min, carbonate, dry, changed_min)
    facts = [standstill(track.used[:count], target_c) for count in range(4, len(track.used) + 1)]
    return {
        "name": name,
        "readings": [list(one) for one in taken],
        "target_c": target_c,
        "tau": tau_min,
        "carbonate": carbonate,
        "dry": dry,
        "changed": changed_min,
        "calls": [str(call) for call in track.calls(target_c)],
        "stall_bound_c": track.stall_bound_c(target_c),
        "facts": [f and [f.minutes, f.then_c, f.now_c, f.give_c, f.fell_c] for f in facts],
    }


def cases() -> list[dict[str, Any]]:
    """All cases, in order."""
    by_hand = [(10.0 * (place + 1), float(c)) for place, c in enumerate(BY_HAND_C)]
    found = [
        case("no reading", [], 1000.0),
        case("one minute", [(5.0, 20.0)] * 9, 1000.0),
        case("a stall read by hand", by_hand, 1000.0),
        case(
            "a stall at 880 °C that may be carbonate", [(c_min * 6.0, 880.0 + c_min % 2) for c_min in range(40)], 1000.0
        ),
        case("a gas that ran out", [*by_hand, *((170.0 + 5 * n, 700.0 - 15 * n) for n in range(1, 9))], 1000.0),
    ]
    for family in FAMILIES:
        for place, one in enumerate(firings(family, DRAWN, SEED)[:EACH]):
            tau, carbonate, dry = TAUS_MIN[place % 4], place % 3 != 0, place % 5 == 0
            name = f"{family}, {place + 1}"
            found.append(case(name, one.readings, one.target_c, tau, carbonate, dry, one.changed_min))
    return found


if __name__ == "__main__":
    lines = ",\n".join(json.dumps(each, ensure_ascii=False) for each in cases())
    FILE.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
