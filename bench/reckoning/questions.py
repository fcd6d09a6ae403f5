"""What a typed formula is asked back before anything is reckoned with it.

What stands in records is never asked about: only what a person types now, at the command line or on a screen.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from bench.reckoning.name_slips import is_words, refuse_name
from bench.reckoning.slips import refuse_slip
from bench.reckoning.water_slips import counted_before, refuse_count, refuse_water
from bench.reference import Library
from bench.science.formulas import parsed, pretty
from bench.science.refusal import Refusal
from bench.translation import _

SHARE_AT_MOST: Final = 1.1
"""Per cent. A jar that holds less of what it is sold as is not one that anybody weighs from."""
STATED: Final = ("molar-mass",)
"""Kinds that show what was read, so that a count before a hydrate is said there and not asked."""


def ask_formula(typed: str, library: Library, field: str | None = None, *, count: bool = True) -> None:
    """Refuses a typed formula that has a likely slip, with what it may mean; a name of the library passes.

    `count`: whether a count before a hydrate (2CuSO4*5H2O) is asked about too.
    """
    text = " ".join(typed.split())
    if _goes_by(text, library):
        return
    refuse_water(text, field)
    refuse_slip(text, library, field)
    if count:
        refuse_count(text, field)


def ask_reagent(typed: str, library: Library, field: str | None = None, *, count: bool = True) -> None:
    """The same for a reagent, which may be typed by name: an unknown name is refused with what it may mean."""
    text = " ".join(typed.split())
    if is_words(text) and not _goes_by(text, library) and library.reagent(text) is None and parsed(text) is None:
        refuse_name(text, library, field)
    ask_formula(typed, library, field, count=count)


def ask_assay(pct: float, field: str | None = None) -> None:
    """Refuses an assay that looks like a share of one."""
    if 0 < pct <= SHARE_AT_MOST:
        meant = 100 * min(pct, 1)
        say = _(
            "{pct:g} % is almost zero. Is it {meant:g} %? Then type {meant:g}: the assay is in per cent.",
            pct=pct,
            meant=meant,
        )
        raise Refusal(say, field)


def ask_all(kind: str, ask: Mapping[str, Any], library: Library) -> None:
    """Asks back about every formula and assay of an ask; raises the first question as a Refusal with its field."""
    for name, path, value in _typed(ask):
        if name == "assay_pct" and isinstance(value, int | float) and not isinstance(value, bool):
            ask_assay(value, path)
        elif name in ("formula", "corner") and isinstance(value, str):
            ask_reagent(value, library, path, count=kind not in STATED)
        elif name in ("target", "assay_of") and isinstance(value, str):
            ask_formula(value, library, path, count=False)


def count_read(typed: str) -> str | None:
    """How a count before a hydrate was read, with the other reading; None where there is none."""
    found = counted_before(typed.strip())
    if found is None:
        return None
    alone, hydrate, count = found
    return _(
        "The {count} counts only what is before the dot: {alone}. For the hydrate {hydrate}, leave the count out.",
        count=count,
        alone=pretty(alone),
        hydrate=pretty(hydrate),
    )


def _typed(ask: Mapping[str, Any]) -> Iterator[tuple[str, str, Any]]:
    """Every value in an ask as (name, path, value); the formulas that name amounts in a corner count as such."""
    stack: list[tuple[str, str, Any]] = [(str(name), str(name), value) for name, value in ask.items()]
    while stack:
        name, path, value = stack.pop(0)
        if isinstance(value, dict):
            if name == "corners" or path.startswith("corners"):
                yield from (("corner", f"{path}.{key}", key) for key, g in value.items() if isinstance(g, int | float))
            stack += [(str(key), f"{path}.{key}", each) for key, each in value.items()]
        elif isinstance(value, list):
            stack += [(name, f"{path}[{n}]", each) for n, each in enumerate(value)]
        else:
            yield name, path, value


def _goes_by(text: str, library: Library) -> bool:
    """Whether the library knows the text as a slug or a name, and not only as a formula in other letters."""
    if text in library.reagents or text in library.targets:
        return True
    row = library.reagent(text) or library.target(text)
    same = row is not None and "".join(text.split()).casefold() == row.formula.casefold()
    return row is not None and not same and parsed(text) is None and is_words(text)
