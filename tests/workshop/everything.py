"""Plausible records of every kind over a handful of things, for tests that must hold whatever was recorded.

Each record follows from one number, so that a failing history shrinks by leaving records out. Things are few, so that
records meet: corrections and withdrawals of each other (rings too), late entries, two values in one slot, charges of
pigments of charges.
"""

import random
import types
import typing
from collections.abc import Sequence
from dataclasses import MISSING, fields, is_dataclass
from typing import Any, Literal, Union, get_args, get_origin

from hypothesis import strategies as st

from bench.records.kinds import KINDS, MAKERS
from bench.records.record import BENCH, Record
from bench.records.schema import Ulid, When, json_name
from bench.steps import BY_RECORD
from tests.workshop.builder import SHA256, text, ulid

NAMES: dict[str, int] = {
    "jar": 2,
    "crucible": 2,
    "furnace": 1,
    "burner": 1,
    "series": 1,
    "batch": 3,
    "charge": 3,
    "firing": 2,
    "pigment": 3,
    "swatch": 2,
    "waste": 2,
    "card": 1,
    "colour-card": 1,
}
POOL: dict[str, list[str]] = {
    what: [ulid(100 * n + k + 1) for k in range(count)] for n, (what, count) in enumerate(NAMES.items(), 1)
}
THINGS: list[str] = [thing for found in POOL.values() for thing in found]
OTHERS = 10_000
# Whose records these are; the kinds that make a thing stand in MAKERS.
SUBJECT: dict[str, tuple[str, ...]] = {
    "jar.assayed": ("jar",),
    "crucible.seen": ("crucible",),
    "weighed": ("batch",),
    "rescaled": ("batch",),
    "mixed": ("batch",),
    "dried": ("batch", "charge", "pigment"),
    "placed": ("charge",),
    "check.answered": ("firing",),
    "lit": ("firing",),
    "fire.off": ("firing",),
    "reading": ("firing",),
    "noted": ("firing",),
    "timer.set": ("firing", "charge", "batch"),
    "went.in": ("firing", "charge"),
    "came.out": ("firing", "charge"),
    "touched": ("charge",),
    "opened": ("charge",),
    "washed": ("pigment",),
    "ground": ("pigment",),
    "dry.weighed": ("pigment",),
    "swatch.measured": ("swatch",),
    "judged": ("pigment", "swatch"),
    "waste.collected": ("waste",),
    "file.attached": ("jar", "batch", "pigment"),
    "closed": ("batch", "charge", "firing", "pigment", "jar", "crucible"),
}
FIELD_THING: dict[str, str] = {"container": "waste", "waste": "waste", "of": "swatch"}
WORDS: dict[str, tuple[str, ...]] = {
    "formula": ("Co3O4", "Al(OH)3", "SiO2", "no formula", "KNO3"),
    "target_formula": ("CoAl2O4", "?"),
    "code": ("ABCDEF", "GHJKMN"),
    "medium": ("water", "dry", "none", "alcohol"),
    "list": ("before-lighting", "after-shutdown"),
    "item": ("Lid", "Flame"),
    "outcome": ("done", "failed", "lost"),
    "sha256": (SHA256,),
}
NUMBERS = (0.0, 0.01, 1.0, 2.5, 5.0, 10.0, 20.0, 39.9, 40.0, 120.0)


