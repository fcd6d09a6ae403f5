"""The texts of a declaration: English stands in it, and each is translated where it is shown, not when it is read."""

from dataclasses import dataclass


def _(text: str) -> str:
    """Marks a text for the catalogue, and leaves it as it is: the screen that shows it translates it."""
    return text


@dataclass(frozen=True)
class Plural:
    """A sentence that counts: `one` for one, `other` for all else, by the value of the fact or field `by`."""

    by: str
    one: str
    other: str


Words = str | Plural


def chosen(words: Words, count: object) -> str:
    """The form that fits a count; the plural where it is not known."""
    if isinstance(words, str):
        return words
    return words.one if count == 1 else words.other
