"""The small modules of static/ in a real Chromium, and the same pages without them."""

import re
from typing import Any

from playwright.sync_api import expect

ULID = re.compile(r"[0-7][0-9A-HJKMNP-TV-Z]{25}")


def test_a_fresh_id_at_each_submit(browser_page: Any) -> None:
    """A page that comes back from the browser's own store sends another id; a second tap sends nothing."""
    sent: list[str] = []
    browser_page.route("**/look/fields", lambda route: _keep(route, sent))
    browser_page.goto("/look/fields")
    given = browser_page.locator("input[name=record_id]").input_value()
    browser_page.evaluate("""() => {
      const form = document.querySelector('#ask');
      form.action = '/look/fields';
      form.requestSubmit(); form.requestSubmit();
    }""")
    browser_page.wait_for_timeout(300)
    browser_page.evaluate("() => { window.dispatchEvent(new Event('pageshow')); }")
    browser_page.evaluate("() => document.querySelector('#ask').requestSubmit()")
    browser_page.wait_for_timeout(300)
    assert len(sent) == 2 and len({given, *sent}) == 3 and all(map(ULID.fullmatch, sent))


def test_the_second_of_two_quick_touches_does_nothing_on_the_next_page(chromium: Any, live: Any) -> None:
    """The pages have their keys at one place: after a moment's rest the same place answers."""
    key = "Object.assign(document.body.appendChild(document.createElement('a')), {href: '%s', textContent: 'on'})"
    place = ".style.cssText = 'position: fixed; inset: 0 auto auto 0; z-index: 99; width: 200px; height: 200px'"
    context = chromium.new_context(base_url=live.url, has_touch=True, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto("/look/fields")
    page.evaluate(key % "/look/weigh" + place)
    page.touchscreen.tap(100, 100)
    page.wait_for_url("**/look/weigh")
    page.evaluate(key % "/look/today" + place)
    later = "(ms) => { const { at } = JSON.parse(sessionStorage['saggar-touched']); Date.now = () => at + ms; }"
    page.evaluate("window.addEventListener('click', (event) => (globalThis.got = !event.defaultPrevented))")
    page.evaluate(later, 200)
    page.touchscreen.tap(104, 97)
    page.wait_for_timeout(100)
    assert page.evaluate("globalThis.got") is None and page.url.endswith("/look/weigh")
    page.evaluate(later, 600)
    page.touchscreen.tap(100, 100)
    page.wait_for_url("**/look/today")
    page.evaluate(key % "/emergency" + place)
    page.evaluate(later, 200)
    page.touchscreen.tap(100, 100)
    page.wait_for_url("**/emergency")  # this one is never held back
    context.close()


def _keep(route: Any, sent: list[str]) -> None:
    if route.request.method == "POST":
        sent.extend(re.findall(r'name="record_id"\r\n\r\n(\w+)', route.request.post_data or ""))
        route.fulfill(status=204)
    else:
        route.continue_()


def test_the_keypad_types(browser_page: Any) -> None:
    """Large keys write into the field; the mark only once; the last digit can be taken back."""
    browser_page.goto("/look/weigh")
    for key in ("9", ".", ".", "4", "7", "del", "6"):
        browser_page.locator(f"[data-key='{key}']").click()
    assert browser_page.locator("#net_g").input_value() == "9.46"


def test_the_keypad_sets_the_point_where_about_so_much_is_read(browser_page: Any) -> None:
    """About 3.4 g: the point comes after one digit; one that is tapped stands there, and moves the other."""
    browser_page.goto("/look/weigh")
    field = browser_page.locator("#net_g")
    for keys, shown in (
        ("338", "3.38"),
        ("3.38", "3.38"),
        ("12.10", "12.10"),
        (".84", "0.84"),
        ("33<", "3"),
        ("3<<4", "4"),
    ):
        field.evaluate("(e) => { e.value = ''; e.dataset.point = '1'; }")
        for key in keys:
            browser_page.locator(f"[data-key='{'del' if key == '<' else key}']").click()
        assert field.input_value() == shown, keys


def test_the_countdown_is_an_absolute_end(browser_page: Any, live: Any) -> None:
    """The clock jumps by an hour and a half, and the figure is right at once."""
    browser_page.clock.install(time=live.keeper.ms / 1000)
    browser_page.goto("/look/firing")
    figure = browser_page.locator("[data-ends] .figure")
    expect(figure).to_have_text("2h22")
    browser_page.clock.fast_forward("01:30:00")
    expect(figure).to_have_text("52min")
    browser_page.clock.fast_forward("02:00:00")
    expect(figure).to_have_text("0min")


def test_read_aloud_speaks_the_step(browser_page: Any) -> None:
    """The key appears where the browser can speak, and hands it the step's words, not those folded away."""
    browser_page.add_init_script("""
      window.said = [];
      const mouth = {speaking: false, cancel() {}, speak(utterance) { said.push(utterance.text); }};
      Object.defineProperty(window, 'speechSynthesis', {value: mouth});
    """)
    browser_page.goto("/look/weigh")
    browser_page.locator("[data-aloud]").click()
    [said] = browser_page.evaluate("said")
    assert said.startswith("Weigh.") and "Basic copper carbonate" in said and "Mask and gloves on" in said
    assert "CIAAW" not in said


def test_everything_stands_without_javascript(chromium: Any, live: Any) -> None:
    """The field is typed into, why opens, the keypad and the voice stay away, and the form is sent."""
    context = chromium.new_context(java_script_enabled=False, base_url=live.url, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto("/look/weigh")
    expect(page.locator(".keypad")).to_be_hidden()
    expect(page.locator("[data-aloud]")).to_be_hidden()
    page.locator("details.why summary").click()
    expect(page.locator(".wk-src").first).to_be_visible()
    page.goto("/looks/?back=/look/fields")
    page.get_by_label("Night").check()
    page.get_by_label("Left").check()
    page.get_by_role("button", name="Save").click()
    assert page.url.endswith("/look/fields")
    assert page.locator("html").get_attribute("data-theme") == "night"
    assert page.locator("html").get_attribute("data-hand") == "left"
    context.close()


def test_too_large_a_form_on_the_real_server(browser_page: Any) -> None:
    """The refusal arrives, although the server did not want the body."""
    browser_page.goto("/looks/")
    status = browser_page.evaluate("""async () => {
      const token = document.querySelector('meta[name=bench-token]').content;
      const body = new URLSearchParams({token, note: 'x'.repeat(3e6)});
      return (await fetch('/looks/', {method: 'POST', body})).status;
    }""")
    assert status == 413
