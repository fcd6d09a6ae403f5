"""Limits of a dust by form: the figures of the cards, each with body and year, and the maker's own over them."""

import pytest

from bench.reference import load_library
from bench.reference.own_rows import over
from bench.reference.surroundings import DustLimit
from tests.reference.checking.cautions import dust_limits_sound


def limits(slug: str, body: str) -> set[tuple[str, str, str, str, float, str]]:
    found = load_library().hazards[slug].limits
    return {(e.form, e.fraction, e.counted_as, e.period, e.value, e.unit) for e in found if e.body == body}


def test_every_figure_on_a_card_stands_in_the_table_and_the_other_way_round() -> None:
    assert list(dust_limits_sound(load_library())) == []
    assert sum(len(card.limits) for card in load_library().hazards.values()) > 700


def test_molybdenum_by_form_and_fraction() -> None:
    """OSHA: soluble 5, insoluble total 15; ACGIH: soluble 0.5 respirable, insoluble 10 inhalable, 3 respirable."""
    assert limits("molybdenum-trioxide", "OSHA PEL") == {
        ("soluble", "", "Mo", "8h", 5.0, "mg/m3"), ("insoluble", "total", "Mo", "8h", 15.0, "mg/m3"),
    }  # fmt: skip
    assert limits("molybdenum-trioxide", "ACGIH TLV") == {
        ("soluble", "respirable", "Mo", "8h", 0.5, "mg/m3"), ("insoluble", "inhalable", "Mo", "8h", 10.0, "mg/m3"),
        ("insoluble", "respirable", "Mo", "8h", 3.0, "mg/m3"),
    }  # fmt: skip


def test_zinc_oxide_and_vanadium_by_dust_and_fume() -> None:
    """OSHA: zinc oxide fume 5, dust 15 total and 5 respirable; V2O5 ceiling 0.5 respirable dust and 0.1 fume (read)."""
    assert limits("zinc-oxide", "OSHA PEL") == {
        ("fume", "", "", "8h", 5.0, "mg/m3"), ("dust", "total", "", "8h", 15.0, "mg/m3"),
        ("dust", "respirable", "", "8h", 5.0, "mg/m3"),
    }  # fmt: skip
    assert limits("vanadium-pentoxide", "OSHA PEL") == {
        ("dust", "respirable", "V2O5", "ceiling", 0.5, "mg/m3"), ("fume", "", "V2O5", "ceiling", 0.1, "mg/m3"),
    }  # fmt: skip


