"""Slips of a maker in a hurry at the plan: the sentence that saves is on the glass of a phone as the page opens."""

import pytest

from tests.acceptance.in_sight import Hurried, in_focus
from tests.acceptance.maker import Maker

REFUSED = [
    ("PB3O4", "looks like Pb3O4. Lead is highly poisonous"),
    ("SIO2", "Is it SiO2?"),
    ("CUO", "Is it CuO?"),
    ("CoCl2·6H20", "Is it CoCl2*6H2O?"),
    ("Co304", "Is it Co3O4?"),
    ("NaCI", "Is it NaCl?"),
    ("CaCo3", "Is it CaCO3?"),
    ("aluminium chloride", "yellow-white lumps that fume"),
    ("BeO", "Beryllium"),
    ("NaN3", "Azides explode and poison. Take this one out."),
    ("NH4HF2", "HF burns through skin unfelt. Take it out."),
]
"""What is typed, and what is said beside it: which slip it may be, or why it is refused."""


def plan(hurried: Hurried, formula: str, **more: str) -> None:
    hurried.at("/plan/grams")
    hurried.fill(formula__0=formula, g__0="5", to_c__0="900", hold_min__0="60", name="In a hurry", **more)
    hurried.tap()


@pytest.mark.parametrize(("typed", "said"), REFUSED)
def test_what_is_refused_is_said_at_its_field(hurried: Hurried, typed: str, said: str) -> None:
    plan(hurried, typed)
    hurried.sees(said)
    hurried.stands_at("formula.0")


def test_an_assay_below_one_is_asked_about(hurried: Hurried) -> None:
    plan(hurried, "ZnO", assay__0="0.995")
    hurried.sees("Is it 99.5 %?")
    hurried.stands_at("assay.0")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("AlCl3", "Anhydrous or hexahydrate? AlCl₃ names both. Choose the form first."),
        ("NaF", "Gives off: Hydrogen fluoride up to 2.38 g."),
        ("NaF", "calcium gluconate gel at hand"),
        ("Tb4O7", "Tb₄O₇ has no card. Read its safety data sheet first."),
    ],
)
def test_a_plan_says_first_what_it_brings(hurried: Hurried, typed: str, said: str) -> None:
    plan(hurried, typed)
    hurried.sees(said)


def test_a_thousands_mark_is_echoed(hurried: Hurried) -> None:
    hurried.at("/plan/target")
    hurried.fill(target="ZnFe2O4", product_g="1,000", formula__0="ZnO", formula__1="Fe2O3")
    hurried.fill(to_c__0="900", hold_min__0="60", name="A kilo")
    hurried.tap()
    hurried.sees("1,000 is read as 1 g.")


def test_without_scripts_a_refused_field_has_the_focus_all_the_same(plain_maker: Maker) -> None:
    """The browser itself brings a field that has the focus in sight."""
    plain_maker.at("/plan/grams")
    plain_maker.page.locator("summary", has_text="More reagents").click()
    plain_maker.page.locator('[name="formula.1"]').fill("PB3O4")
    plain_maker.press()
    assert in_focus(plain_maker.page) == ["formula.1", True, True]
