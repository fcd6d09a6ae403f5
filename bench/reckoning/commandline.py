"""`saggar reckon KIND`: JSON in, JSON out, one line an answer."""

import json
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any, TextIO

from bench.reckoning import KINDS, reckon
from bench.reckoning.kind import Kind
from bench.science.refusal import Refusal

LONGEST_INPUT = 2_000_000
USAGE = "saggar reckon KIND [JSON]"
STRICT = "--strict"


def main(argv: Sequence[str], stdin: TextIO, stdout: TextIO) -> int:
    """Runs `saggar reckon` with the arguments after the word reckon; returns the exit code.

    0 with an answer; 2 when the input cannot be used. Of several lines, each gives its answer or its error line, and
    the code is 2 only when none could be used; with `--strict` already when one could not.
    """
    strict, argv = STRICT in argv, [word for word in argv if word != STRICT]
    words = [word for word in argv if word not in ("--help", "-h")]
    if not words:
        _write(stdout, _list_of_kinds())
        return 0
    name = words[0]
    if name not in KINDS:
        return _refuse(stdout, Refusal(_no_kind(name), "kind"))
    if len(words) < len(argv):
        _write(stdout, _help(KINDS[name]))
        return 0
    if len(words) > 2:
        return _refuse(stdout, Refusal("Give one JSON object as one argument: put it into quotation marks.", "json"))
    if len(words) == 1 and stdin.isatty():
        _write(stdout, _help(KINDS[name]))
        return 0
    try:
        asks = _read(words[1] if len(words) == 2 else stdin.read(LONGEST_INPUT + 1))
    except UnicodeDecodeError:
        return _refuse(stdout, Refusal("The input is not text in UTF-8.", "json"))
    except Refusal as refusal:
        return _refuse(stdout, refusal)
    if len(words) == 2 and not words[1].lstrip().startswith(("{", "[")):
        asks = [_no_object(name, words[1]) if isinstance(ask, Refusal) else ask for ask in asks]
    answers = [_answer(name, ask) for ask in asks]
    for answer in answers:
        _write(stdout, answer)
    return 2 if (any if strict else all)("error" in answer for answer in answers) else 0


def _no_kind(name: str) -> str:
    near = get_close_matches(name[:60].lower(), KINDS, n=1)
    meant = f" Did you mean {near[0]}?" if near else ""
    return f"There is no kind {name[:60]!r}.{meant} `saggar reckon` alone lists them."


def _no_object(name: str, typed: str) -> Refusal:
    return Refusal(f"{typed[:60]!r} is not JSON. Write it as in: {_example(KINDS[name])}", "json")


def _example(kind: Kind) -> str:
    return f"saggar reckon {kind.name} '{json.dumps(kind.example, ensure_ascii=False)}'"


def _answer(name: str, ask: Any) -> dict[str, Any]:
    from bench.reference import load_library

    try:
        if isinstance(ask, Refusal):
            raise ask
        return reckon(name, ask, load_library(), typed=True)
    except Refusal as refusal:
        return {"error": refusal.say, "field": refusal.field}


def _read(text: str) -> list[Any]:
    """The asks in the text: one JSON object, or one on each line; what is broken comes back as a Refusal."""
    if len(text) > LONGEST_INPUT:
        raise Refusal(f"The input is too long: {LONGEST_INPUT} characters at most.", "json")
    text = text.removeprefix("\ufeff").strip()
    if not text:
        raise Refusal("Nothing was asked: give one JSON object.", "json")
    whole = _load(text)
    lines = [line for line in text.splitlines() if line.strip()]
    if not isinstance(whole, Refusal) or len(lines) == 1:
        return [whole]
    loaded = [_load(line) for line in lines]
    good = sum(not isinstance(item, Refusal) for item in loaded)
    return loaded if 2 * good >= len(lines) or not isinstance(loaded[0], Refusal) else [whole]


def _load(text: str) -> Any:
    """The value that a JSON text holds, or a Refusal that says where it breaks off."""
    try:
        return json.loads(text, object_pairs_hook=_once)
    except Refusal as refusal:
        return refusal
    except json.JSONDecodeError as broken:
        say = f"This is not JSON: {broken.msg} at line {broken.lineno}, column {broken.colno}."
        return Refusal(say, "json")
    except (ValueError, RecursionError):
        return Refusal("This is not JSON of a usable size: a number is too long, or it is nested too deep.", "json")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise Refusal(f"The field {twice[:60]!r} stands twice: give it once.", twice[:60])
    return found


def _refuse(stdout: TextIO, refusal: Refusal) -> int:
    _write(stdout, {"error": refusal.say, "field": refusal.field})
    return 2


def _write(stdout: TextIO, what: dict[str, Any] | str) -> None:
    text = what if isinstance(what, str) else json.dumps(_tidied(what), ensure_ascii=False)
    encoding = getattr(stdout, "encoding", None) or "utf-8"
    try:
        text.encode(encoding)
    except UnicodeError:
        text = text.encode("ascii", "replace").decode() if isinstance(what, str) else json.dumps(_tidied(what))
    stdout.write(text + "\n")


def _tidied(value: Any) -> Any:
    """The value with numbers at twelve digits, which drops nothing but the noise of binary fractions."""
    if isinstance(value, float):
        return float(f"{value:.12g}")
    if isinstance(value, dict):
        return {name: _tidied(item) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [_tidied(item) for item in value]
    return value


def _list_of_kinds() -> str:
    width = max((len(name) for name in KINDS), default=0)
    lines = [f"  {name:<{width}}  {kind.summary}" for name, kind in KINDS.items()]
    return "\n".join(
        [
            f"{USAGE} reads one JSON object, or one on each line. Kinds:",
            *lines,
            "saggar reckon KIND --help tells more.",
            "With --strict the exit code is 2 when any one line could not be used.",
        ]
    )


def _help(kind: Kind) -> str:
    width = max(len(field.name) for field in kind.fields)
    lines = [f"saggar reckon {kind.name}: {kind.summary}", "", "Fields:"]
    for field in kind.fields:
        need = (
            ""
            if field.required
            else f" Optional{'' if field.default is None else f', {json.dumps(field.default)} if left out'}."
        )
        lines.append(f"  {field.name:<{width}}  [{field.unit}] {field.say}{need}")
    if any(field.unit == "formula" or "formula" in field.say for field in kind.fields):
        lines.append(f"  {'as_typed':<{width}}  [true or false] True: no questions about likely slips. Optional.")
    lines += ["", "Example:", f"  {_example(kind)}"]
    return "\n".join(lines)
