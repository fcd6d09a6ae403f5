"""What a maker's own row must hold beyond its fields: a family with its range, a whole colour, a card that warns."""

from collections.abc import Mapping
from typing import Any

from bench.reckoning.families import family_of
from bench.reference import Library
from bench.reference.cautions import HazardCard
from bench.reference.labelling import pictograms_for, signal_words_for
from bench.reference.things import Target
from bench.science.cas import cas_holds
from bench.web.forms import Form
from bench.web.words import _

LAB = ("lab_l", "lab_a", "lab_b")
FAMILY = ("formula_family", "x_low", "x_high")
FLAGS = ("ok", "caution", "avoid", "refuse")
"""From the mildest to the worst."""


def check_target(form: Form, told: Mapping[str, Any], files: Any) -> None:
    """CIELAB whole or not at all; a family that can be reckoned with, with its range of x."""
    given = [name for name in LAB if told.get(name) is not None]
    if 0 < len(given) < len(LAB):
        missing = next(name for name in LAB if name not in given)
        form.refuse(_("Fill in L*, a* and b*, or none of them."), missing)
    family = told.get("formula_family") or ""
    if files is not None and all(told.get(name) == getattr(files, name) for name in FAMILY):
        return  # the library writes some families in words
    if not family:
        if told.get("x_low") is not None or told.get("x_high") is not None:
            form.refuse(_("Type the family that this x belongs to."), "formula_family")
        return
    formula = files.formula if files is not None else told.get("formula", "")
    if family_of(Target(slug="x", name="x", formula=formula, formula_family=family)) is None:
        say = _("Put x in brackets and use the formula’s elements, such as Zn(1-x)Co(x)O.")
        form.refuse(say, "formula_family")
    elif told.get("x_low") is None or told.get("x_high") is None:
        form.refuse(_("Type the range of x that is known to work."), "x_low")


def read_card(form: Form, told: dict[str, Any], files: HazardCard | None, library: Library) -> None:
    """Codes that have a text, CAS numbers that hold, and nothing milder than what is published.

    Pictograms, signal word and class follow from the codes and are added to what was told.
    """
    for name, letters in (("h_codes", ("H", "EUH")), ("p_codes", ("P",))):
        told[name] = [code.upper() if code[:3].upper() == "EUH" else _code(code) for code in told.get(name) or ()]
        strange = [c for c in told[name] if c not in library.statements or not c.startswith(letters)]
        if strange:
            form.refuse(_("{code} is not known here. Check it on the SDS.", code=strange[0]), name)
    for number in told.get("cas") or ():
        if not cas_holds(number):
            form.refuse(_("The CAS number {number} is mistyped: its check digit does not fit.", number=number), "cas")
    if files is not None:
        _not_milder(form, told, files)
    told["pictograms"] = list(pictograms_for(told["h_codes"]))
    told["classified"] = bool(told["h_codes"])
    _signal_word(form, told)


def _code(text: str) -> str:
    """A code as the tables write it: the letter large, its class letters as typed, `H360FD`, `H350i`."""
    return "+".join(part.strip()[:1].upper() + part.strip()[1:] for part in text.split("+"))


def _not_milder(form: Form, told: Mapping[str, Any], files: HazardCard) -> None:
    less = [code for code in files.h_codes if code not in told["h_codes"]]
    if less:
        say = _("{code} is published and stays. Make another card if your jar holds another substance.")
        form.refuse(say.format(code=less[0]), "h_codes")
    flag = told.get("flag") or files.flag
    if flag in FLAGS and FLAGS.index(flag) < FLAGS.index(files.flag):
        form.refuse(_("The published value is stricter and stays."), "flag")


def _signal_word(form: Form, told: dict[str, Any]) -> None:
    fit = signal_words_for(told["h_codes"]) if told["h_codes"] else frozenset([""])
    said = told.get("signal_word") or ""
    if len(fit) == 1:
        [told["signal_word"]] = fit
    elif said not in fit:
        form.refuse(_("The codes do not decide the signal word. Take it from the SDS."), "signal_word")
