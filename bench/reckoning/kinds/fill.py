"""`fill`: whether a loose charge fits a crucible."""

from typing import Any, Final

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.powders import FILL_LIMITS_PCT, fill_pct
from bench.translation import _

LIMIT_WORDS: Final = {
    "quiet": _("A charge that gives off little may fill this much"),
    "carbonate": _("A charge that gives off carbon as gas may fill this much"),
    "froths": _("A charge that froths may fill this much"),
    "alum": _("A charge with alum may fill this much"),
}


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The fill in % of the brim volume against the limit for this kind of charge."""
    charge_g = ask.number("charge_g", low=0, high=1e6)
    density = ask.number("bulk_density_g_ml", low=0.005, high=25)
    crucible_ml = ask.number("crucible_ml", above=0, high=1e6)
    kind = ask.choice("kind", tuple(FILL_LIMITS_PCT), "quiet")
    filled, limit = fill_pct(charge_g, density, crucible_ml), FILL_LIMITS_PCT[kind]
    return {
        "fill_pct": filled,
        "limit_pct": limit,
        "fits": filled <= limit,
        "up_to_g": charge_g * limit / filled if filled > 0 else limit / 100 * crucible_ml * density,
        "working": [
            step(
                _(
                    "{charge_g:g} g ÷ {density:g} g/mL loose, in {crucible_ml:g} mL to the brim",
                    charge_g=charge_g,
                    density=density,
                    crucible_ml=crucible_ml,
                ),
                filled,
                "%",
            ),
            step(_(LIMIT_WORDS[kind]), limit, "%", "own-ware"),
        ],
    }


KIND = Kind(
    name="fill",
    summary="whether a charge fits a crucible",
    fields=(
        Field("charge_g", "g", "The charge."),
        Field("bulk_density_g_ml", "g/mL", "Its loose density, as poured."),
        Field("crucible_ml", "mL", "The crucible's volume to the brim."),
        Field("kind", "word", "quiet (66.7 %), carbonate (50), froths (20) or alum (10).", False, "quiet"),
    ),
    example={"charge_g": 12, "bulk_density_g_ml": 0.6, "crucible_ml": 50, "kind": "carbonate"},
    run=run,
)
