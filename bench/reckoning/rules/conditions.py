"""The conditions that a rule may ask for beside the parts: what each means, its values, and what counts where
nobody told.

A condition is handed in as a word, a number, a yes or no, or several of them. `None`, an empty word and `unknown`
say that it is not known, `none` says that there is no such thing. What is left out counts as not known, except
where `unless_told` names what the absence of a record means (no flame-out was noted, no acid was poured).
"""

from collections.abc import Mapping, Sized
from dataclasses import dataclass
from numbers import Real

from bench.translation import _

UNKNOWN = "unknown"
NONE = "none"
NOT_SAID = ("", UNKNOWN)


@dataclass(frozen=True)
class Condition:
    """One condition: its meaning in a maker's words (shown as the reason), its values, and what its absence means."""

    words: str
    values: str
    unless_told: str = UNKNOWN


YES = "true, false"
CONDITIONS: Mapping[str, Condition] = {
    # place and air
    "place": Condition(_("place"), "outdoors, roofed, indoors, unknown"),
    "airflow": Condition(_("air changes an hour"), "a number, unknown"),
    "flue": Condition(_("flue proven to draw"), YES),
    "evolves": Condition(
        _("gas of the charge"), "gases as a list, none, unknown; worked out from the parts when left out"
    ),
    "gas_or_fume": Condition(_("gas or fume"), YES + "; worked out when left out"),
    "peak": Condition(_("estimated peak, in the unit of its limits"), "a number, none"),
    "idlh": Condition(_("level dangerous to life"), "a number, none"),
    "short_limit": Condition(_("short-time limit"), "a number, none"),
    "index": Condition(_("sum of irritants over their limits"), "a number, none"),
    "estimates": Condition(_("gas estimates"), "a list of {peak, idlh, short_limit}, one a gas, all in one unit"),
    "co_g": Condition(_("most carbon monoxide of the load in g"), "a number; of the parts alone when left out"),
    "hf_g": Condition(_("most hydrogen fluoride of the load in g"), "a number; of the parts alone when left out"),
    # furnace and fire
    "furnace_fuel": Condition(_("fuel of the furnace"), "gas, electric, unknown"),
    "peak_c": Condition(_("planned peak in °C"), "a number, none (no fire planned)"),
    "furnace_c": Condition(_("last reading of the furnace in °C"), "a number; unknown counts as hot"),
    "lining_rated_c": Condition(_("rating of the lining in °C"), "a number, unknown"),
    "atmosphere": Condition(_("atmosphere"), "oxidising, neutral, reducing, airless, two-step, any, unknown"),
    "reducing": Condition(_("reducing fire"), YES + "; from the atmosphere and the fuels in the charge when left out"),
    "cooling_in_reducing_gas": Condition(_("cooled in reducing gas"), YES),
    "co_alarm_tested": Condition(_("CO alarm tested this session"), YES),
    "co_ppm": Condition(_("CO reading in ppm"), "a number, none", NONE),
    "co_alarm": Condition(_("CO alarm"), "sounding, silent", "silent"),
    "purge_volumes": Condition(_("chamber volumes purged"), "a number"),
    "checklist": Condition(_("checklist"), "before-lighting", "before-lighting"),
    "ticks_missing": Condition(_("checks not ticked"), "a number, or the missing items as a list"),
    "flame": Condition(_("flame"), "lit, lost, out", "lit"),
    "fire": Condition(_("fire"), "lit, out", "lit"),
    "leave": Condition(_("leaving the fire"), YES, "false"),
    # crucible and charge
    "lid": Condition(_("lid"), "sealed, vented, loose, none, unknown"),
    "damp": Condition(_("damp"), "false only after two equal masses"),
    "ware": Condition(_("ware"), "slugs of the wares of crucible and lid"),
    "crucible_rated_c": Condition(_("rating of the crucible in °C"), "a number, unknown; of its ware when left out"),
    "crucible_held": Condition(_("elements of earlier colours in this crucible"), "symbols, none"),
    "target_pale": Condition(_("pale target"), YES + "; of the target part when left out"),
    "fill_fraction": Condition(_("part of the crucible that is filled"), "a number from 0 to 1"),
    # hands and liquids
    "acid": Condition(
        _("acid"), "none, HCl, other, hot_or_strong; from the parts with the role acid when left out", NONE
    ),
    "acid_hot_or_strong": Condition(_("acid above 1 mol/L or 40 °C"), YES),
    "dry_heat": Condition(_("heated dry"), YES + "; from the step when left out"),
    "dry_mix": Condition(_("dry mix"), YES),
    "dry_handling": Condition(
        _("powder handled dry"), YES + "; wet where a liquid is among the parts of mixing or grinding"
    ),
    "drying": Condition(_("where it dries"), "oven, open-air", "oven"),
    "paste_solvent": Condition(
        _("liquid of the paste"), "water, none, or its name; from the liquids among the parts when left out"
    ),
    "undried": Condition(_("not recorded dry"), YES + "; from damp when left out"),
    "flammable_liquid_open": Condition(
        _("open flammable liquid"), YES + "; from the liquids among the parts when left out"
    ),
    "flame_or_hot_furnace_within_m": Condition(_("metres to flame or hot furnace"), "a number; unknown counts as near"),
    "drying_oil_used": Condition(_("drying oil used"), YES + "; from the parts when left out"),
    "rags_disposed": Condition(_("oily rags made safe"), YES),
    "person_pregnant_or_planning": Condition(_("pregnant or planning"), YES + "; never stored with a name"),
    # opening
    "cooling": Condition(
        _("planned cooling"), "in-furnace, slow, fast, controlled, either, quench-water, unknown", UNKNOWN
    ),
    "target_cooling": Condition(_("cooling of the target"), "as cooling; of the target part when left out"),
    "open_below_c": Condition(_("planned opening temperature in °C"), "a number"),
    "open_hot": Condition(
        _("hotter than the planned opening temperature"), YES + "; from furnace_c and open_below_c when left out"
    ),
    "hot_pull_planned": Condition(_("hot pull planned"), YES + "; a cooling from memory never counts as planned"),
    "protection_checked": Condition(_("protection checked before the fire"), YES),
    "was_hot": Condition(_("was fired"), YES),
    "own_reading_c": Condition(_("own surface reading in °C"), "a number, none", NONE),
}
"""Every condition that a screen may hand to `judge`, by name."""

