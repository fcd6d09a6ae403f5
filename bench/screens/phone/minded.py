"""What the laptop's rules have against the steps that a phone draws, by each answer that their forms can give.

A phone knows no chemistry. For each step on a thing it is told every finding of the rules, with the answers under which
it stands; what the phone judges itself (the order of the work, damp, heat) is left out.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

from bench.reckoning.rules import Finding, judge
from bench.records.kinds import Source
from bench.records.schema import Ulid
from bench.records.state import State
from bench.screens.powders.regrinding import dry_terms, grind_terms
from bench.screens.weighing.dry import drying_of
from bench.screens.weighing.grind import stands_against
from bench.steps import BY_VERB, STEPS
from bench.steps.conditions import Tree, parse
from bench.steps.dry import WAYS
from bench.steps.load import LIDS
from bench.steps.swatch import BINDERS
from bench.web.current import current_bench
from bench.web.words import _
from bench.workshop import conditions
from bench.workshop.gates import gate_batch, gate_load, gate_pigment, one_a_rule
from bench.workshop.parts import source_parts
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import wet_with
from bench.workshop.things.crucibles import Crucible, crucible

LIQUIDS = ("water", "alcohol", "acetone")
JUDGED_THERE = frozenset({"check-says-stop"})
"""Beside the declared gates, what a phone judges by itself."""
Answer = tuple[Tree, Any]
"""A condition of the declarations, and the value that the rules are asked with."""
Told = dict[str, Any]


def _answers(*found: tuple[str, Any]) -> tuple[Answer, ...]:
    return tuple((parse(when), value) for when, value in found)


MEDIA = _answers(*((f"medium={one}", one) for one in ("dry", *LIQUIDS)), ("medium=other", "unknown"))
YES_OR_NO = _answers(("?no_flame", True), ("!?no_flame", False))
DRY = _answers(("this.dry", True), ("!this.dry", False))
WAY = _answers(*((f"way={one.value}", one.value) for one in WAYS))
DRYING = _answers(("!?drying | drying=oven", "oven"), ("?drying & drying=open-air", "open-air"))
LID = _answers(*((f"lid={one.value}", one.value) for one in LIDS))


@dataclass(frozen=True)
class Asked:
    """A step with its questions, each with all its answers, and what the rules say to one answer of each."""

    verb: str
    questions: tuple[tuple[Answer, ...], ...]
    judge: Callable[..., list[Finding]]

    def told(self) -> list[Told]:
        """Every finding with the answers under which it stands."""
        found: dict[tuple[str, str, str, bool], list[tuple[int, ...]]] = {}
        for chosen in product(*(range(len(one)) for one in self.questions)):
            answers = [one[n][1] for one, n in zip(self.questions, chosen, strict=True)]
            for finding in self._new(self.judge(*answers)):
                rows = found.setdefault((finding.rule, finding.effect, finding.say, finding.sure), [])
                rows.append(chosen)
        return [
            {"rule": rule, "effect": effect, "say": say, "sure": sure, **self._when(rows)}
            for (rule, effect, say, sure), rows in found.items()
        ]

    def _new(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        own = {gate.rule for gate in BY_VERB[self.verb].gates} | JUDGED_THERE
        return (one for one in findings if one.rule not in own)

    def _when(self, rows: list[tuple[int, ...]]) -> Told:
        """The condition that holds under these answers and no others; nothing where it always holds."""
        spans = [sorted({row[n] for row in rows}) for n in range(len(self.questions))]
        if len(rows) != _size(spans):
            return {"when": _joined("|", [self._row(row) for row in rows])}
        parts = [self._one(n, span) for n, span in enumerate(spans) if len(span) < len(self.questions[n])]
        return {"when": _joined("&", parts)} if parts else {}

    def _one(self, question: int, span: list[int]) -> Tree:
        return _joined("|", [self.questions[question][n][0] for n in span])

    def _row(self, row: tuple[int, ...]) -> Tree:
        return _joined("&", [one[n][0] for one, n in zip(self.questions, row, strict=True)])


def _joined(mark: str, parts: list[Tree]) -> Tree:
    return parts[0] if len(parts) == 1 else [mark, *parts]


def _size(spans: list[list[int]]) -> int:
    size = 1
    for span in spans:
        size *= len(span)
    return size


def of_batch(thing: str, vessels: list[Crucible]) -> dict[str, list[Told]]:
    """The steps of a batch. `vessels` are the crucibles that the phone is told of."""
    view = batch(current_bench().state, thing)
    if view is None:
        return {}
    of = (one.id for one in vessels)
    key = ("minds", thing, current_bench().library.revision, *of)
    return current_bench().state.memoize(key, lambda: {one.verb: one.told() for one in _steps(view, vessels)})


def of_charge(thing: str) -> dict[str, list[Told]]:
    """Drying a charge in its crucible."""
    asked = Asked("dry", (WAY, YES_OR_NO, DRY), lambda way, clear, dry: drying_of(thing).against(way, clear, dry))
    return current_bench().state.memoize(
        ("minds", thing, current_bench().library.revision), lambda: {"dry": asked.told()}
    )


def of_powder(thing: str) -> dict[str, list[Told]]:
    """Wet and dry work on a fired powder."""
    key = ("minds", thing, current_bench().library.revision)
    return current_bench().state.memoize(key, lambda: {one.verb: one.told() for one in _powder_steps(thing)})


def _powder_steps(thing: str) -> Iterator[Asked]:
    def against(step: str, **terms: Any) -> list[Finding]:
        return gate_pigment(current_bench().state, step, thing, current_bench().library, **terms)

    yield Asked("grind-again", (MEDIA, YES_OR_NO), lambda liquid, clear: against("grind", **grind_terms(liquid, clear)))
    acids = ((f"acid={one}", one) for one in BY_VERB["wash"].field("acid").values[1:])
    yield Asked("wash", (_answers(("!?acid | acid=none", "none"), *acids),), lambda acid: against("wash", acid=acid))
    wet = _wetted("pigment", wet_with(current_bench().state, thing))
    yield Asked(
        "dry-weigh",
        (wet, DRYING, YES_OR_NO),
        lambda liquid, way, clear: against("dry", **wet_terms(liquid), **dry_terms(way, clear)),
    )
    yield Asked("swatch", (_binders(),), lambda binder: against("swatch", binder=binder))
    for one in (step for step in STEPS if step.generic and "pigment" in step.on):
        rules, terms = one.rules, one.terms
        yield Asked(one.verb, (), lambda rules=rules, terms=terms: _by_all(against, rules, terms))


def wet_terms(liquid: str | None) -> dict[str, Any]:
    """What a powder is wet with, whatever the records say of it."""
    return {"liquid": liquid or "none", "damp": liquid is not None, "undried": liquid is not None}


def _by_all(against: Callable[..., list[Finding]], rules: Iterable[str], terms: dict[str, Any]) -> list[Finding]:
    return one_a_rule([found for rule in rules for found in against(rule, **terms)])


def _steps(view: Batch, vessels: list[Crucible]) -> Iterator[Asked]:
    here = current_bench()
    yield Asked("weigh", (), lambda: gate_batch(here.state, "weigh", view.id, here.library, dry_handling=True))
    yield Asked("grind", (MEDIA, YES_OR_NO), lambda liquid, clear: stands_against(view.id, liquid, clear))
    yield Asked(
        "dry",
        (_wetted("batch", None), WAY, YES_OR_NO, DRY),
        lambda liquid, way, clear, dry: drying_of(view.id).against(way, clear, dry, liquid),
    )
    yield Asked("load", (_answers(*_vessels(vessels)), LID), lambda vessel, lid: _loading(view, vessel, lid))


def _wetted(sort: str, now: str | None) -> tuple[Answer, ...]:
    """The liquids that it may be wet with: what wetted it out there counts, not only what is known here `now`."""
    fact = f"{sort}.medium"
    named = list(dict.fromkeys([*LIQUIDS, *([now] if now is not None else [])]))
    own = [(["=", fact, one], one) for one in named]
    return (*_answers((f"!?{fact}", None)), *own, (["&", ["?", fact], ["!=", fact, *named]], "unknown"))


def _binders() -> tuple[Answer, ...]:
    """The binders that the form lists, and any other: of that one the worse is taken."""
    named = [_(one) for one in BINDERS]
    return (*((["=", "binder", one], one) for one in named), (["!=", "binder", *named], "unknown"))


def _vessels(vessels: list[Crucible]) -> Iterator[tuple[str, Any]]:
    """The crucibles by what the rules know of them; and any that nobody told of."""
    alike: dict[str, list[str]] = {}
    for one in vessels:
        known = conditions.of_crucible(current_bench().state, one.id)
        alike.setdefault(repr((one.added.ware, sorted(known.items()))), []).append(one.id)
    for same in alike.values():
        yield f"?crucible & crucible={','.join(same)}", same[0]
    told = ",".join(one.id for one in vessels)
    yield (f"?crucible & crucible!={told}" if told else "?crucible"), None


def _loading(view: Batch, vessel: str | None, lid: str) -> list[Finding]:
    state, library = current_bench().state, current_bench().library
    sources = (Source(g=max(view.left_g, 0.0) or sum(line.target_g for line in view.lines), batch=Ulid(view.id)),)
    if vessel is not None:
        return gate_load(state, vessel, sources, lid, library)
    terms = conditions.of_bench(state) | conditions.of_plans([view.plan], library)
    return judge("load", source_parts(state, sources), terms | {"lid": lid}, library)


def told_vessels(state: State, most: int) -> list[Crucible]:
    """The crucibles in use that a phone is told of, those that were added last."""
    found = (crucible(state, one) for one in state.open_things("crucible")[-most:])
    return [one for one in found if one is not None and one.standing != "ended"]
