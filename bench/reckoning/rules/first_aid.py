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
            _("Cool running water for 20 minutes, begun at once."),
            _("Rings and watch off; leave cloth that sticks."),
            _("Clean cling film laid over, not wound round."),
            _("No ice, no cream, nothing greasy."),
        ),
        _("Larger than a hand, deep, on face or hands, from a chemical or from current: call at once."),
        "read",
        ("F2", "F1"),
    ),
    FirstAid(
        "breathed-in",
        _("Smoke, gas or dust breathed in"),
        (_("Into fresh air, half sitting, at rest."), _("Never go back in to fetch somebody out.")),
        _(
            "Always call after a brown gas: lungs can fill up to a day later. Chills after metal "
            "fume come hours later too."
        ),
        "read",
        ("NOx-tox", OWN),
    ),
    FirstAid(
        "ill-near-the-fire",
        _("Feeling ill near the fire"),
        (
            _("Get out first, everyone with you."),
            _("Headache, dizziness, sickness, sleepiness: think of carbon monoxide."),
        ),
        _("Call from outside; say carbon monoxide."),
        "read",
        ("C3",),
    ),
    FirstAid(
        "eyes",
        _("Something in the eyes"),
        (_("Rinse with water for 15 to 20 minutes, lids held open."), _("Contact lenses out if they come easily.")),
        _("Get help while you rinse."),
    ),
    FirstAid(
        "swallowed",
        "Swallowed",
        (_("Rinse the mouth."), _("Do not make them vomit.")),
        _("Call the poison line with the jar in your hand."),
    ),
    FirstAid(
        "dry-powder-on-skin",
        _("Dry chemical on the skin"),
        (_("Brush it off first."), _("Then rinse for a long time.")),
        _("Call if it burns, blisters or covers much skin."),
    ),
    FirstAid(
        "hydrofluoric-acid",
        _("Hydrofluoric acid, or acid that met a fluoride"),
        (_("Water at once, clothing off."), _("Calcium gluconate gel, rubbed in again and again.")),
        _("Call the emergency number at once, even without pain."),
    ),
    FirstAid(
        "on-fire",
        _("Somebody is on fire"),
        (_("Stop, drop, roll. Never run."), _("Fire blanket, from the neck down.")),
        _("Call, then treat as a burn."),
    ),
)
"""First aid by harm. It guides the first minutes; trained help decides the rest."""


def emergency_lines(emergency_number: str | None, poison_number: str | None) -> tuple[str, str]:
    """The two lines with the numbers that the maker entered; a number that is missing is said to be missing, never
    guessed."""
    return (
        f"Emergency: {emergency_number or NO_NUMBER}",
        _("Poison line: {poison_number}", poison_number=poison_number or NO_NUMBER),
    )
