"""Words of the machine that a person should never meet: slugs of the tables, names of fields, true, false and None."""

import re
import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from html import unescape

from bench.reckoning.rules import CONDITIONS
from bench.records.kinds import KINDS
from bench.reference import Library

UNSEEN = re.compile(r"<(script|style)\b.*?</\1>|<!--.*?-->", re.S)
TYPED = re.compile(r'<input (?![^>]*type="(?:hidden|radio|checkbox|submit|date|time)")[^>]*?\bvalue="([^"]+)"')
SAID = re.compile(r'\b(?:alt|aria-label|placeholder|title)="([^"]+)"')
JOINED = re.compile(r"(?<![\w./-])[a-z][a-z0-9]*(?:[-_.][a-z0-9]+)+(?![\w-])")
FIELD = re.compile(r"(?<![\w/-])[a-z]+_[a-z_]+(?![\w/-])")
VALUE = re.compile(r"(?<![\w-])(?:true|false|null|nan|True|False|None)(?=\s*(?:[|;,.·)]|$))")
ENGLISH = frozenset({"fire-assay", "make-up"})
"""Words of the trade that are slugs as well."""


def machine_words(library: Library) -> frozenset[str]:
    """Every slug, choice, field and condition whose name is joined by hyphens, underscores or dots."""
    found: set[str] = set(KINDS) | set(CONDITIONS)
    for rows in vars(library).values():
        found |= {key for key in rows if isinstance(key, str)} if isinstance(rows, dict) else set()
    found |= {one.slug for one in library.checklists}
    for kind in KINDS.values():
        found |= set(_of(kind.data))
    return frozenset(word for word in found if JOINED.fullmatch(word)) - ENGLISH


def _of(hint: typing.Any) -> Iterator[str]:
    if isinstance(hint, str):
        yield hint
    elif is_dataclass(hint):
        yield from (one.name for one in fields(hint))
        for inner in typing.get_type_hints(hint).values():
            yield from _of(inner)
    else:
        for inner in typing.get_args(hint):
            yield from _of(inner)


def shown(html: str) -> list[str]:
    """The texts of a page as a person sees or hears them, one for each run between two tags; what is typed in too."""
    text = UNSEEN.sub(" ", html)
    runs = [*re.split(r"<[^>]*>", text), *TYPED.findall(text), *SAID.findall(text)]
    return [" ".join(unescape(run).split()) for run in runs if run.strip()]


def met(html: str, words: frozenset[str], names: str) -> list[str]:
    """The words of the machine on a page, each in its sentence. `names` holds the names of the library's rows, some of
    which are joined by a hyphen themselves."""
    found = []
    for run in shown(html):
        slugs = [one for one in JOINED.findall(run) if one in words and one not in names]
        if slugs or FIELD.search(run) or VALUE.search(run):
            found.append(run[:160])
    return found
