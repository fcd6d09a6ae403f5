"""Frames on a photo, and the colours inside them: by the card that lies beside, each with its error."""

from dataclasses import dataclass

from bench.records.kinds import ColourCard
from bench.science.colour import Lab
from bench.science.photo_colour import Card, Correction, Measured, by_card, lab_of, light_of, measure
from bench.science.photo_samples import Sample, sample
from bench.science.refusal import Refusal
from bench.screens.powders.light import pixels_of
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.words import _

CORNERS = {"card": "80,80 480,80 480,380 80,380", "swatch": "600,120 900,120 900,420 600,420"}
"""Where the frames stand at first: x and y in thousandths of the photo's width."""
ALSO = "also."
"""Before the id of another swatch on the same photo, in the names of its frame and field."""
MOST = 4_000.0
WHITEST = 101.0
MISFIT_DE = 3.0
"""A card whose own patches are off by more than this is framed askew, or is another one (project default)."""
FLAGS = {
    "glossy": _("It shines there: turn the swatch away from the light."),
    "uneven": _("The swatch is uneven there."),
    "misfit": _("The card does not match: place its frame again."),
}


Places = dict[str, list[tuple[float, float]]]


@dataclass(frozen=True)
class Found:
    """What a photo tells: the colour with its error, for both whites, what is wrong, and what the error comes from."""

    measured: Measured
    lab_d50: Lab
    residual: float | None
    flags: tuple[str, ...]
    by_grey: bool

    @property
    def most_from(self) -> str:
        """What most of the error comes from."""
        if self.by_grey:
            return _("a single grey does not show how the camera mixes colours")
        return _("the card") if self.measured.of_card >= self.measured.of_area else _("the swatch itself: uneven")


def corners_of(form: Form, what: str) -> list[tuple[float, float]]:
    """Four corners as `x,y x,y x,y x,y`."""
    raw = form.text(what, max_len=200, required=True) or ""
    try:
        pairs = [tuple(float(one) for one in pair.split(",")) for pair in raw.split()]
    except ValueError:
        pairs = []
    if len(pairs) != 4 or any(len(pair) != 2 or not all(-MOST < one < MOST for one in pair) for pair in pairs):
        form.refuse(_("Mark it again: drag its corners."), what)
        return []
    return [(pair[0], pair[1]) for pair in pairs]


def known_card(body: ColourCard) -> Card:
    """A recorded card as a photo is read by it."""
    return Card(tuple(one.lab for one in body.patches), body.columns, body.white)


def card_options() -> list[tuple[str, str]]:
    """The cards for a list: id, and name with the number of patches."""
    state = current_bench().state
    cards = [(one, state.slot(one, "colour.card").body) for one in state.things("colour-card")]
    return [(one, f"{body.name}, {len(body.patches)}") for one, body in cards if body is not None]


def worked(data: bytes, card: Card, places: Places, thing: str) -> dict[str, Found]:
    """The colours by their swatches, `thing` in the frame *swatch*. Refusal where one cannot be told."""
    pixels, display_p3 = pixels_of(data)
    scale = pixels.shape[1] / 1000
    at = {what: [(x * scale, y * scale) for x, y in corners] for what, corners in places.items()}
    made, card_flags = by_card(pixels, at["card"], card, display_p3)
    areas = {thing: at["swatch"]} | {what.removeprefix(ALSO): at[what] for what in at if what.startswith(ALSO)}
    seen = {one: sample(pixels, corners, display_p3, _("The swatch")) for one, corners in areas.items()}
    return {one: _one(area, made, card_flags) for one, area in seen.items()}


def _one(area: Sample, made: Correction, card_flags: tuple[str, ...]) -> Found:
    found = measure(area, made)
    if found.lab[0] > WHITEST:
        raise Refusal(_("The swatch would be brighter than white. Mark the right card again."))
    off = () if made.by_grey or made.residual_de <= MISFIT_DE else ("misfit",)
    flags = tuple(dict.fromkeys((*off, *area.flags, *card_flags)))
    d50 = lab_of(light_of(found.lab), "D50")
    return Found(found, d50, None if made.by_grey else made.residual_de, flags, made.by_grey)
