"""A whole batch on a phone, from weighing to weigh-out, with the laptop off after planning; then it comes back.

The phone's clock is seven minutes ahead. Every record is there exactly once, in the right fold, at the right time.
"""

import signal
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from bench.app import create_app
from bench.settings import Settings
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing
from bench.workshop.things.pigments import pigment
from bench.workshop.watching import watch_of
from tests.serving.away import Laptop, check_times, empty, free_port, near, pair, start, waits
from tests.serving.killable import CRUCIBLE_CODE, LINES


@pytest.fixture
def laptop(tmp_path: Path) -> Iterator[Laptop]:
    made = Laptop(tmp_path / "killable", free_port(), "batch")
    made.start()
    yield made
    made.kill()


DONE = """() => document.querySelectorAll('input[type=radio][value=done]').forEach((e) => {
  if (!document.querySelector(`[name="${e.name}"]:checked`)) e.click();
})"""
"""*Done* for each item that is not answered yet."""


class Hands:
    """What the maker does on the phone; every page comes from the phone itself."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def at(self, path: str) -> None:
        self.page.wait_for_url(f"**{path}", wait_until="load")
        expect(self.page.locator(".stored-copy")).to_be_visible()

    def fill(self, **fields: Any) -> None:
        self.page.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
        for name, value in fields.items():
            field = self.page.locator(f'#ask [name="{name}"]')
            if field.first.get_attribute("type") == "radio":
                self.page.locator(f'#ask [name="{name}"][value="{value}"]').dispatch_event("click")
            else:
                field.first.fill(str(value))

    def plate(self) -> None:
        """Tap the main key of a page that the phone has brought up to date: before that it may lead elsewhere."""
        with self.page.expect_navigation():
            # A page of the laptop's own is as it stands; only a stored one is to be brought up to date.
            self.page.locator(":is(body:not([data-stored]), body[data-brought]) .actionbar .plate").click()

    def anyway(self, words: str) -> None:
        """Held with these words at the key; recorded by the second key, as what was done."""
        self.page.locator("body[data-brought] .actionbar .plate").click()
        expect(self.page.locator(".actionbar .held")).to_contain_text(words)
        with self.page.expect_navigation():
            self.page.locator(".actionbar .held button").click()

    def says_nothing_of(self, *words: str) -> None:
        """What the page said when it was stored, and is not so any more."""
        said = self.page.locator("body[data-brought] main")
        expect(said).to_be_visible()
        for one in words:
            expect(said).not_to_contain_text(one)

    def answers(self) -> None:
        expect(self.page.locator("body:not([data-stored]), body[data-brought]")).to_be_visible()
        self.page.evaluate(DONE)
        self.plate()

    def read(self, c: int, asked: bool = False) -> None:
        """A reading; one that no furnace makes so soon is asked about first, here as on the laptop."""
        self.page.goto(self.page.url.split("?")[0] + "/reading?other=1")
        self.fill(c=c, unit="C")
        if not asked:
            return self.plate()
        self.page.locator("body[data-brought] .actionbar .plate").click()
        expect(self.page.locator(".held")).to_contain_text("No furnace heats so fast.")
        with self.page.expect_navigation():
            self.page.locator(".held").get_by_role("button", name="It is right").click()
        return None


def ago(page: Any, minutes: int) -> str:
    """A clock time of the phone, so many minutes ago."""
    script = "(n) => new Date(Date.now() - n * 60000).toTimeString().slice(0, 5)"
    return str(page.evaluate(script, minutes))


def test_a_whole_batch_with_the_laptop_off(laptop: Laptop, phone_of: Any) -> None:
    handset = phone_of(laptop.data / "keys" / "authority.crt", laptop.port)
    page = pair(laptop, handset)
    laptop.kill()
    hands = Hands(page)
    thing, fire = laptop.batch, laptop.firing

    page.goto(f"/batch/{thing}")
    hands.plate()
    hands.at(f"/batch/{thing}/weigh")
    hands.answers()
    weigh(hands, thing)

    hands.at(f"/batch/{thing}/grind")
    hands.says_nothing_of("still missing", "Weigh everything first")
    hands.fill(medium="dry", minutes=10, streak="even", happened=ago(page, 120))
    hands.plate()
    hands.at(f"/batch/{thing}/dry")
    passes_by(laptop, page)
    # Ground two hours ago, put into the oven then, and weighed for the second time now.
    for mass, minutes in (("19.90", 70), ("19.89", 0)):
        hands.at(f"/batch/{thing}/dry")
        hands.fill(way="oven", c=110, gross_g=mass, **({"happened": ago(page, minutes)} if minutes else {}))
        hands.plate()
    hands.at(f"/batch/{thing}/load")
    hands.answers()
    hands.at(f"/batch/{thing}/load")
    hands.says_nothing_of("left (dry mass)", "Counts as damp", "% full")
    hands.fill(code=CRUCIBLE_CODE, g="19.5", lid="loose")
    hands.plate()

    page.wait_for_url("**/charge/*")
    filled = page.url.rsplit("/", 1)[1]
    expect(page.locator("body[data-brought] main")).to_contain_text("19.50 g dry mass")
    hands.says_nothing_of("Damp", "has no code")
    expect(page.locator(".actionbar .plate")).to_contain_text("Place for a firing")
    hands.plate()
    hands.at(f"/charge/{filled}/place")
    hands.fill(place="1.1.1")
    hands.plate()
    hands.at(f"/charge/{filled}")
    expect(page.locator(".actionbar .plate")).to_contain_text("To the firing")
    hands.plate()
    burn(hands, fire)

    page.goto("/find")
    for character in CRUCIBLE_CODE:
        page.locator(f".code-keys [data-key='{character}']").click()
    page.locator(".actionbar .plate").click()
    hands.at(f"/firing/{fire}/out?charge={filled}")
    hands.fill(rest_place="brick")
    hands.anyway("An unplanned hot pull burns.")
    hands.at(f"/charge/{filled}/cool")
    expect(page.locator("main")).to_contain_text("Too hot to touch")
    hands.says_nothing_of("leave it in", "Leave in", "in the furnace")  # it stands on a brick
    hands.fill(surface_c="22")
    hands.plate()
    hands.at(f"/charge/{filled}/open")
    hands.fill(gross_g="66.90", tare_after_g="50.02", fate="clean")
    hands.plate()
    page.wait_for_url("**/pigment/*")
    powder = page.url.rsplit("/", 1)[1]
    code = str(page.locator("main b.num").inner_text()).replace("-", "")
    expect(page.locator("main")).to_contain_text("Write this code on the vial or card.")
    handset.stop()
    page = start(handset)
    hands = Hands(page)
    judged(hands, powder)
    waits(page, ENTRIES)

    laptop.start()
    empty(page)
    laptop.kill()
    check_records(laptop, filled, powder, code)
    check_times(laptop)


def test_what_the_laptop_asks_of_a_page_that_was_left_stays_on_the_phone(laptop: Laptop, phone_of: Any) -> None:
    """Too much on the balance, the laptop frozen, the page left; it returns and asks: the entry is there."""
    page = pair(laptop, phone_of(laptop.data / "keys" / "authority.crt", laptop.port))
    hands = Hands(page)
    page.goto(f"/batch/{laptop.batch}/weigh/2?late=1")
    near(page)
    expect(page.locator(".stored-copy")).to_have_count(0)
    empty(page)
    laptop.process.send_signal(signal.SIGSTOP)
    try:
        hands.fill(net_g="10.50")
        page.locator(".actionbar .plate").click()
        waits(page, 1)
        page.goto("/outbox")
        expect(page.locator(".stored-copy")).to_be_visible()
    finally:
        laptop.process.send_signal(signal.SIGCONT)
    expect(page.locator("[data-outbox-words]")).to_contain_text("1 to answer", timeout=15_000)
    expect(page.locator(".outbox-row")).to_contain_text("The laptop asks a question first")
    expect(page.locator(".outbox-row")).to_contain_text("On the balance 10.50 g")
    assert not [r for r in laptop.records() if r["kind"] == "weighed"]

    with page.expect_navigation():
        page.get_by_role("link", name="Answer it").click()
    near(page)
    expect(page.locator("[name=net_g]")).to_have_value("10.50")
    expect(page.locator("[data-outbox-strip]")).to_contain_text("The laptop asks a question")
    hands.plate()
    expect(page.locator("main")).to_contain_text("0.50 g too much")
    with page.expect_navigation():
        page.get_by_role("button", name="Accept as weighed").click()
    empty(page)
    found = [r["data"] for r in laptop.records() if r["kind"] == "weighed"]
    assert [(one["line"], one["net_g"]) for one in found] == [(2, 10.50)]


ENTRIES = 23


def passes_by(laptop: Laptop, page: Any) -> None:
    """The laptop takes what waits and is gone again, before the phone could hear how things stand with it."""
    laptop.start()
    empty(page)
    laptop.kill()


def weigh(hands: Hands, thing: str) -> None:
    """The first reagent as planned; of the second too much, so that the batch grows; the rest; what to add."""
    hands.at(f"/batch/{thing}/weigh/1")
    hands.fill(net_g="4.00")
    hands.plate()
    hands.at(f"/batch/{thing}/weigh/2")
    hands.fill(net_g="100.50")
    hands.page.locator(".actionbar .plate").click()
    expect(hands.page.locator("[data-off] button").first).to_contain_text("10 times the target")
    hands.page.get_by_role("button", name="Type it again").click()
    hands.fill(net_g="10.50")
    hands.page.locator(".actionbar .plate").click()
    expect(hands.page.locator("[data-off]")).to_contain_text("0.50 g too much")
    expect(hands.page.locator("[data-off-targets]")).to_contain_text("+0.20 g")
    expect(hands.page.locator("[data-off-targets]")).to_contain_text("5.00 → 5.25 g")
    hands.page.get_by_role("button", name="Make the batch bigger").click()
    hands.at(f"/batch/{thing}/weigh/3")
    expect(hands.page.locator(".weigh-target .figure").first).to_have_text("5.25")
    hands.fill(net_g="5.25")
    hands.plate()
    hands.at(f"/batch/{thing}/weigh/1")
    expect(hands.page.locator(".weigh-target")).to_contain_text("4.00 g is in, target now 4.20 g")
    hands.fill(added_g="0.20")
    hands.plate()


def burn(hands: Hands, fire: str) -> None:
    """Checks, lighting, readings, a timer to the soak's end, off, and the checks after."""
    page = hands.page
    hands.at(f"/firing/{fire}")
    page.goto(f"/firing/{fire}/checks/before-lighting")
    lacks = page.locator('[name="answer.light-lid-switch"][value=has-none]')
    lacks.dispatch_event("click")
    expect(page.locator("label, .key", has=lacks)).to_contain_text("It has none")
    hands.answers()
    hands.at(f"/firing/{fire}")
    hands.says_nothing_of("0 of", "not all ticked", "No crucible is placed", "Nothing is placed")
    expect(page.locator(".in-fire")).to_contain_text("Placed, not fired yet")
    expect(page.locator(".actionbar .stop")).to_have_count(0)
    with page.expect_navigation():  # it leads to the same address
        page.get_by_role("button", name="Record switched on").click()
    hands.at(f"/firing/{fire}")
    expect(page.locator(".actionbar .stop")).to_be_visible()  # nothing burned when the page was stored
    for c, asked in ((300, False), (600, True), (948, True), (951, False)):
        hands.read(c, asked)
        hands.at(f"/firing/{fire}")
        expect(page.locator(".now-read .figure")).to_have_text(str(c))
    expect(page.locator("figure.picture path.measured")).to_have_attribute("d", page_path(4))
    expect(page.locator(".outlook [data-ends] .figure")).to_contain_text("3")
    page.goto("/")
    burning = page.locator("body[data-brought] .burning .fire")
    expect(burning).to_contain_text("951")
    assert burning.locator("a").get_attribute("href") == f"/firing/{fire}"
    expect(page.locator(".actionbar .stop")).to_be_visible()
    page.goto(f"/firing/{fire}/timer")
    hands.fill(minutes=30, purpose="Look in")
    page.locator(".actionbar .plate").click()
    expect(page.locator("[data-timer]", has_text="Look in")).to_contain_text("does not know this timer yet")
    page.goto(f"/firing/{fire}/watch")
    hands.fill(name="The other one at the bench")
    page.locator("#ask [name=stands_here]").dispatch_event("click")
    hands.plate()
    hands.at(f"/firing/{fire}")
    page.goto(f"/firing/{fire}/off")
    hands.fill(reason="reached")
    hands.anyway("At heat for at most 0 of")
    hands.at(f"/firing/{fire}/checks/after-shutdown")
    hands.answers()
    hands.at(f"/firing/{fire}")


