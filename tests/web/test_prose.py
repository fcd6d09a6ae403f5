"""Notes of the library as sentences."""

import pytest

from bench.web.prose import sentence


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
