"""Day or night, left hand or right: what this browser's cookie says."""

from flask import request

THEMES = ("system", "day", "night")
HANDS = ("right", "left")


def _kept(name: str, allowed: tuple[str, ...]) -> str:
    value = request.cookies.get(name, "")
    return value if value in allowed else allowed[0]


def theme() -> str:
    """`day`, `night`, or `system` where the device decides."""
    return _kept("theme", THEMES)


def hand() -> str:
    """The hand that holds the phone: `right` or `left`; the action bar mirrors."""
    return _kept("hand", HANDS)