Value = tuple[str, ...] | float | None
"""A condition in normal form: words, a number, or None for not known."""


def normal(value: object) -> Value:
    """A handed-in value in normal form. Raises ValueError for what is no condition at all."""
    if value is None or (isinstance(value, str) and value.strip() in NOT_SAID):
        return None
    if isinstance(value, bool):
        return ("true" if value else "false",)
    if isinstance(value, Real):
        return float(value)
    if isinstance(value, str):
        return (_word(value),)
    if isinstance(value, Mapping) or not isinstance(value, Sized):
        raise ValueError(f"'{value}' cannot be a condition")
    words = tuple(_word(str(each)) for each in value)  # type: ignore[attr-defined]
    return words or (NONE,)


def _word(text: str) -> str:
    return text.strip().replace("_", "-")


def checked(conditions: Mapping[str, object]) -> dict[str, object]:
    """The conditions as handed in. Raises ValueError for a name that no rule asks for: a typing slip must not
    silence a rule."""
    strange = sorted(set(conditions) - set(CONDITIONS))
    if strange:
        raise ValueError(f"no rule asks for {', '.join(strange)}")
    return dict(conditions)


def is_one_of(value: Value, values: tuple[str, ...]) -> bool | None:
    """Whether a condition has one of the values of a pattern; None where it is not known."""
    if value is None:
        return True if UNKNOWN in values else None
    if isinstance(value, float):
        return any(each == f"{value:g}" for each in values)
    wanted = {_word(each) for each in values}
    return any(word in wanted for word in value)


def number(value: Value, count: bool = False) -> float | bool | None:
    """A condition as a number: None where it is not known, False where there is no such thing.

    With `count` a list of words counts as its length (the ticks that are missing). Raises ValueError for a word.
    """
    if value is None or isinstance(value, float):
        return value
    if value == (NONE,):
        return 0.0 if count else False
    if count:
        return float(len(value))
    raise ValueError(f"'{', '.join(value)}' is not a number")
