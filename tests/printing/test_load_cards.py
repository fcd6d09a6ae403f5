"""Load cards as their PDF shows them: each where it ought to be, all words whole, none under a box or a code."""

from dataclasses import replace

import pytest

from bench.printing.card_sheets import CARDS, CODE_MM, COOL_MM, PAD_MM, card_content, fitted
from bench.printing.load_cards import COOLING_WORDS, LoadCard
from bench.printing.paper import html, pdf
from bench.printing.symbols import symbol
from bench.science.refusal import Refusal
from bench.settings import asset_folder
from tests.measure.print import GOAL_MM, some_codes
from tests.measure.printed import Stand, measure, texts_on
from tests.measure.printed_page import Box, edges_off, inks_of, lines_on, overlaps

LABELS, SPRITE = asset_folder("labels"), asset_folder("static") / "icons" / "sprite.svg"
SIGNS = ("GHS03", "GHS05", "GHS06", "GHS07", "GHS08", "GHS09")
NOTES = ("known from memory only", "No hot pull was planned for it.", "No cooling is planned.", "")


def card(code: str, **other: object) -> LoadCard:
    plain = LoadCard(
        code=code,
        symbol=symbol(code, 1, 7),
        date="2026-11-12",
        names=("Yard green",),
        formula="Zn₀.₇₈Co₀.₂₂O",
        cooling="In the furnace",
        cooling_note="",
        soak="soak at 900 °C",
        where="Yard ring, 12 o’clock",
        signal_word="Danger",
        pictograms=("GHS08", "GHS09"),
        no_card="",
        lid="lid loose",
        mass="5.00 g dry",
    )
    return replace(plain, **other)  # type: ignore[arg-type]


FULL = {
    "names": ("Yard blue with two percent of soda, ground twice", "Zinc iron tan from the second jar of the winter"),
    "formula": "BaCuSi₄O₁₀ + ZnFe₂O₄",
    "cooling": COOLING_WORDS["controlled"],
    "cooling_note": NOTES[1],
    "where": "The larger electric furnace beside the north wall of the shed, row 2, column 3, tier 2",
    "soak": "soak at 900 °C and 1050 °C",
    "pictograms": SIGNS,
    "no_card": "No hazard card: read the SDS (barium zirconium silicate, tin antimonate, basic cobalt carbonate)",
}


def made(cards: list[LoadCard]) -> bytes:
    return pdf(html(LABELS, "load_cards.html", **card_content(fitted(cards, LABELS, SPRITE), SPRITE)))


def cool_box(place: int) -> Box:
    page, on = divmod(place, CARDS.places)
    left, top = CARDS.corner(on)
    bottom = top + CARDS.height - PAD_MM
    return Box(page, left + PAD_MM, bottom - COOL_MM[1], left + PAD_MM + COOL_MM[0], bottom)


def symbol_box(place: int) -> Box:
    page, on = divmod(place, CARDS.places)
    left, top = CARDS.corner(on)
    side = symbol("00000", 1, 7).size_mm
    right = left + CARDS.width - CODE_MM
    return Box(page, right - side, top + CODE_MM, right, top + CODE_MM + side)


def test_nine_cards_stand_on_two_pages_each_code_box_and_line_within_a_fifth_of_a_millimetre() -> None:
    codes = some_codes(9)
    cards = [card(code) if n % 2 else card(code, **FULL) for n, code in enumerate(codes)]
    data, symbols = made(cards), [symbol_box(n) for n in range(9)]
    shown = cards[0].symbol
    assert shown is not None
    found = measure(data, CARDS, [Stand(b.page, b.left, b.top) for b in symbols], shown, codes)
    assert (found.pages, found.read, found.quiet) == (2, 9, True)
    assert found.place_off <= GOAL_MM / 4 and found.size_off <= GOAL_MM / 4
    inks, boxes = inks_of(data), [cool_box(n) for n in range(9)]
    assert max(edges_off(inks, box) for box in boxes) <= GOAL_MM / 2
    for place in range(9):
        page, on = divmod(place, CARDS.places)
        left, top = CARDS.corner(on)
        cut = Box(page, left, top, left + CARDS.width, top + CARDS.height)
        assert edges_off(inks, cut, line=True) <= GOAL_MM, place
    assert overlaps(lines_on(data), [*boxes, *symbols], (CARDS.page_width, CARDS.page_height)) == []


def test_all_that_a_full_card_says_stands_on_it_and_its_letters_shrink_alone() -> None:
    codes = some_codes(2)
    done = fitted([card(codes[0]), card(codes[1], **FULL)], LABELS, SPRITE)
    assert done[0].text_pt > 9.0 and 6.0 <= done[1].text_pt < 9.0
    data = made([card(codes[1], **FULL)])
    said = "".join("".join(line.words for line in lines_on(data)).split())
    for words in (*FULL["names"], FULL["cooling"], FULL["cooling_note"], FULL["where"], FULL["no_card"]):
        assert "".join(str(words).split()) in said, words


@pytest.mark.parametrize("note", NOTES)
def test_every_cooling_stays_inside_its_box(note: str) -> None:
    codes = some_codes(len(COOLING_WORDS))
    cards = [card(c, cooling=w, cooling_note=note) for c, w in zip(codes, COOLING_WORDS.values(), strict=True)]
    data = made(cards)
    boxes = [cool_box(n) for n in range(len(cards))]
    lines = lines_on(data)
    assert overlaps(lines, boxes, (CARDS.page_width, CARDS.page_height)) == []
    inside = ["".join(line.words for line in lines if box.holds(line.box)) for box in boxes]
    due = ["".join((w + note).split()) for w in COOLING_WORDS.values()]
    assert ["".join(words.split()) for words in inside] == due


@pytest.mark.parametrize("other", [{"names": ("N" * 900,)}, {"where": "there " * 200}, {"no_card": "salt, " * 200}])
def test_what_has_no_room_is_refused_by_name_and_never_cut(other: dict[str, object]) -> None:
    good, bad = some_codes(2)
    with pytest.raises(Refusal) as refused:
        fitted([card(good), card(bad, **other)], LABELS, SPRITE)
    assert f"{bad[:5]}-{bad[5:]}" in refused.value.say and len(refused.value.say) < 200


def test_a_long_word_is_broken_rather_than_cut() -> None:
    data = made([card("T5C7HJ", names=("Blue" * 20,))])
    assert "".join("".join(line.words for line in lines_on(data)).split()).count("Blue") == 20
    assert texts_on(data) == ["T5C7HJ"]


def test_words_that_lie_over_others_would_be_seen() -> None:
    """The measuring itself: cards whose letters are not fitted are found to run over."""
    data = pdf(
        html(LABELS, "load_cards.html", **card_content([card("T5C7HJ", **FULL | {"where": "there " * 60})], SPRITE))
    )
    wrong = overlaps(lines_on(data), [cool_box(0), symbol_box(0)], (CARDS.page_width, CARDS.page_height))
    assert any("over" in one for one in wrong) and any("into a box" in one for one in wrong)
    inks, box = inks_of(data), cool_box(0)
    off = Box(0, box.left + 0.3, box.top, box.right, box.bottom)
    assert edges_off(inks, off) == pytest.approx(0.3, abs=0.05)
