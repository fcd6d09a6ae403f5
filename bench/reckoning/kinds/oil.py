"""`oil`: the oil that a pigment takes up, for 100 g."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.powders import LINSEED_G_PER_ML, oil_absorption
from bench.science.refusal import Refusal
from bench.translation import _

METHOD_SAY = _("Oil to one stiff paste that smears but does not break (ISO 787-5, from memory).")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Oil absorption in mL and in g for 100 g, from the oil by volume or by mass."""
    pigment_g = ask.number("pigment_g", above=0, high=1e5)
    density = ask.number("oil_density_g_ml", low=0.5, high=1.5, default=LINSEED_G_PER_ML)
    if ask.has("oil_ml") == ask.has("oil_g"):
        raise Refusal(_("Give the oil once: oil_ml or oil_g."), "oil_ml")
    if ask.has("oil_ml"):
        oil_ml = ask.number("oil_ml", low=0, high=1e5)
        say = f"100 × {oil_ml:g} mL ÷ {pigment_g:g} g"
    else:
        oil_g = ask.number("oil_g", low=0, high=1e5)
        oil_ml = oil_g / density
        say = f"100 × {oil_g:g} g ÷ {density:g} g/mL ÷ {pigment_g:g} g"
    ml, g = oil_absorption(pigment_g, oil_ml, density)
    return {
        "ml_per_100g": ml,
        "g_per_100g": g,
        "working": [
            step(METHOD_SAY, source="iso787-5"),
            step(say, ml, "mL/100 g"),
            step(_("At {density:g} g/mL (linseed oil is 0.93)", density=density), g, "g/100 g"),
        ],
    }


KIND = Kind(
    name="oil",
    summary="oil absorption for 100 g of pigment",
    fields=(
        Field("pigment_g", "g", "Pigment on the plate."),
        Field("oil_ml", "mL", "Oil that it took; give this or oil_g.", False, None),
        Field("oil_g", "g", "Oil that it took; give this or oil_ml.", False, None),
        Field("oil_density_g_ml", "g/mL", "The oil's density.", False, LINSEED_G_PER_ML),
    ),
    example={"pigment_g": 10, "oil_ml": 3.2},
    run=run,
)
