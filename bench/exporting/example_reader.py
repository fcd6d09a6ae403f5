"""An example of how to read a Saggar export: the grams that were weighed of each batch.

Use: python read_export.py records.json
"""

import json
import sys
from typing import Any

Record = dict[str, Any]


def standing(records: list[Record]) -> list[Record]:
    """The records that nobody corrected or withdrew; what undid them may itself have been undone."""
    undone: dict[str, list[str]] = {}
    for one in records:
        for target in [*one.get("corrects", []), *(one["data"]["ids"] if one["kind"] == "withdrawn" else [])]:
            undone.setdefault(target, []).append(one["id"])

    def stands(name: str) -> bool:
        return not any(stands(other) for other in undone.get(name, []) if other != name)

    return sorted((one for one in records if stands(one["id"])), key=lambda one: (one["hlc"], one["id"]))


with open(sys.argv[1], encoding="utf-8") as file:  # noqa: PTH123
    found = standing(json.load(file)["records"])
names = {one["subject"]: one["data"]["name"] for one in found if one["kind"] == "batch.planned"}
grams: dict[tuple[str, int], float] = {}
for one in found:
    if one["kind"] == "weighed":
        grams.setdefault((one["subject"], one["data"]["line"]), one["data"]["net_g"])
for batch, name in sorted(names.items()):
    print(f"{batch} {sum(g for (subject, _), g in grams.items() if subject == batch):.4f} g {name}")
