"""Attached files as the page of their thing lists them, and what a page may say of a phase without or with evidence."""

from collections.abc import Iterable
from dataclasses import dataclass

from bench.science.formulas import pretty
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop.things.attached import Attached, attached_to, phase_evidence

WHAT_WORDS = {
    "data-sheet": _("data sheet"),
    "certificate": _("certificate"),
    "diffraction-pattern": _("diffraction pattern"),
    "raman-spectrum": _("Raman spectrum"),
    "colour-spectrum": _("colour spectrum"),
    "element-analysis": _("element analysis"),
    "micrograph": _("micrograph"),
    "other": _("something else"),
}


@dataclass(frozen=True)
class Row:
    """One attached file: its name, what it is in words, its digest and the way to it."""

    name: str
    words: str
    sha256: str
    path: str


def attached_rows(thing: str) -> list[Row]:
    """The files of a thing, oldest first."""
    return [_row(one) for one in attached_to(current_bench().state, thing)]


def _row(one: Attached) -> Row:
    body = one.body
    size = _size(body.bytes)
    said = [str(WHAT_WORDS[body.what]), body.instrument, body.at, size]
    words = " · ".join(part for part in said if part)
    return Row(body.name, words, body.sha256, f"/thing/{body.of}/file/{body.file}")


def _size(count: int) -> str:
    if count < 1_000:
        return _("{n} bytes", n=count)
    return _("{kb} kB", kb=f"{count / 1e3:.0f}") if count < 1e6 else _("{mb} MB", mb=f"{count / 1e6:.1f}")


def phase_words(formula: str, things: Iterable[str]) -> str:
    """What may be said of a target: that it is intended, until something that tells phases is attached to one of these.

    Nobody here reads the pattern, so with one the sentence only says that it is there.
    """
    found = phase_evidence(current_bench().state, things)
    if not found:
        return _("Intended: {formula}. No analysis is attached that proves it.", formula=pretty(formula))
    whats = ", ".join(dict.fromkeys(str(WHAT_WORDS[one.body.what]) for one in found))
    return _("Target: {formula}. Analysis attached: {whats}.", formula=pretty(formula), whats=whats)
