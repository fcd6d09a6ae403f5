"""A recipe as the text of a code: written, read, and every way in which one can be no good."""

import random
import zlib
from typing import Any

import orjson
import pytest

from bench.exporting.recipe_code import Recipe, RecipeDose, RecipeHeat, is_recipe, pack, packed, unpack
from bench.printing.symbols import long_symbol
from bench.science import base45
from bench.science.refusal import Refusal

BROWN = Recipe(
    name="Iron brown",
    doses=(RecipeDose("ZnO", 33.8, 99.5), RecipeDose("Fe2O3", 66.2, 98), RecipeDose("KCl", 2, fate="washed-out")),
    target="ZnFe2O4",
    fire=(RecipeHeat(600, 300, 10), RecipeHeat(1050, None, 120)),
    air="oxidising",
    cool="in-furnace",
    note="Two\nlines.",
)
TOLD: dict[str, Any] = {"v": 1, "name": "x", "mix": [["ZnO", 1]]}
DAMAGED = "damaged or cut off"


def squeezed(data: bytes) -> str:
    """Any bytes as a code, by the documented packing and no part of what is tested."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15)
    return "SAGGAR1:" + base45.encode(squeezer.compress(data) + squeezer.flush())


def test_what_is_written_is_the_documented_json() -> None:
    text = pack(BROWN)
    assert is_recipe(text) and set(text) <= set(base45.CHARACTERS)
    assert orjson.loads(zlib.decompress(base45.decode(text[8:]), -15)) == {
        "v": 1, "name": "Iron brown", "target": "ZnFe2O4", "mix": [["ZnO", 33.8, 99.5], ["Fe2O3", 66.2, 98]],
        "flux": [["KCl", 2]], "fire": [[300, 600, 10], [0, 1050, 120]], "air": "oxidising", "cool": "in-furnace",
        "note": "Two\nlines.",
    }  # fmt: skip
    read = unpack(f" {text[:40]}\n{text[40:].lower()}\n")
    assert (read.recipe, read.unknown, read.say) == (BROWN, (), "")


def test_a_fate_that_is_not_the_usual_is_said() -> None:
    odd = Recipe("x", (RecipeDose("ZnO", 1), RecipeDose("H3BO3", 0.1, 100, "stays")))
    assert unpack(pack(odd)).recipe == odd


def test_unknown_names_are_kept_and_told() -> None:
    read = unpack(packed(TOLD | {"press": {"bar": 3}}))
    assert read.recipe is not None and read.unknown == ("press",) and read.say == "Not used here: press."
    assert read.told["press"] == {"bar": 3}
    needs = unpack(packed(TOLD | {"press": 3, "needs": ["press"]}))
    assert needs.recipe is None and "does not know press" in needs.say and needs.told["press"] == 3


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("SAGGAR2:ABC", "A newer Saggar"),
        ("https://example.org", "not a recipe code"),
        ("SAGGAR1:", DAMAGED),
        ("SAGGAR1:ABC_", DAMAGED),
        (pack(BROWN)[:-3], DAMAGED),
        (squeezed(b"[1]"), DAMAGED),
        (squeezed(b'{"name": "x"}'), DAMAGED),
        (squeezed(b'{"v": 1, "pad": "' + b"0" * 16_400 + b'"}'), DAMAGED),
        (squeezed(b"0" * 5_000_000), DAMAGED),
        ("SAGGAR1:" + "BB8" * 2_000, DAMAGED),
    ],
)
def test_what_cannot_be_read_has_a_sentence(text: str, say: str) -> None:
    with pytest.raises(Refusal, match=say):
        unpack(text)


@pytest.mark.parametrize(
    "odd",
    [
        {"mix": []}, {"mix": "ZnO"}, {"mix": [["ZnO"]]}, {"mix": [["ZnO", "1"]]}, {"mix": [["ZnO", -1]]},
        {"mix": [["ZnO", True]]}, {"mix": [["ZnO", 1, 100, "flies"]]}, {"mix": [["ZnO", 1]] * 25}, {"mix": None},
        {"fire": [[1, 2]]}, {"fire": [[0, 5000, 1]]}, {"name": " "}, {"name": 7}, {"note": "\u0000"},
        {"note": "n" * 1_001}, {"needs": "all"}, {"needs": [1]}, {"flux": {}},
    ],
)  # fmt: skip
def test_parts_that_are_not_as_documented_are_shown_only(odd: dict[str, Any]) -> None:
    read = unpack(packed(TOLD | odd))
    assert read.recipe is None and "You can only read it." in read.say


def test_no_damage_is_ever_more_than_a_sentence() -> None:
    draw, text = random.Random(9285), pack(BROWN)
    for _n in range(300):
        at = draw.randrange(8, len(text))
        hurt = text[:at] + draw.choice(base45.CHARACTERS) + text[at + draw.choice((0, 1, 2)) :]
        try:
            unpack(hurt)
        except Refusal as refusal:
            assert DAMAGED in refusal.say


def test_the_symbol_takes_the_tight_mode_and_the_sizes_that_were_read() -> None:
    small = long_symbol(pack(BROWN))
    # ISO/IEC 18004, alphanumeric mode, level M: version 10 holds 311 characters; the side is 17 + 4 · version.
    assert len(small.code) <= 311 and small.modules - 8 <= 17 + 4 * 10 and small.size_mm == 35
    large = long_symbol("SAGGAR1:" + "A" * 1_110)
    # Level L: version 19 holds 1,154 characters; at level M it would be 23.
    assert large.modules - 8 == 17 + 4 * 19 and large.size_mm == 45
    with pytest.raises(Refusal, match="too long"):
        packed(TOLD | {"note": random.Random(1).randbytes(4_000).hex()})
