"""On a laptop, at four usual widths: nothing outside the window, nothing over anything else."""

from typing import Any

import pytest

from bench.demo import fill
from tests.screens.making import Making

WIDTHS = (1280, 1366, 1440, 1920)
WRONG = """() => {
  const edge = document.documentElement.clientWidth;
  const apart = '.skip, .sr, .ledger-wrap, [hidden], .actionbar, .bell, svg, details:not([open]) > :not(summary)';
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
  return found.slice(0, 3);
}"""


def wrong(page: Any, path: str) -> list[str]:
    """What is outside the window or over something else, at each width."""
    page.goto(path)
    found = []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        found += [f"{path} at {width}: {one}" for one in page.evaluate(WRONG)]
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
    found = [one for path in paths for one in wrong(browser_page, path)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(("style", "said"), [("left: 9999px", "outside"), ("top: 40px", "over")])
def test_a_fault_that_is_put_in_is_found(browser_page: Any, live: Any, style: str, said: str) -> None:
    browser_page.goto("/shelf/new")
    rule = f":root body .field label {{ position: relative; {style} }}"
    browser_page.evaluate("(rule) => document.styleSheets[0].insertRule(rule, 0)", rule)
    browser_page.set_viewport_size({"width": 1280, "height": 800})
    assert any(one.startswith(said) for one in browser_page.evaluate(WRONG))
