"""The declarations as JSON for the phones.

The whole is {"version": mark, "steps": [...], "things": [...]}. Every object leaves out what has its default.

- A step: verb, on [sorts], record, title, key, past [{text, when?}], glyph, address [templates such as
  "/pigment/{pigment}/wash"], due [{when, title?}], optional?, away? (false where it needs the laptop), single?, fields,
  work_out, needs, doubts?, gates, effects, also, old?, dust? (the key that open answers hold),
  photo? (what it should show), generic? (its page is the house's own).
- A field: name, label, kind (left out: text), unit?, low?, high?, required? (false), options? [[value, words, why?]],
  most?, lines?, of?, start?, like?, default?, place? (form, data), fixed?, keypad?, hint?, when?, listed?, rows?,
  alias?.
- A need: name, say, when. A doubt: name, say, when, like?, value? (each a value, or
  {name, function, given}), called?. A gate: rule, effect, say, when, sure?, after?, source?.
- An effect: op (set, add, append, join, make, each, do), path, value?, when?. `make` has its facts as the value, `each`
  its effects. Also: record, thing, data, when?, each?, coded?. Its thing is
  left out where the record makes one; "made" is what an earlier record made.
- A condition (`when`, `unless`, a derived fact in words) is its tree: ["&", ...], ["|", ...], ["!", tree], ["?", name],
  ["=" or "!=", name, value...], ["<" and so on, name, value]; a value {"t": name} is another fact or field.
- A value {"f": name} is a field of the record (`id` and `at` are its own), {"t": path} a fact just before it.
- Words are a text, or {"by", "one", "other", "called"}: one for 1, other else. {a.b:2} in them asks for two decimals,
  {a.b:mass} for the digits of the balance, {a.b:code} for a code with its dash; else a number is as short as it is.
- A thing: sort, title, facts {name: {kind, of?, values?}}, derived {name: tree, or [function, given...] where ".name"
  is an own fact}, says [{text, when?, unless?, look?}].
"""

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import MISSING, fields
from typing import Any

from bench.steps.conditions import parse
from bench.steps.declare import Derived, Sort, Step
from bench.steps.fields import From, Option

Translate = Callable[[str], str]
TEXTS = frozenset(
    {"label", "title", "key", "past", "photo", "say", "after", "hint", "text", "words", "why", "one", "other", "called"}
)
"""The attributes that a person reads."""
CONDITIONS = frozenset({"when", "unless"})
LAPTOP_ONLY = frozenset({"rules", "row", "sheet", "compare", "kind_words", "version", "missing", "terms", "laptop"})
"""What only the laptop has a use for; what a step brings to its things stands with the things."""


def published(steps: Iterable[Step], sorts: Iterable[Sort], say: Translate = str) -> str:
    """The JSON, in the language that `say` translates to; `version` is the mark of its content.

    What is planned or described on the laptop, before there is a thing, no phone asks for.
    """
    carried = [one for one in steps if one.on or one.away]
    told = {"steps": [plain(one, say) for one in carried], "things": [plain(one, say) for one in sorts]}
    mark = hashlib.sha256(_json(told).encode()).hexdigest()[:12]
    return _json({"version": mark, **told})


def _json(told: Any) -> str:
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def plain(one: Any, say: Translate = str) -> Any:
    """Any part of a declaration as JSON."""
    if isinstance(one, Option):
        return [one.value, *(say(words) for words in (one.words, one.why) if words)]
    if isinstance(one, From):
        return {one.what: one.name}
    if isinstance(one, Derived):
        return [one.function, *one.given]
    if isinstance(one, dict):
        return {key: plain(value, say) for key, value in one.items()}
    if isinstance(one, list | tuple):
        return [plain(value, say) for value in one]
    if not hasattr(one, "__dataclass_fields__"):
        return one
    return _plain_object(one, say)


def _plain_object(one: Any, say: Translate) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for field in fields(one):
        value = getattr(one, field.name)
        default = field.default_factory() if field.default_factory is not MISSING else field.default
        if field.name not in LAPTOP_ONLY and value != default and not _is_brought(one, field.name):
            kept[field.name] = _value(field.name, value, say)
    if isinstance(one, Sort):
        kept["derived"] = {
            name: parse(how) if isinstance(how, str) else plain(how, say) for name, how in one.derived.items()
        }
    return kept


def _is_brought(one: Any, name: str) -> bool:
    """What a step brings to its things stands with the things."""
    return isinstance(one, Step) and name in ("facts", "says")


def _value(name: str, value: Any, say: Translate) -> Any:
    if name in CONDITIONS:
        return parse(value)
    if name in TEXTS and isinstance(value, str):
        return say(value)
    if name == "listed":
        return [say(one) for one in value]
    return plain(value, say)


def texts(one: Any) -> set[str]:
    """Every text of a declaration that a person reads: what a catalogue has to hold."""
    found: set[str] = set()

    def say(text: str) -> str:
        found.add(text)
        return text

    plain(one, say)
    return found
