"""The decision to go on in spite of a rule, recorded on a thing by name and with its reason."""

from flask import Blueprint, Response, abort, make_response, redirect

from bench.reference.cautions import Rule
from bench.screens.kit.deciding import RECORDED, entry_of, read_decision
from bench.web.current import current_bench
from bench.web.forms import Form, read_form
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import record_all
from bench.web.words import _

blueprint = Blueprint("decide", __name__)


@blueprint.post("/thing/<thing>/decide")
def keep(thing: str) -> Response:
    """Record the decision and go back to the step where it was made."""
    if not current_bench().state.exists(thing):
        abort(404)
    form = read_form()
    back = own_path(form.typed.get("back", "/"))
    rule = _rule(form)
    if rule is None:
        return page("fault.html", form=form, status=422, title=_("Not recorded"), why=form.errors[""], back=back)
    decision = read_decision(form, rule.slug, form.typed["step"], required=True)
    if form.ok and decision is not None:
        said = _("Decided: {rule}", rule=rule.in_general)
        if record_all([entry_of(decision, thing)], form=form, say=said):
            return make_response(redirect(back, 303))
    return page("thing/decide.html", form=form, rule=rule, back=back)


def _rule(form: Form) -> Rule | None:
    """The rule that the form names, where a decision may lift it at that step."""
    rule: Rule | None = current_bench().library.rules.get(form.typed.get("rule", ""))
    if rule is None:
        form.refuse(_("There is no such rule on this bench."))
    elif rule.override != RECORDED or rule.effect == "refuse" or form.typed.get("step", "") not in rule.steps:
        form.refuse(_("This rule cannot be overridden here: {rule}", rule=rule.in_general))
        return None
    return rule
