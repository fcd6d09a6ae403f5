"""A real browser over a trusted connection, the laptop killed, stopped or gone: every record exactly once."""

import shutil
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from bench.web.modules import modules
from tests.serving.away import Laptop, check_times, empty, free_port, pair, start, waits
from tests.serving.conftest import Handset, trusting_home

PATIENCE_S = 2.5
"""How long a page that has the laptop waits for its answer (static/outbox.js)."""


@dataclass(frozen=True)
class Paired:
    """What a laptop and the phone that is paired with it keep when both are off, and the laptop's port."""

    folder: Path
    port: int


@pytest.fixture(scope="module")
def paired(driver: Any, chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Paired:
    """A phone that was paired and is ready offline, both switched off: each test goes on from a copy of its own."""
    made = Paired(tmp_path_factory.mktemp("paired"), free_port())
    laptop = Laptop(made.folder / "killable", made.port)
    laptop.start()
    home = trusting_home(made.folder / "phone", laptop.data / "keys" / "authority.crt")
    handset = Handset(driver, chromium_path, home, made.port)
    try:
        pair(laptop, handset)
    finally:
        handset.stop()
        laptop.kill()
    return made


@pytest.fixture
def laptop(tmp_path: Path, paired: Paired) -> Iterator[Laptop]:
    shutil.copytree(paired.folder / "killable", tmp_path / "killable")
    made = Laptop(tmp_path / "killable", paired.port)
    made.start()
    yield made
    if made.process is not None:
        made.process.send_signal(signal.SIGCONT)
    made.kill()


@pytest.fixture
def phone(laptop: Laptop, paired: Paired, driver: Any, chromium_path: str, tmp_path: Path) -> Iterator[Any]:
    """A phone that trusts that laptop, is paired with it and ready offline; its clock is seven minutes ahead."""
    home = shutil.copytree(paired.folder / "phone", tmp_path / "phone", symlinks=True)
    handset = Handset(driver, chromium_path, home, laptop.port)
    page = start(handset)
    page.goto("/")
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=20_000)
    page.goto("/outbox")
    yield handset
    handset.stop()


def own(name: str) -> str:
    """The address under which a page has a module already, and its phone too."""
    return f"/static/{name}?v={modules()[name].mark}"


def record(page: Any, value: int) -> None:
    """One record by the form that is open, without waiting for what comes of it."""
    page.evaluate(
        """async ([value, store, sending]) => {
          const { add, ulid } = await import(store);
          const send = await import(sending);
          const id = ulid();
          await add({ id, action: '/settings', page: '/settings', title: 'Settings',
            fields: [['room_m3', String(value)], ['record_id', id]], said: `Room ${value} m³`, at_ms: Date.now(),
            offset_ms: await send.offset(), tz_min: 0 });
          await send.refresh();
          send.soon();
        }""",
        [value, *(own(name) for name in ("store.js", "sending.js"))],
    )


CLOSED = """() => new Promise((settle, fail) => {
  const asked = indexedDB.deleteDatabase('saggar-outbox');
  asked.onsuccess = () => settle();
  asked.onerror = () => fail(asked.error);
  asked.onblocked = () => fail(new Error('a page held the store'));
})"""


def test_three_records_without_a_network_survive_the_browser_s_end(laptop: Laptop, phone: Any) -> None:
    phone.context.set_offline(True)
    page = phone.page
    for n in (1, 2, 3):
        record(page, n)
    waits(page, 3)
    for address in ("/", "/emergency", "/find"):
        page.goto(address)
        expect(page.locator(".stored-copy")).to_be_visible()
    phone.stop()
    page = start(phone)
    page.goto("/outbox")
    empty(page)
    assert laptop.rooms() == [1, 2, 3]
    check_times(laptop)


def test_what_the_phone_shows_with_its_pages_at_hand_and_without_the_laptop(laptop: Laptop, phone: Any) -> None:
    """One phone for what costs a moment each: its setting up costs more than all of them."""
    nothing_moves_under_a_finger_when_the_phone_has_its_pages(phone)
    laptop.kill()
    a_page_that_is_not_on_the_phone_says_so(laptop, phone)


