"""Notes of the library as sentences."""

import pytest

from bench.web.prose import formulas, sentence


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ("dry 300 °C to ZnSO4: 43.9 % loss from 7H2O", "Dry 300 °C to ZnSO₄: 43.9 % loss from 7H₂O."),
        ("Read Co(OH)2 at x=0, 0.5-2 %.", "Read Co(OH)₂ at x=0, 0.5-2 %."),
        ("pH2 stays", "pH2 stays."),
        ("", ""),
    ],
)
def test_a_note_begins_and_ends_as_a_sentence_and_shows_its_formulas(note: str, said: str) -> None:
    assert sentence(note) == said


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Basic copper carbonate (Cu2CO3(OH)2): Warning", "Basic copper carbonate (Cu₂CO₃(OH)₂): Warning"),
        ("CaCO3 gives off CO2 and O2.", "CaCO₃ gives off CO₂ and O₂."),
        ("P3/P100 mask, H302, GHS07, EN407", "P3/P100 mask, H302, GHS07, EN407"),
        ("KN2P2-Y holds ZnO", "KN2P2-Y holds ZnO"),
    ],
)
def test_formulas_in_a_text_have_subscripts_and_nothing_else_has(text: str, shown: str) -> None:
    assert formulas(text) == shown
