"""A plan that another screen begins: its fields as the address carries them, shown before anything is kept."""

import re
from collections.abc import Mapping

from bench.screens.planning.lines import FIRST_ROWS, MOST_ROWS

PLAIN = ("name", "notes", "cooling", "atmosphere", "by", "total_g", "product_g")
NUMBERED = re.compile(r"(?:jar|formula|g|parts|fixed|unit|fate|share|assay|rate|to_c|hold_min)\.(\d{1,2})")
MOST_CHARACTERS = 400


def prefilled(asked: Mapping[str, str]) -> dict[str, str]:
    """The fields of a plan in an address, with as many rows as they need and one more; anything else is left out."""
    found = {name: asked[name][:MOST_CHARACTERS] for name in PLAIN if name in asked}
    highest = -1
    for name, value in asked.items():
        match = NUMBERED.fullmatch(name)
        if match and int(match[1]) < MOST_ROWS:
            found[name] = value[:MOST_CHARACTERS]
            highest = max(highest, int(match[1]))
    return found | ({"rows": str(min(MOST_ROWS, max(FIRST_ROWS, highest + 2)))} if highest >= 0 else {})
