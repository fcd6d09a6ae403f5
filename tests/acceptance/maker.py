"""A maker at a phone, for the stories: goes to a page, fills what it asks, presses its plate."""

import re
from typing import Any

from bench.web.moments import clock_text

KINDS = """([form, names]) => {
  document.querySelectorAll("details").forEach((one) => (one.open = true));
  const own = (name) => `:is(${form} *, [form="${form.slice(1)}"])[name="${name}"]`;
  return Object.fromEntries(names.map((name) => [name, document.querySelector(own(name))?.type]));
}"""


class Maker:
    """A maker at a phone: goes to a page, fills what it asks, presses its plate."""

    def __init__(self, page: Any, live: Any) -> None:
        self.page, self.live = page, live

    @property
    def state(self) -> Any:
        return self.live.app.extensions["bench"].state

    def clock(self, minutes: float) -> str:
        """The clock time so many minutes from now."""
        return clock_text(self.live.keeper.ms + round(minutes * 60_000), self.live.keeper.zone)

    @property
    def text(self) -> str:
        """The words of the page, without its bars."""
        return str(self.page.locator("main").inner_text())

    @property
    def whole_text(self) -> str:
        """All words of the page."""
        return str(self.page.locator("body").inner_text())

    @property
    def path(self) -> str:
        """The address of the page."""
        return str(self.page.url.removeprefix(self.live.url))

    def has_key(self, words: str) -> bool:
        """Whether the page has a key with these words."""
        return bool(self.page.get_by_role("button", name=words).count())

    def asks_checks(self) -> bool:
        """Whether the page has a checklist to answer."""
        return bool(self.page.locator('[value="done"]').count())

    def photo(self, name: str, content: bytes) -> None:
        """Choose a photo for a field."""
        picture = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": content}
        self.page.set_input_files(f'[name="{name}"]', picture)

    def at(self, path: str) -> None:
        answer = self.page.goto(self.live.url + path)
        assert answer is not None and answer.status == 200, path

    def fill(self, form: str = "#ask", **fields: Any) -> None:
        names = {name: name.replace("__", ".") for name in fields}
        # One look at the page for all: which fields there are of what kind, whatever is folded opened.
        kinds = self.page.evaluate(KINDS, [form, list(names.values())])
        for name, value in fields.items():
            selector = f':is({form} *, [form="{form[1:]}"])[name="{names[name]}"]'
            control = self.page.locator(selector).first
            kind = kinds[names[name]]
            if kind == "radio":
                self.page.locator(f'{selector}[type="radio"][value="{value}"]').evaluate("(one) => one.click()")
            elif kind == "checkbox":
                control.check(force=True)
            elif kind == "select-one":
                control.select_option(str(value))
            else:
                control.fill(str(value))

    def press(self, words: str | None = None) -> str:
        """Press the plate (or the key with these words) and give the path that it led to."""
        key = self.page.get_by_role("button", name=words) if words else self.page.locator("footer .plate")
        with self.page.expect_navigation():
            key.first.click()
        return self.path

    def masked(self) -> None:
        """Answer what is asked of harmful dust in the form of a step."""
        self.page.evaluate("() => document.querySelectorAll('.check input[value=done]').forEach(e => e.click())")

    def ticks_all(self) -> str:
        """Answer every item of a checklist with *done*, whether they come all at once or one to a screen."""
        alone = self.page.locator(".answer-keys [value=done]")
        if alone.count():
            while alone.count():
                with self.page.expect_navigation():
                    alone.first.click()
            return self.path
        self.page.evaluate("() => document.querySelectorAll('input[type=radio][value=done]').forEach(e => e.click())")
        return self.press()


def fire(maker: Maker, firing: str) -> None:
    """Check, light, read to the soak, and put it out."""
    maker.at(f"/firing/{firing}/checks/before-lighting")
    maker.ticks_all()
    maker.at(f"/firing/{firing}")
    assert maker.press("Record lit") == f"/firing/{firing}", maker.text
    assert maker.state.own(firing, "lit")[0].body.deviations == ()
    for c in ("400", "800", "995", "1001"):
        maker.live.keeper.turn(40)
        maker.at(f"/firing/{firing}/reading?other=1")
        maker.fill(c=c, unit="C")
        maker.press()
    maker.live.keeper.turn(240)
    maker.at(f"/firing/{firing}/off")
    maker.fill(reason="reached")
    maker.press()
    maker.ticks_all()
    maker.live.keeper.turn(600)


def come_out(maker: Maker, firing: str, thing: str, gross: str, tare: str = "80") -> str:
    """Out cold, read by itself, opened and weighed."""
    maker.at(f"/firing/{firing}/reading?other=1")
    maker.fill(c="22", unit="C")
    maker.press()
    maker.at(f"/firing/{firing}/out?charge={thing}")
    maker.fill(charge=thing, rest_place="brick")
    assert maker.press().endswith("/cool"), maker.text
    maker.fill(surface_c="22")
    maker.press()
    maker.at(f"/charge/{thing}/open")
    maker.fill(gross_g=gross, tare_after_g=tare, fate="clean")
    path = maker.press()
    found = re.match(r"/pigment/(\w{26})", path)
    assert found, maker.text
    return found[1]
