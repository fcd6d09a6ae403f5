"""Step screens at work, as the demo has them not, in a real Chromium: audited in both lights; the needle follows."""

from typing import Any

from bench.reference import load_library
from tests.screens import looking
from tests.screens.making import Making
from tests.workshop.builder import lines

ZINC = (("ZnO", 5.7), ("CoO", 1.5))


def steps(make: Making) -> dict[str, str]:
    """A bench with something at every step, and the address of each screen."""
    plan = {"schedule": [{"to_c": 1000.0, "hold_min": 240.0}], "cooling_mode": "in-furnace"}
    vessel = make.crucible()
    make.coded(vessel, "T5C7HJ")
    planned = lines(*ZINC)
    planned[0]["jar"] = make.jar("ZnO", "zinc-oxide", net_g=100.0)
    fresh, begun = make.batch(planned, name="green", **plan), make.batch(planned, name="green", **plan)
    make.checked(begun, "before-weighing")
    paste = make.batch(lines(*ZINC), name="green", **plan)
    make.weigh(paste, 5.7, 1.5)
    make.mixed(paste, "acetone")
    make.checked(paste, "before-loading")
    filled = make.charge({"batch": make.ready_batch(lines(*ZINC), name="green", **plan), "g": 7.2}, crucible=vessel)
    fire = make.firing(make.furnace(layout="ring", places=6))
    return {
        "checks": f"/batch/{fresh}/weigh",
        "weigh": f"/batch/{begun}/weigh/1",
        "sum": f"/batch/{paste}/weigh",
        "grind": f"/batch/{paste}/grind",
        "dry": f"/batch/{paste}/dry",
        "load": f"/batch/{paste}/load",
        "charge": f"/charge/{filled}",
        "place": f"/charge/{filled}/place?firing={fire}",
    }


def test_every_step_can_be_read_and_hit(browser_page: Any, live: Any) -> None:
    """No finding of the audit, keys of 64 px, text of 18 px, nothing that sticks out."""
    paths = steps(Making(live.app, live.keeper))
    for name in ("checks", "weigh", "load", "place"):
        browser_page.goto(paths[name])
        assert looking.findings(browser_page, (360,)) == [], name


def test_the_needle_follows_and_the_weight_is_kept(browser_page: Any, live: Any) -> None:
    """Typed on the large keys, seen on the graduation, recorded, and one weighing more after it."""
    make = Making(live.app, live.keeper)
    path = steps(make)["weigh"]
    browser_page.goto(path)
    needle = browser_page.locator(".gauge .needle")
    assert needle.count() == 0
    for key in ("5", ".", "7"):
        browser_page.locator(f"[data-key='{key}']").click()
    assert needle.get_attribute("d").startswith("M164.0 ")
    browser_page.locator(".plate").click()
    browser_page.wait_for_url("**/weigh/2")
    assert "5.70 g zinc oxide" in browser_page.locator(".recorded").inner_text()
    assert len(make.state.own(path.split("/")[2], "weighed")) == 1


def test_the_lists_that_the_steps_ask_for_are_there() -> None:
    """Five items may be asked before weighing and two before loading, each with what to do where it is not so."""
    library = load_library()
    for phase, n in (("before-weighing", 5), ("before-loading", 2)):
        items = library.asked_items(phase)
        assert len(items) == n and all(item.why and item.if_not_done for item in items)
