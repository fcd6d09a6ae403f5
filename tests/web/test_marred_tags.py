"""The reader of marred tags in a real Chromium, on symbols that the library for QR codes made."""

from random import Random
from typing import Any

from PIL import Image, ImageDraw
from qrcode.constants import ERROR_CORRECT_H
from qrcode.main import QRCode

from bench.science.codes import BODIES, new_codes

SIDE, DOTS, BLANK = 21, 4, 60
READ = """async ({ seen, pictures }) => {
  const { sharpen } = await import('/static/light.js');
  const { codeOn } = await import('/static/tag_words.js');
  const { symbolsOn } = await import('/static/tag_fit.js');
  const read = (rows) => {
    const image = { data: rows.flat().flatMap((v) => [v, v, v, 255]), width: rows[0].length, height: rows.length };
    sharpen(image);
    return [...symbolsOn(image)].map(codeOn).find(Boolean) ?? null;
  };
  return [seen.map(codeOn), pictures.map(read)];
}"""


def modules(code: str) -> list[float]:
    """Row by row, 1 for ink and -1 for paper."""
    qr = QRCode(version=1, error_correction=ERROR_CORRECT_H, border=0)
    qr.add_data(code)
    qr.make(fit=False)
    return [1.0 if dark else -1.0 for row in qr.get_matrix() for dark in row]


def without_right_half(seen: list[float]) -> list[float]:
    """Ten of 21 columns hidden: correction H by itself mends 30 %."""
    return [0.0 if n % SIDE >= SIDE - 10 else one for n, one in enumerate(seen)]


def picture(seen: list[float], chance: Random) -> list[list[int]]:
    """A symbol at four dots a module, askew, with a drop over one of its corners and a crack across."""
    wide = SIDE * DOTS + 2 * BLANK
    image = Image.new("L", (wide, wide), 210)
    for n, one in enumerate(seen):
        x, y = BLANK + n % SIDE * DOTS, BLANK + n // SIDE * DOTS
        image.paste(40 if one > 0 else 210, (x, y, x + DOTS, y + DOTS))
    pen, side = ImageDraw.Draw(image), SIDE * DOTS
    left, top = chance.choice([(0, 0), (14 * DOTS, 0), (0, 14 * DOTS)])
    pen.ellipse((BLANK + left, BLANK + top, BLANK + left + 24, BLANK + top + 24), fill=200)
    pen.line((BLANK, BLANK + side * chance.random(), BLANK + side, BLANK + side * chance.random()), 205, 4)
    turned = image.rotate(chance.uniform(0, 360), Image.Resampling.BILINEAR, fillcolor=210)
    dots = list(turned.tobytes())
    return [dots[row * wide : (row + 1) * wide] for row in range(wide)]


def test_a_marred_symbol_gives_its_code_or_none(browser_page: Any) -> None:
    """Half of one is enough where its place is known; most with a hidden corner are found; noise says nothing."""
    chance = Random(11)
    codes = new_codes(6, lambda: chance.randrange(BODIES))
    noise = [[chance.uniform(-1, 1) for _ in range(SIDE * SIDE)] for _ in codes]
    pictures = [picture(modules(code), chance) for code in codes]
    browser_page.goto("/look/fields")
    halves = [without_right_half(modules(code)) for code in codes]
    bare, read = browser_page.evaluate(READ, {"seen": halves + noise, "pictures": pictures})
    assert bare == [*codes, *[None] * len(noise)]
    assert all(one in (code, None) for code, one in zip(codes, read, strict=True))
    assert sum(one is not None for one in read) >= 4
