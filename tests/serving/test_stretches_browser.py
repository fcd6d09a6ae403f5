"""A burning fire on a phone out of the laptop's reach: its stretches, the air that is asked for, and readings in mV."""

import re
from typing import Any

from playwright.sync_api import expect

from bench.science.thermocouples import temperature_c

SEGMENTS = [
    {"to_c": 400, "rate_c_per_h": 300, "hold_min": 20, "atmosphere": "oxidising"},
    {"to_c": 950, "rate_c_per_h": 300, "hold_min": 60, "atmosphere": "reducing"},
]


def a_fire(write: Any, keeper: Any) -> str:
    """Lit two hours ago, and read twice since: it had just come to its first hold."""
    box = {"name": "Box", "fuel": "gas", "layout": "grid", "tiers": 1, "rows": 2, "columns": 2, "probe_type": "N"}
    furnace = write("furnace.described", None, {**box, "volume_l": 8, "place": "roofed"}).id
    fire: str = write("firing.planned", None, {"furnace": furnace, "segments": SEGMENTS}).id
    write("lit", fire, {"deviations": []})
    for minutes, c in ((30, 200), (25, 395)):
        keeper.turn(minutes)
        write("reading", fire, {"c": c})
    keeper.turn(65)
    return fire


def read(page: Any, fire: str, c: str, unit: str = "C", at: str = "", cold: str = "") -> None:
    """A reading by the form that the phone draws."""
    page.goto(f"/firing/{fire}/reading?other=1")
    page.fill("[name=c]", c)
    page.locator(f"[name=unit][value={unit}]").dispatch_event("click")
    if cold:
        page.fill("[name=cold_junction_c]", cold)
    if at:
        page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")
        page.fill("[name=happened]", at)
    with page.expect_navigation():
        page.locator(".actionbar .plate").click()


def test_stretches_air_and_millivolts_out_of_reach(handset: Any, opened: Any, keeper: Any) -> None:
    """What was known and what was recorded since, drawn together; in the end the laptop says the same."""
    bench = opened.app.extensions["bench"]
    fire = a_fire(bench.journal.write, keeper)
    page = handset.start()
    handset.pair(opened.app, page)
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=30_000)
    handset.context.set_offline(True)
    outlook = page.locator(".outlook")
    strip = outlook.locator(f"form[action='/firing/{fire}/note']")
    measured = page.locator("figure.picture path.measured")

    page.goto(f"/firing/{fire}")
    expect(outlook).to_contain_text("Segment 1 of 2: up to 400 °C, held 0 min of 20 min, oxidising.")
    expect(strip).to_have_count(0)
    expect(page.locator("[data-bell]")).to_contain_text("A reading of Box is due")
    expect(page.locator(".warnings")).to_contain_text("No reading for")
    read(page, fire, "402", at="09:20")
    expect(page.locator(".stored-copy")).to_be_visible()
    expect(page.locator("[data-bell]")).to_be_hidden()
    expect(page.locator(".warnings")).to_contain_text("No reading for 40 min")
    expect(outlook).to_contain_text("Segment 2 of 2: up to 950 °C, then held 1 h 00, reducing.")
    expect(strip).to_contain_text("Make the fire reducing now, as planned.")

    read(page, fire, "30", "mV", cold="22.5")
    degrees = round(temperature_c("N", 30, 22.5), 1)
    assert degrees == 854.5, "a half, that the laptop prints as 854"
    expect(page.locator(".now-read .figure")).to_have_text(f"{degrees:.0f}")
    expect(measured).to_have_attribute("d", re.compile(r"^M[^L]+(L[^L]+){3}$"))
    with page.expect_navigation():
        strip.get_by_role("button", name="Done, air changed").click()
    expect(outlook).to_contain_text("Segment 2 of 2")
    expect(strip).to_have_count(0)
    air = page.locator(".notes form", has=page.locator("[name=what][value=air]"))
    expect(air.locator("[aria-pressed=true]")).to_have_text("Reducing", use_inner_text=False)

    handset.context.set_offline(False)
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=25_000)
    kept = [record.body.c for record in bench.state.by_time(fire, "reading")]
    assert kept == [200, 395, 402, degrees]
    said = re.sub(r"\s+", " ", opened.app.test_client().get(f"/firing/{fire}").text)
    assert "Segment 2 of 2: up to 950 °C, then held 1 h 00, reducing." in said
    assert "Make the fire reducing now" not in said

    handset.context.set_offline(True)
    read(page, fire, "99", "mV")
    expect(page.locator("main")).to_contain_text("99 mV at 10:00 is not a temperature of this probe type.")