def test_nickel_of_the_union_has_its_year() -> None:
    """Directive (EU) 2022/431: from 18 January 2025 0.01 respirable and 0.05 inhalable, as Ni (read)."""
    found = [each for each in load_library().hazards["nickel-ii-oxide"].limits if each.body == "EU limit"]
    assert {(each.fraction, each.value, each.year, each.basis) for each in found} == {
        ("respirable", 0.01, 2025, "read"), ("inhalable", 0.05, 2025, "read"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("form", "soluble", "fits"),
    [
        ("soluble", "yes", True), ("soluble", "no", False), ("insoluble", "yes", False), ("insoluble", "no", True),
        ("soluble", "slightly", True), ("insoluble", "unknown", True), ("", "no", True), ("fume", "no", False),
        ("proposed", "no", False), ("dust", "yes", True),
    ],
)  # fmt: skip
def test_a_form_that_is_not_known_counts_as_the_worse(form: str, soluble: str, fits: bool) -> None:
    limit = DustLimit(name="8 hours", value=1.0, unit="mg/m3", body="x", form=form)
    assert limit.fits(soluble) is fits


def test_an_own_limit_of_a_dust_stands_beside_the_others_and_takes_the_place_of_its_like() -> None:
    row = {"name": "8 hours", "value": 0.004, "unit": "mg/m3", "body": "our list", "year": 2026, "period": "8h",
           "counted_as": "Co", "form": "soluble", "fraction": "inhalable"}  # fmt: skip
    card = {"table": "limits", "slug": "cobalt-ii-chloride", "row": row, "basis": "own"}
    before = load_library().hazards["cobalt-ii-chloride"].limits
    once = over(load_library(), [card]).hazards["cobalt-ii-chloride"].limits
    twice = over(load_library(), [card, card | {"row": row | {"value": 0.003}}]).hazards["cobalt-ii-chloride"].limits
    assert len(once) == len(twice) == len(before) + 1
    assert (twice[-1].value, twice[-1].year, twice[-1].basis) == (0.003, 2026, "own")
    for wrong in ({"value": -1}, {"unit": "spoons"}, {"fraction": "coarse"}, {"body": None, "value": "x"}):
        library = over(load_library(), [card | {"row": row | wrong}])
        assert len(library.troubles) == 1 and len(library.hazards["cobalt-ii-chloride"].limits) == len(before)


@pytest.mark.parametrize(
    ("slug", "body", "period", "value", "unit", "basis"),
    [
        # EH40/2005, fourth edition 2020: refractory ceramic fibre 0.3 fibres a millilitre, as in Directive 2004/37/EC.
        ("refractory-ceramic-fibre", "UK WEL (EH40/2005)", "8h", 0.3, "f/ml", "read"),
        # EH40/2005: cadmium oxide fume 0.05 mg/m3 over 15 minutes, as Cd.
        ("cadmium-compounds", "UK WEL (EH40/2005)", "short", 0.05, "mg/m3", "read"),
        # Control of Lead at Work Regulations 2002: 0.15 mg/m3; EH40 has no row for lead.
        ("lead-oxides-and-white-lead", "UK Control of Lead at Work Regulations", "8h", 0.15, "mg/m3", "read-part"),
        # Directive 91/322/EEC: tin and inorganic compounds 2 mg/m3.
        ("tin-iv-oxide", "EU limit", "8h", 2.0, "mg/m3", "read"),
        # NIOSH, levels immediately dangerous to life or health.
        ("cobalt-ii-chloride", "NIOSH IDLH", "danger", 20.0, "mg/m3", "read"),
        ("nickel-ii-oxide", "NIOSH IDLH", "danger", 10.0, "mg/m3", "read"),
        ("manganese-dioxide", "NIOSH IDLH", "danger", 500.0, "mg/m3", "read"),
        ("titanium-dioxide", "NIOSH IDLH", "danger", 5000.0, "mg/m3", "read"),
    ],
)
def test_limits_as_read(slug: str, body: str, period: str, value: float, unit: str, basis: str) -> None:
    found = [each for each in load_library().hazards[slug].limits if each.body == body and each.period == period]
    assert (value, unit, basis) in {(each.value, each.unit, each.basis) for each in found}


def test_a_limit_that_nobody_read_stays_remembered() -> None:
    """Selenium: the UK limit was read; the limits of the United States were in no text that could be opened."""
    found = {each.body: each.basis for each in load_library().hazards["selenium-and-selenium-dioxide"].limits}
    assert found["UK WEL (EH40/2005)"] == "read" and found["ACGIH TLV"] != "read"


def test_gas_limits_as_read() -> None:
    """EH40/2005: SO2 0.5 ppm, read; butane has no OSHA limit; H2S has a peak of 50 ppm; ACGIH chlorine stays memory."""
    gases = load_library().gases
    by_body = {(each.body, each.period, each.value): each.basis for gas in ("SO2", "H2S") for each in gases[gas].limits}
    assert by_body["UK WEL (EH40/2005)", "8h", 0.5] == "read"
    assert ("OSHA PEL", "ceiling", 50.0) in by_body
    assert not [each for each in gases["C4H10"].limits if each.body == "OSHA PEL"]
    assert {each.basis for each in gases["Cl2"].limits if each.body == "ACGIH TLV"} == {"memory"}
    memory = [each for gas in gases.values() for each in gas.limits if each.basis == "memory"]
    assert len(memory) <= 22 and all(each.source == "" for each in memory)
