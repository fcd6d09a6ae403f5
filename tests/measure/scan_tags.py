"""Tags as they come back from the yard: the printed label as a grey picture, and what befell it.

Lengths are in millimetres of the label and shares are of its area, so that a small tag suffers as a large one does. All
of it is drawn by chance from a seed: simulated, with no real photo of a real tag.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from bench.printing.sheets import Sheet
from tests.measure.printed import MM_PER_INCH, pages_of

DPI = 300
DOTS = DPI / MM_PER_INCH
"""Printer's dots a millimetre."""

Picture = Image.Image
Harm = Callable[[Picture, Random], Picture]


@dataclass(frozen=True)
class Printed:
    """A label as it left the printer."""

    code: str
    picture: Picture


def labels_of(pdf: bytes, sheet: Sheet, codes: Sequence[str]) -> list[Printed]:
    """Every label of a printed sheet by itself, in the order of its codes."""
    found, pages = [], pages_of(pdf, DPI)
    for n, code in enumerate(codes):
        x, y = sheet.corner(n % sheet.places)
        box = (x, y, x + sheet.width, y + sheet.height)
        left, top, right, bottom = (round(mm * DOTS) for mm in box)
        found.append(Printed(code, pages[n // sheet.places].crop((left, top, right, bottom))))
    return found


def _spot(picture: Picture, chance: Random, share: float, long: float) -> Picture:
    """A mask of one blot: so large a share of the label, `long` times as long as wide, anywhere and at any angle."""
    area = share * picture.width * picture.height
    wide = math.sqrt(4 * area / (math.pi * long))
    side = 2 * max(picture.size)
    mask = Image.new("L", (side, side), 0)
    half = (long * wide / 2, wide / 2)
    middle = side / 2
    ImageDraw.Draw(mask).ellipse((middle - half[0], middle - half[1], middle + half[0], middle + half[1]), fill=255)
    mask = mask.rotate(chance.uniform(0, 180)).filter(ImageFilter.GaussianBlur(wide / 12))
    left = round(middle - chance.uniform(0, picture.width))
    top = round(middle - chance.uniform(0, picture.height))
    return mask.crop((left, top, left + picture.width, top + picture.height))


def _blots(
    picture: Picture, chance: Random, count: int, share: float, long: float, grey: tuple[int, int], cover: float
) -> Picture:
    for _ in range(count):
        mask = _spot(picture, chance, share / count, long)
        tint = Image.new("L", picture.size, chance.randint(*grey))
        picture = Image.composite(tint, picture, mask.point([round(cover * v) for v in range(256)]))
    return picture


def smear(picture: Picture, chance: Random) -> Picture:
    """Fingers with slip on them: two to five streaks over 3 to 10 %, which let a little of the ink through."""
    return _blots(picture, chance, chance.randint(2, 5), chance.uniform(0.03, 0.1), 4, (60, 170), 0.85)


def glaze(picture: Picture, chance: Random) -> Picture:
    """Three to eight drops over 3 to 8 %, which hide all."""
    return _blots(picture, chance, chance.randint(3, 8), chance.uniform(0.03, 0.08), 1.3, (190, 255), 1.0)


def soot(picture: Picture, chance: Random) -> Picture:
    """Darkened from one side down to a third of the contrast, and strewn with specks."""
    veil = Image.linear_gradient("L").rotate(chance.choice((0, 90, 180, 270))).resize(picture.size)
    deep = chance.uniform(0.3, 0.67)
    dark = picture.point([round(40 + (1 - deep) * (v - 40)) for v in range(256)])
    picture = Image.composite(dark, picture, veil)
    pen = ImageDraw.Draw(picture)
    for _ in range(round(chance.uniform(0.02, 0.08) * picture.width * picture.height / DOTS**2)):
        x, y = chance.uniform(0, picture.width), chance.uniform(0, picture.height)
        r = chance.uniform(0.1, 0.4) * DOTS
        pen.ellipse((x - r, y - r, x + r, y + r), fill=30)
    return picture


def creases(picture: Picture, chance: Random) -> Picture:
    """One to three folds across it: the ink has cracked off along each, and one side has slipped a little."""
    for _ in range(chance.randint(1, 3)):
        width = max(1, round(chance.uniform(0.4, 1.0) * DOTS))
        slip = round(chance.uniform(0, 0.4) * DOTS)
        angle, side = chance.uniform(0, math.pi), 2 * max(picture.size)
        at = (chance.uniform(0.2, 0.8) * picture.width, chance.uniform(0.2, 0.8) * picture.height)
        along = (math.cos(angle) * side, math.sin(angle) * side)
        ends = [(at[0] - along[0], at[1] - along[1]), (at[0] + along[0], at[1] + along[1])]
        beyond = [*ends, *((x - along[1], y + along[0]) for x, y in reversed(ends))]
        mask = Image.new("L", picture.size, 0)
        ImageDraw.Draw(mask).polygon(beyond, fill=255)
        moved = ImageChops.offset(picture, round(slip * math.cos(angle)), round(slip * math.sin(angle)))
        picture = Image.composite(moved, picture, mask)
        ImageDraw.Draw(picture).line(ends, fill=235, width=width)
    return picture


def whole(picture: Picture, _chance: Random) -> Picture:
    """Nothing befell it."""
    return picture


HARMS: dict[str, Harm] = {
    "unharmed": whole,
    "smear": smear,
    "glaze": glaze,
    "soot": soot,
    "creases": creases,
    "blur": whole,
    "slant": whole,
}
"""What befalls a tag; blur and slant are the camera's and the hand's."""


def harmed(picture: Picture, names: Sequence[str], chance: Random) -> Picture:
    """A label after all that is named."""
    for name in names:
        picture = HARMS[name](picture.copy(), chance)
    return picture
