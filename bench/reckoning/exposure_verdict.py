"""The verdict on an estimated exposure. The thresholds are our own defaults; no verdict reassures."""

from dataclasses import dataclass
from typing import Final

from bench.reckoning.limits import molar_mass_g_mol, strictest_mg_m3
from bench.reference import Library
from bench.reference.surroundings import Gas
from bench.science.exposure import Exposure, ppm
from bench.translation import _

DO_NOT: Final = "do-not-do-it-indoors"
FLAG: Final = "flag"
NO_FLAG: Final = "no-flag"
IRRITANTS: Final = frozenset(["HCl", "Cl2", "NO", "NO2", "SO2", "SO3", "NH3", "HF", "HBr", "H2S"])
CANCER_CODES: Final = ("H350", "H351")
ALWAYS_CANCER: Final = frozenset(["CrO3", "PbO"])
"""Fumes counted as carcinogens though no card stands for them here (common knowledge, from memory)."""

OF_DANGER: Final = 0.1
OF_SHORT: Final = 0.5
OF_DAY_IRRITANT: Final = 0.25
OF_DAY: Final = 1.0
OF_EXPLOSION: Final = 0.1
WORTH_A_FLAG: Final = 0.1
NO_FLAG_SAY: Final = _("This estimate found nothing to flag; it cannot show that nothing is wrong.")


@dataclass(frozen=True)
class Judged:
    """A verdict in the contract's words, and the sentence that says why."""

    word: str
    why: str


def judged(gas: Gas, found: Exposure, g: float, library: Library) -> Judged:
    """The verdict on peak and eight-hour mean against the strictest limits of the gas."""
    day = OF_DAY_IRRITANT if gas.slug in IRRITANTS else OF_DAY
    tests = (
        ("peak", "danger", found.peak_mg_m3, OF_DANGER),
        ("peak", "short", found.peak_mg_m3, OF_SHORT),
        (_("mean of eight hours"), "8h", found.twa8h_mg_m3, day),
    )
    for what, period, value, share in tests:
        limit = strictest_mg_m3(gas, period)
        if limit is not None and value > 0 and value >= share * limit[0]:
            return Judged(
                DO_NOT, _say(what, value / limit[0], limit[1].body, limit[1].year, _("do not do this indoors"))
            )
    mass = molar_mass_g_mol(gas)
    if gas.lel_low_pct and mass and ppm(found.peak_mg_m3, mass) >= OF_EXPLOSION * gas.lel_low_pct * 1e4:
        return Judged(DO_NOT, _("The peak is at least a tenth of what can explode. Do not do this indoors."))
    if g > 0 and _may_cause_cancer(gas, library):
        return Judged(
            FLAG,
            _("{name} may cause cancer. Keep exposure as low as possible, whatever the limits say.", name=gas.name),
        )
    for what, period, value, _known in tests:
        limit = strictest_mg_m3(gas, period)
        if limit is not None and value >= WORTH_A_FLAG * limit[0]:
            return Judged(
                FLAG, _say(what, value / limit[0], limit[1].body, limit[1].year, _("ventilate well and stay out"))
            )
    return Judged(NO_FLAG, NO_FLAG_SAY)


def _say(what: str, times: float, body: str, year: int | None, advice: str) -> str:
    return _(
        "The {what} is {times:.2g} times the strictest limit ({body}{year}): {advice}.",
        what=what,
        times=times,
        body=body,
        year=f", {year}" if year else "",
        advice=advice,
    )


def _may_cause_cancer(gas: Gas, library: Library) -> bool:
    card = library.card_for(gas.slug)
    return gas.slug in ALWAYS_CANCER or (
        card is not None and any(code.startswith(CANCER_CODES) for code in card.h_codes)
    )
