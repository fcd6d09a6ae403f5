"""The signs of the screens, for paper: the same drawings, taken from the one file that holds them."""

import re
from functools import cache
from pathlib import Path

SYMBOL = re.compile(r'<symbol id="([\w-]+)" viewBox="([\d. -]+)">(.*?)</symbol>', re.DOTALL)


@cache
def _drawings(sprite: Path) -> dict[str, tuple[str, str]]:
    return {name: (box, inside) for name, box, inside in SYMBOL.findall(sprite.read_text("utf-8"))}


def sign(sprite: Path, name: str, size_mm: float) -> str:
    """One sign as SVG at a size in millimetres. KeyError for a name that the file does not hold."""
    box, inside = _drawings(sprite)[name]
    size = f"{size_mm:g}mm"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="{box}"'
    return f'{head} role="img" aria-label="{name}">{inside}</svg>'
