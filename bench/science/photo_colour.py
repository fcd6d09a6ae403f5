"""The colour of areas of a photo, by patches of known colour in the same light, with its standard error.

All in linear light of the sRGB primaries (IEC 61966-2-1). A phone sees three broad bands, so a result is relative, by
camera: never a measurement of the pigment's own reflectance.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Any, Final

from bench.science.colour import SPACES, Lab, White, _colour
from bench.science.effects import t_quantile
from bench.science.photo_samples import Corners, Sample, cells, sample
from bench.science.refusal import Refusal
from bench.translation import _

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

FEWEST_PATCHES: Final = 6
"""Four patches can fit a 3 × 3 matrix and still be wrong by a ΔE of 7; with six the floor is about 0.7."""
COVERAGE: Final = 2.0
ERROR_SHARE: Final = 0.05
GREY_SE: Final = ((0.9, 0.044), (1.3, 0.140), (1.3, 0.175))
"""What a single grey leaves unknown, for L*, a*, b*: a part of its own, and a share of the chroma, since a camera mixes
its bands. From simulated cameras (computed)."""
FLOOR_SE: Final[Lab] = (0.25, 0.25, 0.25)


@dataclass(frozen=True)
class Correction:
    """How linear light as seen becomes true: a 3 × 3 matrix, and what it leaves unknown.

    `spread` is that of the patches about it, of each channel, at unit weight; `inverse` that of the fit; `free` its
    degrees of freedom, 0 for a single grey; `residual_de` the mean ΔE00 of the patches after it.
    """

    matrix: tuple[tuple[float, float, float], ...]
    spread: tuple[float, float, float]
    inverse: tuple[tuple[float, float, float], ...]
    free: int
    residual_de: float

    @property
    def by_grey(self) -> bool:
        return self.free == 0


@dataclass(frozen=True)
class Measured:
    """A colour with its standard error, of each axis, and the shares of its variance: the area, and the card."""

    lab: Lab
    se: Lab
    of_area: float
    of_card: float


def light_of(lab: Lab, white: White = "D65") -> tuple[float, float, float]:
    """Linear light of a CIELAB colour of the given white, adapted to that of sRGB."""
    r, g, b = _colour(SPACES[white], lab).convert("srgb-linear").coords()
    return float(r), float(g), float(b)


def lab_of(light: Sequence[float], white: White = "D65") -> Lab:
    """CIELAB of linear light."""
    lightness, a, b = _colour("srgb-linear", light).convert(SPACES[white]).coords()
    return float(lightness), float(a), float(b)


def fit(seen: Sequence[Sample], true: Sequence[Lab], white: White = "D65") -> Correction:
    """The correction by patches of known colour: a matrix from six on, a gain a channel from a single grey.

    Each patch counts by how finely the eye tells its lightness, so that dark ones are not lost beside bright ones.
    Refusal for two to five patches, which fit a matrix and may be far off.
    """
    import numpy as np

    if len(seen) == 1:
        return _by_grey(seen[0], light_of(true[0], white))
    if len(seen) < FEWEST_PATCHES:
        raise Refusal(
            _("A card has one grey patch, or at least {fewest_patches} patches.", fewest_patches=FEWEST_PATCHES), "card"
        )
    x = np.array([one.light for one in seen])
    y = np.array([light_of(one, white) for one in true])
    weight = _weight(y @ np.array(LUMINANCE))[:, None]
    solution, _squares, rank, _singular = np.linalg.lstsq(x * weight, y * weight, rcond=1e-6)
    if rank < 3:
        raise Refusal(_("The patches are too similar. Take a card with red, green, blue and greys."), "card")
    free = len(seen) - 3
    off = (y - x @ solution) * weight
    spread = np.sqrt((off**2).sum(axis=0) / free)
    inverse = np.linalg.inv((x * weight).T @ (x * weight))
    made = Correction(_rows(solution.T), _three(spread), _rows(inverse), free, 0.0)
    return Correction(**{**made.__dict__, "residual_de": _residual(made, seen, true, white)})


@dataclass(frozen=True)
class Card:
    """A card: its patches' colours, row by row, for a white, in so many columns."""

    labs: tuple[Lab, ...]
    columns: int
    white: White = "D65"

    @property
    def rows(self) -> int:
        return -(-len(self.labs) // self.columns)


def by_card(
    pixels: "NDArray[Any]", corners: Corners, card: Card, display_p3: bool = False
) -> tuple[Correction, tuple[str, ...]]:
    """The correction by a card in a picture, and what is wrong with its patches. Clipped ones are left out."""
    seen: list[Sample] = []
    true: list[Lab] = []
    flags: list[str] = []
    for n, (area, lab) in enumerate(zip(cells(corners, card.columns, card.rows), card.labs, strict=False), 1):
        try:
            one = sample(pixels, area, display_p3, _("Patch {n} of the card", n=n))
        except Refusal:
            if len(card.labs) - n + len(seen) < min(FEWEST_PATCHES, len(card.labs)):
                raise
            continue
        seen.append(one)
        true.append(lab)
        flags += list(one.flags)
    return fit(seen, true, card.white), tuple(dict.fromkeys(flags))


LUMINANCE: Final = (0.2126, 0.7152, 0.0722)


def _weight(luminance: "Floats") -> "Floats":
    """The slope of lightness: 1 over the two thirds' power, and no more than that of a hundredth."""
    import numpy as np

    found: Floats = 1 / np.maximum(luminance, 0.01) ** (2 / 3)
    return found


def _by_grey(seen: Sample, true: tuple[float, float, float]) -> Correction:
    gains = [known / light for known, light in zip(true, seen.light, strict=True)]
    matrix = tuple(tuple(gain if row == n else 0.0 for n in range(3)) for row, gain in enumerate(gains))
    zero = (0.0, 0.0, 0.0)
    return Correction(matrix, zero, (zero, zero, zero), 0, 0.0)  # type: ignore[arg-type]


def _residual(made: Correction, seen: Sequence[Sample], true: Sequence[Lab], white: White) -> float:
    from bench.science.colour import de00

    at_d65 = [lab_of(light_of(one, white)) for one in true]
    found = [lab_of(_turned(made, one.light)) for one in seen]
    return sum(de00(one, two) for one, two in zip(found, at_d65, strict=True)) / len(seen)


def _turned(made: Correction, light: Sequence[float]) -> list[float]:
    return [sum(weight * value for weight, value in zip(row, light, strict=True)) for row in made.matrix]


def measure(area: Sample, made: Correction) -> Measured:
    """The colour of an area, CIELAB D65. Its error: of the area, of the fit, and of what the camera sees otherwise."""
    import numpy as np

    seen = _turned(made, area.light)
    light = np.array(seen)
    slope = _slope(light)
    matrix = np.array(made.matrix)
    of_area = slope @ matrix @ np.diag(np.array(area.se) ** 2) @ matrix.T @ slope.T
    if made.by_grey:
        _l, a, b = lab_of(seen)
        of_card = np.diag([(own + share * hypot(a, b)) ** 2 for own, share in GREY_SE])
        scale = 1.0
    else:
        x = np.array(area.light)
        near = 1 / _weight(np.array([max(1e-4, float(light @ np.array(LUMINANCE)))]))[0]
        apart = float(x @ np.array(made.inverse) @ x) + near**2
        of_card = slope @ np.diag(np.array(made.spread) ** 2 * apart) @ slope.T
        scale = t_quantile(ERROR_SHARE, made.free) / COVERAGE
    both = np.diag(of_area) + np.diag(of_card) * scale**2 + np.array(FLOOR_SE) ** 2
    whole = float(both.sum()) or 1.0
    return Measured(
        lab_of(seen), _three(np.sqrt(both)), float(np.diag(of_area).sum()) / whole,
        float(np.diag(of_card).sum()) * scale**2 / whole,
    )  # fmt: skip


def _slope(light: "Floats") -> "Floats":
    """How CIELAB moves with linear light, by small steps to both sides."""
    import numpy as np

    step = np.maximum(1e-4, 0.01 * np.abs(light))
    columns = []
    for n in range(3):
        up, down = light.copy(), light.copy()
        up[n] += step[n]
        down[n] -= step[n]
        high, low = np.array(lab_of(up.tolist())), np.array(lab_of(down.tolist()))
        columns.append((high - low) / (2 * step[n]))
    return np.array(columns).T


def _three(values: "NDArray[Any]") -> tuple[float, float, float]:
    first, second, third = (float(one) for one in values)
    return first, second, third


def _rows(values: "NDArray[Any]") -> tuple[tuple[float, float, float], ...]:
    return tuple(_three(row) for row in values)
