"""Judges a step before it is done: which rules refuse it, block it until something changes, or flag it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from bench.reckoning.rules.asking import PART_KEYS, Asking
from bench.reckoning.rules.cards import Known, known
from bench.reckoning.rules.conditions import CONDITIONS, NONE, checked
from bench.reckoning.rules.follows import FOLLOWS
from bench.reckoning.rules.grammar import Answer, BadPattern, Is, Node, atoms, either, evaluate, parse_pattern
from bench.reckoning.rules.saying import met_by, said, sources_of
from bench.reckoning.rules.scene import Scene, Seen
from bench.reckoning.rules.substances import Part
from bench.reference.cautions import EFFECTS, STEPS, Rule
from bench.reference.library import Library
from bench.science.refusal import Refusal
from bench.translation import _

RECORDED = "recorded-decision"
FORM_RULE = "form-not-chosen"
LEAST_TELLING = "card-refuse"
"""The refusal that says least about why; another one speaks first where there is one."""
ESTIMATED = frozenset({"peak", "idlh", "short_limit", "index"})
SOFT = {"lining-rating": "flag"}
"""Rules that only flag while what they ask for is not known."""


@dataclass(frozen=True)
class Finding:
    """What one rule says to one step.

    `effect` is refuse (not done here at all), block (until the condition changes) or flag (shown at the step, kept
    on the record). `because` names the parts and conditions that set it off; `sure` is false where something not
    known counted as the worse value. `override` is none, or recorded-decision where a named person may lift it by a
    record that says why.
    """

    rule: str
    effect: str
    say: str
    sources: tuple[str, ...]
    basis: str
    override: str
    because: tuple[str, ...]
    step: str
    sure: bool = True
    project_default: bool = False
    more: str = ""

    @property
    def whole(self) -> str:
        """What it says, with its second line: for places that have room for a text alone."""
        return f"{self.say} {self.more}".rstrip()


@dataclass(frozen=True)
class Decision:
    """A recorded decision to go on in spite of a rule at a step: who decided, and why."""

    rule: str
    step: str
    who: str
    why: str


def judge(step: str, parts: Sequence[Part], conditions: Mapping[str, object], library: Library) -> list[Finding]:
    """What the rules say to `step` with these parts under these conditions: refusals first, then blocks, then
    flags.

    `step` is one of `STEPS`; `conditions` are named in `CONDITIONS`. What is not known counts as the worse value,
    so a condition that is left out never silences a rule. Raises ValueError for a step or a condition that no rule
    knows.
    """
    if step not in STEPS:
        raise ValueError(f"the rules know no step '{step}'")
    scene = _scene(step, parts, checked(conditions), known(library))
    rules = (rule for rule in library.rules.values() if step in rule.steps)
    findings = [each for each in (_finding(rule, scene) for rule in rules) if each is not None]
    return sorted(findings, key=lambda each: EFFECTS.index(each.effect))


def _scene(step: str, parts: Iterable[Part], conditions: Mapping[str, object], turned: Known) -> Scene:
    seen = tuple(Seen(part, turned.facts(part), turned.label(part)) for part in parts)
    return Scene(step, seen, conditions, turned, FOLLOWS)


def _dried_outside(scene: Scene) -> bool:
    """Solvent may leave a paste in the open air, away from heat."""
    return scene.step == "dry" and scene.value("drying") == ("open-air",)


def _fast_in_its_lattice(scene: Scene, seen: Seen) -> bool:
    """Whether a part is a fired spinel or rutile: its metals are held and do not leave as fume."""
    target = scene.known.library.targets.get(seen.part.slug or "")
    return target is not None and any(word in target.structure for word in ("spinel", "rutile"))


def _form_not_told(scene: Scene, seen: Seen) -> bool:
    """Whether a formula is that of a refused dry salt, and also how the jar of its milder hydrate is
    usually written: which of the two it is has to be asked first."""
    return "form_open" in seen.facts.marks


def _beside_the_charge(scene: Scene, seen: Seen) -> bool:
    """A binder's few drops, paper and liquids are no charge; packing burns with it."""
    return seen.part.role not in ("line", "packing")


LEFT_OUT: Mapping[str, Callable[[Scene, Seen], bool]] = {
    "metal-fume": _fast_in_its_lattice,
    "card-refuse": _form_not_told,
    "carbon-monoxide-charge": _beside_the_charge,
}
"""Parts that a rule does not look at although its pattern cannot say so."""
EXEMPT: Mapping[str, Callable[[Scene], bool]] = {"solvent-paste": _dried_outside}
"""What lifts a rule although its pattern cannot say so."""


