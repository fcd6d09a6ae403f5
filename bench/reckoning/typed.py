"""What a single typed value must be: finite, of a size that occurs, not too long; else a Refusal with its field."""

import math
from typing import Any, Final

from bench.science.refusal import Refusal
from bench.translation import _

DEEPEST: Final = 8
MOST_VALUES: Final = 50_000
LONGEST_TEXT: Final = 2_000
LARGEST: Final = 1e15
SMALLEST: Final = 1e-30
"""Nothing at a bench is smaller; products of what is smaller would run into nothing and be divided by."""


def shown(value: Any) -> str:
    """A typed value as it may stand in a sentence: short, on one line."""
    text = value if isinstance(value, str) else repr(value)
    text = "".join(c if c.isprintable() else "?" for c in text[:60])
    return f"“{text}{'…' if len(str(value)) > 60 else ''}”"


def span(fewest: int, most: int) -> str:
    """How many entries a list may hold, in words."""
    if fewest == most:
        return _("exactly {fewest}", fewest=fewest)
    return _("{fewest} to {most} entries", fewest=fewest, most=most)


def number_in(value: Any, field: str, low: float | None, high: float | None, above: float | None) -> float:
    """A finite number within bounds, or a Refusal that names the field."""
    name = field.rsplit(".", 1)[-1]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refusal(_("{name} must be a number; {shown} is not.", name=name, shown=shown(value)), field)
    if (isinstance(value, float) and not math.isfinite(value)) or abs(value) > LARGEST or 0 < abs(value) < SMALLEST:
        raise Refusal(_("{name} must be a finite number of a size that occurs.", name=name), field)
    number = float(value)
    if above is not None and number <= above:
        raise Refusal(
            _("{name} must be more than {above:g}; it is {number:g}.", name=name, above=above, number=number), field
        )
    if low is not None and number < low:
        raise Refusal(_("{name} must be at least {low:g}; it is {number:g}.", name=name, low=low, number=number), field)
    if high is not None and number > high:
        raise Refusal(
            _("{name} must be at most {high:g}; it is {number:g}.", name=name, high=high, number=number), field
        )
    return number


def text_in(value: Any, field: str, longest: int) -> str:
    """A text with something to see in it, or a Refusal that names the field."""
    name = field.rsplit(".", 1)[-1]
    if not isinstance(value, str):
        raise Refusal(
            _("{name} must be a text in quotation marks; {shown} is not.", name=name, shown=shown(value)), field
        )
    text = value.strip()
    if not text:
        raise Refusal(_("Give {name}; it is empty.", name=name), field)
    if len(text) > longest:
        raise Refusal(
            _(
                "{name} is too long: {length} characters, {longest} at most.",
                name=name,
                length=len(text),
                longest=longest,
            ),
            field,
        )
    return text


def refuse_monsters(data: Any) -> None:
    """Refuses what is nested too deep, holds too many values, or holds a text far too long."""
    stack: list[tuple[Any, int, str | None]] = [(data, 1, None)]
    seen = 0
    while stack:
        value, depth, field = stack.pop()
        seen += 1
        if seen > MOST_VALUES:
            raise Refusal(_("This is too large: more than {most_values} values.", most_values=MOST_VALUES), field)
        if depth > DEEPEST:
            raise Refusal(_("This is nested too deep: {deepest} levels at most.", deepest=DEEPEST), field)
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            raise Refusal(
                _(
                    "This text is too long: {length} characters, {longest_text} at most.",
                    length=len(value),
                    longest_text=LONGEST_TEXT,
                ),
                field,
            )
        if isinstance(value, dict):
            for name, item in value.items():
                if not isinstance(name, str) or len(name) > LONGEST_TEXT:
                    raise Refusal(_("Every field needs a name that is a short text."), field)
                stack.append((item, depth + 1, field or name[:60]))
        elif isinstance(value, list | tuple):
            stack.extend((item, depth + 1, field) for item in value)
