"""What a gas does to an oxide: the reduction limit of free oxides, and the gas of a propane flame by its mixture.

A gas with more CO2 to each CO than the oxide's equilibrium ratio leaves the oxide alone; with less it takes oxygen.
`phi` is the fuel in the mixture over the fuel that the air can just burn: above 1 the flame is rich.
The flame's gas is taken at equilibrium at the furnace's temperature and 1 atm; air is O2 + 3.76 N2.
"""

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final, Literal

from bench.science.oxygen_data import GASES, NASA_SEAM_K, PAIRS, R_LN10, SPINELS_J_MOL, Fit, Pair
from bench.science.refusal import Refusal
from bench.translation import _

GAS_CONSTANT_J_MOL_K: Final = 8.314462618
ZERO_C_IN_K: Final = 273.15
GAS_ERROR_J: Final = 150.0
"""Difference between published tables for CO + ½ O2 = CO2, in J/mol."""

STRETCH_K: Final = 150.0
"""A fit is followed so far beyond its upper end, with three times the uncertainty; farther it is refused."""

RICHEST_PHI: Final = 3.0
"""Near 3.3 all carbon is CO and soot begins: a mixture beyond this is not computed."""

N2_PER_O2: Final = 3.76
Reduces = bool | Literal["too-close"]


@dataclass(frozen=True)
class Flame:
    """The gas of a propane flame: CO2/CO and H2O/H2 as mole ratios, O2 and CO in % of the wet gas."""

    co2_co: float
    h2o_h2: float
    o2_pct: float
    co_pct: float


def oxygen_potential_j(oxide: str, c: float) -> float:
    """μO2 of the pair oxide and product at `c` °C, in J per mol O2 against O2 at 1 bar. Sources stand with the fits.

    Refuses an oxide without a fit, and temperatures outside the fit (150 K of stretch at its upper end).
    """
    pair = _pair(oxide)
    kelvin = c + ZERO_C_IN_K
    fit = _fit(oxide, pair, kelvin)
    return fit.a + fit.b * kelvin + fit.c * kelvin * log(kelvin) + fit.d * kelvin**2


def log_fo2(oxide: str, c: float) -> float:
    """log10 of the oxygen fugacity in bar at which the oxide and its product are in balance."""
    return oxygen_potential_j(oxide, c) / (R_LN10 * (c + ZERO_C_IN_K))


def co_oxidation_j(c: float) -> float:
    """ΔG° of CO + ½ O2 → CO2 at `c` °C in J/mol, at 1 atm."""
    kelvin = c + ZERO_C_IN_K
    return _gibbs_j("CO2", kelvin) - _gibbs_j("CO", kelvin) - _gibbs_j("O2", kelvin) / 2


def h2_oxidation_j(c: float) -> float:
    """ΔG° of H2 + ½ O2 → H2O (gas) at `c` °C in J/mol, at 1 atm."""
    kelvin = c + ZERO_C_IN_K
    return _gibbs_j("H2O", kelvin) - _gibbs_j("H2", kelvin) - _gibbs_j("O2", kelvin) / 2


def equilibrium_co2_co(oxide: str, c: float) -> float:
    """The CO2/CO at which oxide and product are in balance at `c` °C; a gas with a smaller ratio reduces the oxide."""
    energy_j = co_oxidation_j(c) - oxygen_potential_j(oxide, c) / 2
    return exp(-energy_j / (GAS_CONSTANT_J_MOL_K * (c + ZERO_C_IN_K)))


def equilibrium_error(oxide: str, c: float) -> float:
    """Uncertainty of the natural logarithm of the equilibrium ratio (about 95 %), from the spread of the fits."""
    pair = _pair(oxide)
    kelvin = c + ZERO_C_IN_K
    stretch = 3.0 if kelvin > pair.fits[-1].to_k else 1.0
    return stretch * sqrt(pair.error_j**2 + GAS_ERROR_J**2) / (GAS_CONSTANT_J_MOL_K * kelvin)


def is_stretched(oxide: str, c: float) -> bool:
    """True when `c` °C lies above the range of the published fit."""
    return c + ZERO_C_IN_K > _pair(oxide).fits[-1].to_k


def reduces(oxide: str, c: float, gas_co2_co: float) -> Reduces:
    """True when a gas of this CO2/CO takes the oxide's oxygen at `c` °C, False when not, else "too-close" to tell."""
    if gas_co2_co <= 0:
        return True
    apart = log(gas_co2_co / equilibrium_co2_co(oxide, c))
    if abs(apart) <= equilibrium_error(oxide, c):
        return "too-close"
    return apart < 0


def flame(c: float, phi: float) -> Flame:
    """The gas of propane and air at `c` °C, from the balances of C, H and O and two equilibria with O2.

    `phi` from 0 (air alone) to 3. Equal to a general equilibrium solver within 0.5 %.
    """
    if not 0 < phi <= RICHEST_PHI:
        raise Refusal(
            _(
                "phi must be above 0 and at most {richest_phi:g}. Above that the flame makes soot.",
                richest_phi=RICHEST_PHI,
            ),
            "phi",
        )
    low, high = -60.0, 0.0
    for _halving in range(80):
        middle = (low + high) / 2
        if _phi_at(c, 10**middle) > phi:
            low = middle
        else:
            high = middle
    return _flame_at(c, 10 ** ((low + high) / 2), phi)


