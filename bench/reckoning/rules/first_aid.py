"""First aid and emergency lines, held in the program so that they are there without a network."""

from dataclasses import dataclass

from bench.reckoning.rules.cautions import OWN

NO_NUMBER = "not set: ask for it before the first firing"


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
        "Skin burn",
        (
            "Cool running water for 20 minutes, begun at once.",
            "Rings and watch off; leave cloth that sticks.",
            "Clean cling film laid over, not wound round.",
            "No ice, no cream, nothing greasy.",
        ),
        "Larger than a hand, deep, on face or hands, from a chemical or from current: call at once.",
        "read",
        ("F2", "F1"),
    ),
    FirstAid(
        "breathed-in",
        "Smoke, gas or dust breathed in",
        ("Into fresh air, half sitting, at rest.", "Never go back in to fetch somebody out."),
        "Always call after a brown gas: lungs can fill up to a day later. "
        "Chills after metal fume come hours later too.",
        "read",
        ("NOx-tox", OWN),
    ),
    FirstAid(
        "ill-near-the-fire",
        "Feeling ill near the fire",
        ("Get out first, everyone with you.", "Headache, dizziness, sickness, sleepiness: think of carbon monoxide."),
        "Call from outside; say carbon monoxide.",
        "read",
        ("C3",),
    ),
    FirstAid(
        "eyes",
        "Something in the eyes",
        ("Rinse with water for 15 to 20 minutes, lids held open.", "Contact lenses out if they come easily."),
        "Get help while you rinse.",
    ),
    FirstAid(
        "swallowed",
        "Swallowed",
        ("Rinse the mouth.", "Do not make them vomit."),
        "Call the poison line with the jar in your hand.",
    ),
    FirstAid(
        "dry-powder-on-skin",
        "Dry chemical on the skin",
        ("Brush it off first.", "Then rinse for a long time."),
        "Call if it burns, blisters or covers much skin.",
    ),
    FirstAid(
        "hydrofluoric-acid",
        "Hydrofluoric acid, or acid that met a fluoride",
        ("Water at once, clothing off.", "Calcium gluconate gel, rubbed in again and again."),
        "Call the emergency number at once, even without pain.",
    ),
    FirstAid(
        "on-fire",
        "Somebody is on fire",
        ("Stop, drop, roll. Never run.", "Fire blanket, from the neck down."),
        "Call, then treat as a burn.",
    ),
)
"""First aid by harm. It guides the first minutes; trained help decides the rest."""


def emergency_lines(emergency_number: str | None, poison_number: str | None) -> tuple[str, str]:
    """The two lines with the numbers that the maker entered; a number that is missing is said to be missing, never
    guessed."""
    return (
        f"Emergency: {emergency_number or NO_NUMBER}",
        f"Poison line: {poison_number or NO_NUMBER}",
    )
