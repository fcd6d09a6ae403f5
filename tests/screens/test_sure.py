"""How sure a plan says that its grams are: a hydrate's range, a purity, and no more out than goes in."""

import re
from typing import Any

import pytest
from flask import Flask

from tests.screens.making import Making

H, C, OX, ZN, FE = 1.008, 12.011, 15.999, 65.38, 55.845
DRY = ZN + 2 * (2 * C + 3 * H + 2 * OX)
WET = DRY + 2 * (2 * H + OX)
FERRITE = ZN + 2 * FE + 4 * OX


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def words(page: str) -> str:
    """What a page says, without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def planned(send: Any, *jars: str, do: str = "show", product_g: str = "10") -> str:
    fields = {f"jar.{n}": one for n, one in enumerate(jars)}
    fields |= {"rows": str(len(jars)), "target": "ZnFe2O4", "product_g": product_g, "do": do}
    return str(send("/plan/target", fields).get_data(as_text=True))


def test_a_salt_that_the_library_does_not_list_has_its_range_too(make: Making, send: Any) -> None:
    pct = 50 * (1 + WET / DRY)  # counted as the dihydrate: the middle between that and the dry salt
    sd = 50 * (WET / DRY - 1) / 3**0.5
    salt = make.jar("Zn(CH3COO)2*2H2O", "Zn(CH3COO)2*2H2O", hydrate_known=False, assay_pct=pct, assay_sd_pct=sd)
    oxide = make.jar("Fe2O3", "iron-iii-oxide", hydrate_known=False, assay_pct=99.5, assay_sd_pct=0.3)
    said = words(planned(send, salt, oxide))
    mol = 10 / FERRITE
    span = f"{mol * DRY:.2f} to {mol * WET:.2f}"
    assert said.count(span) == 2 and "±0.1 %" not in said  # in the table, and in its sentence
    assert f"water not known, so {span} g may be right" in said
    more_g = mol * WET / (pct / 100) * (pct / 100 - 1)
    assert f"holds less water than its formula by {more_g:.4f}"[:-1] in said
    assert f"up to {2 * more_g:.4g} g less than the formula may be there" in said
    assert " -0" not in said and "e-" not in said
    assert "iron(III) oxide: purity not known, so 6.62 to 6.70 g may be right" in said
    assert "iron(III) oxide: water" not in said and "iron(III) oxide: more than its water" not in said


def test_no_more_comes_out_than_goes_in_as_shown(make: Making, send: Any) -> None:
    zinc, iron = make.jar("ZnO", "zinc-oxide"), make.jar("Fe2O3", "iron-iii-oxide")
    said = words(planned(send, zinc, iron, product_g="9.018"))
    # 3.0443 and 5.9737 g are shown as 3.04 and 5.97; nothing leaves, and 9.018 g would be shown as 9.02.
    assert "Together 9.01" in said and "Fired, unwashed 9.01 g" in said and "9.02" not in said


def test_a_target_that_was_picked_is_shown_by_its_name(make: Making, send: Any) -> None:
    page = planned(send, make.jar("ZnO", "zinc-oxide"), make.jar("Fe2O3", "iron-iii-oxide"), do="pick:zinc-iron-tan")
    field = re.search(r'<input[^>]*name="target"[^>]*>', page)
    assert field is not None and 'value="zinc ferrite tan"' in field[0]
