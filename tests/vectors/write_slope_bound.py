"""Writes slope_bound.json: firings with what the slope bound says, for the Python module and its twin on the phone.

Run it from the top of the project after a deliberate change of the rule: python -m tests.vectors.write_slope_bound
The cases come from simulated furnaces with a fixed seed and from the published approach to 720 °C; the expected words
are those of the Python module, whose truth is tested elsewhere against furnaces that are known to reach or to stall.
"""

import json
from pathlib import Path
from random import Random
from typing import Any

from bench.measure.furnaces import REACHING, RHYTHMS, STALLING, TARGET_C, climbing, held, readings, slowed
from bench.science.slope_bound import Track

FILE = Path(__file__).with_name("slope_bound.json")


def case(
    name: str, taken: list[tuple[float, float]], target_c: float, slowest_tau_min: float, carbonate: bool = True
) -> dict[str, Any]:
    """One firing, what is said at each reading, and the newest line."""
    track = Track(taken, slowest_tau_min, carbonate)
    newest = track.lines[-1] if taken else None
    return {
        "name": name,
        "readings": [[round(minute, 2), c] for minute, c in taken],
        "target_c": target_c,
        "slowest_tau_min": slowest_tau_min,
        "carbonate": carbonate,
        "calls": [str(call) for call in track.calls(target_c)],
        "bound_c": track.bound_c(),
        "slope_c_min": newest.slope_c_min if newest else None,
        "stall_bound_c": track.stall_bound_c(target_c),
    }


def cases() -> list[dict[str, Any]]:
    """All cases, in order."""
    random = Random(1618)
    curves = {each.name: each.at for each in (*STALLING, *REACHING)}
    curves["held by steam"] = held(REACHING[0].at, 100, 30)
    curves["held by carbonate"] = held(REACHING[0].at, 820, 20)
    curves["held weakly by carbonate"] = slowed(REACHING[2].at, 820, 40, 0.3)
    curves["a controller's climb of 3 °C a minute"] = climbing(3)
    curves["a gas that ran out"] = lambda minute: REACHING[0].at(minute) if minute < 60 else 760 - 3 * (minute - 60)
    found = [case("no reading", [], TARGET_C, 120.0), case("one minute", [(5.0, 20.0)] * 9, TARGET_C, 120.0)]
    for name, curve in curves.items():
        for rhythm in RHYTHMS:
            taken = [(round(minute, 2), c) for minute, c in readings(curve, rhythm, random) if minute <= 240]
            found.append(case(f"{name}, {rhythm.name}", taken, TARGET_C, random.choice((90.0, 120.0, 180.0))))
    exact = [(float(minute), STALLING[0].at(minute)) for minute in range(0, 121, 4)]
    found.append(case("the exact approach to 720 °C", exact, TARGET_C, 120.0))
    # A load that is known to hold no carbonate is called earlier: the same firings, told so.
    held_back = [one for one in found if "carbonate" in one["calls"]]
    return found + [
        case(one["name"] + ", no carbonate in the load", [*map(tuple, one["readings"])], TARGET_C, 120.0, False)
        for one in held_back[::3]
    ]


if __name__ == "__main__":
    lines = ",\n".join(json.dumps(each, ensure_ascii=False) for each in cases())
    FILE.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
