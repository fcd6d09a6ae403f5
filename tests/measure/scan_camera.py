"""A phone's camera before a tag: where the hand holds it, how sharp it is, and the frame that comes of it.

The lens sees 65 degrees over 1280 dots (common for a phone's main camera, from memory). A hand holds it 11 to 24 cm
away, turned at will, tilted up to 15 degrees; the focus is off by up to one dot, and by up to 2.6 where blur is asked.
"""

import base64
import io
import math
from dataclasses import dataclass, replace
from random import Random

import numpy as np
from PIL import Image, ImageFilter

from tests.measure.scan_tags import DOTS, Picture

WIDTH, HEIGHT = 1280, 720
FOCAL = WIDTH / 2 / math.tan(math.radians(32.5))
"""Distance of the lens in dots."""


@dataclass(frozen=True)
class Held:
    """How a tag is held before the lens in one frame. Angles in radians, blur in dots of the frame."""

    away_mm: float
    roll: float
    pitch: float
    yaw: float
    aside: tuple[float, float]
    blur: float
    swept: int
    paper: float
    ink: float
    shade: float
    noise: float


def held(chance: Random, names: tuple[str, ...]) -> Held:
    """One hand; slant tilts it by 25 to 50 degrees, blur takes it out of focus or sweeps it."""
    lean = math.radians(chance.uniform(25, 50) if "slant" in names else chance.uniform(0, 15))
    towards = chance.uniform(0, 2 * math.pi)
    blurred = "blur" in names
    swept = blurred and chance.random() < 0.5
    ink = chance.uniform(20, 70)
    return Held(
        chance.uniform(110, 240),
        chance.uniform(0, 2 * math.pi),
        lean * math.sin(towards),
        lean * math.cos(towards),
        (chance.uniform(-0.12, 0.12), chance.uniform(-0.08, 0.08)),
        chance.uniform(1.2, 2.6) if blurred and not swept else chance.uniform(0.4, 1.0),
        chance.randint(3, 9) if swept else 0,
        chance.uniform(max(130, ink + 80), 235),
        ink,
        chance.uniform(0, 0.3),
        chance.uniform(2, 7),
    )


def moved(was: Held, chance: Random, names: tuple[str, ...]) -> Held:
    """The same hand a third of a second later: it sways, comes nearer or goes back, and the focus hunts."""
    blurred = "blur" in names
    swept = chance.randint(0, 9) if was.swept else 0
    return replace(
        was,
        away_mm=min(240.0, max(110.0, was.away_mm + chance.gauss(0, 12))),
        roll=was.roll + chance.gauss(0, 0.06),
        pitch=was.pitch + chance.gauss(0, 0.06),
        yaw=was.yaw + chance.gauss(0, 0.06),
        aside=(was.aside[0] + chance.gauss(0, 0.02), was.aside[1] + chance.gauss(0, 0.02)),
        blur=chance.uniform(0.4, 2.6 if blurred and not was.swept else 1.0),
        swept=swept if swept >= 3 else 0,
    )


def frame(label: Picture, how: Held, chance: Random) -> Picture:
    """The frame that the camera gives."""
    double = (2 * WIDTH, 2 * HEIGHT)  # twice as fine, then smaller: as a sensor gathers light
    seen = label.transform(double, Image.Transform.PERSPECTIVE, _lens(label, how), Image.Resampling.BILINEAR)
    paper = Image.new("L", label.size, 255).transform(
        double, Image.Transform.PERSPECTIVE, _lens(label, how), Image.Resampling.BILINEAR, fillcolor=0
    )
    seen = Image.composite(seen, Image.new("L", double, chance.randint(90, 190)), paper)
    seen = seen.resize((WIDTH, HEIGHT), Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(how.blur))
    light = _swept(np.asarray(seen, dtype=float), how.swept)
    light = how.ink + (how.paper - how.ink) * light / 255
    light *= 1 - how.shade * np.linspace(0, 1, WIDTH)[None, :]
    light += np.random.default_rng(chance.randrange(2**32)).normal(0, how.noise, light.shape)
    return Image.fromarray(np.clip(light, 0, 255).astype(np.uint8))


def _swept(light: np.ndarray, dots: int) -> np.ndarray:
    """The camera moved sideways by so many dots while it looked."""
    if dots < 2:
        return light
    return np.asarray(np.mean([np.roll(light, n - dots // 2, axis=1) for n in range(dots)], axis=0))


def _lens(label: Picture, how: Held) -> tuple[float, ...]:
    """From a dot of the double frame back to a dot of the label, as the eight numbers of a perspective."""
    wide, high = label.size
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], dtype=float)
    flat = np.column_stack([(corners - (wide / 2, high / 2)) / DOTS, np.zeros(4)])
    at = flat @ _turned(how).T + (how.aside[0] * how.away_mm, how.aside[1] * how.away_mm, how.away_mm)
    seen = 2 * (FOCAL * at[:, :2] / at[:, 2:] + (WIDTH / 2, HEIGHT / 2))
    rows, wanted = [], []
    for (x, y), (u, v) in zip(seen, corners, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    return tuple(float(one) for one in np.linalg.solve(np.array(rows), np.array(wanted)))


def _turned(how: Held) -> np.ndarray:
    """The turn of the label: about the line of sight, then tilted about the level axis and the upright one."""
    c, s = math.cos, math.sin
    roll = np.array([[c(how.roll), -s(how.roll), 0], [s(how.roll), c(how.roll), 0], [0, 0, 1]])
    pitch = np.array([[1, 0, 0], [0, c(how.pitch), -s(how.pitch)], [0, s(how.pitch), c(how.pitch)]])
    yaw = np.array([[c(how.yaw), 0, s(how.yaw)], [0, 1, 0], [-s(how.yaw), 0, c(how.yaw)]])
    return np.asarray(yaw @ pitch @ roll)


def as_data(picture: Picture) -> str:
    """A frame as the page takes it."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=90)
    return "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode()
