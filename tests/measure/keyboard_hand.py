"""A maker's hand at a laptop's keyboard: Tab to what is wanted, then Enter, space, arrows or letters; no mouse at all.

What gets the focus must show it, inside the window and under nothing; else it is told in `unseen`.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.measure.pace_hand import IN_VIEW, Hand

MOST_TABS = 150
HAND_MS = 60
"""Between two letters: what comes faster is taken for a balance that types, whose Enter and Tabs do nothing."""
HERE = "(e) => e === document.activeElement"
SHOWN = f"""(e) => {{
  const holder = e.closest('.field, label.choice, label.ten') ?? e;
  const styles = [e, holder].map((one) => getComputedStyle(one));
  const drawn = styles.some((s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0);
  return drawn && ({IN_VIEW})(holder.matches('label.ten') ? holder : e);
}}"""
MAIN = ".actionbar .plate:visible"
LEADS_ON = "(e) => e.matches('a[href], button:not([type=button])')"
WANTED = "(e) => e.matches('label') ? e.control : e"


@dataclass
class KeyboardHand(Hand):
    """Works one page of a browser by its keys. `tabs` counts them."""

    tabs: int = 0
    unseen: list[str] = field(default_factory=list)

    def _press(self, key: str) -> None:
        self.page.keyboard.press(key)

    def _to(self, target: Any) -> Any:
        """Tab on until the target has the focus; AssertionError where it never gets it."""
        target.wait_for(state="attached", timeout=10_000)
        wanted = target.evaluate_handle(WANTED).as_element()
        for _n in range(MOST_TABS):
            if wanted.evaluate(HERE):
                if not wanted.evaluate(SHOWN):
                    self.unseen.append(f"{self.page.url}: {wanted.evaluate('(e) => e.outerHTML')[:120]}")
                return wanted
            self.tabs += 1
            self._press("Tab")
        raise AssertionError(f"{self.page.url}: Tab never comes to {target}")

    def tap(self, selector: str, safety: bool = False) -> None:
        """The focus is brought there, and Enter pressed."""
        target = self._to(self.page.locator(selector).first)
        self.now.taps += 1
        if not target.evaluate(LEADS_ON):
            self._press("Enter")
            return
        with self.page.expect_event("load"):  # a page that notes where it was read counts as a navigation, and is none
            self._press("Enter")

    def choose(self, name: str, value: str, safety: bool = False) -> None:
        """One of a question's answers: Tab comes to the group, the arrows go through it."""
        group = self.page.locator(f"input[name='{name}']")
        wanted = self.page.locator(f"input[name='{name}'][value='{value}']")
        if wanted.is_checked():
            return
        chosen = self.page.locator(f"input[name='{name}']:checked")
        self._to(chosen.first if chosen.count() else group.first)
        self._press("Space")
        for _n in range(group.count()):
            if wanted.is_checked():
                return
            self._press("ArrowDown")
        raise AssertionError(f"{self.page.url}: the arrows never come to {name} {value}")

    def pick(self, name: str, words: str) -> None:
        """One line of a list, by the arrows."""
        found = self.page.locator(f"select[name='{name}']")
        value = found.locator("option", has_text=words).first.get_attribute("value")
        if found.input_value() == value:
            return
        self._to(found)
        self._press("Home")
        for _n in range(found.locator("option").count()):
            if found.input_value() == value:
                return
            self._press("ArrowDown")
        raise AssertionError(f"{self.page.url}: the arrows never come to {words}")

    def type(self, name: str, text: str) -> None:
        """Words or a number, over what stands there."""
        target = self.page.locator(f"[name='{name}']").first
        if target.input_value() != text:
            self._to(target)
            self._press("Control+a")
            self.page.keyboard.type(text, delay=HAND_MS)
            assert target.input_value() == text, f"{self.page.url}: {name} shows {target.input_value()}, not {text}"

    def number(self, name: str, text: str) -> None:
        """A number read off something is typed."""
        self.read.append(float(text))
        self.type(name, text)

    def reading(self, c: int) -> None:
        """A temperature is typed, where the page opened already."""
        name = "c" if self.there("input[name=c]") else "surface_c"
        self.number(name, str(c))
        self.main()

    def main(self) -> None:
        """The main key at the foot, by the keys that press it from anywhere."""
        self._press_main()

    def plate(self, words: str, safety: bool = False) -> None:
        """The main key at the foot; AssertionError where it says something else."""
        says = self.page.locator(MAIN).first.inner_text().strip()
        assert words in says, f"{self.page.url}: the main key says {says!r}, not {words!r}"
        self._press_main()

    def _press_main(self) -> None:
        self.page.wait_for_selector(f"{MAIN}[aria-keyshortcuts]")
        self.now.taps += 1
        if not self.page.locator(MAIN).first.evaluate(LEADS_ON):
            self._press("Alt+Enter")
            return
        with self.page.expect_event("load"):
            self._press("Alt+Enter")

    def photo(self, name: str, file: Path) -> None:
        """The field has the focus; the window that opens then is the browser's own."""
        target = self.page.locator(f"[name='{name}']").first
        self._to(target)
        target.set_input_files(file)
