"""Every name of every declaration held against the declared fields and facts, when the program starts.

A misspelt fact would be *not known* for ever, and a gate that rests on it would say nothing, or never let go. So the
start stops, with a sentence that names the step, the text and the name.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from bench.reference.cautions import STEPS as RULED
from bench.steps.conditions import BadCondition, Tree, names, parse
from bench.steps.declare import Derived, Doubt, Fact, Sort, Step
from bench.steps.doubting import TIME
from bench.steps.effects import Effect, Work
from bench.steps.fields import Field, From
from bench.steps.judging import PLACE
from bench.steps.named import EFFECTS, FUNCTIONS
from bench.steps.sorts import NAMED, PLAIN_SORTS
from bench.steps.wording import Plural, Words

JUDGED = ("batch", "pigment")
"""The sorts that the rules can judge by what they are made of, so that the house's own page can be drawn of them."""
OWN = {"sort": Fact("text"), "id": Fact("text"), "made_ms": Fact("number")}
"""What every thing has."""
JUDGED_AS = ("figure", "like", "slip")
"""What a doubt asks for beside fields and facts."""
PLAIN = {one.sort: OWN | one.facts | one.derived for one in PLAIN_SORTS}
"""What a thing has before any step brings it something."""


class Misdeclared(ValueError):
    """A declaration that says something which nobody declared."""


def check(steps: Iterable[Step], sorts: Iterable[Sort]) -> None:
    """Raises Misdeclared where a declaration cannot be read or names what there is not."""
    known = {one.sort: one for one in sorts}
    verbs: set[str] = set()
    told: dict[str, str] = {}
    for sort in known.values():
        _check_sort(sort, known)
    for step in steps:
        if step.verb in verbs:
            raise Misdeclared(f"Two steps are called “{step.verb}”.")
        verbs.add(step.verb)
        _Checked(step, known).check()
        brings = [f"the fact “{name}” of a {sort}" for sort in step.on for name in step.facts]
        for what in [*brings, *([f"the record “{step.record}”"] if step.record else [])]:
            if what in told:
                raise Misdeclared(f"The steps “{told[what]}” and “{step.verb}” both bring {what}.")
            told[what] = step.verb


def _check_sort(sort: Sort, known: dict[str, Sort]) -> None:
    whole = _Checked(Step(f"the facts of a {sort.sort}", (sort.sort,), None, ""), known)
    for name, fact in sort.facts.items():
        if fact.of and fact.of not in known:
            raise Misdeclared(f"The fact “{name}” of a {sort.sort} names a “{fact.of}”, which nobody declared.")
    for how in sort.derived.values():
        whole.derived(sort, how)
    for say in sort.says:
        whole.words(say.text)
        whole.condition(say.when)
        whole.condition(say.unless)
    whole.words(sort.title)


