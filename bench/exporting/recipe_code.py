"""A recipe as the text of a QR symbol, for another bench: JSON, raw deflate (RFC 1951), base45 (RFC 9285).

The text begins with `SAGGAR1:`. What follows unpacks to JSON; only `v`, `name` and `mix` must be there.

    {"v": 1, "name": "Iron brown", "target": "ZnFe2O4",
     "mix":  [["ZnO", 33.8, 99.5], ["Fe2O3", 66.2, 98]],  formula, parts by mass, assay in % (100 when left out)
     "flux": [["H3BO3", 2]],                              the same, of what is washed out again
     "fire": [[300, 600, 10], [200, 1050, 120]],          °C/h (0: no rate was named), °C, hold in minutes
     "air": "oxidising", "cool": "in-furnace",            words of a plan
     "liquid": "…", "packing": "…", "note": "…", "source": "…"}

A formula has its water in it (`ZnSO4·7H2O`), so that a jar with other water can be used. A row of `mix` or `flux` may
have a fourth part: what becomes of it, where that is not the usual (`reacts`, `washed-out`, `burns-out`, `stays`).
Names that a reader does not know are kept and told. `needs` lists names without which a plan would be wrong: a reader
that does not know one shows the recipe and plans nothing. Another number in the mark means another packing.
"""

import math
import re
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import orjson

from bench.science import base45
from bench.science.refusal import Refusal
from bench.translation import _

MARK, VERSION = "SAGGAR1:", 1
ANY_MARK = re.compile(r"SAGGAR(\d{1,4}):", re.I)
TEXTS = {"name": 80, "target": 120, "air": 40, "cool": 40, "liquid": 120, "packing": 120, "note": 1_000, "source": 300}
"""The fields of words, and the most characters of each."""
FIELDS = frozenset(["v", "mix", "flux", "fire", "needs", *TEXTS])
MOST_BYTES, MOST_TEXT, MOST_ROWS, MOST_SEGMENTS = 16_384, 4_296, 24, 12
FATES = ("reacts", "washed-out", "burns-out", "stays")
USUAL_FATE = {"mix": "reacts", "flux": "washed-out"}
NONE = _("This is not a recipe code.")
NEWER = _("A newer Saggar made this recipe. Update this bench, then read it again.")
DAMAGED = _("This recipe code is damaged or cut off. Scan it again, or copy the whole text.")
LONG = _("This recipe is too long for one code. Leave the notes out.")


@dataclass(frozen=True)
class RecipeDose:
    """One reagent: parts by mass of it as it is weighed, and how much of the formula it holds, in %."""

    formula: str
    parts: float
    assay_pct: float = 100.0
    fate: str = "reacts"


@dataclass(frozen=True)
class RecipeHeat:
    """One segment of the schedule; `rate_c_per_h` None where no rate was named."""

    to_c: float
    rate_c_per_h: float | None = None
    hold_min: float = 0.0


@dataclass(frozen=True)
class Recipe:
    """What one bench tells another. Words are empty where nothing is said."""

    name: str
    doses: tuple[RecipeDose, ...]
    target: str = ""
    fire: tuple[RecipeHeat, ...] = ()
    air: str = ""
    cool: str = ""
    liquid: str = ""
    packing: str = ""
    note: str = ""
    source: str = ""


@dataclass(frozen=True)
class Scanned:
    """What a code held. `recipe` None: it is not to be planned with, and `say` says why; `told` is all that it says.

    `unknown` names what this reader does not use.
    """

    recipe: Recipe | None
    told: Mapping[str, Any]
    unknown: tuple[str, ...] = field(default=())
    say: str = ""


def is_recipe(text: str) -> bool:
    """Whether a text looks like a recipe's code, of any packing."""
    return ANY_MARK.match(text.strip()) is not None


def as_told(recipe: Recipe) -> dict[str, Any]:
    """The JSON of a recipe, without what says nothing."""
    told: dict[str, Any] = {"v": VERSION, "name": recipe.name[: TEXTS["name"]]}
    told["mix"] = [_row(one, "mix") for one in recipe.doses if one.fate != "washed-out"]
    told["flux"] = [_row(one, "flux") for one in recipe.doses if one.fate == "washed-out"]
    told["fire"] = [[one.rate_c_per_h or 0, one.to_c, one.hold_min] for one in recipe.fire]
    for name in ("target", "air", "cool", "liquid", "packing", "note", "source"):
        told[name] = getattr(recipe, name)[: TEXTS[name]]
    return {name: value for name, value in told.items() if value}


def _row(one: RecipeDose, name: str) -> list[Any]:
    row: list[Any] = [one.formula, float(f"{one.parts:.5g}")]
    odd = one.fate != USUAL_FATE[name]
    return row + ([float(f"{one.assay_pct:.5g}")] if one.assay_pct != 100 or odd else []) + ([one.fate] if odd else [])


