"""Timers in a browser: several at once, the laptop rings too, right after freeze, restart and a clock that is set."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from bench.records.moments import utc_text
from tests.screens.test_timers import parsed

CLOCK = """(() => {
  const Real = Date;
  globalThis.clockShift = 7 * 60000;
  class Shifted extends Real {
    constructor(...a) { if (a.length) super(...a); else super(Real.now() + globalThis.clockShift); }
  }
  Shifted.now = () => Real.now() + globalThis.clockShift;
  globalThis.Date = Shifted;
})()"""
TONES = """(() => {
  globalThis.tones = 0;
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (...a) { globalThis.tones += 1; return start.apply(this, a); };
})()"""

LATER = """(ms) => {
  globalThis.later = document.body.appendChild(document.createElement("i"));
  later.dataset.from = ms;
}"""


def a_firing(app: Any) -> str:
    journal = app.extensions["bench"].journal
    furnace = journal.write("furnace.described", None, {"name": "Box", "fuel": "electric", "tiers": 1}).id
    segments = [{"to_c": 950, "rate_c_per_h": 300, "hold_min": 30}]
    fire = journal.write("firing.planned", None, {"furnace": furnace, "segments": segments}).id
    journal.write("lit", fire, {"deviations": []})
    return str(fire)


def test_an_open_page_of_the_laptop_rings(browser_page: Any, live: Any) -> None:
    fire = a_firing(live.app)
    browser_page.clock.install(time=live.keeper.ms / 1000)
    browser_page.add_init_script(TONES)
    browser_page.goto("/")
    bell = browser_page.locator("[data-bell]")
    expect(bell).to_be_hidden()
    browser_page.locator("h1").click()
    browser_page.evaluate(LATER, live.keeper.ms + 100_000)
    stood = browser_page.locator(".rooms").bounding_box()
    journal = live.app.extensions["bench"].journal
    for minutes, purpose in ((3, "Turn it down"), (4, "Look in")):
        ends = utc_text(live.keeper.ms + minutes * 60_000)
        journal.write("timer.set", fire, {"purpose": purpose, "ends_at": ends})
    with browser_page.expect_response("**/timers.json"):
        browser_page.clock.run_for(20_000)
    expect(bell).to_be_hidden()
    assert browser_page.evaluate("() => later.hidden"), "what may be done from a time on waits for it"
    browser_page.clock.run_for(165_000)
    assert not browser_page.evaluate("() => later.hidden"), "and comes on the open page"
    expect(bell).to_contain_text("Turn it down", timeout=20_000)
    expect(bell).to_contain_text("Timer ended")
    assert browser_page.evaluate("() => tones") >= 3
    words, whole = bell.locator("p").bounding_box(), bell.bounding_box()
    assert words["width"] > 0.5 * whole["width"] and words["height"] <= 66, "one row, its words across it"
    assert browser_page.locator(".rooms").bounding_box() == stood, "nothing moved"
    browser_page.clock.run_for(61_000)
    expect(bell).to_contain_text("Look in", timeout=20_000)
    bell.get_by_role("button", name="Silence").click()
    expect(bell).to_be_hidden()
    browser_page.reload()
    browser_page.clock.run_for(3_000)
    expect(bell).to_be_hidden()


@pytest.fixture
def phone(handset: Any, opened: Any) -> Any:
    """A paired phone whose clock is seven minutes ahead, ready to work alone, with a firing that burns."""
    handset.fire = a_firing(opened.app)
    page = handset.start()
    handset.context.add_init_script(CLOCK)
    handset.pair(opened.app, page)
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=30_000)
    return handset


def test_timers_started_alone_stay_right_and_are_known_in_the_end(phone: Any, opened: Any) -> None:
    page = phone.context.pages[0]
    address = f"/firing/{phone.fire}/timer"
    phone.context.set_offline(True)
    page.goto(address)
    for minutes, purpose in ((30, "Look in"), (90, "Soak ends")):
        page.fill("[name=minutes]", str(minutes))
        page.fill("[name=purpose]", purpose)
        page.locator(".actionbar .plate").click()
        expect(page.locator("[data-timer]", has_text=purpose)).to_be_visible()
    assert page.url.endswith(address), "the page stays open, since the tap unlocked its sound"
    rows = page.locator("[data-timer]")
    expect(rows).to_have_count(2)
    expect(rows.first).to_contain_text("Look in")
    expect(rows.first).to_contain_text("does not know this timer yet")
    figure = rows.first.locator(".figure")
    expect(figure).to_have_text("30min")
    expect(page.locator("[data-sound]")).to_have_text("Sound is on here.")

    with page.expect_download() as kept:
        rows.first.get_by_role("link", name="calendar").click()
    assert kept.value.suggested_filename.endswith(".ics")
    rings = {name: value for name, _, value in reversed(parsed(Path(kept.value.path()).read_bytes().decode()))}
    at = datetime.strptime(rings["DTSTART"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC).timestamp() * 1000
    assert abs(at - page.evaluate("() => Date.now()") - 30 * 60_000) < 30_000, "by the phone's own clock"
    assert rings["SUMMARY"] == "Look in\\, Box" and rings["TRIGGER"] == "PT0S"

    page.evaluate("() => { clockShift += 45 * 60000; }")
    expect(page.locator("[data-clock-set]")).to_contain_text("changed by 45 min")
    expect(figure).to_have_text("30min")
    session = phone.context.new_cdp_session(page)
    for state in ("frozen", "active"):
        session.send("Page.setWebLifecycleState", {"state": state})
    expect(figure).to_have_text("30min")

    phone.stop()
    page = phone.start()
    phone.context.add_init_script(CLOCK.replace("7 * 60000", "52 * 60000"))
    phone.context.set_offline(True)
    page.goto(address)
    expect(page.locator("[data-timer] .figure").first).to_have_text("30min")
    phone.context.set_offline(False)
    page.reload()
    expect(page.locator("[data-timer]")).to_have_count(2)
    for known in page.locator("[data-timer]").all():
        expect(known).to_contain_text("The laptop knows this timer", timeout=20_000)
    state = opened.app.extensions["bench"].state
    assert [r.body.purpose for r in state.own(phone.fire, "timer.set")] == ["Look in", "Soak ends"]
