"""Published fits for what binds oxygen: gases and free oxides.

Gases: heat capacity polynomials in the NASA form with seven coefficients, as in the GRI-Mech 3.0 thermodynamic file
(species data from Burcat and from McBride, Gordon and Reno, NASA TM 4513, 1993).

Oxides: oxygen potential of the pair oxide and product as μO2 = a + b·T + c·T·ln T + d·T² in J per mol O2, T in K.
"""

from dataclasses import dataclass
from typing import Final

NASA_SEAM_K: Final = 1000.0

GASES: Final[dict[str, tuple[tuple[float, ...], tuple[float, ...]]]] = {
    "O2": (
        (3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12, -1063.94356, 3.65767573),
        (3.28253784, 1.48308754e-03, -7.57966669e-07, 2.09470555e-10, -2.16717794e-14, -1088.45772, 5.45323129),
    ),
    "H2": (
        (2.34433112, 7.98052075e-03, -1.9478151e-05, 2.01572094e-08, -7.37611761e-12, -917.935173, 0.683010238),
        (3.3372792, -4.94024731e-05, 4.99456778e-07, -1.79566394e-10, 2.00255376e-14, -950.158922, -3.20502331),
    ),
    "H2O": (
        (4.19864056, -2.0364341e-03, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12, -30293.7267, -0.849032208),
        (3.03399249, 2.17691804e-03, -1.64072518e-07, -9.7041987e-11, 1.68200992e-14, -30004.2971, 4.9667701),
    ),
    "CO": (
        (3.57953347, -6.1035368e-04, 1.01681433e-06, 9.07005884e-10, -9.04424499e-13, -14344.086, 3.50840928),
        (2.71518561, 2.06252743e-03, -9.98825771e-07, 2.30053008e-10, -2.03647716e-14, -14151.8724, 7.81868772),
    ),
    "CO2": (
        (2.35677352, 8.98459677e-03, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13, -48371.9697, 9.90105222),
        (3.85746029, 4.41437026e-03, -2.21481404e-06, 5.23490188e-10, -4.72084164e-14, -48759.166, 2.27163806),
    ),
}
"""Gas → coefficients below and above 1000 K, valid 200 to 3500 K."""


@dataclass(frozen=True)
class Fit:
    """One stretch of an oxygen potential in J per mol O2, from_k to to_k."""

    from_k: float
    to_k: float
    a: float
    b: float
    c: float = 0.0
    d: float = 0.0


@dataclass(frozen=True)
class Pair:
    """A free oxide and what it becomes when it loses oxygen.

    `error_j` is the uncertainty in J per mol of O atoms (about 95 %), from the spread of the published fits.
    `source` is a key of the reference data; `memory` tells that the fit was recalled and not read, `agrees` that values
    which were read confirm it.
    """

    product: str
    fits: tuple[Fit, ...]
    error_j: float
    source: str
    memory: bool
    agrees: bool


R_LN10: Final = 8.314462618 * 2.302585092994046


def _buffer(from_k: float, to_k: float, a: float, b: float) -> Fit:
    """A fit published as log10 fO2 = a/T + b in bar."""
    return Fit(from_k, to_k, R_LN10 * a, R_LN10 * b)


PAIRS: Final[dict[str, Pair]] = {
    "CoO": Pair("Co", (Fit(700, 1700, -492186, 509.322, -53.284, 0.02518),), 300, "oneill-pownceby93", True, True),
    "NiO": Pair("Ni", (Fit(700, 1700, -478967, 248.514, -9.7961),), 300, "oneill-pownceby93", True, True),
    "Cu2O": Pair("Cu", (Fit(750, 1330, -347705, 246.096, -12.9053),), 300, "oneill-pownceby93", True, True),
    "CuO": Pair("Cu2O", (Fit(750, 1330, -292245, 377.012, -23.1976),), 1000, "oneill88", True, False),
    "Fe2O3": Pair(
        "Fe3O4",
        (
            _buffer(571, 846, -25497.5, 14.330),
            _buffer(846, 955, -26452.6, 15.455),
            _buffer(955, 1373, -25700.6, 14.558),
        ),
        1000,
        "frost91",
        False,
        True,
    ),
    "FeO": Pair(
        "Fe",
        (
            Fit(850, 1042, -605568, 1366.420, -182.7955, 0.10359),
            Fit(1042, 1184, -519113, 59.129, 8.9276),
            Fit(1184, 1644, -550915, 269.106, -16.9484),
        ),
        400,
        "oneill-pownceby93",
        True,
        True,
    ),
    "MnO": Pair("Mn", (Fit(298, 1500, -769400, 145.6),), 7300, "gaskell", True, False),
    "Cr2O3": Pair("Cr", (Fit(298, 1793, -740066.7, 164.8667),), 7300, "gaskell", True, False),
}
"""Oxide → what it becomes and its oxygen potential."""

SPINELS_J_MOL: Final[dict[str, tuple[str, float, float, float, float]]] = {
    "CoO": ("CoGa2O4", -22470.0, -4.999, 1207.0, 1379.0),
    "MgO": ("MgAl2O4", -23600.0, -5.91, 900.0, 1250.0),
}
"""Oxide → spinel, a, b of ΔG = a + b·T in J/mol for oxide + M2O3 → spinel, and the K between which it was measured."""
