"""On a laptop, at four usual widths: nothing outside the window, nothing over anything else.

Lines can be followed, and no form is alone at the left of an empty sheet.
"""

from typing import Any
from urllib.parse import urlsplit

import pytest

from bench.demo import fill
from tests.screens.making import Making

WIDTHS = (1280, 1366, 1440, 1920)
WRONG = """() => {
  const edge = document.documentElement.clientWidth;
  const apart = '.skip, .sr, .ledger-wrap, [hidden], .actionbar, svg, details:not([open]) > :not(summary)';
  const box = (e) => e.getBoundingClientRect();
  const seen = (e) => box(e).width > 1 && box(e).height > 1 && getComputedStyle(e).opacity !== '0';
  const there = (e) => !e.closest(apart) && seen(e);
  const name = (e) => e.outerHTML.replace(/\\s+/g, ' ').slice(0, 70);
  const outside = (e) => box(e).right > edge + 1 || box(e).left < -1;
  const out = [...document.querySelectorAll('body *')].filter((e) => there(e) && outside(e));
  const parts = 'a[href], button, input:not([type=hidden]), select, textarea, summary, h1, h2, p, th, td, label';
  const all = [...document.querySelectorAll(parts)].filter(there).map((e) => [e, box(e)]);
  const across = (p, q) => Math.min(p.right, q.right) - Math.max(p.left, q.left) > 2;
  const down = (p, q) => Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 2;
  const found = out.map((e) => `outside: ${name(e)}`);
  all.forEach(([e, p], n) => {
    for (const [f, q] of all.slice(n + 1)) {
      const over = across(p, q) && down(p, q) && !e.contains(f) && !f.contains(e);
      if (over) found.push(`over: ${name(e)} | ${name(f)}`);
    }
  });
  const figures = [...document.querySelectorAll('.now-read .fig, .now-read .fig *')].map(box);
  const curve = [...document.querySelectorAll('.picture svg')].map(box).find((at) => at.width > 1);
  if (curve && figures.some((at) => across(at, curve) && down(at, curve))) found.push('over: the reading | its curve');
  return found.slice(0, 3);
}"""

LONG = """(most) => {
  const out = [];
  const walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
  const at = document.createRange();
  while (walk.nextNode()) {
    const { data, parentElement: e } = walk.currentNode;
    if (data.trim().length <= most || e.closest('.sr, [hidden], svg, details:not([open]) > :not(summary)')) continue;
    const lines = new Map();
    [...data].forEach((letter, n) => {
      at.setStart(walk.currentNode, n);
      at.setEnd(walk.currentNode, n + 1);
      const box = at.getClientRects()[0];
      if (box) lines.set(Math.round(box.top), (lines.get(Math.round(box.top)) || 0) + 1);
    });
    if (Math.max(0, ...lines.values()) > most) out.push(`a long line: ${data.trim().slice(0, 50)}`);
  }
  return out;
}"""
"""Texts with a line of more letters than an eye finds back from."""
MOST_LETTERS = 75
LONE = """(most) => {
  const inside = [...document.querySelectorAll('main :is(.field, .choice, .key, h2, b, p, svg, img, a, button)')];
  const boxes = inside.map((e) => e.getBoundingClientRect()).filter((box) => box.width > 1);
  const [left, right] = [Math.min(...boxes.map((b) => b.left)), Math.max(...boxes.map((b) => b.right))];
  return Math.abs(innerWidth - right - left) > most * innerWidth ? [`alone: ${left} to ${right}`] : [];
}"""
"""Whether what a page shows leaves much more free at one side than at the other."""
MOST_UNEVEN = 0.15
BELOW = """() => {
  const bar = document.querySelector('.actionbar').getBoundingClientRect().top;
  return [...document.querySelectorAll('.in-out a')].filter((key) => key.getBoundingClientRect().bottom > bar).length;
}"""
"""How many of *Load*, *Unload* and *Furnace map* the bar hides."""
COLUMN = """() => {
  const at = document.activeElement.closest('.firing > *');
  const columns = ['.now-read, .outlook', '.picture, .in-out, .before, .notes', '.in-fire'];
  return columns.findIndex((one) => at?.matches(one));
}"""
"""In which column of a firing the focus is; -1 outside them."""
FOCUS = "document.activeElement.name ?? ''"
BY_KEYS = ".actionbar .plate[aria-keyshortcuts]:visible"
"""The main key, once it is pressed by keys."""
MOST_PX = 1250
UNDER_BAR = "(e) => e.getBoundingClientRect().bottom - document.querySelector('.actionbar').getBoundingClientRect().top"
"""How far something goes on under the bar."""
TO_THE_BAR = f"(e) => {{ scrollBy(0, ({UNDER_BAR})(e)); return Math.abs(({UNDER_BAR})(e)); }}"
"""Scrolls until something ends where the bar begins; how far it is from there."""


