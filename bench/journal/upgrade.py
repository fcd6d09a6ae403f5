"""Older records, read as today's: one function a version of a kind.

A record on the disk never changes. When the data of a kind changes shape, its version in `bench.records.kinds` goes up
by one, and `UPGRADES[(kind, old version)]` says how the old data reads in the new shape.
"""

from collections.abc import Callable, Mapping
from typing import Any

Step = Callable[[Mapping[str, Any]], dict[str, Any]]


def _check_answered(data: Mapping[str, Any]) -> dict[str, Any]:
    """Its answer to a statement: *fine* was done, what was stopped was not. Which items it ticks, the lists say."""
    answer = {"fine": "done", "stop": "not-done"}.get(data.get("answer", ""), data.get("answer"))
    kept = {name: value for name, value in data.items() if name not in ("answer", "why")}
    return {**kept, "answer": answer} | ({} if data.get("why") is None else {"reason": data["why"]})


UPGRADES: dict[tuple[str, int], Step] = {
    ("check.answered", 1): _check_answered,
    ("swatch.measured", 1): dict,
    ("jar.opened", 1): dict,
}
"""A colour and a jar of the first version say all that those of today must: what came to them is optional."""


def upgraded(raw: Mapping[str, Any], steps: Mapping[tuple[str, int], Step] = UPGRADES) -> Mapping[str, Any]:
    """The envelope with its data in the newest shape that is known; the same object when there is nothing to do.

    Kinds and versions without a step are given back as they are.
    """
    step = steps.get((raw["kind"], raw["v"])) if steps else None
    while step is not None:
        raw = {**raw, "v": raw["v"] + 1, "data": step(raw["data"])}
        step = steps.get((raw["kind"], raw["v"]))
    return raw
