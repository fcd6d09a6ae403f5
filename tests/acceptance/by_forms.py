"""A maker with the plainest browser: it reads the forms of a page and sends what HTML says that they send.

No script runs and nothing is drawn, so a long story costs seconds. What is hidden or folded is not in its text.
"""

from collections.abc import Callable
from io import BytesIO
from typing import Any
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element

from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.test import TestResponse

from tests.acceptance.maker import Maker
from tests.acceptance.plain_page import Sheet, put
from tests.conftest import Live


class ByForms(Maker):
    """The same maker, page by page through the forms alone."""

    def __init__(self, live: Live) -> None:
        super().__init__(None, live)
        self.client = live.app.test_client()
        self.sheet = Sheet("", "/")

    @property
    def text(self) -> str:
        return self.sheet.text()

    @property
    def whole_text(self) -> str:
        return self.sheet.text("body")

    @property
    def path(self) -> str:
        return self.sheet.path

    def at(self, path: str) -> None:
        assert self._arrive(self.client.get(path, follow_redirects=True)) == 200, path

    def _arrive(self, answer: TestResponse) -> int:
        assert answer.mimetype == "text/html", answer.mimetype
        query = answer.request.query_string.decode()
        self.sheet = Sheet(answer.get_data(as_text=True), answer.request.path + (f"?{query}" if query else ""))
        return answer.status_code

    def fill(self, form: str = "#ask", **fields: Any) -> None:
        asking = self.sheet.forms.get(form.removeprefix("#"))
        assert asking is not None, (form, self.text)
        controls = self.sheet.controls(asking)
        for asked, value in fields.items():
            name = asked.replace("__", ".")
            named = [one for one in controls if one.get("name") == name and one.get("type") != "hidden"]
            assert named, (name, self.text)
            put(named, str(value))

    def asks_checks(self) -> bool:
        return any(one.get("value") == "done" for one in self.sheet.root.iter())

    def offers(self, name: str, value: object) -> bool:
        """Whether a control of the page brings this value."""
        return any((one.get("name"), one.get("value")) == (name, str(value)) for one in self.sheet.root.iter())

    def photo(self, name: str, content: bytes) -> None:
        self.sheet.files[name] = FileStorage(BytesIO(content), "a.jpg", name, "image/jpeg")

    def has_key(self, words: str) -> bool:
        return bool(self._keys(words))

    def _keys(self, words: str | None) -> list[Element]:
        """The keys with these words; without words the plates at the foot."""
        if words is None:
            feet = [one for foot in self.sheet.root.iter("footer") for one in foot.iter("button")]
            return [one for one in feet if "plate" in one.get("class", "").split()]
        buttons = [one for one in self.sheet.root.iter("button") if one.get("type", "submit") == "submit"]
        said = {one: one.get("aria-label") or " ".join("".join(one.itertext()).split()) for one in buttons}
        return [one for one in buttons if words.lower() in said[one].lower()]

    def press(self, words: str | None = None) -> str:
        keys = self._keys(words)
        assert keys, (words, self.text)
        return self._send(keys[0])

    def press_value(self, name: str, value: object) -> str:
        keys = [one for one in self.sheet.root.iter("button") if one.get("name") == name]
        return self._send(next(one for one in keys if one.get("value") == str(value)))

    def _send(self, key: Element) -> str:
        form = self.sheet.form_of(key)
        assert form is not None and self.sheet.alive(key), self.text
        to = key.get("formaction") or form.get("action") or self.path
        sent = MultiDict(self.sheet.sent(form, key))
        posts = (key.get("formmethod") or form.get("method", "get")).lower() == "post"
        how: dict[str, Any] = {"data": sent, "method": "POST"} if posts else {"query_string": sent}
        status = self._arrive(
            self.client.open(urlsplit(to)._replace(fragment="").geturl(), follow_redirects=True, **how)
        )
        assert status in (200, 422), status
        return self.path

    def masked(self) -> None:
        self._tick(lambda one: any("check" in outer.get("class", "").split() for outer in self.sheet.within(one)))

    def ticks_all(self) -> str:
        alone = [one for one in self.sheet.root.iter("button") if one.get("value") == "done"]
        if alone:
            while alone:
                self._send(alone[0])
                alone = [one for one in self.sheet.root.iter("button") if one.get("value") == "done"]
            return self.path
        self._tick(lambda one: one.get("type") == "radio")
        return self.press()

    def _tick(self, which: Callable[[Element], bool]) -> None:
        for one in self.sheet.root.iter("input"):
            if one.get("value") == "done" and which(one):
                group = [other for other in self.sheet.root.iter("input") if other.get("name") == one.get("name")]
                put(group, "done")