class _Checked:
    """One step while it is checked."""

    def __init__(self, step: Step, sorts: dict[str, Sort]) -> None:
        self.step, self.sorts = step, sorts
        self.fields = {one.name: one for one in (*step.fields, *step.old)}
        self.judged: tuple[str, ...] = ()
        inner = [row for one in step.fields for row in one.rows]
        self.rows = {one.name: one for one in inner}
        self.made = [effect.path for effect in _all(step.effects) if effect.op == "make"]

    def wrong(self, what: str) -> Misdeclared:
        return Misdeclared(f"The step “{self.step.verb}” is declared wrongly: {what}")

    def check(self) -> None:
        step = self.step
        for sort in (*step.on, *(one.of for one in self.fields.values() if one.of)):
            if sort not in (*self.sorts, *NAMED):
                raise self.wrong(f"there is no sort of thing “{sort}”.")
        for part in (part for address in step.address for part in PLACE.findall(address)):
            if part not in (*step.on, *self.fields):
                raise self.wrong(f"its address names “{part}”, which is neither its thing nor a field of it.")
        if unknown := set(step.rules) - set(RULED):
            raise self.wrong(f"the rules know no step “{min(unknown)}”, only: {', '.join(RULED)}.")
        if step.generic and set(step.on) - set(JUDGED):
            raise self.wrong(f"the house's own page is for these alone: {', '.join(JUDGED)}.")
        if step.generic and not step.rules:
            raise self.wrong(f"a generic one needs “rules”, one or more of: {', '.join(RULED)}.")
        if step.generic and not step.address:
            raise self.wrong("a generic one needs an “address”, such as /pigment/{pigment}/verb.")
        if step.optional and not step.due:
            raise self.wrong("it is optional and never due, so no page would offer it.")
        if twice := [name for sort in step.on for name in step.facts if name in PLAIN.get(sort, {})]:
            raise self.wrong(f"its thing has the fact “{twice[0]}” already, so it cannot bring it.")
        if step.single not in ("", "-", *self.fields):
            raise self.wrong(f"its slot is told by “{step.single}”, which is no field of it.")
        for one in (*self.fields.values(), *self.rows.values()):
            self.condition(one.when)
            self.value(one.start)
            self.value(one.like)
        for due in step.due:
            self.condition(due.when)
            self.words(due.title)
        for need in step.needs:
            self.field(need.name)
            self.condition(need.when)
        for doubt in step.doubts:
            self.doubt(doubt)
        for gate in step.gates:
            self.gate(gate.when, gate.sure)
            self.words(gate.say)
            self.words(gate.after)
            self.condition(gate.when)
        for say in step.past:
            self.words(say.text)
            self.condition(say.when)
        for work in step.work_out:
            self.field(work.name)
            self.function(work.function)
            for given in work.given:
                self.value(given)
        for effect in _all(step.effects):
            self.effect(effect)
        for also in step.also:
            self.condition(also.when)
            self.value([also.thing, also.data])

    def doubt(self, doubt: Doubt) -> None:
        if doubt.name != TIME:
            self.field(doubt.name)
        self.judged = JUDGED_AS
        self.condition(doubt.when)
        self.words(doubt.say)
        self.judged = ()
        for worth in (doubt.value, doubt.like):
            if isinstance(worth, Work):
                self.function(worth.function)
            self.value(worth.given if isinstance(worth, Work) else worth)

    def field(self, name: str) -> Field:
        if name not in self.fields:
            raise self.wrong(f"“{name}” is no field of it.")
        return self.fields[name]

    def function(self, name: str) -> None:
        if name not in FUNCTIONS:
            raise self.wrong(f"there is no named code “{name}”.")

    def gate(self, when: str, sure: bool) -> None:
        # Of the other sort nothing is ever known: such a gate would always count.
        named = {name.split(".")[0] for name in names(self.tree(when))} & set(self.step.on)
        if len(self.step.on) > 1 and named and not sure:
            raise self.wrong(f"“{when}” is about one of its sorts alone, so it has to be sure.")

    def tree(self, text: str) -> Tree:
        try:
            return parse(text)
        except BadCondition as bad:
            raise self.wrong(str(bad)) from None

    def condition(self, text: str) -> None:
        if not text:
            return
        tree = self.tree(text)
        for name in names(tree):
            self.name(name, text)
        for name, value in _literals(tree):
            allowed = self.allowed(name)
            if allowed and value not in allowed:
                raise self.wrong(f"“{value}” in “{text}” is none of: {', '.join(allowed)}.")

    def allowed(self, name: str) -> tuple[str, ...]:
        """The words that a name may have as its value; none where any may stand."""
        if "." not in name:
            chosen = [one for one in self.step.fields if one.name == name and one.kind == "choice"]
            free = [one for one in self.step.fields if one.name == name and one.kind == "text"]
            return () if free else tuple(value for one in chosen for value in one.values)
        fact = self.name(name, name)
        return fact.values if isinstance(fact, Fact) else ()

    def name(self, name: str, text: str) -> Any:
        first, *rest = name.split(".")
        if not rest:
            return self.field(first) if first not in ("at", *self.judged) else None
        if first == "row":
            if rest[0] not in self.rows:
                raise self.wrong(f"“{name}” in “{text}”: no row has a field “{rest[0]}”.")
            return self.path([self.rows[rest[0]].of], rest[1:], name, text)
        return self.path(self.starts(first, name, text), rest, name, text)

    def starts(self, first: str, name: str, text: str) -> list[str]:
        """The sorts of things that the first part of a name may mean."""
        if first == "this":
            return list(self.step.on)
        if first in self.step.on:
            return [first]
        if first == "made":
            return self.made
        field = self.fields.get(first)
        if field is None or not field.of:
            raise self.wrong(f"“{name}” in “{text}”: “{first}” is no thing that it knows.")
        return [field.of]

    def path(self, sorts: list[str], parts: list[str], name: str, text: str) -> Any:
        found: Any = None
        for part in parts:
            for sort in sorts:
                every = self.sorts[sort].facts | self.sorts[sort].derived | OWN
                if part not in every:
                    raise self.wrong(f"“{name}” in “{text}”: a {sort} has no fact “{part}”.")
                found = every[part]
            sorts = [found.of] if isinstance(found, Fact) and found.of else []
        return found

    def words(self, words: Words) -> None:
        for text in (words.one, words.other) if isinstance(words, Plural) else (words,):
            for place in PLACE.findall(text):
                self.name(place.partition(":")[0], text)
        if isinstance(words, Plural):
            self.name(words.by, words.other)

    def value(self, given: Any) -> None:
        if isinstance(given, dict | list | tuple):
            for part in given.values() if isinstance(given, dict) else given:
                self.value(part)
        if isinstance(given, From) and given.name not in ("id", "at"):
            self.name(given.name, given.name)

    def effect(self, effect: Effect) -> None:
        self.condition(effect.when)
        if effect.op == "do":
            if effect.path not in EFFECTS:
                raise self.wrong(f"there is no effect “{effect.path}” in the named code.")
        elif effect.op == "each":
            self.field(effect.path)
        elif effect.op == "make":
            self.made_facts(effect)
        else:
            self.name(effect.path, effect.path)
            self.value(effect.value)

    def made_facts(self, effect: Effect) -> None:
        if effect.path not in self.sorts:
            raise self.wrong(f"there is no sort of thing “{effect.path}”.")
        for name, given in effect.value.items():
            self.path([effect.path], [name], name, name)
            self.value(given)

    def derived(self, sort: Sort, how: Any) -> None:
        if not isinstance(how, Derived):
            self.condition(how)
            return
        self.function(how.function)
        for given in how.given:
            if isinstance(given, str) and given.startswith("."):
                self.path([sort.sort], [given[1:]], given, how.function)


def _all(effects: Iterable[Effect]) -> Iterator[Effect]:
    for effect in effects:
        yield effect
        if effect.op == "each":
            yield from _all(effect.value)


def _literals(tree: Tree) -> Iterator[tuple[str, str]]:
    """Every word that a name is held against, with that name."""
    if tree[0] in ("&", "|", "!"):
        for part in tree[1:]:
            yield from _literals(part)
    elif tree[0] in ("=", "!="):
        yield from ((tree[1], value) for value in tree[2:] if isinstance(value, str))
