"""The words of a declared field as a page shows them, in the reader's language."""

from bench.steps.fields import Field
from bench.web.words import _

OptionWords = tuple[str, str, str]


def option_words(one: Field) -> list[OptionWords]:
    """The options of a field: value, words, and what to think of with it."""
    return [(each.value, _(each.words), _(each.why) if each.why else "") for each in one.options]


def listed_words(one: Field) -> list[str] | None:
    """What is offered while a text is typed; None where nothing is."""
    return [_(each) for each in one.listed] or None
