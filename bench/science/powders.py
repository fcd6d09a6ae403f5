"""Powder arithmetic: oil absorption, fill of a crucible, settling in water, washing out a salt.

Sources: oil absorption and tamped density follow ISO 787-5:1980 and ISO 787-11 (both from memory). The settling time is
Stokes' law; water's density is Kell 1975 (J. Chem. Eng. Data 20, 97) and its viscosity the IAPWS formula for 0.1 MPa,
release SR6-08 (both from memory).
"""

from dataclasses import dataclass
from typing import Final

from bench.science.refusal import Refusal
from bench.translation import _

LINSEED_G_PER_ML: Final = 0.93
FILL_LIMITS_PCT: Final = {"quiet": 66.7, "carbonate": 50.0, "froths": 20.0, "alum": 10.0}
"""How far a crucible may be filled by kind of charge: common practice and our own defaults, from memory."""
GRAVITY_M_S2: Final = 9.80665
REYNOLDS_LIMIT: Final = 0.25


@dataclass(frozen=True)
class Settling:
    """How a grain settles: minutes for the depth, its speed in mm/min, and the Reynolds number of its fall."""

    minutes: float
    mm_per_min: float
    reynolds: float


def oil_absorption(pigment_g: float, oil_ml: float, oil_g_per_ml: float = LINSEED_G_PER_ML) -> tuple[float, float]:
    """Oil that 100 g of pigment take up to a stiff paste, as (mL/100 g, g/100 g)."""
    ml = 100 * oil_ml / pigment_g
    return ml, ml * oil_g_per_ml


def fill_pct(charge_g: float, bulk_density_g_ml: float, crucible_ml: float) -> float:
    """How much of a crucible's brim volume a loose charge takes, in %."""
    return 100 * charge_g / (bulk_density_g_ml * crucible_ml)


def salt_left_g(salt_g: float, left_fraction: float, count: int) -> float:
    """Dissolved salt that stays after `count` washes, each leaving the fraction `left_fraction` of the liquor."""
    return float(salt_g * left_fraction**count)


def water_density_kg_m3(c: float) -> float:
    """Density of liquid water from 0 to 100 °C at 1 atm."""
    upper = 999.83952 + c * (
        16.945176 + c * (-7.9870401e-3 + c * (-46.170461e-6 + c * (105.56302e-9 - c * 280.54253e-12)))
    )
    return upper / (1 + 16.879850e-3 * c)


def water_viscosity_pa_s(c: float) -> float:
    """Viscosity of liquid water from 0 to 100 °C at 0.1 MPa."""
    reduced = (c + 273.15) / 300
    terms = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
    return 1e-6 * sum(factor * float(reduced**power) for factor, power in terms)


def settle(diameter_um: float, density_kg_m3: float, depth_mm: float, c: float = 20.0) -> Settling:
    """Time for a lone sphere to fall through still water by Stokes' law.

    Refuses a grain that is not denser than water, and a fall above Reynolds 0.25, where the law no longer holds.
    """
    water, viscosity = water_density_kg_m3(c), water_viscosity_pa_s(c)
    if density_kg_m3 <= water:
        raise Refusal(
            _(
                "A grain of {density_kg_m3:g} kg/m³ does not sink in water of {water:.0f} kg/m³.",
                density_kg_m3=density_kg_m3,
                water=water,
            ),
            "density_kg_m3",
        )
    diameter_m = diameter_um * 1e-6
    speed_m_s = (density_kg_m3 - water) * GRAVITY_M_S2 * diameter_m**2 / (18 * viscosity)
    reynolds = speed_m_s * diameter_m * water / viscosity
    if reynolds > REYNOLDS_LIMIT:
        raise Refusal(
            _(
                "This grain sinks too fast for Stokes' law. Reynolds number {reynolds:.2g}; the limit is "
                "{reynolds_limit:g}.",
                reynolds=reynolds,
                reynolds_limit=REYNOLDS_LIMIT,
            ),
            "diameter_um",
        )
    return Settling(depth_mm / 1000 / speed_m_s / 60, speed_m_s * 60_000, reynolds)