def nothing_moves_under_a_finger_when_the_phone_has_its_pages(phone: Any) -> None:
    tops = phone.page.evaluate(
        """() => {
          const top = () => document.getElementById('main').getBoundingClientRect().top;
          const mark = document.querySelector('[data-ready]');
          const said = mark.textContent;
          const found = [top()];
          mark.textContent = mark.dataset.no;
          found.push(top());
          mark.textContent = '';
          found.push(top());
          mark.textContent = said;
          return found;
        }"""
    )
    assert len(set(tops)) == 1, tops
    expect(phone.page.locator("[data-version-waits]")).to_be_hidden()


def test_a_laptop_that_dies_after_the_commit_and_before_the_answer(laptop: Laptop, phone: Any) -> None:
    laptop.kill()
    laptop.start(dies_after=1)
    record(phone.page, 1)
    laptop.process.wait(20)
    assert laptop.rooms() == [1]
    waits(phone.page, 1)
    record(phone.page, 2)
    record(phone.page, 3)
    laptop.kill()
    laptop.start()
    empty(phone.page)
    assert laptop.rooms() == [1, 2, 3]


def test_a_laptop_that_dies_in_the_middle_of_ten(laptop: Laptop, phone: Any) -> None:
    laptop.kill()
    for n in range(1, 11):
        record(phone.page, n)
    waits(phone.page, 10)
    laptop.start(dies_after=5)
    laptop.process.wait(40)
    laptop.kill()
    laptop.start()
    empty(phone.page)
    assert laptop.rooms() == list(range(1, 11))
    check_times(laptop)


def test_a_laptop_that_is_there_and_does_not_answer(laptop: Laptop, phone: Any) -> None:
    """Pages come from the phone, and a form of one of them does not wait either.

    As soon as a page hears the laptop again the next one is the laptop's own. The phone's store opens anew when closed.
    """
    laptop.process.send_signal(signal.SIGSTOP)
    for address in ("/", "/emergency", "/find"):
        phone.page.goto(address, wait_until="commit")
        expect(phone.page.locator(".stored-copy")).to_be_visible()
    phone.page.goto(f"/firing/{laptop.firing}/reading?other=1")
    phone.page.fill("[name=c]", "701")
    started = time.perf_counter()
    phone.page.click("button.plate")
    phone.page.wait_for_url(f"**/firing/{laptop.firing}", wait_until="commit")
    assert time.perf_counter() - started < PATIENCE_S, "a form of a stored page waited for a laptop that is silent"
    record(phone.page, 1)
    waits(phone.page, 2)
    laptop.process.send_signal(signal.SIGCONT)
    empty(phone.page)
    assert laptop.rooms() == [1]
    phone.page.goto("/")
    expect(phone.page.locator("h1")).to_be_visible()
    expect(phone.page.locator(".stored-copy")).to_have_count(0)
    phone.page.evaluate(CLOSED)
    record(phone.page, 2)
    empty(phone.page)
    assert laptop.rooms() == [1, 2]


def test_two_pages_send_at_once_and_a_bad_record_is_kept_and_mended(laptop: Laptop, phone: Any) -> None:
    """Mended while the laptop is off, what the laptop said of it before counts no more: it waits, and says so."""
    laptop.kill()
    first = phone.page
    second = phone.context.new_page()
    second.goto("/outbox")
    record(first, 1)
    record(second, -5)
    record(second, 2)
    laptop.start()
    for page in (first, second):
        expect(page.locator("[data-outbox-words]")).to_contain_text("1 refused", timeout=25_000)
    assert laptop.rooms() == [1, 2]
    second.close()
    first.goto("/outbox")
    expect(first.locator(".outbox-row")).to_contain_text("-5 m³")
    first.get_by_role("link", name="Fix", exact=True).click()
    expect(first.locator("[name=room_m3]")).to_have_value("-5")
    expect(first.locator("[data-outbox-complaint]")).to_be_visible()
    first.fill("[name=room_m3]", "-6")
    with first.expect_response(lambda answer: answer.request.method == "POST"):
        first.click("button.plate")
    expect(first.locator("[data-outbox-words]")).to_have_text("1 refused")
    laptop.kill()
    first.fill("[name=room_m3]", "5")
    first.click("button.plate")
    expect(first.locator(".kept-here")).to_contain_text("kept on this phone")
    laptop.start()
    empty(first)
    assert laptop.rooms() == [1, 5, 2], "the mended one keeps the time at which it was made"


