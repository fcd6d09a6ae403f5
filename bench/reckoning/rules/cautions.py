"""The cautions that stand at each step: what to wear, what to mind. They guide; the SDS, law and licensed people
decide."""

from collections.abc import Mapping
from dataclasses import dataclass

from bench.translation import _

DEFER = _(
    "Guidance only: the SDS of your jar, local law and permits decide. For gas, wiring and fire ask a licensed "
    "fitter, an electrician, the fire service."
)
"""Stands in sight wherever a caution, a limit or an estimate is shown."""

OWN = "own-cautions"


@dataclass(frozen=True)
class Caution:
    """One caution. `basis` is read, memory, or project-default (our own figure, not the rule of any body). `fuel`: the
    fuel whose furnaces it is about, "" for all."""

    say: str
    basis: str = "memory"
    sources: tuple[str, ...] = (OWN,)
    fuel: str = ""


def _read(say: str, *sources: str) -> Caution:
    return Caution(say, "read", sources)


def _own(say: str, *sources: str) -> Caution:
    return Caution(say, "project-default", sources or (OWN,))


MASK = _read(_("P3 or P100 half mask, seal checked, on a shaven face. It stops dust, never a gas."), "P7", "P8")
GLOVES = Caution(_("Closed goggles and nitrile gloves. Nitrile gloves never near heat."))
WET_CLEANING = _read(_("Wipe wet or use an H-class vacuum. No brush, air line or fan."), "A1", "H2")
TIMER = _own(_("A timer does not watch a fire. Somebody stays."), "K2", OWN)
EMPTY_HANDED = _read(_("No food or drink here, and separate clothes for this work."), "A1")

BY_STEP: Mapping[str, tuple[Caution, ...]] = {
    "plan": (
        Caution(_("Read the SDS of every jar before you buy or open it.")),
        _own(_("The gas estimate is a screen. Finding nothing does not show safety."), "own-exposure"),
    ),
    "weigh": (
        MASK,
        _read(_("Work under extraction or in still air, and put each lid back at once."), "A1", "H2"),
        GLOVES,
        Caution(_("Powder into water, not water onto powder.")),
        WET_CLEANING,
        EMPTY_HANDED,
    ),
    "mix": (
        MASK,
        Caution(
            _("Never an oxidiser with anything that burns. Keep away charcoal, sulfur, sugar, oil, solvent and paper.")
        ),
        GLOVES,
        WET_CLEANING,
    ),
    "grind": (
        MASK,
        Caution(_("Grind wet where you can; dry only in a closed vessel.")),
        Caution(_("Let a milling jar vent before you open it.")),
        Caution(
            _("Solvent paste: no flame and nothing hot within 10 m. Let air carry vapour away from you."),
            "project-default",
        ),
        WET_CLEANING,
    ),
    "dry": (
        Caution(_("Dry at 105 to 120 °C until two weighings agree.")),
        Caution(_("No solvent in an oven. Let it leave in the open air first.")),
        Caution(_("Keep nitrates far from paper and cloth.")),
    ),
    "load": (
        Caution(_("Chamber cold, power or gas shut off.")),
        _own(_("Fill to two thirds at most. Carbonates half, frothing charges one fifth, alum one tenth.")),
        Caution(_("Lid on, but vented. A cracked or dull-ringing crucible stays out.")),
        MASK,
    ),
    "light": (
        Caution(_("Purge at least four chamber volumes before any flame."), "read", ("L5", "L6"), fuel="gas"),
        Caution(_("Flame first, then gas, slowly; face and body aside."), "read", ("L5",), fuel="gas"),
        Caution(
            _("It did not light: gas off, wait 5 minutes, purge again."), "project-default", ("L5", OWN), fuel="gas"
        ),
        TIMER,
    ),
    "fire": (
        TIMER,
        Caution(_("Heat slowly where gas leaves. Nobody downwind. Keep two ways out clear.")),
        Caution(
            _(
                "Look in for seconds only, through an infrared filter. EN 171 code 4- or EN ISO 16321; about "
                "1200 °C suggests 4-3 or 4-4."
            )
        ),
        _read(_("Infrared clouds the lens of the eye over years."), "IRcat"),
        _read(_("Weld filters (EN 169) and didymium glass are not infrared filters."), "P6", "P4"),
        _read(_("Headache, dizziness, sickness or sleepiness is CO until shown otherwise. Everyone out."), "C3"),
    ),
    "open": (
        _own(_("Let the furnace cool below 100 °C unless a hot pull was planned.")),
        Caution(
            _(
                "Hot pull: matched tongs, face shield, leather, dry gloves. Gloves do not hold 1200 °C: "
                "tongs do the gripping."
            )
        ),
        _read(_("Gloves are classed for contact heat by EN 407."), "P1"),
        Caution(_("A wet or damp glove turns to steam and scalds.")),
        Caution(_("Set ware on dry firebrick or sand. Never on concrete, metal, wood or damp ground.")),
    ),
    "quench": (
        Caution(_("Water bursts melts, glass, porcelain and hot brick. Residues with burnt lime boil.")),
        Caution(_("Small amounts only, shield on, at arm's length with tongs.")),
    ),
    "wash": (
        Caution(_("Wash cold. Collect the first rinses separately.")),
        Caution(_("Test the rinse for cobalt and chromium(VI). Until then treat it as waste.")),
        Caution(_("Settle, filter, keep; nothing with metals goes down the drain.")),
        _read(_("US leach limits, mg/L: As 5, Ba 100, Cd 1, Cr 5, Pb 5, Hg 0.2, Se 1."), "TCLP", "TCLP2"),
        GLOVES,
    ),
    "waste": (
        Caution(_("Acids, sulfides, fluorides, bleach, cyanides, nitrates and solvents each in their own container.")),
        Caution(_("Leave room at the top, and a lid that lets gas out."), "project-default"),
        GLOVES,
        Caution(_("Local rules on hazardous waste decide.")),
    ),
    "swatch": (
        _read(
            _("Oily rags ignite by themselves. Spread flat outdoors, or keep under water in a lidded metal can."),
            "Oil1",
        ),
        MASK,
        GLOVES,
    ),
}
"""Cautions for each step that the rules know, the ones that count most first."""

OLD_LINING = Caution(
    _(
        "Old fibre lining breaks into dust that may hold cristobalite. Some of it is suspected of causing cancer. "
        "Wear a P3 mask, wet it, bag it."
    ),
    "read",
    ("RCF", "H1"),
)
"""For whoever opens, mends or takes out a furnace lining."""


def cautions_for(step: str, fuel: str = "any") -> tuple[Caution, ...]:
    """The cautions of a step in a furnace of this fuel; KeyError for a step that the rules do not know."""
    return tuple(one for one in BY_STEP[step] if one.fuel in ("", fuel) or fuel == "any")