def wrong(page: Any, path: str) -> list[str]:
    """What is outside the window or over something else, at each width."""
    page.goto(path)
    found = []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        said = [*page.evaluate(WRONG), *page.evaluate(LONG, MOST_LETTERS)]
        found += [f"{path} at {width}: {one}" for one in said]
    return found


def test_an_empty_bench_and_one_with_three_things_due(browser_page: Any, live: Any) -> None:
    empty = wrong(browser_page, "/")
    make = Making(live.app, live.keeper)
    for n in range(3):
        make.batch([{"line": 1, "formula": "CaCO3", "target_g": 8.07}], name=f"A batch with a long name, number {n}")
    assert [*empty, *wrong(browser_page, "/")] == []


def test_the_screens_of_a_bench_in_use(browser_page: Any, live: Any) -> None:
    fill(live.app.extensions["bench"])
    state = live.app.extensions["bench"].state
    batch, fire = state.open_things("batch")[-1], state.open_things("firing")[-1]
    paths = ("/", "/batches", "/plan", "/shelf", f"/batch/{batch}/weigh", f"/firing/{fire}")
    past = [f"/firing/{one}" for one in state.things("firing")[:1]]
    found = [one for path in (*past, *paths) for one in wrong(browser_page, path)]
    assert not found, "\n".join(found)
    live.keeper.ms += 10 * 60_000  # a reading is overdue, which a strip says over the curve
    browser_page.set_viewport_size({"width": 1366, "height": 768})
    browser_page.reload()
    assert browser_page.locator(".warnings .strip").count() and browser_page.evaluate(BELOW) == 0
    assert browser_page.locator("svg.curve-wide text", has_text="°C").count() == 1
    furnace, jar = state.things("furnace")[0], state.things("jar")[0]
    forms = ("/furnaces/new", "/shelf/new?reagent=zinc-oxide", "/firings/new", "/plan/target")
    checks = f"/firing/{fire}/checks/before-lighting"
    assert ill_opened(browser_page, (*forms, checks, f"/jar/{jar}", f"/furnace/{furnace}")) == []
    browser_page.goto("/shelf/new?reagent=cobalt-nitrate-hexahydrate")  # one with much on its card
    assert browser_page.locator("label:has([name=water])").last.evaluate(UNDER_BAR) < 0
    by_tab = columns_by_tab(browser_page, f"/firing/{fire}")
    assert by_tab == sorted(by_tab) and set(by_tab) == {0, 1, 2}
    typed_off(browser_page, f"/sheet/firing/{fire}")
    assert read_by_keys(browser_page) == f"/firing/{fire}" and state.rows(fire, "reading")[-1].body.c == 905
    browser_page.goto(f"/batch/{state.open_things('batch')[-2]}/weigh/3")
    assert (
        browser_page.locator(".keypad button").count() == browser_page.locator(".keypad [tabindex='-1']").count() == 12
    )
    assert browser_page.evaluate(FOCUS) == "net_g"
    browser_page.goto(checks)
    browser_page.wait_for_selector(BY_KEYS)
    assert browser_page.evaluate(FOCUS) == ""  # what a check asks is read before it is answered


