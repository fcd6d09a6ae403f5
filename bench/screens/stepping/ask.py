"""The page of a step that is declared and nothing more: its form, what stands against it, the records it makes."""

from dataclasses import dataclass

from flask import Blueprint, Response, abort, make_response, redirect

from bench.reckoning.rules import Finding, Part
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import Check
from bench.screens.kit.declared import Typed, past_words, read_step, shown_fields, start_of
from bench.screens.kit.dust_checks import dust, read_dust
from bench.screens.kit.gating import goes_on
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.steps import thing_path
from bench.screens.kit.thing_label import thing_label
from bench.steps import HOUSE, STEPS
from bench.steps.declare import Step
from bench.steps.furthering import MADE, further
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import page
from bench.web.recording import Entry, entry_id, record_all
from bench.workshop.facts import facts, known_things
from bench.workshop.gates import declared, gate_batch, gate_pigment, one_a_rule
from bench.workshop.parts import batch_parts, charge_parts
from bench.workshop.things.crucibles import earlier_charges

blueprint = Blueprint("stepping", __name__)


@dataclass(frozen=True)
class Doing:
    """A declared step on one thing of a sort."""

    step: Step
    sort: str
    thing: str

    def parts(self) -> list[Part]:
        """What the thing is made of, for the cautions."""
        state = current_bench().state
        if self.sort == "batch":
            return batch_parts(state, self.thing)
        return [part for one in earlier_charges(state, self.thing) for part in charge_parts(state, one)]

    def findings(self, typed: Typed) -> list[Finding]:
        """What stands against it: in the order of the work, and by the rules of what the thing is made of."""
        state, library = current_bench().state, current_bench().library
        found = declared(state, self.step.verb, self.thing, fields=typed.fields)
        judge = {"batch": gate_batch, "pigment": gate_pigment}[self.sort]
        for rule in self.step.rules:
            found += judge(state, rule, self.thing, library, **self.step.terms)
        return one_a_rule(found)

    def dust(self, form: Form) -> list[Check]:
        """The checks for dust that are still open in this sitting, where the step raises any."""
        return dust(self.thing, form) if self.step.dust else []


def _ask(doing: Doing) -> Response:
    return _show(doing, blank(**start_of(doing.step, doing.thing)), Typed())


def _keep(doing: Doing) -> Response:
    form = read_form()
    typed = read_step(form, doing.step, doing.thing)
    dusty = read_dust(form, doing.dust(form), doing.thing, doing.step.dust, dry=True) if doing.step.dust else []
    if form.ok and goes_on(form, doing.findings(typed)):
        entries, made = _entries(doing, form, typed)
        said = past_words(doing.step, doing.thing, typed.fields | typed.data)
        if record_all([*entries, *dusty], form=form, say=said):
            shown = made if doing.step.record is None and made is not None else doing.thing
            return make_response(redirect(thing_path(doing.sort, shown), 303))
    return _show(doing, form, typed)


def _entries(doing: Doing, form: Form, typed: Typed) -> tuple[list[Entry], str | None]:
    """The records of one submit, and the thing that one of them made: the step's own, its further ones, the codes."""
    step = doing.step
    found = [Entry(step.record, doing.thing, typed.data)] if step.record is not None else []
    made: str | None = None
    coded: list[str] = []
    for one in further(
        HOUSE, step, known_things(current_bench().state, doing.thing, typed.fields), doing.thing, typed.fields
    ):
        if one.thing is None:
            made = entry_id(form, len(found))
            coded += [made] if one.coded else []
        found.append(Entry(one.record, made if one.thing == MADE else one.thing, one.data))
    for thing in coded:
        found += code_entries(form, thing=thing)
    return found, made


def _show(doing: Doing, form: Form, typed: Typed) -> Response:
    found = doing.findings(typed)
    return page(
        "steps/ask.html",
        form=form,
        step=doing.step,
        thing=doing.thing,
        called=thing_label(doing.thing),
        fields=shown_fields(form, doing.step, doing.thing),
        findings=found,
        dust=doing.dust(form),
        home=thing_path(doing.sort, doing.thing),
        foot=cautions(doing.step.rules[0], doing.parts()),
    )


def _register(step: Step, sort: str) -> None:
    """The address of a step on one sort of thing: the form by GET, its records by POST."""
    address = next(one for one in step.address if f"{{{sort}}}" in one).replace(f"{{{sort}}}", "<thing>")

    def doing(thing: str) -> Doing:
        if current_bench().state.sort_of(thing) != sort or facts(current_bench().state, thing) is None:
            abort(404)
        return Doing(step, sort, thing)

    name = f"{step.verb}_{sort}".replace("-", "_")
    blueprint.add_url_rule(address, f"ask_{name}", lambda thing: _ask(doing(thing)), methods=["GET"])
    blueprint.add_url_rule(address, f"keep_{name}", lambda thing: _keep(doing(thing)), methods=["POST"])


for _step in (one for one in STEPS if one.generic):
    for _sort in _step.on:
        _register(_step, _sort)
