"""Reads the words after a command, and makes its help: the standard library's parser, with sentences of the house."""

import argparse
import re
from typing import Any, NoReturn, cast

from bench.commands import Command
from bench.launching.words import meant

UNKNOWN = re.compile(r"unrecognized arguments: (?P<word>\S+)")
NO_VALUE = re.compile(r"argument (?P<option>--[a-z-]+)(?:/\S+)?: expected one argument")
NOT_GIVEN = re.compile(r"the following arguments are required: (?P<names>.+)")


class WrongWords(ValueError):
    """What was typed cannot be read; the text is a sentence for the person."""


class PlainParser(argparse.ArgumentParser):
    """A parser whose complaints are sentences, raised as `WrongWords` instead of ending the process."""

    def error(self, message: str) -> NoReturn:
        """Raise what is wrong, with where help is to be found."""
        wants = "".join(f" {action.metavar}" for action in self._get_positional_actions())
        use = f" Use: {self.prog}{wants}." if wants else ""
        raise WrongWords(f"{self._in_words(message)}{use} `{self.prog} --help` shows what can be given.")

    def _in_words(self, message: str) -> str:
        if found := UNKNOWN.match(message):
            known = [name for name in self._option_string_actions if name.startswith("--")]
            return f"{found['word'][:60]} is not known here.{meant(found['word'], known)}"
        if found := NO_VALUE.match(message):
            return f"{found['option']} needs a value after it."
        if found := NOT_GIVEN.match(message):
            return f"It needs {found['names'].replace(', ', ' and ')}."
        return f"{message[:1].upper()}{message[1:]}."


def parser_of(command: Command) -> PlainParser:
    """The parser of one command, made from what its file declares."""
    parser = PlainParser(
        prog=f"saggar {command.word}",
        description=f"{command.says[:1].upper()}{command.says[1:]}.",
        epilog=command.more or None,
        allow_abbrev=False,
    )
    for name, how in command.options.items():
        parser.add_argument(name, **cast("dict[str, Any]", how))
    return parser


def obey(command: Command, words: list[str]) -> int:
    """Read the words, run the command, and give its exit code. Errors: WrongWords for words that it cannot take."""
    if command.as_typed:
        return command.run(words)
    try:
        asked = parser_of(command).parse_args(words)
    except SystemExit:  # the help was asked for, and has been printed
        return 0
    return command.run(**vars(asked))
