"""`code`: new codes for tags, and the check of a typed one."""

import secrets
from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.codes import BODIES, is_valid, new_codes, normalised, plain_twin
from bench.science.refusal import Refusal
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """New codes, or whether a typed one is whole."""
    if ask.has("new") == ask.has("check"):
        raise Refusal(_("Give new, how many codes, or check, one typed code."), "new")
    if ask.has("new"):
        count = ask.whole("new", 1, 1000)
        codes = new_codes(count, lambda: secrets.randbelow(BODIES))
        return {"codes": codes, "working": [_method(), step(_("Drawn at random. The journal knows which are in use."))]}
    return _checked(ask.text("check", longest=100))


def _checked(typed: str) -> dict[str, Any]:
    try:
        code = normalised(typed)
    except Refusal as refusal:
        twin = plain_twin(typed)
        hint = _(" Read that way, it is {twin}, a valid code.", twin=twin) if twin else ""
        return {"valid": False, "normalised": None, "why": refusal.say + hint, "working": [_method()]}
    if is_valid(code):
        return {"valid": True, "normalised": code, "why": _("The check character fits."), "working": [_method()]}
    why = _("The check character does not fit: a character is wrong, or two are swapped. Read the tag again.")
    return {"valid": False, "normalised": code, "why": why, "working": [_method()]}


def _method() -> Step:
    return step(_("Five characters and a check character by ISO/IEC 7064, MOD 37-2."), source="iso7064")


KIND = Kind(
    name="code",
    summary="new codes for tags, or the check of a typed one",
    fields=(
        Field("new", "number", "How many new codes, up to 1000; give this or check.", False, None),
        Field("check", "text", "A typed code, such as T5C7H-J; give this or new.", False, None),
    ),
    example={"check": "T5C7H-J"},
    run=run,
)
