"""Standard atomic weights: the conventional values, and the interval within which a natural material lies.

Source: Prohaska et al. 2022, Pure Appl. Chem. 94(5), 573, "Standard atomic weights of the elements 2021", with the
revisions that the Commission on Isotopic Abundances and Atomic Weights announced in 2024 (zirconium read; gadolinium
and lutetium from memory). Intervals from memory, except lead and argon (read). Elements without a standard weight are
absent.
"""

from dataclasses import dataclass
from typing import Final

SOURCE: Final = "ciaaw"


@dataclass(frozen=True)
class Weight:
    """The standard atomic weight of an element in g/mol: the conventional value, and the bounds of normal materials."""

    symbol: str
    g_mol: float
    low_g_mol: float
    high_g_mol: float


# Symbol, conventional value, then either the standard's uncertainty or the interval's two ends.
TABLE: Final = """
H 1.008 1.00784 1.00811
He 4.002602 ±0.000002
Li 6.94 6.938 6.997
Be 9.0121831 ±0.0000005
B 10.81 10.806 10.821
C 12.011 12.0096 12.0116
N 14.007 14.00643 14.00728
O 15.999 15.99903 15.99977
F 18.998403162 ±0.000000005
Ne 20.1797 ±0.0006
Na 22.98976928 ±0.00000002
Mg 24.305 24.304 24.307
Al 26.9815384 ±0.0000003
Si 28.085 28.084 28.086
P 30.973761998 ±0.000000005
S 32.06 32.059 32.076
Cl 35.45 35.446 35.457
Ar 39.95 39.792 39.963
K 39.0983 ±0.0001
Ca 40.078 ±0.004
Sc 44.955907 ±0.000004
Ti 47.867 ±0.001
V 50.9415 ±0.0001
Cr 51.9961 ±0.0006
Mn 54.938043 ±0.000002
Fe 55.845 ±0.002
Co 58.933194 ±0.000003
Ni 58.6934 ±0.0004
Cu 63.546 ±0.003
Zn 65.38 ±0.02
Ga 69.723 ±0.001
Ge 72.63 ±0.008
As 74.921595 ±0.000006
Se 78.971 ±0.008
Br 79.904 79.901 79.907
Kr 83.798 ±0.002
Rb 85.4678 ±0.0003
Sr 87.62 ±0.01
Y 88.905838 ±0.000002
Zr 91.222 ±0.003
Nb 92.90637 ±0.00001
Mo 95.95 ±0.01
Ru 101.07 ±0.02
Rh 102.90549 ±0.00002
Pd 106.42 ±0.01
Ag 107.8682 ±0.0002
Cd 112.414 ±0.004
In 114.818 ±0.001
Sn 118.71 ±0.007
Sb 121.76 ±0.001
Te 127.6 ±0.03
I 126.90447 ±0.00003
Xe 131.293 ±0.006
Cs 132.90545196 ±0.00000006
Ba 137.327 ±0.007
La 138.90547 ±0.00007
Ce 140.116 ±0.001
Pr 140.90766 ±0.00001
Nd 144.242 ±0.003
Sm 150.36 ±0.02
Eu 151.964 ±0.001
Gd 157.249 ±0.002
Tb 158.925354 ±0.000007
Dy 162.5 ±0.001
Ho 164.930329 ±0.000005
Er 167.259 ±0.003
Tm 168.934219 ±0.000005
Yb 173.045 ±0.01
Lu 174.96669 ±0.00005
Hf 178.486 ±0.006
Ta 180.94788 ±0.00002
W 183.84 ±0.01
Re 186.207 ±0.001
Os 190.23 ±0.03
Ir 192.217 ±0.002
Pt 195.084 ±0.009
Au 196.96657 ±0.000004
Hg 200.592 ±0.003
Tl 204.38 204.382 204.385
Pb 207.2 206.14 207.94
Bi 208.9804 ±0.00001
Th 232.0377 ±0.0004
Pa 231.03588 ±0.00001
U 238.02891 ±0.00003
"""

# Real elements that no isotope of natural material gives a weight to.
_NONE = "Tc Pm Po At Rn Fr Ra Ac Np Pu Am Cm Bk Cf Es Fm Md No Lr Rf Db Sg Bh Hs Mt Ds Rg Cn Nh Fl Mc Lv Ts Og"
WITHOUT_WEIGHT: Final = frozenset(_NONE.split(" "))


def _read(line: str) -> Weight:
    symbol, value, *rest = line.split()
    if len(rest) == 2:
        return Weight(symbol, float(value), float(rest[0]), float(rest[1]))
    around = float(rest[0].removeprefix("±"))
    return Weight(symbol, float(value), float(value) - around, float(value) + around)


WEIGHTS: Final[dict[str, Weight]] = {weight.symbol: weight for weight in map(_read, TABLE.strip().splitlines())}
G_MOL: Final[dict[str, float]] = {symbol: weight.g_mol for symbol, weight in WEIGHTS.items()}