def judged(hands: Hands, powder: str) -> None:
    """Rinsed, ground again, weighed dry, brushed out, judged: on pages that the phone draws itself."""
    page, home = hands.page, f"/pigment/{powder}"
    page.goto(home)
    hands.at(home)
    main = page.locator("body[data-brought] main")
    expect(page.locator(".actionbar .plate")).to_have_text("Grind")
    page.goto(f"{home}/wash")
    expect(page.locator("[name=round]")).to_have_value("1")
    expect(page.locator(".cautions")).to_contain_text("SDS")
    assert page.locator(".cautions li").count() > 2
    hands.fill(water_ml="200")
    hands.plate()
    hands.at(home)
    expect(main).to_contain_text("Rinsed once")
    page.goto(f"{home}/grind")
    hands.fill(medium="water", minutes="10")
    hands.plate()
    hands.at(home)
    expect(main).to_contain_text("Damp: weigh it dry first")
    hands.plate()
    hands.at(f"{home}/dry")
    page.locator("#net_g-keys [data-key='7']").click()
    expect(page.locator("[name=net_g]")).to_have_value("7")
    hands.fill(net_g="warm")
    page.locator(".actionbar .plate").click()
    expect(page.locator("[data-outbox-complaint]")).to_contain_text("“warm” is not a number.")
    expect(page.locator("[name=net_g]")).to_be_focused()
    hands.fill(net_g="16,50")
    hands.plate()
    hands.at(home)
    expect(main).to_contain_text("16.50 g dry")
    expect(main).not_to_contain_text("Damp")
    hands.plate()
    hands.at(f"{home}/swatch")
    hands.fill(film_um="100")
    hands.plate()
    hands.at(home)
    expect(page.locator(".actionbar .plate")).to_have_text("Judge pigment")
    hands.plate()
    hands.at(f"{home}/judge")
    hands.fill(verdict="keep", words="even, deep")
    hands.plate()
    hands.at(home)