def pack(recipe: Recipe) -> str:
    """The text of a recipe's code. Refusal where it is too long for one symbol."""
    return packed(as_told(recipe))


def packed(told: Mapping[str, Any]) -> str:
    """The same of its JSON."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15)
    text = MARK + base45.encode(squeezer.compress(orjson.dumps(dict(told))) + squeezer.flush())
    if len(text) > MOST_TEXT:
        raise Refusal(LONG)
    return text


def unpack(text: str) -> Scanned:
    """Reads a code that was scanned, typed or pasted. Refusal where it is none, damaged, or of a newer packing."""
    clean = "".join(text.strip().splitlines()).upper()  # base45 has no small letters, and never ends with a space
    mark = ANY_MARK.match(clean)
    if mark is None:
        raise Refusal(NONE)
    if int(mark[1]) != VERSION:
        raise Refusal(NEWER)
    told = _opened(clean[mark.end() :])
    unknown = tuple(sorted(told.keys() - FIELDS))
    lacks = _lacks(told)
    if lacks:
        say = _(
            "This bench cannot plan this recipe: it does not know {lacks}. You can only read it.",
            lacks=", ".join(lacks),
        )
        return Scanned(None, told, unknown, say)
    return Scanned(
        _recipe(told), told, unknown, _("Not used here: {unknown}.", unknown=", ".join(unknown)) if unknown else ""
    )


def _opened(body: str) -> dict[str, Any]:
    """The JSON behind the mark, unpacked within bounds."""
    try:
        opener = zlib.decompressobj(-15)
        raw = opener.decompress(base45.decode(body[:MOST_TEXT]), MOST_BYTES)
        told = orjson.loads(raw) if opener.eof and not opener.unused_data and len(body) <= MOST_TEXT else None
    except (Refusal, ValueError, zlib.error):
        told = None
    if not isinstance(told, dict) or not isinstance(told.get("v"), int):
        raise Refusal(DAMAGED)
    return told


def _lacks(told: Mapping[str, Any]) -> list[str]:
    """What must be known to plan it and is not: names that it needs, or parts that are not as they are documented."""
    needs = told.get("needs", [])
    if not isinstance(needs, list) or not all(isinstance(one, str) for one in needs):
        return [_("what it needs")]
    words = all(_words(told.get(name, ""), most) for name, most in TEXTS.items())
    doses = _doses_sound(told.get("mix")) and _doses_sound(told.get("flux", [])) and bool(told["mix"])
    few = doses and len(told["mix"]) + len(told.get("flux", [])) <= MOST_ROWS
    sound = words and few and bool(str(told.get("name", "")).strip()) and _fire_sound(told.get("fire", []))
    return [one[:40] for one in needs if one not in FIELDS] or ([] if sound else [_("its parts")])


def _words(value: object, most: int) -> bool:
    return isinstance(value, str) and len(value) <= most and all(char.isprintable() or char == "\n" for char in value)


def _number(value: object, low: float, high: float) -> bool:
    right = isinstance(value, int | float) and not isinstance(value, bool)
    return right and math.isfinite(value) and low <= value <= high  # type: ignore[arg-type, operator]


def _doses_sound(rows: object) -> bool:
    return isinstance(rows, list) and all(isinstance(row, list) and _dose_sound(row) for row in rows)


def _dose_sound(row: Sequence[Any]) -> bool:
    if not 2 <= len(row) <= 4 or not _words(row[0], 120) or not _number(row[1], 1e-6, 1e6):
        return False
    return (len(row) < 3 or _number(row[2], 0.1, 1_000)) and (len(row) < 4 or row[3] in FATES)


def _fire_sound(rows: object) -> bool:
    return isinstance(rows, list) and len(rows) <= MOST_SEGMENTS and all(_segment_sound(row) for row in rows)


def _segment_sound(row: object) -> bool:
    bounds = ((0, 3_000), (20, 1_800), (0, 20_000))
    return isinstance(row, list) and len(row) == len(bounds) and all(map(_in_bounds, row, bounds))


def _in_bounds(value: object, bounds: tuple[float, float]) -> bool:
    return _number(value, *bounds)


def _recipe(told: Mapping[str, Any]) -> Recipe:
    doses = [_dose(row, USUAL_FATE[name]) for name in ("mix", "flux") for row in told.get(name, [])]
    fire = [RecipeHeat(float(to_c), float(rate) or None, float(hold)) for rate, to_c, hold in told.get("fire", [])]
    return Recipe(doses=tuple(doses), fire=tuple(fire), **{name: told.get(name, "").strip() for name in TEXTS})


def _dose(row: Sequence[Any], usual: str) -> RecipeDose:
    assay = float(row[2]) if len(row) > 2 else 100.0
    return RecipeDose(row[0], float(row[1]), assay, row[3] if len(row) > 3 else usual)
