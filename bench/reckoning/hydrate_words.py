"""The sentence that says which hydrate fits, what cannot be told, and what to do then."""

from collections.abc import Sequence

from bench.science.formulas import pretty
from bench.translation import _

Kept = tuple[str, float, float]
"""A formula and the lowest and highest share of it that stays, in per cent."""


def verdict(
    forms: Sequence[Kept], fits: Sequence[str], stays: float, at_c: float, enough_g: float | None, water: float | None
) -> str:
    """The sentence for what stayed, in per cent, at `at_c` °C; `forms` with the one that keeps most first."""
    lost = _("It lost {stays:.2f} % at {at_c:g} °C.", stays=100 - stays, at_c=at_c)
    if len(fits) == 1:
        return _("{lost} That fits {form}{others}.", lost=lost, form=_said(forms, fits[0]), others=_others(forms, fits))
    if fits:
        return f"{lost} {_untold(forms, fits, enough_g)}"
    return f"{lost} {_between(forms, stays)}{_as_water(water)}"


def _said(forms: Sequence[Kept], formula: str) -> str:
    low, high = next((low, high) for text, low, high in forms if text == formula)
    if high - low < 0.05:
        return _("{formula}, which loses {high:.2f} %", formula=pretty(formula), high=100 - high)
    return _(
        "{formula}, which loses {high:.1f} to {low:.1f} %, because it is in between there",
        formula=pretty(formula),
        high=100 - high,
        low=100 - low,
    )


def _others(forms: Sequence[Kept], fits: Sequence[str]) -> str:
    others = [_said(forms, text) for text, _, _ in forms if text not in fits]
    if others:
        return _(", and not {others}", others=_("; nor ").join(others))
    return _(": the only form on record, so another one would not show") if len(forms) == 1 else ""


def _untold(forms: Sequence[Kept], fits: Sequence[str], enough_g: float | None) -> str:
    names = _(" and ").join(pretty(text) for text in fits)
    said = _("{names} fit equally. These two weighings cannot separate them.", names=names)
    if enough_g is not None:
        return _("{said} Take at least {enough_g:.1f} g.", said=said, enough_g=enough_g)
    if any(high - low >= 0.05 for text, low, high in forms if text in fits):
        return _("{said} At that heat some gas is only partly gone: take another heat.", said=said)
    return _("{said} Fire them hotter, or ask the maker of the jar.", said=said)


def _between(forms: Sequence[Kept], stays: float) -> str:
    """What it may be where no form fits: the neighbours above and below."""
    wetter = [form for form in forms if form[2] < stays]
    drier = [form for form in forms if form[1] > stays]
    if wetter and drier:
        above, below = drier[-1], wetter[0]
        return _(
            "No form fits: the loss is between {above}, and {below}. The jar may be partly dried, damp or "
            "mixed. Dry all of it to one form, or calculate by this assay.",
            above=_said(forms, above[0]),
            below=_said(forms, below[0]),
        )
    if drier:
        return _(
            "No form fits: it lost more than any on record, such as {form}. The sample is damp or impure.",
            form=_said(forms, drier[-1][0]),
        )
    return _(
        "No form fits: it lost less than any on record, such as {form}. Heat was too short, or the sample is impure.",
        form=_said(forms, forms[-1][0]),
    )


def _as_water(water: float | None) -> str:
    return "" if water is None or water < 0 else _(" Its mass is that of {water:.1f} H₂O in each formula.", water=water)
