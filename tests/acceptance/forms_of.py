"""The forms that stand on a page, read from its HTML as a browser reads them."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

TYPED = frozenset({"decimal", "whole", "code", "time", "date", "words"})


@dataclass
class Field:
    """One named control: what sort it is, what it brings by itself, and what it offers to choose from."""

    name: str
    sort: str
    value: str = ""
    options: list[str] = field(default_factory=list)
    required: bool = False


@dataclass
class PostForm:
    """A form that records: where it goes, and its fields by name."""

    action: str
    fields: dict[str, Field] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)
    enter: tuple[str, str] | None = None
    """Name and value of the key that Enter in a field presses: the first that submits."""

    @property
    def typed(self) -> list[Field]:
        """The fields into which anything can be typed."""
        return [
            one for one in self.fields.values() if one.sort in ("decimal", "whole", "code", "time", "date", "words")
        ]

    def usual(self) -> dict[str, str]:
        """What the form sends as it stands, with the first of each choice."""
        sent = {}
        for one in self.fields.values():
            if one.sort in ("radio", "select") and one.options:
                sent[one.name] = one.value or one.options[0]
            elif one.sort not in ("checkbox", "file"):
                sent[one.name] = one.value
        return sent


class _Reader(HTMLParser):
    def __init__(self, path: str) -> None:
        super().__init__(convert_charrefs=True)
        self.path, self.forms, self.ids = path, [], {}  # type: str, list[PostForm], dict[str, PostForm]
        self._form: PostForm | None = None
        self._area: Field | None = None
        self._select: Field | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._form = PostForm(told.get("action") or self.path) if told.get("method", "").lower() == "post" else None
            if self._form is not None:
                self.forms.append(self._form)
                self.ids[told.get("id", "")] = self._form
            return
        owner = self.ids.get(told["form"]) if "form" in told else self._form
        if tag == "option" and self._select is not None:
            self._select.options.append(told.get("value", ""))
            if "selected" in told:
                self._select.value = told.get("value", "")
        if owner is not None and tag == "button" and told.get("type", "submit") == "submit" and owner.enter is None:
            owner.enter = (told.get("name", ""), told.get("value", ""))
        if owner is not None and told.get("name"):
            self._control(owner, tag, told)

    def _control(self, owner: PostForm, tag: str, told: dict[str, str]) -> None:
        name, value = told["name"], told.get("value", "")
        if tag == "button":
            owner.buttons.append((name, value))
        elif tag == "textarea":
            self._area = owner.fields.setdefault(name, Field(name, "words"))
        elif tag == "select":
            self._select = owner.fields.setdefault(name, Field(name, "select"))
        elif tag == "input":
            kind = told.get("type", "text")
            known = owner.fields.setdefault(name, Field(name, _sort(kind, told), required="required" in told))
            if kind in ("radio", "checkbox"):
                known.options.append(value)
            if kind not in ("radio", "checkbox") or "checked" in told:
                known.value = value

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.value += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "textarea":
            self._area = None
        elif tag == "select":
            self._select = None


def _sort(kind: str, told: dict[str, str]) -> str:
    if kind in ("radio", "checkbox", "hidden", "file", "time", "date"):
        return kind
    if told.get("inputmode") in ("decimal", "numeric"):
        return "decimal" if told["inputmode"] == "decimal" else "whole"
    return "code" if told.get("autocapitalize") == "characters" else "words"


def forms_of(html: str, path: str) -> Iterator[PostForm]:
    """Every form of a page that records something."""
    reader = _Reader(path)
    reader.feed(html)
    yield from reader.forms
