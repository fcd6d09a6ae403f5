"""The maker's own rows lie over the files; the files stay as they are."""

from bench.reference import NO_CARD, load_library
from bench.reference.provenance import basis_of, is_from_memory


def test_a_reagent_of_the_makers_own_is_found_and_has_no_card() -> None:
    library = load_library()
    own = {
        "table": "reagents",
        "slug": "my-ochre",
        "basis": "own",
        "row": {"name": "Ochre from the bank", "formula": "FeOOH", "assay_low_pct": "40", "hydrates": ["FeOOH"]},
    }
    changed = library.over([own])
    found = changed.reagent("ochre from the bank")
    assert found is not None
    assert (found.slug, found.own, found.basis) == ("my-ochre", True, "own")
    assert found.assay_low_pct == 40.0
    assert changed.card_for(found) is None
    assert NO_CARD == "No card here: read the SDS."
    assert library.reagent("ochre from the bank") is None
    assert changed.revision != library.revision


def test_own_gas_steps_are_read_and_a_field_laid_over_is_marked() -> None:
    steps = [{"gas": "CO2", "mol_per_formula": 1, "from_c": 700, "to_c": "880"}]
    row = {"gas_steps": steps, "melts_c": None, "note": "mine"}
    library = load_library().over([{"table": "reagents", "slug": "calcium-carbonate", "row": row, "basis": "own"}])
    found = library.reagents["calcium-carbonate"]
    assert found.gas_steps[0].to_c == 880.0
    assert found.own
    assert basis_of(found, "gas_steps") == "own"
    assert not is_from_memory(found, "note")
    assert found.name == load_library().reagents["calcium-carbonate"].name


def test_what_does_not_fit_is_named_and_nothing_is_raised() -> None:
    cards = [
        {"table": "reagents", "slug": "x", "row": {"name": "X"}, "basis": "own"},
        {"table": "reagents", "slug": "zinc-oxide", "row": {"melts_c": "hot", "smell": "none"}, "basis": "own"},
        {"table": "spoons", "slug": "y", "row": {}, "basis": "own"},
        {"table": "targets", "slug": "", "row": None},
        {"table": "limits", "slug": "XeF6", "row": {}},
        {"table": "limits", "slug": "HCl", "row": {"name": "8 hours", "value": "-1", "unit": "ppm", "body": "home"}},
    ]
    library = load_library().over(cards)
    assert len(library.troubles) == len(cards)
    assert "melts_c, smell" in library.troubles[1]
    assert library.reagents["zinc-oxide"].melts_c == load_library().reagents["zinc-oxide"].melts_c
    assert library.gases["HCl"].limits == load_library().gases["HCl"].limits


def test_an_own_limit_tightens_but_never_hides_a_lower_one() -> None:
    def card(value: float) -> dict[str, object]:
        row = {"name": "8 hours", "value": value, "unit": "ppm", "body": "national limit", "year": 2024, "period": "8h"}
        return {"table": "limits", "slug": "HCl", "row": row, "basis": "own"}

    strict = load_library().gases["HCl"].strict_8h
    tighter = load_library().over([card(0.5)]).gases["HCl"].strict_8h
    looser = load_library().over([card(4)]).gases["HCl"]
    assert strict is not None
    assert tighter is not None
    assert (tighter.value, tighter.body, tighter.year, tighter.basis) == (0.5, "national limit", 2024, "own")
    assert looser.strict_8h == strict
    assert any(each.body == "national limit" for each in looser.limits)


def test_a_limit_of_the_same_body_takes_the_place_of_the_old_one() -> None:
    row = {"name": "8 hours", "value": 2, "unit": "ppm", "body": "UK WEL (EH40/2005)", "year": 2026, "period": "8h"}
    gas = load_library().over([{"table": "limits", "slug": "HCl", "row": row, "basis": "own"}]).gases["HCl"]
    assert [each.value for each in gas.limits if each.body.startswith("UK") and each.period == "8h"] == [2.0]


def test_no_own_rows_leave_the_library_as_it_is() -> None:
    assert load_library().over([]) is load_library()