def _finding(rule: Rule, scene: Scene) -> Finding | None:
    if rule.slug in EXEMPT and EXEMPT[rule.slug](scene):
        return None
    if rule.slug in LEFT_OUT:
        left_out = LEFT_OUT[rule.slug]
        scene = replace(scene, seen=tuple(each for each in scene.seen if not left_out(scene, each)))
    answer = _answer(parse_pattern(rule.pattern), scene)
    if answer.holds is False:
        return None
    met = met_by(rule, scene, answer.because)
    say, more = said(met)
    return Finding(
        rule=rule.slug,
        effect=SOFT.get(rule.slug, rule.effect) if answer.holds is None else rule.effect,
        say=say,
        more=more,
        sources=sources_of(met),
        basis=rule.basis,
        override=rule.override,
        because=answer.because,
        step=scene.step,
        sure=answer.holds is not None,
        project_default=rule.project_default,
    )


def _answer(tree: Node, scene: Scene) -> Answer:
    """The answer of a pattern; by parts one at a time where one line is enough, by estimates one at a time where
    there are several."""
    asked = atoms(tree)
    if "estimates" in scene.conditions and any(atom.key in ESTIMATED for atom in asked):
        return either(evaluate(tree, Asking(each, each.seen)) for each in _estimates(scene))
    if any(isinstance(atom, Is) and atom.values == ("any_line",) for atom in asked):
        return either(evaluate(tree, Asking(scene, (each,))) for each in scene.seen)
    return evaluate(tree, Asking(scene, scene.seen))


def _estimates(scene: Scene) -> list[Scene]:
    """The scene once for each gas that was estimated, and once with the sum of the irritants alone."""
    told = scene.conditions["estimates"]
    if not isinstance(told, Sequence):
        raise ValueError("estimates are a list, one a gas")
    nothing: dict[str, object] = dict.fromkeys(ESTIMATED, NONE)
    common = {key: value for key, value in scene.conditions.items() if key != "estimates"}
    alone = {**nothing, **common}
    return [replace(scene, conditions={**alone, **checked(each)}) for each in ({}, *told)]


def may_hold(pattern: str, parts: Sequence[Part], conditions: Mapping[str, object], library: Library) -> bool:
    """Whether a pattern of the rules holds of these parts while they are weighed; what is not known counts as true."""
    scene = _scene("weigh", parts, checked(conditions), known(library))
    return _answer(parse_pattern(pattern), scene).holds is not False


def refuse_if_dangerous(parts: Sequence[Part], library: Library, field: str | None = "reagents") -> None:
    """Raises Refusal where a rule refuses these parts already when they are planned: by element, chromate state or
    combination."""
    scene = _scene("plan", parts, {}, known(library))
    found = [each for each in (_finding(rule, scene) for rule in scene.known.refusing) if each is not None]
    if found:
        first = min(found, key=lambda each: each.rule == LEAST_TELLING)
        raise Refusal(_("{why} Found: {parts}.", why=first.whole, parts=", ".join(first.because)), field)


def forms_to_choose(parts: Sequence[Part], library: Library) -> list[str]:
    """What has to be asked before these parts are planned: which of two jars a formula means."""
    scene = _scene("plan", parts, {}, known(library))
    found = _finding(library.rules[FORM_RULE], scene) if scene.any_mark("form_open") else None
    return [found.whole] if found is not None else []


@dataclass(frozen=True)
class Standing:
    """Findings parted by the decisions: those that still stand, and those that a recorded decision has lifted."""

    still: tuple[Finding, ...]
    lifted: tuple[tuple[Finding, Decision], ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What still keeps the step from being done."""
        return tuple(each for each in self.still if each.effect != "flag")


def overridden(findings: Iterable[Finding], decisions: Iterable[Decision]) -> Standing:
    """Lifts those findings for which a named person recorded why, where the rule lets a decision lift it; refusals
    never."""
    made = {(each.rule, each.step): each for each in decisions if each.who.strip() and each.why.strip()}
    still: list[Finding] = []
    lifted: list[tuple[Finding, Decision]] = []
    for finding in findings:
        decision = made.get((finding.rule, finding.step))
        if decision is not None and finding.override == RECORDED and finding.effect != "refuse":
            lifted.append((finding, decision))
        else:
            still.append(finding)
    return Standing(tuple(still), tuple(lifted))


def faults(rules: Iterable[Rule]) -> list[str]:
    """What is wrong with the rules as data, in plain words: a pattern that cannot be read, a key or a step that
    nobody knows."""
    found: list[str] = []
    for rule in rules:
        try:
            asked = atoms(parse_pattern(rule.pattern))
        except BadPattern as bad:
            found.append(f"{rule.slug}: {bad}")
            continue
        keys = {key for atom in asked for key in (atom.key, getattr(atom, "other", None)) if key}
        found += [
            f"{rule.slug}: nothing answers '{key}'" for key in sorted(keys - PART_KEYS - set(CONDITIONS) - {"step"})
        ]
        found += [f"{rule.slug}: no step is called '{step}'" for step in rule.steps if step not in STEPS]
        found += [f"{rule.slug}: no effect is called '{rule.effect}'"] if rule.effect not in EFFECTS else []
    return found
