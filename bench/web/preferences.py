"""Day or night, left hand or right, A4 or Letter: what this browser's cookies say."""

from flask import Response, request

YEAR_S = 365 * 86_400

THEMES = ("system", "day", "sun", "night")
HANDS = ("right", "left")
PAPERS = ("a4", "letter")


def _kept(name: str, allowed: tuple[str, ...]) -> str:
    value = request.cookies.get(name, "")
    return value if value in allowed else allowed[0]


def theme() -> str:
    """`day`, `sun` (black on white), `night`, or `system` where the device decides."""
    return _kept("theme", THEMES)


def hand() -> str:
    """The hand that holds the phone: `right` or `left`; the action bar mirrors."""
    return _kept("hand", HANDS)


def paper() -> str:
    """The paper that labels were last printed on from here: `a4` or `letter`."""
    return _kept("paper", PAPERS)


def keep(answer: Response, name: str, value: str) -> None:
    """Let this browser remember a choice for a year."""
    answer.set_cookie(name, value, max_age=YEAR_S, samesite="Lax", secure=request.is_secure, httponly=True)