def phi_of_ratio(c: float, co2_co: float) -> float:
    """The mixture whose gas has this CO2/CO at `c` °C; 0 where even air alone has less oxygen than that."""
    return max(0.0, _phi_at(c, (co2_co / _constant(co_oxidation_j(c), c)) ** 2))


def phi_limit(oxide: str, c: float) -> float | None:
    """The mixture from which on a propane flame reduces the free oxide at `c` °C.

    0 where it gives off oxygen in air alone; None where no flame reduces it.
    """
    return _within_reach(phi_of_ratio(c, equilibrium_co2_co(oxide, c)))


def bound_phi_limit(oxide: str, c: float) -> tuple[str, float | None] | None:
    """The same for the oxide bound in a spinel, where that was measured: the spinel and the mixture; else None.

    Bound, the oxide is held more firmly by the energy of forming the spinel.
    """
    if oxide not in SPINELS_J_MOL or oxide not in PAIRS:
        return None
    spinel, a, b, _low, _high = SPINELS_J_MOL[oxide]
    kelvin = c + ZERO_C_IN_K
    ratio = equilibrium_co2_co(oxide, c) * exp((a + b * kelvin) / (GAS_CONSTANT_J_MOL_K * kelvin))
    return spinel, _within_reach(phi_of_ratio(c, ratio))


def co_share_pct(co2_co: float) -> float:
    """CO in % of CO and CO2 together, for a ratio CO2/CO."""
    return 100 / (1 + co2_co)


def _within_reach(phi: float) -> float | None:
    return phi if phi <= RICHEST_PHI else None


def _constant(energy_j: float, c: float) -> float:
    return exp(-energy_j / (GAS_CONSTANT_J_MOL_K * (c + ZERO_C_IN_K)))


def _ratios(c: float, o2_atm: float) -> tuple[float, float]:
    root = sqrt(o2_atm)
    return _constant(co_oxidation_j(c), c) * root, _constant(h2_oxidation_j(c), c) * root


def _phi_at(c: float, o2_atm: float) -> float:
    """The mixture that leaves this pressure of O2, by the balance of oxygen over one C3H8 and 5/phi of air's O2."""
    if o2_atm >= 1:
        return 0.0
    co2_co, h2o_h2 = _ratios(c, o2_atm)
    bound = 3 * (2 * co2_co + 1) / (co2_co + 1) + 4 * h2o_h2 / (h2o_h2 + 1)
    free = 2 * o2_atm / (1 - o2_atm)
    return (10 - 5 * N2_PER_O2 * free) / (bound + 7 * free)


def _flame_at(c: float, o2_atm: float, phi: float) -> Flame:
    co2_co, h2o_h2 = _ratios(c, o2_atm)
    total = (7 + 5 * N2_PER_O2 / phi) / (1 - o2_atm)
    return Flame(co2_co, h2o_h2, 100 * o2_atm, 100 * 3 / (1 + co2_co) / total)


def _gibbs_j(gas: str, kelvin: float) -> float:
    """Standard Gibbs energy in J/mol at 1 atm by the NASA polynomial, elements at 298.15 K as zero of enthalpy."""
    a1, a2, a3, a4, a5, a6, a7 = GASES[gas][kelvin > NASA_SEAM_K]
    enthalpy = a1 + kelvin * (a2 / 2 + kelvin * (a3 / 3 + kelvin * (a4 / 4 + kelvin * a5 / 5))) + a6 / kelvin
    entropy = a1 * log(kelvin) + kelvin * (a2 + kelvin * (a3 / 2 + kelvin * (a4 / 3 + kelvin * a5 / 4))) + a7
    return GAS_CONSTANT_J_MOL_K * kelvin * (enthalpy - entropy)


def _pair(oxide: str) -> Pair:
    if oxide not in PAIRS:
        raise Refusal(
            _("The reduction of this oxide is not known here; known are {pairs}.", pairs=", ".join(PAIRS)), "oxide"
        )
    return PAIRS[oxide]


def _fit(oxide: str, pair: Pair, kelvin: float) -> Fit:
    low, high = pair.fits[0].from_k, pair.fits[-1].to_k + STRETCH_K
    if not low <= kelvin <= high:
        raise Refusal(
            _(
                "The published fit for {oxide} covers {low:.0f} to {high:.0f} °C, not {asked:g} °C.",
                oxide=oxide,
                low=low - ZERO_C_IN_K,
                high=high - ZERO_C_IN_K,
                asked=kelvin - ZERO_C_IN_K,
            ),
            "c",
        )
    return next((fit for fit in pair.fits if kelvin <= fit.to_k), pair.fits[-1])
