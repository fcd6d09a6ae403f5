"""The target of a plan as it was typed: a name, a slug or a formula, and the member of a family that it is."""

from dataclasses import dataclass

from bench.reckoning.families import member_of
from bench.reckoning.name_slips import is_words
from bench.reckoning.questions import ask_formula
from bench.reference import Library
from bench.reference.names import plain
from bench.reference.search import search
from bench.reference.things import Target
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.web.forms import Form
from bench.web.words import _

MOST_NEAR = 5


@dataclass(frozen=True)
class Wanted:
    """What is wanted: its formula, the library's target where it is one, and x in a family."""

    formula: str
    target: Target | None
    x: float | None = None
    in_range: bool = True

    @property
    def name(self) -> str:
        return self.target.name if self.target is not None else self.formula

    @property
    def outside(self) -> str | None:
        """A question where x lies outside the range that is known to work, else None."""
        if self.in_range or self.target is None:
            return None
        say = _("x = {x:g} is outside {low:g} to {high:g}, where {name} is one phase.")
        low, high = self.target.x_low or 0.0, self.target.x_high or 0.0
        return say.format(x=self.x or 0.0, low=low, high=high, name=self.target.name)


def read_target(form: Form, library: Library, required: bool = True) -> Wanted | None:
    """The target that was typed; what cannot be read, or must not be planned, stands beside the field."""
    typed = form.text("target", max_len=120, required=required)
    if not typed:
        return None
    with form.beside("target"):
        return wanted(typed, library)
    return None


def wanted(typed: str, library: Library) -> Wanted:
    """The target behind a typed text; Refusal where nothing is known by it, or where it is not to be planned here."""
    named = _named(typed, library)
    if named is None:
        ask_formula(typed, library, "target", count=False)
    try:
        formula = parse(typed)
    except Refusal as refusal:
        if named is None:
            raise Refusal(_unknown(typed, library, refusal.say), "target") from None
        return _plannable(Wanted(named.formula, named))
    member = member_of(formula, library)
    if member is None:
        return Wanted(typed, None)
    return _plannable(Wanted(typed, member.target, member.x, member.in_range))


def _unknown(typed: str, library: Library, why: str) -> str:
    """What is said of a text that names nothing: of words, what they may mean; of all else, why it is no formula."""
    if not is_words(typed):
        return _("No target is called that, and it is not a formula. {why}", why=why)
    alike = near(typed, library)
    if alike:
        return _("No target is called that. Did you mean {name}?", name=alike[0].name)
    return _("No target is called that. Type a known name, or a formula such as CoAl2O4.")


def near(typed: str, library: Library) -> list[Target]:
    """The targets that fit a typed text which is neither a name nor a formula, the best first."""
    hits = [hit for hit in search(library, typed) if hit.kind == "target"]
    found = [library.targets[hit.slug] for hit in hits if hit.slug in library.targets]
    return [one for one in found if one.status == "plannable"][:MOST_NEAR]


def _named(typed: str, library: Library) -> Target | None:
    """The target of a name. A broken formula is never taken for the formula that it resembles."""
    found = library.targets.get(typed) or library.target(typed)
    if found is None or plain(typed) == plain(found.formula):
        return None
    return found


def _plannable(found: Wanted) -> Wanted:
    target = found.target
    if target is not None and target.status != "plannable":
        raise Refusal(_("{name} is not planned here: {why}.", name=target.name, why=target.status_reason), "target")
    if target is not None:
        try:
            parse(found.formula)
        except Refusal as refusal:
            say = _("{name} varies: type the formula that you mean. {why}", name=target.name, why=refusal.say)
            raise Refusal(say, "target") from None
    return found
