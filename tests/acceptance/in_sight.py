"""What a maker sees of a page as it opens: not what lies further down, nor under the bar at its foot."""

from typing import Any

from tests.acceptance.maker import Maker

IN_SIGHT = """(words) => new Promise((settle) => requestAnimationFrame(() => requestAnimationFrame(() => {
  const says = (e) => e.textContent.replace(/\\s+/g, " ").includes(words);
  const said = [...document.querySelectorAll("body *")].filter((e) => says(e) && ![...e.children].some(says));
  settle(said.map((e) => {
    const box = e.getBoundingClientRect();
    const seen = (y) => {
      const hit = document.elementFromPoint(box.left + Math.min(box.width / 2, 60), y);
      return hit !== null && (e.contains(hit) || hit.contains(e));
    };
    const inside = box.height > 0 && box.top >= 0 && box.bottom <= innerHeight;
    return [inside && seen(box.top + 3) && seen(box.bottom - 3), Math.round(box.top), Math.round(box.bottom)];
  }));
})))"""

FOCUSED = """() => {
  const e = document.activeElement;
  const name = e.name || e.querySelector("input")?.name || e.tagName;
  const box = (e.closest(".field, .choice") ?? e.querySelector("legend") ?? e).getBoundingClientRect();
  return [name, e.getAttribute("aria-invalid") === "true", box.top >= 0 && box.bottom <= innerHeight];
}"""


def in_focus(page: Any) -> list[Any]:
    """The field that has the focus: its name, whether it was refused, whether it is in sight."""
    return list(page.evaluate(FOCUSED))


class Hurried(Maker):
    """A maker who reads no further than what is on the glass."""

    def tap(self, words: str | None = None) -> None:
        """Press the plate, or a key, whatever it leads to."""
        self.press(words)
        self.page.wait_for_load_state("load")

    def sees(self, words: str) -> None:
        """A sentence is in sight, the whole paragraph that it stands in, without scrolling."""
        found = self.page.evaluate(IN_SIGHT, words)
        assert any(seen for seen, _top, _bottom in found), (words, found, self.page.locator("main").inner_text()[:900])

    def stands_at(self, name: str) -> None:
        """The refused field has the focus, and is in sight."""
        assert in_focus(self.page) == [name, True, True]

    def recorded(self, kind: str, thing: str) -> int:
        """How many records of a kind a thing has."""
        return len(self.state.rows(thing, kind))