def make(seed: int, nth: int = 0, total: int = 1) -> Record:
    """The record that a number stands for, as the nth of so many."""
    rng = random.Random(seed)
    kind = rng.choice(sorted(KINDS))
    identity, subject = _names(rng, kind, nth)
    ids = [ulid(OTHERS + k) for k in range(total)] + THINGS
    data = _object(rng, KINDS[kind].data)
    if kind == "withdrawn":
        data["ids"] = rng.sample(ids, rng.randint(1, 2))
    ms = 1_772_352_000_000 + 60_000 * rng.randint(0, 60)
    device = rng.choice(("laptop", "phone-kiln"))
    raw: dict[str, Any] = {
        "id": identity,
        "v": KINDS[kind].version,
        "kind": kind,
        "device": device,
        "seq": nth + 1,
        "hlc": [ms, rng.randint(0, 2), device],
        "at": text(rng.randint(0, 60)),
        "offset_ms": rng.choice((None, 0, 90_000)),
        "tz_min": rng.choice((0, 60, -210)),
        "how": "live",
        "subject": subject,
        "data": data,
    }
    if rng.random() < 0.25:
        raw |= {"how": "late", "happened_at": text(rng.randint(-60, 60))}
    if rng.random() < 0.2:
        raw["corrects"] = [i for i in rng.sample(ids, rng.randint(1, 2)) if i != identity]
    if rng.random() < 0.1:
        raw["also"] = {"thing": rng.choice(THINGS)}
    return Record.from_dict(raw)


def history(seeds: Sequence[int]) -> list[Record]:
    """The records of some numbers. Where two would claim one id, the second gets its own and may correct the first."""
    found: dict[str, Record] = {}
    for nth, seed in enumerate(seeds):
        record = make(seed, nth, len(seeds))
        if record.id in found:
            raw = record.to_dict() | {"id": ulid(OTHERS + nth)}
            if seed % 2 and record.kind == found[record.id].kind:
                raw["corrects"] = [record.id]
            raw["corrects"] = [i for i in raw.get("corrects", ()) if i != raw["id"]]
            record = Record.from_dict(raw)
        found[record.id] = record
    return list(found.values())


def records() -> st.SearchStrategy[Record]:
    """One record of any kind."""
    return st.integers(0, 2**40).map(make)


def histories(most: int = 40) -> st.SearchStrategy[list[Record]]:
    """Up to `most` records that have to do with each other."""
    return st.lists(st.integers(0, 2**40), max_size=most).map(history)


def _names(rng: random.Random, kind: str, nth: int) -> tuple[str, str]:
    fresh = ulid(OTHERS + nth)
    if kind == "opened":
        return rng.choice((*POOL["pigment"], fresh)), rng.choice(POOL["charge"])
    if kind in MAKERS:
        thing = rng.choice(POOL[MAKERS[kind]])
        return thing, thing
    whose = SUBJECT.get(kind) or (BY_RECORD[kind].on if kind in BY_RECORD else None)
    if whose is None:
        return fresh, rng.choice((BENCH, *THINGS))
    return fresh, rng.choice(POOL[rng.choice(whose)])


def _object(rng: random.Random, schema: type) -> dict[str, Any]:
    hints = typing.get_type_hints(schema)
    found: dict[str, Any] = {}
    for f in fields(schema):
        optional = f.default is not MISSING or f.default_factory is not MISSING
        if not optional or rng.random() < 0.6:
            found[json_name(f.name)] = _value(rng, hints[f.name], json_name(f.name))
    return found


def _value(rng: random.Random, hint: Any, name: str) -> Any:
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _value(rng, next(h for h in inner if h is not type(None)), name)
    if origin is Literal:
        return rng.choice(inner)
    if origin is tuple:
        count = rng.randint(0, 3) if inner[-1] is Ellipsis else len(inner)
        return [_value(rng, inner[0], name) for _ in range(count)]
    return _object(rng, hint) if is_dataclass(hint) else _plain(rng, hint, name)


def _plain(rng: random.Random, hint: Any, name: str) -> Any:
    if hint is Ulid:
        what = FIELD_THING.get(name, name)
        near = POOL.get(what, THINGS)
        return rng.choice(near if rng.random() < 0.95 else THINGS)
    if hint is When:
        return text(rng.randint(-5000, 5000))
    if hint is bool:
        return rng.random() < 0.5
    if hint is int:
        return rng.randint(1, 3)
    if hint is float:
        return rng.choice(NUMBERS)
    if hint is str:
        return rng.choice(WORDS.get(name, ("", "blue", "zwei\nZeilen")))
    return rng.choice((1, "high", [1, 2], {"a": 1}))
