"""Pairs of forms that are sold by one name and differ in their water: how they look, and how to tell them."""

from dataclasses import dataclass

from bench.science.formulas import pretty
from bench.translation import _


@dataclass(frozen=True, kw_only=True)
class HydratePair:
    """A drier form and its hydrate.

    `metal_short_pct` is what a dose lacks when the hydrate is weighed for the drier form. The losses are those on
    drying at `dry_at_c` °C, the shares left those on firing at `fire_at_c` °C to `residue`; `drying_tells` says which
    of the two tells. The masses are computed, `signs_basis` is the ground of the rest.
    """

    name: str
    lower: str
    hydrate: str
    metal_short_pct: float
    by_eye_lower: str
    by_eye_hydrate: str
    drying_tells: bool
    dry_at_c: float | None = None
    loss_lower_pct: float | None = None
    loss_hydrate_pct: float | None = None
    fire_at_c: float | None = None
    residue: str = ""
    left_lower_pct: float | None = None
    left_hydrate_pct: float | None = None
    careful: str = ""
    signs_basis: str
    signs_note: str = ""

    @property
    def ask(self) -> str:
        """Which of the two is it, and how they look."""
        return _(
            "Is it {lower} or {hydrate}? {lower}: {by_eye_lower}. {hydrate}: {by_eye_hydrate}.",
            lower=pretty(self.lower),
            hydrate=pretty(self.hydrate),
            by_eye_lower=self.by_eye_lower,
            by_eye_hydrate=self.by_eye_hydrate,
        )

    @property
    def tell(self) -> str:
        """How to tell the two by weighing, in two sentences."""
        low, high = pretty(self.lower), pretty(self.hydrate)
        if self.drying_tells:
            return _(
                "Weigh, dry at {dry_at_c:g} °C and weigh again. {low} loses {loss_lower_pct:g} %, {high} "
                "loses {loss_hydrate_pct:g} %.",
                dry_at_c=self.dry_at_c,
                low=low,
                loss_lower_pct=self.loss_lower_pct,
                high=high,
                loss_hydrate_pct=self.loss_hydrate_pct,
            )
        return _(
            "Weigh, fire at {fire_at_c:g} °C outdoors and weigh again. {low} leaves {left_lower_pct:g} % "
            "as {residue}, {high} {left_hydrate_pct:g} %.",
            fire_at_c=self.fire_at_c,
            low=low,
            left_lower_pct=self.left_lower_pct,
            residue=pretty(self.residue),
            high=high,
            left_hydrate_pct=self.left_hydrate_pct,
        )
