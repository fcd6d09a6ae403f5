"""The maker's own rows lie over the files; the files stay as they are."""

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.reference import NO_CARD, load_library, over
from bench.reference.provenance import basis_of, is_from_memory


def test_a_reagent_of_the_makers_own_is_found_and_has_no_card() -> None:
    library = load_library()
    own = {
        "table": "reagents",
        "slug": "my-ochre",
        "basis": "own",
        "row": {"name": "Ochre from the bank", "formula": "FeOOH", "assay_low_pct": "40", "hydrates": ["FeOOH"]},
    }
    changed = over(library, [own])
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
    library = over(load_library(), [{"table": "reagents", "slug": "calcium-carbonate", "row": row, "basis": "own"}])
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
    library = over(load_library(), cards)
    assert len(library.troubles) == len(cards)
    assert "melts_c, smell" in library.troubles[1]
    assert library.reagents["zinc-oxide"].melts_c == load_library().reagents["zinc-oxide"].melts_c
    assert library.gases["HCl"].limits == load_library().gases["HCl"].limits


def test_an_own_limit_tightens_but_never_hides_a_lower_one() -> None:
    def card(value: float) -> dict[str, object]:
        row = {"name": "8 hours", "value": value, "unit": "ppm", "body": "national limit", "year": 2024, "period": "8h"}
        return {"table": "limits", "slug": "HCl", "row": row, "basis": "own"}

    strict = load_library().gases["HCl"].strict_8h
    tighter = over(load_library(), [card(0.5)]).gases["HCl"].strict_8h
    looser = over(load_library(), [card(4)]).gases["HCl"]
    assert strict is not None
    assert tighter is not None
    assert (tighter.value, tighter.body, tighter.year, tighter.basis) == (0.5, "national limit", 2024, "own")
    assert looser.strict_8h == strict
    assert any(each.body == "national limit" for each in looser.limits)


def test_a_limit_of_the_same_body_takes_the_place_of_the_old_one() -> None:
    row = {"name": "8 hours", "value": 2, "unit": "ppm", "body": "UK WEL (EH40/2005)", "year": 2026, "period": "8h"}
    gas = over(load_library(), [{"table": "limits", "slug": "HCl", "row": row, "basis": "own"}]).gases["HCl"]
    assert [each.value for each in gas.limits if each.body.startswith("UK") and each.period == "8h"] == [2.0]


def test_a_card_that_refuses_goes_on_refusing() -> None:
    card = {
        "table": "hazards",
        "slug": "potassium-dichromate",
        "row": {"flag": "ok", "waste_note": "mine"},
        "basis": "own",
    }
    library = over(load_library(), [card])
    assert library.hazards["potassium-dichromate"].flag == "refuse"
    assert library.hazards["potassium-dichromate"].waste_note == "mine"
    assert "flag" in library.troubles[0]


def test_a_formula_that_cannot_be_read_is_left_out_and_named() -> None:
    steps = [{"gas": "XeF6", "mol_per_formula": 1, "from_c": 20, "to_c": 90}]
    row = {"hydrates": "ZnO; ?(", "residue_formula": "Zz2", "gas_steps": steps, "note": "mine"}
    library = over(load_library(), [{"table": "reagents", "slug": "zinc-oxide", "row": row, "basis": "own"}])
    files, found = load_library().reagents["zinc-oxide"], library.reagents["zinc-oxide"]
    assert (found.hydrates, found.residue_formula, found.gas_steps) == (files.hydrates, "ZnO", files.gas_steps)
    assert found.note == "mine" and "residue_formula, hydrates, gas_steps" in library.troubles[0]


def test_no_own_rows_leave_the_library_as_it_is() -> None:
    assert over(load_library(), []) is load_library()


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
NAMES = st.sampled_from(
    [
        "name",
        "formula",
        "gas_steps",
        "cations",
        "routes",
        "fires_low",
        "regrind_between",
        "hydrates",
        "melts_c",
        "limits",
        "value",
        "unit",
        "body",
        "period",
        "year",
        "slug",
        "own",
        "field_basis",
        "number",
        "pale",
        "lab",
    ]
)


def test_numbers_that_are_not_finite_do_not_fit() -> None:
    row = {"melts_c": float("nan"), "assay_low_pct": "inf", "bulk_density_low_g_ml": 1e999}
    cards = [
        {"table": "reagents", "slug": "zinc-oxide", "row": row, "basis": "own"},
        {"table": "targets", "slug": "egyptian-blue", "row": {"fires_low": float("inf")}, "basis": "own"},
        {"table": "limits", "slug": "HCl", "row": {"name": "x", "value": "nan", "unit": "ppm", "body": "home"}},
    ]
    library = over(load_library(), cards)
    assert len(library.troubles) == 3
    assert library.reagents["zinc-oxide"].melts_c == load_library().reagents["zinc-oxide"].melts_c


@given(
    table=st.sampled_from(["reagents", "targets", "hazards", "gases", "ware", "limits"]),
    slug=st.sampled_from(["zinc-oxide", "cobalt-aluminate-blue", "HCl", "fireclay", "new"]),
    row=st.dictionaries(NAMES, ANY_JSON, max_size=6),
    basis=st.none() | st.text(max_size=5) | st.sampled_from(["own", "memory"]),
)
@settings(max_examples=300, deadline=None)
def test_no_row_of_any_kind_raises(table: str, slug: str, row: dict[str, object], basis: object) -> None:
    library = over(load_library(), [{"table": table, "slug": slug, "row": row, "basis": basis}])
    assert library.reagent("zinc-oxide") is not None
    assert library.gases["HCl"].strict_8h is not None
