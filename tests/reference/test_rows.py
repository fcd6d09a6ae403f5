"""Every row of the data files is sound, and the checks that say so can fail."""

from dataclasses import replace

import pytest
from stdnum import casrn

from bench.reference import load_library
from bench.reference.library import Library
from bench.reference.things import GasStep
from bench.science.cas import cas_holds
from tests.reference.checking import check


def test_every_row_is_sound() -> None:
    assert check(load_library()) == []


def with_reagent(slug: str, **changes: object) -> Library:
    library = load_library()
    broken = replace(library.reagents[slug], **changes)  # type: ignore[arg-type]
    return replace(library, reagents={**library.reagents, slug: broken})


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"formula": "Zn0"}, "cannot be read"),
        ({"molar_mass_g_mol": 81.9}, "molar mass 81.9 stated"),
        ({"cas": "1314-13-3"}, "does not hold"),
        ({"sources": ("nobody",)}, "not in the list of sources"),
        ({"basis": "hearsay"}, "none of the known words"),
        ({"field_basis": {"colour": "read"}}, "is no field"),
        ({"assay_low_pct": 100.0, "assay_high_pct": 99.0}, "runs from 100 down to 99"),
        ({"bulk_density_low_g_ml": 0.001}, "between 0.02 and 5"),
        ({"water_soluble": "maybe"}, "none of the known words"),
        ({"attacks_ware": ("paper",)}, "none of the known words"),
        ({"hazard_id": "zinc-oxyde"}, "no hazard card"),
        ({"hydrates": ("ZnO*?",)}, "cannot be read as a formula"),
        ({"residue_per_formula": 0.9}, "neither in the residue nor in a gas"),
        ({"gas_steps": (GasStep(gas="O2", mol_per_formula=0.5, from_c=900, to_c=800),)}, "runs from 900 down to 800"),
        ({"loss_on_ignition_pct": 12.0}, "loss on ignition 12.0 % stated"),
    ],
)
def test_a_broken_reagent_is_named(changes: dict[str, object], said: str) -> None:
    found = check(with_reagent("zinc-oxide", **changes))
    assert any(said in each and "zinc-oxide" in each for each in found), found


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"cations": {"Co": 1.0, "Al": 1.0}}, "1 Al stated, 2 in the formula"),
        ({"soak_low_c": 1300.0}, "runs from 1300 down to 1250"),
        ({"cooling_mode": "brisk"}, "none of the known words"),
        ({"decomposes_above_c": 1100.0}, "above the heat at which it breaks up"),
        ({"routes": ()}, "no route"),
        ({"lab_l": 120.0}, "CIELAB value is out of range"),
        ({"density_g_cm3": 44.0}, "density"),
    ],
)
def test_a_broken_target_is_named(changes: dict[str, object], said: str) -> None:
    library = load_library()
    broken = replace(library.targets["cobalt-aluminate-blue"], **changes)  # type: ignore[arg-type]
    found = check(replace(library, targets={**library.targets, "cobalt-aluminate-blue": broken}))
    assert any(said in each for each in found), found


def test_a_route_that_lacks_an_element_is_named() -> None:
    library = load_library()
    target = library.targets["cobalt-aluminate-blue"]
    route = replace(target.routes[0], reagents=("zinc-oxide", "aluminium-hydroxide"))
    changed = replace(library, targets={**library.targets, target.slug: replace(target, routes=(route,))})
    assert any("brings no Co" in each for each in check(changed))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"h_codes": ("H999",)}, "has no text"),
        ({"pictograms": ("GHS07",)}, "by its codes"),
        ({"signal_word": "Warning"}, "signal word"),
        ({"cas": ("1307-96-7",)}, "does not hold"),
        ({"flag": "fine"}, "none of the known words"),
    ],
)
def test_a_broken_card_is_named(changes: dict[str, object], said: str) -> None:
    library = load_library()
    broken = replace(library.hazards["cobalt-ii-oxide"], **changes)  # type: ignore[arg-type]
    found = check(replace(library, hazards={**library.hazards, "cobalt-ii-oxide": broken}))
    assert any(said in each for each in found), found


def test_a_rule_with_an_unknown_word_is_named() -> None:
    library = load_library()
    broken = replace(library.rules["purge"], pattern="moon=full")
    assert any("'moon'" in each for each in check(replace(library, rules={**library.rules, "purge": broken})))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"otherwise_says": ""}, "it has no order"),
        ({"says": "The eyewash " + "is full and " * 5 + "near"}, "more than 14 words"),
        ({"says": "Is the eyewash full?"}, "it is no statement"),
        ({"holds": ()}, "holds no key"),
    ],
)
def test_a_broken_check_is_named(changes: dict[str, object], said: str) -> None:
    library = load_library()
    broken = [replace(one, **changes) if one.slug == "weigh-eyewash" else one for one in library.checklists]  # type: ignore[arg-type]
    found = check(replace(library, checklists=tuple(broken)))
    assert any(said in each and "weigh-eyewash" in each for each in found), found


def test_cas_numbers_agree_with_an_independent_reader() -> None:
    """python-stdnum (its casrn module) is the independent reader of CAS numbers."""
    library = load_library()
    numbers = [each.cas for each in library.reagents.values()]
    numbers += [number for card in library.hazards.values() for number in card.cas]
    assert len(numbers) > 250
    for number in numbers:
        assert casrn.is_valid(number)
        last = str((int(number[-1]) + 1) % 10)
        assert not cas_holds(number[:-1] + last)


def test_every_code_used_has_its_text_and_every_thing_its_card() -> None:
    library = load_library()
    used = {code for card in library.hazards.values() for code in (*card.h_codes, *card.p_codes, *card.pictograms)}
    assert used
    assert all(library.statements[code].text for code in used)
    for thing in (*library.reagents.values(), *library.targets.values()):
        assert library.card_for(thing) is not None, f"{thing.slug}: give it a card in hazards.csv"
