"""Load cards, eight on A4 or six on Letter, to be cut along the lines, each with letters that fit what it says."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from bench.printing.fitting import SLACK_MM, heights_mm
from bench.printing.load_cards import LoadCard
from bench.printing.paper import can_set, html
from bench.printing.pictograms import sign
from bench.printing.sheets import Sheet, lay_out
from bench.printing.symbols import symbol
from bench.science.refusal import Refusal
from bench.translation import _

NAME = _("Load cards")
CARDS = Sheet("cards", NAME, 210.0, 297.0, 2, 4, 5.08, 5.08, 99.06, 71.12, 99.06, 71.12, 1, 7)
LETTER_CARDS = Sheet("letter-cards", NAME, 215.9, 279.4, 2, 3, 8.89, 33.02, 99.06, 71.12, 99.06, 71.12, 1, 7)
ALONE = replace(CARDS, columns=1, rows=1, page_height=2000.0)
"""A card alone on a long page, to be measured: nothing that is too tall goes on to a next page, and counts twice."""
PAD_MM = 5.08
CODE_MM = 4.0
"""From a card's right and top edges to its code's quiet zone, and from its right and bottom edges to its hazards."""
COOL_MM = (60.96, 17.78)
"""The black box of the cooling, at the bottom left."""
SIGN_MM = 10.0
GAP_MM = 1.5
SIZES_PT = (12.0, 10.5, 9.0, 8.0, 7.0, 6.0)


def card_content(cards: Sequence[LoadCard], sprite: Path, on: Sheet = CARDS) -> dict[str, Any]:
    """What `load_cards.html` needs. `sprite` holds the signs."""
    return {
        "title": _("Load cards"),
        "sheet": on,
        "pages": lay_out(on, list(cards)),
        "pad": PAD_MM,
        "code_at": CODE_MM,
        "cool_width": COOL_MM[0],
        "cool_height": COOL_MM[1],
        "sign": lambda name: sign(sprite, name, SIGN_MM),
    }


def fitted(cards: Sequence[LoadCard], folder: Path, sprite: Path) -> list[LoadCard]:
    """The cards, each in the largest letters at which all it says has room. Refusal names the first that has none."""
    if not can_set():
        return list(cards)
    done = list(cards)
    left = list(range(len(done)))
    for size in SIZES_PT:
        tried = [replace(done[n], text_pt=size) for n in left]
        for n, card in zip(left, tried, strict=True):
            done[n] = card
        over = _over(html(folder, "load_cards.html", **card_content(tried, sprite, ALONE)))
        left = [n for n, too_tall in zip(left, over, strict=True) if too_tall]
        if not left:
            return done
    card = done[left[0]]
    name = " + ".join(card.names)
    name = name if len(name) <= 60 else name[:59] + "…"
    say = _(
        "The load card {code} has no room for its text. Shorten the name {name}.",
        code=card.words,
        name=name,
    )
    raise Refusal(say)


def _over(page: str) -> list[bool]:
    """For each card, whether its words or its hazards reach into what stands above or below them."""
    words, hazards = heights_mm(page, "words"), heights_mm(page, "hazard")
    side_mm = CARDS.height - 2 * CODE_MM - GAP_MM
    word_room = CARDS.height - 2 * PAD_MM - COOL_MM[1] - GAP_MM
    symbol_mm = symbol("00000", CARDS.symbol_version, CARDS.dots_per_module).size_mm
    return [w > word_room + SLACK_MM or h > side_mm - symbol_mm for w, h in zip(words, hazards, strict=True)]
