"""Which hydrate, the maker's own rows and a load's gas, as the demo has them not: audited by day and by night."""

from typing import Any

from tests.screens import looking
from tests.screens.making import Making
from tests.workshop.builder import lines


def pages(make: Making) -> dict[str, str]:
    """A jar that was tested, rows of the maker's own, and the address of each page."""
    jar = make.jar("CoSO4*7H2O", "cobalt-sulfate-heptahydrate", net_g=100.0, hydrate_known=False)
    make.coded(jar, "T5C7HJ")
    make.add("jar.assayed", {"before_g": 2.0, "after_g": 1.178, "at_c": 300.0}, jar)
    make.add("jar.assayed", {"before_g": 2.0, "after_g": 1.4, "at_c": 300.0}, jar)
    limit = {"name": "8 hours", "value": 0.5, "unit": "ppm", "body": "A body with a long name of its own", "year": 2024,
             "period": "8h", "words": "0.5 ppm"}  # fmt: skip
    card = make.add("card.changed", {"table": "limits", "slug": "HCl", "row": limit, "basis": "own"}).id
    row = {"melts_c": "hot", "how_to_tell": "It goes yellow when it is hot and white again when it is cold."}
    make.add("card.changed", {"table": "reagents", "slug": "zinc-oxide", "row": row, "basis": "a trial"})
    furnace = make.furnace(place="indoors", room_m3=40.0, air_changes_per_h=1.0)
    batch = make.ready_batch(lines(("CoCl2*6H2O", 10.0), ("CaCO3", 2.0), ("alkaline frit", 1.0)))
    firing = make.firing(furnace)
    make.placed(make.charge({"batch": batch, "g": 13.0}, lid="vented"), firing)
    return {
        "gas of a load": f"/firing/{firing}/gas",
        "jar": f"/jar/{jar}",
        "hydrate of a reagent": "/known/reagent/copper-sulfate-pentahydrate/hydrate?before_g=2&after_g=1.9&at_c=100",
        "a slip": "/known/reagent/copper-sulfate-pentahydrate/hydrate?before_g=two&after_g=1&at_c=250",
        "own rows": "/known/own",
        "a changed reagent": "/known/own/reagent?slug=cobalt-ii-carbonate",
        "a changed target": "/known/own/target?slug=cobalt-zinc-green",
        "a limit": f"/known/own/limit?card={card}",
        "a reagent of one's own words": "/known/reagent/zinc-oxide",
    }


def test_every_page_can_be_read_and_hit(browser_page: Any, live: Any) -> None:
    """No finding of the audit by day and by night, keys of 60 px, text of 18 px, nothing that sticks out."""
    found: list[str] = []
    for name, path in pages(Making(live.app, live.keeper)).items():
        answer = browser_page.goto(live.url + path)
        assert answer is not None and answer.status in (200, 422), name
        browser_page.evaluate(looking.UNFOLD)
        found += [f"{name}: {one}" for one in looking.findings(browser_page, (320, 360, 900), 60)]
    assert not found, "\n".join(found[:60])