def test_five_submits_of_one_stored_page_are_five_records(laptop: Laptop, phone: Any) -> None:
    """The firing's reading, from the copy on the phone, with the laptop away; the form is the page's own."""
    page = phone.page
    address = f"/firing/{laptop.firing}/reading?other=1"
    page.goto(address)
    laptop.kill()
    for n in range(1, 6):
        page.goto(address)
        expect(page.locator(".stored-copy")).to_be_visible()
        page.fill("[name=c]", str(700 + n))
        page.click("button.plate")
        page.wait_for_url(f"**/firing/{laptop.firing}")
        expect(page.locator("[data-outbox-strip]")).to_contain_text("kept on this phone")
        waits(page, n)
    laptop.start()
    empty(page)
    expect(page.locator("[data-outbox-strip]")).to_contain_text("Reading: on the laptop")
    readings = [r for r in laptop.records() if r["kind"] == "reading"]
    assert sorted(r["data"]["c"] for r in readings) == [700.0 + n for n in range(1, 6)]
    assert [r["data"]["c"] for r in sorted(readings, key=lambda r: r["hlc"])] == [700.0 + n for n in range(1, 6)]


def test_what_was_taken_back_and_would_be_refused_leaves_nothing_to_mend(laptop: Laptop, phone: Any) -> None:
    page = phone.page
    laptop.kill()
    for n, (c, unit) in enumerate((("99", "mV"), ("701", "C")), 1):  # no probe gives 99 mV: only the laptop knows
        page.goto(f"/firing/{laptop.firing}/reading?other=1")
        page.fill("[name=c]", c)
        page.locator(f"[name=unit][value={unit}]").dispatch_event("click")
        page.click("button.plate")
        page.wait_for_url(f"**/firing/{laptop.firing}")
        waits(page, 2 * n - 1)
        read = page.locator("body[data-brought] .now-read")
        if unit == "C":
            expect(read).to_contain_text(c)
        page.locator(".kept-here button").click()
        waits(page, 2 * n)
        expect(read).not_to_contain_text(c)  # drawn anew, without what was taken back
        page.goto("/outbox")
    laptop.start()
    empty(page)
    expect(page.locator(".outbox-row")).to_have_count(0)
    kinds = [r["kind"] for r in laptop.records()]
    assert kinds.count("reading") == kinds.count("withdrawn") == 1, "the good one came, and was taken back there"


def a_page_that_is_not_on_the_phone_says_so(laptop: Laptop, phone: Any) -> None:
    answer = phone.page.goto("/shelf")
    assert answer is not None and answer.status == 503
    expect(phone.page.locator("h1")).to_have_text("Not on this phone")
    expect(phone.page.locator(".stored-copy")).to_have_count(0)
    expect(phone.page.locator("a.stop")).to_be_visible()
    expect(phone.page.locator("[data-outbox-words]")).to_contain_text("laptop out of reach")
    laptop.start()
    # As each quarter of a minute: the timers are asked for.
    phone.page.evaluate("() => document.dispatchEvent(new Event('saggar-kept'))")
    empty(phone.page)


def test_a_phone_that_is_shut_out_keeps_what_waits_and_says_so(laptop: Laptop, phone: Any) -> None:
    laptop.kill()
    record(phone.page, 1)
    waits(phone.page, 1)
    devices = laptop.data / "keys" / "devices.json"
    devices.write_bytes(devices.read_bytes().replace(b'"shut_ms": null', b'"shut_ms": 1'))
    laptop.start()
    expect(phone.page.locator("[data-outbox-words]")).to_contain_text("access removed", timeout=25_000)
    assert laptop.rooms() == []
    devices.write_bytes(devices.read_bytes().replace(b'"shut_ms": 1', b'"shut_ms": null'))
    laptop.kill()
    laptop.start()
    empty(phone.page)
    assert laptop.rooms() == [1]


def test_a_phone_that_is_closed_while_it_sends_ten(laptop: Laptop, phone: Any) -> None:
    """Some had arrived, one was on its way: in the end each of the ten stands once, in its order."""
    laptop.kill()
    for n in range(1, 11):
        record(phone.page, n)
    waits(phone.page, 10)
    laptop.start()
    expect(phone.page.locator("[data-outbox-words]")).not_to_contain_text("10 waiting", timeout=25_000)
    phone.stop()
    page = start(phone)
    page.goto("/outbox")
    empty(page)
    assert laptop.rooms() == list(range(1, 11))
    check_times(laptop)