def page_path(points: int) -> Any:
    """A path through so many points."""
    import re

    return re.compile(r"^M[^L]+" + r"L[^L]+" * (points - 1) + "$")


def check_records(laptop: Laptop, filled: str, powder: str, code: str) -> None:
    """The file as it is read anew: each record once, and what they fold to."""
    mine = [r for r in laptop.records() if r["device"].startswith("phone-kiln~")]
    assert len({r["id"] for r in mine}) == len(mine)
    kinds = Counter(r["kind"] for r in mine if r["kind"] != "check.answered")
    assert kinds == {
        "weighed": 4, "rescaled": 1, "mixed": 1, "dried": 2, "charged": 1, "placed": 1, "lit": 1, "reading": 4,
        "timer.set": 1, "noted": 1, "fire.off": 1, "came.out": 1, "touched": 1, "opened": 1, "crucible.seen": 1,
        "code.issued": 2, "code.assigned": 2, "washed": 1, "ground": 1, "dry.weighed": 1, "swatch.made": 1, "judged": 1,
        "furnace.described": 1,
    }, kinds  # fmt: skip
    app = create_app(Settings(data=laptop.data, open_browser=False))
    state = app.extensions["bench"].state
    try:
        found = batch(state, laptop.batch)
        assert found is not None
        assert [line.weighed_g for line in found.lines] == [4.20, 10.50, 5.25]
        assert [round(line.target_g, 9) for line in found.lines] == [round(1.05 * g, 9) for _formula, g in LINES]
        assert not any(line.disagrees for line in found.lines) and not found.damp
        held = charge(state, filled)
        assert held is not None and held.state == "opened" and held.crucible_code == CRUCIBLE_CODE
        assert held.batches == (laptop.batch,) and held.dry_g == 19.5 and not held.damp
        made = pigment(state, powder)
        assert made is not None and made.code == code and made.dry_g == 16.5 and made.washes == 1
        assert made.judged is not None and made.judged.verdict == "keep" and len(made.swatches) == 1
        assert len(set(state.things_with(code))) == 1
        fire = firing(state, laptop.firing)
        assert fire is not None and fire.deviations == () and fire.charges == (filled,)
        assert [r.body.c for r in fire.readings] == [300, 600, 948, 951]
        assert watch_of(state, laptop.firing).name == "The other one at the bench"
        assert fire.off is not None and fire.off.reason == "reached" and fire.state == "after-checks"
        assert fire.furnace is not None and fire.furnace.lid_switch is False  # as *It has none* was answered out there
        assert not app.extensions["bench"].journal.conflicts
    finally:
        app.extensions["bench"].journal.close()
