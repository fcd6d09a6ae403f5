"""Pictograms and signal words against the public harmonised list.

Source: Table 3 of Annex VI to Regulation (EC) No 1272/2008 (CLP), by index number. The ten entries are retyped from
memory of that table, hazard statements and pictograms as they stand there; they are not taken from this project's own
cards.
"""

import pytest

from bench.reference import load_library
from bench.reference.labelling import pictograms_for, signal_words_for

HARMONISED = [
    # index number, card, hazard statements, pictograms, signal word
    ("027-005-00-0", "cobalt-ii-sulfate", "H350i H341 H360F H302 H334 H317 H400 H410", "GHS07 GHS08 GHS09", "Danger"),
    ("030-013-00-7", "zinc-oxide", "H400 H410", "GHS09", "Warning"),
    ("024-002-00-6", "potassium-dichromate", "H350 H340 H360FD H272 H330 H301 H372 H312 H314 H334 H317 H400 H410",
     "GHS03 GHS05 GHS06 GHS08 GHS09", "Danger"),
    ("028-003-00-2", "nickel-ii-oxide", "H350i H372 H317 H413", "GHS07 GHS08", "Danger"),
    ("025-001-00-3", "manganese-dioxide", "H332 H302", "GHS07", "Warning"),
    ("056-003-00-2", "barium-carbonate", "H302", "GHS07", "Warning"),
    ("011-005-00-2", "sodium-carbonate", "H319", "GHS07", "Warning"),
    ("005-007-00-2", "boric-acid", "H360FD", "GHS08", "Danger"),
    ("009-004-00-7", "sodium-fluoride", "H301 H319 H315", "GHS06", "Danger"),
    ("606-001-00-8", "acetone", "H225 H319 H336", "GHS02 GHS07", "Danger"),
    ("051-005-00-X", "antimony-trioxide", "H351", "GHS08", "Warning"),
    ("042-001-00-9", "molybdenum-trioxide", "H351 H319 H335", "GHS07 GHS08", "Warning"),
]  # fmt: skip


@pytest.mark.parametrize(("index", "card", "codes", "pictograms", "word"), HARMONISED)
def test_pictograms_follow_the_harmonised_list(index: str, card: str, codes: str, pictograms: str, word: str) -> None:
    assert pictograms_for(codes.split()) == tuple(pictograms.split())
    assert word in signal_words_for(codes.split())


@pytest.mark.parametrize(("index", "card", "codes", "pictograms", "word"), HARMONISED)
def test_the_card_is_no_milder_than_the_harmonised_list(
    index: str, card: str, codes: str, pictograms: str, word: str
) -> None:
    ours = load_library().hazards[card]
    assert index in ours.h_codes_status
    # H400 beside H410 may be left off a label (CLP Article 27: the statement that says more stands alone).
    assert set(codes.split()) - {"H400"} <= set(ours.h_codes)
    assert set(pictograms.split()) <= set(ours.pictograms)
    assert ours.signal_word == "Danger" if word == "Danger" else ours.signal_word in ("Warning", "Danger")


def test_precedence_of_pictograms() -> None:
    """CLP Article 26: skull before exclamation mark, corrosion before irritation, respiratory before skin
    sensitisation.
    """
    assert pictograms_for(["H301", "H315"]) == ("GHS06",)
    assert pictograms_for(["H314", "H319"]) == ("GHS05",)
    assert pictograms_for(["H314", "H302"]) == ("GHS05", "GHS07")
    assert pictograms_for(["H334", "H317"]) == ("GHS08",)
    assert pictograms_for(["H302+H312+H332"]) == ("GHS07",)
    assert pictograms_for(["H412", "EUH031"]) == ()
    assert pictograms_for([]) == ()
    assert signal_words_for(["H412"]) == {""}
    assert signal_words_for([]) == {""}
