"""A published batch by the screens alone: the cobalt zinc green of a preparative sheet.

ZnO 5.7 g and CoO 1.5 g with about 20 g KCl as a flux that is washed out again, 1,000 °C for 4 h, washed free of
chloride, fired again with fresh flux; 7.2 g in theory (preparative sheet citing a university workbook of 1989).
"""

import re

import pytest

from bench.journal.verify import verify
from bench.workshop.lineage import firings_of, origin, weighed_lines
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.pigments import pigment
from tests.acceptance.maker import Maker, come_out, fire


def prepare(maker: Maker) -> dict[str, str]:
    journal = maker.live.app.extensions["bench"].journal
    made = {}
    for name, slug, formula in (
        ("zinc", "zinc-oxide", "ZnO"),
        ("cobalt", "cobalt-ii-oxide", "CoO"),
        ("salt", "potassium-chloride", "KCl"),
    ):
        data = {"reagent": slug, "formula": formula, "net_g": 500.0}
        made[name] = journal.write("jar.opened", None, data).id
    pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 80, "rated_c": 1650}).id
    journal.write("crucible.seen", pot, {"condition": "clean", "tare_g": 80.0})
    journal.write("code.assigned", pot, {"code": "T5C7HJ", "thing": pot})
    journal.write("code.assigned", made["salt"], {"code": "7K3MQX", "thing": made["salt"]})
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    told = {"name": "Yard ring", "fuel": "gas", "layout": "ring", "places": 6, "place": "outdoors", "ceiling_c": 1200}
    made["furnace"] = journal.write("furnace.described", None, told | {"lining_rated_c": 1300}).id
    return made | {"pot": pot}


@pytest.mark.long
def test_the_published_green_from_the_plan_to_the_second_fire(maker: Maker) -> None:
    tell(maker)


def test_the_same_without_any_script(form_maker: Maker) -> None:
    tell(form_maker)


def tell(maker: Maker) -> None:
    """The whole batch, from the plan to the second fire."""
    made = prepare(maker)
    maker.at("/plan/target")
    maker.fill(target="Zn0.78Co0.22O", product_g="7.2", jar__0=made["zinc"], jar__1=made["cobalt"], jar__2=made["salt"])
    maker.fill(
        fate__2="washed-out", fixed__2="20", to_c__0="1000", hold_min__0="240", cooling="in-furnace", name="Green"
    )
    maker.press()
    path = maker.press("Save plan")
    thing = re.match(r"/batch/(\w{26})", path)
    assert thing, maker.text
    view = batch(maker.state, thing[1])
    assert view is not None
    assert [line.target_g for line in view.lines] == pytest.approx([5.7, 1.5, 20.0], rel=0.02)
    assert view.plan.washed_g == pytest.approx(7.2)

    maker.at(f"/batch/{view.id}/weigh")
    maker.ticks_all()
    for line in view.lines:
        maker.at(f"/batch/{view.id}/weigh/{line.plan.line}")
        maker.fill(net_g=f"{line.target_g:.2f}".replace(".", ","))
        maker.press()
    maker.at(f"/batch/{view.id}/grind")
    maker.masked()
    maker.fill(medium="dry", minutes="20", streak="even")
    maker.press()
    for _ in range(2):
        maker.at(f"/batch/{view.id}/dry")
        maker.fill(way="oven", c="110", gross_g="27.2")
        maker.press()
        maker.live.keeper.turn(60)
    assert not batch(maker.state, view.id).damp

    maker.at(f"/batch/{view.id}/load")
    maker.ticks_all()
    maker.at(f"/batch/{view.id}/load")
    maker.fill(code="T5C7H-J", g="27.2", lid="loose")
    path = maker.press()
    filled = re.search(r"charge[/=](\w{26})", path)
    assert filled, maker.text
    maker.at(f"/firings/new?charge={filled[1]}")
    maker.fill(furnace=made["furnace"])
    maker.press("Save firing")
    maker.fill(place="c.12")
    maker.press()
    placed = charge(maker.state, filled[1])
    assert placed is not None and placed.state == "placed"
    fire(maker, placed.stay.firing)
    powder = come_out(maker, placed.stay.firing, filled[1], "86.9")

    for n in range(1, 4):
        maker.at(f"/pigment/{powder}/wash")
        maker.fill(water_ml="300", acid="none", test="silver nitrate: chloride", result="clear" if n == 3 else "cloudy")
        maker.press()
    maker.at(f"/pigment/{powder}/dry")
    maker.fill(net_g="7.1")
    maker.press()
    maker.at(f"/pigment/{powder}/swatch")
    maker.masked()
    maker.fill(oil_g="0.4", words="green, a little black")
    assert maker.press() == f"/pigment/{powder}/judge"
    [swatch] = maker.state.things("swatch")
    maker.fill(verdict="refire", words="black is left")
    maker.press()
    found = pigment(maker.state, powder)
    assert found is not None and found.state == "refire" and found.dry_g == 7.1

    tree = origin(maker.state, swatch)
    assert tree is not None and len(firings_of(tree)) == 1
    assert sum(g or 0.0 for _words, g in weighed_lines(tree)) == pytest.approx(27.2, abs=0.1)

    again = fire_again(maker, powder)
    second = origin(maker.state, again)
    found = pigment(maker.state, again)
    assert found is not None and found.generation == 2
    assert second is not None and len(firings_of(second)) == 2
    assert ("potassium-chloride", 19.0) in weighed_lines(second)
    assert verify(maker.live.app.extensions["bench"].settings.file).sound


def fire_again(maker: Maker, powder: str) -> str:
    """The powder as the next generation, with fresh flux from its jar, under the same schedule."""
    maker.at(f"/pigment/{powder}/refire")
    if maker.asks_checks():
        maker.ticks_all()
        maker.at(f"/pigment/{powder}/refire")
    maker.fill(code="T5C7H-J", g="7.1", lid="loose", more_code__0="7K3MQ-X", more_g__0="19")
    filled = re.search(r"charge[/=](\w{26})", maker.press())
    assert filled, maker.text
    furnace = maker.state.things("furnace")[0]
    maker.at(f"/firings/new?charge={filled[1]}")
    maker.fill(furnace=furnace, to_c__0="1000", hold_min__0="240")
    maker.press("Save firing")
    maker.fill(place="c.12")
    maker.press()
    view = charge(maker.state, filled[1])
    assert view is not None and view.stay is not None
    fire(maker, view.stay.firing)
    return come_out(maker, view.stay.firing, filled[1], "105.9")
