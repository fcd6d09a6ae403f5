"""Looks at a page in a real browser as a maker would: sizes of keys, overflow, and the accessibility audit."""

from collections.abc import Iterable
from typing import Any

from axe_playwright_python.sync_playwright import Axe

KEYS = "a[href], button, input:not([type=hidden]), select, textarea, summary, label.choice, label.ten"

MEASURE = """(selector) => {
  const holder = (e) => e.closest('label.choice, label.ten, .sw label') || e;
  const seen = new Map();
  for (const e of document.querySelectorAll(selector)) {
    const target = e.matches('input[type=radio], input[type=checkbox]') ? holder(e) : e;
    const box = target.getBoundingClientRect();
    if (box.width === 0 || box.height === 0 || target.closest('.skip, [hidden]')) continue;
    const size = [box.width, box.height].map((px) => Math.round(px * 10) / 10);
    seen.set(target, [...size, target.outerHTML.slice(0, 120)]);
  }
  return [...seen.values()];
}"""

SMALL_TEXT = """(least) => {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.textContent.trim() || e.closest('.sr, script, style, [hidden], datalist')) continue;
    const box = e.getBoundingClientRect();
    const svg = e.ownerSVGElement;
    const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(e).fontSize) * scale;
    if (box.width && size < least - 0.3) found.push([size, walk.currentNode.textContent.trim().slice(0, 40)]);
  }
  return found;
}"""

CUT = """() => [...document.querySelectorAll('input, a, button, p')].filter((e) => {
  return e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX !== 'visible';
}).map((e) => e.outerHTML.slice(0, 120))"""

UNFOLD = "() => document.querySelectorAll('details').forEach((one) => { one.open = true; })"

HALF = """() => {
  const bar = document.querySelector('.actionbar').getBoundingClientRect();
  return [...document.querySelectorAll('main :is(.key, .ten)')].filter((key) => {
    if (key.closest('.code-keys')) return false;
    const { top, bottom, left, right } = key.getBoundingClientRect();
    const edge = left < bar.right && right > bar.left ? bar.top : innerHeight;
    return bottom > top && top < edge - 1 && bottom > edge + 1;
  }).map((key) => `half under the bar: ${key.textContent.trim() || key.getAttribute('aria-label')}`);
}"""

SHIFTS = """
  window.shifted = 0;
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) if (!one.hadRecentInput) window.shifted += one.value;
  }).observe({ type: 'layout-shift', buffered: true });
"""
"""A script that counts how far a page moved by itself."""

AUDITOR = Axe().axe_script
FAULTS = """async (options) => {
  const { violations } = await axe.run(options);
  return violations.flatMap((one) => one.nodes.map((node) => `${one.id}: ${node.html.slice(0, 140)}`));
}"""

OVERFLOW = """() => {
  const edge = document.documentElement.clientWidth;
  const out = [...document.querySelectorAll('body *')].filter((e) => {
    if (e.closest('.skip, .sr, .ledger-wrap') || e.ownerSVGElement) return false;
    return e.getBoundingClientRect().right > edge + 1;
  });
  return document.documentElement.scrollWidth > edge ? out.map((e) => e.outerHTML.slice(0, 100)) : [];
}"""

BROKEN = """() => {
  const out = [];
  for (const key of document.querySelectorAll('.actionbar :is(a, button), .paper-keys :is(a, button), .choice b')) {
    const walk = document.createTreeWalker(key, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      for (const { 0: word, index } of walk.currentNode.data.matchAll(/[\\p{L}]+/gu)) {
        const at = document.createRange();
        at.setStart(walk.currentNode, index);
        at.setEnd(walk.currentNode, index + word.length);
        const lines = new Set([...at.getClientRects()].map((box) => Math.round(box.top)));
        if (lines.size > 1) out.push(`broken word: ${word}`);
      }
    }
  }
  return out;
}"""

BAR = """(most) => {
  const bar = document.querySelector('.actionbar');
  if (!bar || !bar.clientHeight) return [];
  const right = (key) => key.getBoundingClientRect().right;
  const out = [...bar.querySelectorAll('a, button')].filter((key) => right(key) > innerWidth + 1);
  const found = out.map((key) => `outside the window: ${key.textContent.trim()}`);
  return bar.clientHeight > most ? [...found, `a bar ${bar.clientHeight} px high`] : found;
}"""


def broken_words(page: Any) -> list[str]:
    """The words on keys that go on in the next line."""
    return list(page.evaluate(BROKEN))


def half_hidden(page: Any) -> list[str]:
    """The keys of a keypad of which the bar, or the end of the glass, shows a part; not those of a code."""
    return list(page.evaluate(HALF))


def bar_sideways(page: Any, most_px: int = 100) -> list[str]:
    """What is wrong with the bar at the foot of a phone turned sideways: keys out of sight, or too high a bar."""
    page.set_viewport_size({"width": 740, "height": 360})
    found = [f"sideways: {one}" for one in page.evaluate(BAR, most_px)]
    page.set_viewport_size({"width": 360, "height": 740})
    return found


def small_keys(page: Any, least: float = 64.0) -> list[list[Any]]:
    """The keys that a gloved finger would miss: under `least` px high or wide."""
    return [key for key in page.evaluate(MEASURE, KEYS) if key[0] < least or key[1] < least]


def small_text(page: Any, least: float = 18.0) -> list[list[Any]]:
    """Texts under `least` px, drawings included."""
    return list(page.evaluate(SMALL_TEXT, least))


def overflow(page: Any) -> list[str]:
    """What sticks out of the page sideways."""
    return list(page.evaluate(OVERFLOW))


def height(page: Any) -> int:
    """How tall the page is as it opens, its folds closed."""
    return int(page.evaluate("document.documentElement.scrollHeight"))


WHOLE = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]


def cut_off(page: Any) -> list[str]:
    """Fields and keys whose words do not fit into them."""
    return list(page.evaluate(CUT))


def audit(page: Any, only_contrast: bool = False) -> list[str]:
    """Findings of the accessibility audit, contrast of 7 : 1 among them; or of that contrast alone."""
    # Whatever falls short of the usual contrast falls short of 7 : 1 too, so one of the two rules is enough.
    rules = {"color-contrast-enhanced": {"enabled": True}, "color-contrast": {"enabled": False}}
    options: dict[str, Any] = {"rules": rules, "runOnly": WHOLE}
    if only_contrast:
        options = {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}}
    options["resultTypes"] = ["violations"]
    # As tall as the page, so that the bar at the foot covers nothing that a maker would scroll to.
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": page.viewport_size["width"], "height": max(740, height)})
    if not page.evaluate("() => 'axe' in globalThis"):
        page.evaluate(AUDITOR)
    return list(page.evaluate(FAULTS, options))


def turn(page: Any, theme: str) -> None:
    """Day or night, on the page as it stands."""
    page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)


def findings(page: Any, widths: Iterable[int], least_key: float = 64.0) -> list[str]:
    """Everything that is wrong with the page that is open: audit by day and by night, and at each width."""
    found = audit(page)
    turn(page, "night")
    found += audit(page, only_contrast=True)
    turn(page, "day")
    for width in widths:
        page.set_viewport_size({"width": width, "height": 740})
        text_px = 18.0 if width >= 360 else 15.0
        wrong = [*overflow(page), *small_keys(page, least_key), *small_text(page, text_px)]
        found += [f"{width} px: {one}" for one in wrong]
    page.set_viewport_size({"width": 360, "height": 740})
    return found
