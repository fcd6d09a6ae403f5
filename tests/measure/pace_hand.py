"""A maker's hand on a phone: every tap, typed character and scroll is counted, by the step that it belongs to.

A list takes two taps (open, choose), a photo three (open, shutter, use); a key of the keypad is one tap; what is typed
into a field is counted in characters, apart from the tap that begins it. A scroll is a target outside the view, or one
that the page's head or bar covers.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

LIST_TAPS, PHOTO_TAPS = 2, 3
IN_VIEW = """(e) => {
  const box = e.getBoundingClientRect();
  const x = box.x + box.width / 2, y = box.y + box.height / 2;
  if (y < 0 || y >= innerHeight || x < 0 || x >= innerWidth) return false;
  const top = document.elementFromPoint(x, y);
  return top !== null && (e.contains(top) || top.contains(e) || top.closest('label')?.contains(e) === true);
}"""
TO_VIEW = "(e) => e.scrollIntoView({ block: 'center' })"


PASSED = """(ms) => {
  for (const one of [Date, performance]) { const was = one.now.bind(one); one.now = () => was() + ms; }
}"""
TICK_MS = 1_200  # a page looks at its clock each second


@dataclass
class Count:
    """What one step took."""

    taps: int = 0
    characters: int = 0
    scrolls: int = 0
    safety: int = 0

    def __add__(self, other: "Count") -> "Count":
        return Count(
            self.taps + other.taps,
            self.characters + other.characters,
            self.scrolls + other.scrolls,
            self.safety + other.safety,
        )


@dataclass
class Hand:
    """Works one page of a browser. `counts` says by step what it took, `read` which numbers it read off something."""

    page: Any
    counts: dict[str, Count] = field(default_factory=lambda: defaultdict(Count))
    read: list[float] = field(default_factory=list)
    step: str = ""

    @property
    def now(self) -> Count:
        return self.counts[self.step]

    def total(self) -> Count:
        """All steps together."""
        return sum(self.counts.values(), Count())

    def wait(self, minutes: float) -> None:
        """So much passes while the page lies open."""
        self.page.evaluate(PASSED, minutes * 60_000)
        self.page.wait_for_timeout(TICK_MS)

    def _reach(self, target: Any) -> Any:
        target.wait_for(state="attached", timeout=10_000)
        if not target.evaluate(IN_VIEW):
            self.now.scrolls += 1
            target.evaluate(TO_VIEW)
        return target

    def there(self, selector: str) -> bool:
        """Whether the page has it."""
        return bool(self.page.locator(selector).count())

    def tap(self, selector: str, safety: bool = False) -> None:
        """One tap; the next page, where it leads to one, is there afterwards."""
        target = self._reach(self.page.locator(selector).first)
        self.now.taps += 1
        self.now.safety += safety
        target.click()
        self.page.wait_for_load_state("load")

    def plate(self, words: str, safety: bool = False) -> None:
        """The main key at the foot; AssertionError where it says something else."""
        says = self.page.locator(".actionbar .plate").first.inner_text().strip()
        assert words in says, f"{self.page.url}: the main key says {says!r}, not {words!r}"
        self.tap(".actionbar .plate", safety)

    def onward(self, words: str, path: str) -> None:
        """The main key with these words, unless the last record led straight to this page already."""
        if path not in self.page.url:
            self.plate(words)

    def main(self) -> None:
        """The main key at the foot, whatever it says."""
        self.tap(".actionbar .plate")

    def reading(self, c: int) -> None:
        """A temperature: its tens and its digit where those are offered, else typed."""
        if self.there(f"input[name=tens][value='{c // 10}']"):
            self.read.append(float(c))
            self.choose("tens", str(c // 10))
            self.tap(f"button[name=digit][value='{c % 10}']")
            return
        if not self.there("input[name=c]:visible"):
            self.tap("a.key:has-text('Other')")
        self.number("c", str(c))
        self.main()

    def key(self, words: str) -> bool:
        """A lesser key at the foot with these words, tapped; False where there is none."""
        there = self.there(f".actionbar .plain:has-text('{words}')")
        if there:
            self.tap(f".actionbar .plain:has-text('{words}')")
        return there

    def row(self, words: str) -> None:
        """A row or lesser key with these words."""
        self.tap(f"main a:has-text('{words}'):visible, main button:has-text('{words}'):visible")

    def choose(self, name: str, value: str, safety: bool = False) -> None:
        """One of the large keys of a question; nothing where it is chosen already."""
        if not self.page.locator(f"input[name='{name}'][value='{value}']").is_checked():
            self.tap(f"label:has(input[name='{name}'][value='{value}'])", safety)

    def pick(self, name: str, words: str) -> None:
        """One line of a list, by words in it; nothing where it is chosen already."""
        found = self.page.locator(f"select[name='{name}']")
        line = found.locator("option", has_text=words).first
        if found.input_value() != line.get_attribute("value"):
            self._reach(found)
            self.now.taps += LIST_TAPS
            found.select_option(line.get_attribute("value"))

    def says(self, name: str) -> str:
        """What stands in a field."""
        return str(self.page.locator(f"[name='{name}']").first.input_value())

    def type(self, name: str, text: str) -> None:
        """Words or a plan's number; nothing where they stand there already."""
        target = self.page.locator(f"[name='{name}']").first
        if target.input_value() == text:
            return
        self._reach(target)
        self.now.taps += 1
        self.now.characters += len(text)
        target.fill(text)

    def number(self, name: str, text: str) -> None:
        """A number that was read off something: by the keypad where the field has one, else typed.

        What stands there already was offered: nobody read it.
        """
        target = self.page.locator(f"[name='{name}']").first
        quick = f"[data-quick='{name}'] [data-number='{text}']"
        if self.there(quick):
            self.read.append(float(text))
            self.tap(quick)
            return
        if target.get_attribute("data-keypad") is None and target.input_value() == text:
            return
        self.read.append(float(text))
        pad = target.get_attribute("data-keypad")
        if pad is None or not self.page.locator(f"#{pad}").is_visible():
            self.type(name, text)
            return
        target.evaluate("(e) => { e.value = ''; }")
        pointed = target.get_attribute("data-point") == str(text.find("."))
        for key in text.replace(".", "") if pointed else text:
            self.tap(f"#{pad} [data-key='{key}']")
        assert target.input_value() == text, f"{self.page.url}: {name} shows {target.input_value()}, not {text}"

    def photo(self, name: str, file: Path) -> None:
        """A picture from the camera."""
        target = self.page.locator(f"[name='{name}']").first
        self._reach(self.page.locator(f".field:has([name='{name}'])").first)
        self.now.taps += PHOTO_TAPS
        target.set_input_files(file)

    def checks(self) -> None:
        """Every open item of a list answered with done, and the answers recorded, until none is left."""
        while True:
            if self.there(".answer-keys [value=done]"):
                self.tap(".answer-keys [value=done]", safety=True)
                continue
            names = self.page.eval_on_selector_all(
                ".check input[value=done]:not(details *)", "(all) => all.map((e) => e.name)"
            )
            if not names:
                return
            before = self.page.url
            for name in names:
                self.choose(name, "done", safety=True)
            self.tap(".actionbar .plate", safety=True)
            if self.page.url == before and self.there(".complaint"):
                raise AssertionError(f"{before}: a check was refused")
            if not self.there(".check"):
                return
