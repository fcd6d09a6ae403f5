"""A maker with the plainest browser: it reads the forms of a page and sends what HTML says that they send.

No script runs and nothing is drawn, so a long story costs seconds. What is hidden or folded is not in its text.
"""

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from io import BytesIO
from typing import Any
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element, TreeBuilder

from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.test import TestResponse

from tests.acceptance.maker import Maker
from tests.conftest import Live

CONTROLS = frozenset({"input", "select", "textarea", "button"})
UNSEEN = frozenset({"script", "style", "template", "datalist", "svg"})
VOID = frozenset({"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
BLOCKS = frozenset({"p", "div", "section", "article", "h1", "h2", "h3", "li", "tr", "td", "th", "dt", "dd", "summary"})


class Tree(HTMLParser):
    """Makes a tree of a page whose elements are all closed where they have to be; a page of another kind fails."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self._builder, self._open = TreeBuilder(), [""]
        self._builder.start("page", {})
        self.feed(html)
        self.close()
        assert self._open == [""], self._open
        self.root: Element = self._builder.end("page")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._builder.start(tag, {name: value or "" for name, value in attrs})
        self._open.append(tag)
        if tag in VOID:
            self.handle_endtag(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        opened = self._open.pop()
        assert opened == tag, f"<{opened}> is closed by </{tag}> in line {self.getpos()[0]}"
        self._builder.end(tag)

    def handle_data(self, data: str) -> None:
        self._builder.data(data)


class Sheet:
    """A page as it was sent: its elements, who holds whom, and what its forms send."""

    def __init__(self, html: str, path: str) -> None:
        self.path = path
        self.root = Tree(html).root
        self.holder = {inner: outer for outer in self.root.iter() for inner in outer}
        self.forms = {form.get("id"): form for form in self.root.iter("form")}
        self.files: dict[str, FileStorage] = {}

    def within(self, element: Element) -> Iterator[Element]:
        """The element and all that hold it."""
        held: Element | None = element
        while held is not None:
            yield held
            held = self.holder.get(held)

    def form_of(self, control: Element) -> Element | None:
        """The form that a control belongs to."""
        if "form" in control.attrib:
            return self.forms.get(control.get("form"))
        return next((one for one in self.within(control) if one.tag == "form"), None)

    def controls(self, form: Element) -> list[Element]:
        """The controls of a form that a maker can use, in their order."""
        return [
            one for one in self.root.iter() if one.tag in CONTROLS and self.form_of(one) is form and self.alive(one)
        ]

    def alive(self, control: Element) -> bool:
        """Whether a control is neither off itself nor in a group that is."""
        return not any("disabled" in one.attrib for one in self.within(control))

    def sent(self, form: Element, key: Element) -> list[tuple[str, str | FileStorage]]:
        """What the form sends when this key is pressed."""
        found: list[tuple[str, str | FileStorage]] = []
        for one in self.controls(form):
            name, kind = one.get("name"), one.get("type", "text")
            if not name or (one.tag == "button" and one is not key):
                continue
            if kind == "file":
                found += [(name, self.files[name])] if name in self.files else []
            elif one.tag == "select":
                found += [(name, value_of(option)) for option in chosen(one)]
            elif kind not in ("radio", "checkbox") or "checked" in one.attrib:
                found.append((name, value_of(one)))
        return found

    def text(self, tag: str = "main") -> str:
        """The words of the page that are to be seen, blocks on lines of their own."""
        words = "".join(part for top in self.root.iter(tag) for part in seen(top))
        return re.sub(r"\s*\n\s*", "\n", re.sub(r"[ \t\r\xa0]+", " ", words)).strip()


def value_of(element: Element) -> str:
    """What a control or an option brings."""
    if element.tag == "textarea" or (element.tag == "option" and "value" not in element.attrib):
        return "".join(element.itertext()).removeprefix("\n")
    usual = "on" if element.get("type") in ("radio", "checkbox") else ""
    return element.get("value", usual)


def chosen(select: Element) -> list[Element]:
    """The option that a list stands at: the one chosen, or the first."""
    options = list(select.iter("option"))
    return [one for one in options if "selected" in one.attrib][-1:] or options[:1]


def seen(element: Element) -> Iterator[str]:
    """The texts below an element, without what is hidden or folded."""
    if element.tag in UNSEEN or "hidden" in element.attrib or not isinstance(element.tag, str):
        return
    folded = element.tag == "details" and "open" not in element.attrib
    yield "\n" if element.tag in BLOCKS or element.tag == "br" else ""
    yield element.text or ""
    for inner in element:
        if not folded or inner.tag == "summary":
            yield from seen(inner)
        yield inner.tail or ""
    yield "\n" if element.tag in BLOCKS else ""


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


def put(controls: list[Element], value: str) -> None:
    """Fill a control, or choose among those of one name."""
    first, kind = controls[0], controls[0].get("type", "text")
    if kind in ("radio", "checkbox"):
        taken = [one for one in controls if value_of(one) == value or kind == "checkbox"][:1]
        assert taken, (first.get("name"), value)
        for one in controls:
            one.attrib.pop("checked", None)
        taken[0].set("checked", "")
    elif first.tag == "select":
        options = list(first.iter("option"))
        assert value in [value_of(one) for one in options], (first.get("name"), value)
        for one in options:
            one.attrib.pop("selected", None)
            if value_of(one) == value:
                one.set("selected", "")
    elif first.tag == "textarea":
        first.text = value
    else:
        first.set("value", value)
