"""First aid and emergency lines, held in the program so that they are there without a network."""

from dataclasses import dataclass

from bench.reckoning.rules.cautions import OWN
from bench.translation import _

NO_NUMBER = _("not set: ask for it before the first firing")


@dataclass(frozen=True)
class FirstAid:
    """What to do for one harm: `when` names it, `do` are the acts in order, `call` is when to call for help at
    once."""

    key: str
    when: str
    do: tuple[str, ...]
    call: str = ""
    basis: str = "memory"
    sources: tuple[str, ...] = (OWN,)


FIRST_AID: tuple[FirstAid, ...] = (
    FirstAid(
        "burn",
        _("Skin burn"),
        (
            _("Hold the burn under cool running water at once, for 20 minutes."),
            _("Take rings and watch off. Leave cloth that sticks."),
            _("Lay clean cling film over the burn. Never wind it round."),
            _("Use no ice, no cream, no grease."),
        ),
        _(
            "Call at once if the burn is deep, or larger than a hand. "
            "Call too for face, hands, chemicals or electric current."
        ),
        "read",
        ("F2", "F1"),
    ),
    FirstAid(
        "breathed-in",
        _("Smoke, gas or dust breathed in"),
        (_("Bring them into fresh air. Let them rest, half sitting."), _("Never go back in to fetch somebody out.")),
        _(
            "Always call after a brown gas: lungs can fill up to a day later. "
            "Chills from metal fume come hours later too."
        ),
        "read",
        ("NOx-tox", OWN),
    ),
    FirstAid(
        "ill-near-the-fire",
        _("Feeling ill near the fire"),
        (
            _("Get out first, and take everyone with you."),
            _("Headache, dizziness, sickness, sleepiness: think of carbon monoxide."),
        ),
        _("Call from outside; say carbon monoxide."),
        "read",
        ("C3",),
    ),
    FirstAid(
        "eyes",
        _("Something in the eyes"),
        (
            _("Rinse with water for 15 to 20 minutes. Hold the lids open."),
            _("Take contact lenses out if they come easily."),
        ),
        _("Get help while you rinse."),
    ),
    FirstAid(
        "swallowed",
        _("Something swallowed"),
        (_("Rinse the mouth."), _("Do not make them vomit.")),
        _("Call the poison line with the jar in your hand."),
    ),
    FirstAid(
        "dry-powder-on-skin",
        _("Dry chemical on the skin"),
        (_("Brush the powder off first."), _("Then rinse the skin for a long time.")),
        _("Call if it burns, blisters or covers much skin."),
    ),
    FirstAid(
        "hydrofluoric-acid",
        _("Hydrofluoric acid, or acid that met a fluoride"),
        (_("Rinse with water at once. Take clothing off."), _("Rub in calcium gluconate gel, again and again.")),
        _("Call the emergency number at once, even without pain."),
    ),
    FirstAid(
        "on-fire",
        _("Somebody is on fire"),
        (_("Stop, drop, roll. Never run."), _("Lay a fire blanket over them, from the neck down.")),
        _("Call, then treat as a burn."),
    ),
)
"""First aid by harm. It guides the first minutes; trained help decides the rest."""


def emergency_lines(emergency_number: str | None, poison_number: str | None) -> tuple[str, str]:
    """The two lines with the numbers that the maker entered; a number that is missing is said to be missing, never
    guessed."""
    return (
        _("Emergency: {number}", number=emergency_number or NO_NUMBER),
        _("Poison line: {poison_number}", poison_number=poison_number or NO_NUMBER),
    )