def ill_opened(page: Any, paths: tuple[str, ...]) -> list[str]:
    """The pages that open scrolled, or go on far below a low window, as one does that leaves half of it empty."""
    found = []
    for path in paths:
        page.goto(path)
        high, down = page.evaluate("[document.documentElement.scrollHeight, scrollY]")
        found += [f"{path}: {high} px, scrolled by {down}"] if high > MOST_PX or down else []
    return found


def columns_by_tab(page: Any, path: str) -> list[int]:
    """In which of the three columns of a firing Tab stops, one stop after the other."""
    page.goto(path)
    page.locator(".head a, .head button").last.focus()
    found: list[int] = []
    while True:
        page.keyboard.press("Tab")
        at = int(page.evaluate(COLUMN))
        if at < 0:
            return found
        found.append(at)


def read_by_keys(page: Any) -> str:
    """From *Today* to a reading that is recorded, no key but these; where that leads."""
    page.goto("/")
    page.wait_for_selector(BY_KEYS)
    with page.expect_event("load"):
        page.keyboard.press("Alt+Enter")
    assert page.evaluate(FOCUS) == "c" and page.locator(".tens").is_hidden()
    page.keyboard.type("905")
    with page.expect_event("load"):
        page.keyboard.press("Enter")
    return str(urlsplit(page.url).path)


def typed_off(page: Any, path: str) -> None:
    """A reading takes a line of a table: Tab goes along it, Enter to the next one, and records nothing."""
    page.goto(path)
    page.locator("summary", has_text="Readings").click()
    rows = page.locator(".paper-row.bare")
    assert rows.nth(1).bounding_box()["height"] <= 56
    rows.nth(0).locator("input").first.focus()
    for key in ("8", "Tab", "9", "0", "0", "Enter", "8"):
        page.keyboard.press(key)
    values = [rows.nth(n).locator("input").evaluate_all("(all) => all.map((one) => one.value)") for n in (0, 1)]
    assert values == [["8", "900"], ["8", ""]]


def test_a_fold_just_above_the_bar_shows_what_it_brings_up(browser_page: Any) -> None:
    browser_page.set_viewport_size({"width": 1366, "height": 700})
    browser_page.goto("/settings")
    fold = browser_page.locator("details.fold.line:not([open])").first.element_handle()
    assert fold.evaluate(TO_THE_BAR) < 1
    fold.query_selector("summary").press("Enter")
    browser_page.wait_for_function(f"(fold) => fold.open && ({UNDER_BAR})(fold) <= 0", arg=fold, timeout=5000)


def test_a_form_stands_beside_what_it_is_about_or_in_the_middle(browser_page: Any, live: Any) -> None:
    make = Making(live.app, live.keeper)
    batch = make.batch([{"line": 1, "formula": "CaCO3", "target_g": 8.07}])
    beside, alone = f"/thing/{batch}/photo", "/shelf/new"
    found = [*wrong(browser_page, "/backups/hub"), *wrong(browser_page, "/known/own/limit")]
    for path in (beside, alone):
        found += wrong(browser_page, path)
        found += browser_page.evaluate(LONE, MOST_UNEVEN)
    browser_page.goto(beside)
    form, last = (browser_page.locator(one).bounding_box() for one in ("#ask", ".lately"))
    assert not found and last["y"] == form["y"] and last["x"] >= form["x"] + form["width"]


@pytest.mark.parametrize(("style", "said"), [("left: 9999px", "outside"), ("top: 40px", "over")])
def test_a_fault_that_is_put_in_is_found(browser_page: Any, live: Any, style: str, said: str) -> None:
    browser_page.goto("/shelf/new")
    rule = f":root body .field label {{ position: relative; {style} }}"
    browser_page.evaluate("(rule) => document.styleSheets[0].insertRule(rule, 0)", rule)
    browser_page.set_viewport_size({"width": 1280, "height": 800})
    assert any(one.startswith(said) for one in browser_page.evaluate(WRONG))
