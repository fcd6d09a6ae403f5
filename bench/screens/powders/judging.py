"""Judge a powder: the verdict, in words, the causes that are suspected; and what it lacks, where it is made up."""

from urllib.parse import urlencode

from flask import Blueprint, Response

from bench.reckoning.rules import Finding
from bench.reference.things import Sign
from bench.science.formulas import pretty
from bench.screens.kit.declared import past_words, read_step, shown_fields
from bench.screens.kit.gating import goes_on
from bench.screens.kit.names import reagent_name
from bench.screens.kit.thing_label import thing_label
from bench.screens.planning.heat import SEGMENTS
from bench.screens.powders.powder import powder_or_404, slug_of, step_page
from bench.screens.powders.wasting import IS_IN
from bench.steps.judge import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.making_up import MakeUp, make_up
from bench.workshop.things.charges import batches_of
from bench.workshop.things.pigments import Pigment
from bench.workshop.things.swatches import photos_of, swatch
from bench.workshop.trying import CAUSES, failure_signs, signs_seen
from bench.workshop.waste_gate import gate_waste

blueprint = Blueprint("judging", __name__, url_prefix="/pigment")

DISCARD = "discard"


def causes_of(view: Pigment) -> list[tuple[str, str, str]]:
    """The causes to choose from as (field, cause, sign): its targets' own, those of signs that were seen first; then
    the usual ones."""
    here = current_bench()
    seen = {one.casefold() for one in signs_seen(here.state, view.id)}
    known = failure_signs(here.state, view.id, here.library)
    own = [_told(one) for one in known if one.sign.casefold() in seen]
    rest = [_told(one) for one in known if one.sign.casefold() not in seen]
    rows = here.library.advice
    usual = [
        (cause, rows[sign].says.split(": ", 1)[-1] if sign in rows else "") for cause, (sign, _a) in CAUSES.items()
    ]
    found: dict[str, tuple[str, str, str]] = {}
    for cause, sign in [*own, *usual, *rest]:
        found.setdefault(slug_of(cause), (slug_of(cause), cause, sign))
    return list(found.values())


def _told(one: Sign) -> tuple[str, str]:
    return one.cause, f"{one.sign}: {one.tells_apart}" if one.tells_apart else one.sign


@blueprint.get("/<thing>/judge")
def ask(thing: str) -> Response:
    """What is made of it."""
    view = powder_or_404(thing)
    return _show(view, blank(**{f"by.{one}": "1" for one in _unjudged(view)}))


def _unjudged(view: Pigment) -> list[str]:
    state = current_bench().state
    return [one for one in view.swatches if (found := swatch(state, one)) is not None and found.judged is None]


def _show(view: Pigment, form: Form) -> Response:
    here = current_bench()
    painted = [thing_label(one) for one in view.swatches]
    rows = here.library.advice
    return step_page(
        "judge", view, form, "swatch", [],
        fields=shown_fields(form, STEP, view.id),
        causes=causes_of(view),
        seen=signs_seen(here.state, view.id),
        painted=[(one.id, code_text(one.code) if one.code else one.name) for one in painted],
        photos=[photo for one in (*view.swatches, view.id) for photo in photos_of(here.state, one)],
        containers=[(one, thing_label(one).name) for one in here.state.open_things("waste")],
        cold=rows.get("judge-cold"),
    )  # fmt: skip


@blueprint.post("/<thing>/judge")
def keep(thing: str) -> Response:
    """Record the verdict on the powder, on the swatches it was judged by, and what went into the waste."""
    view = powder_or_404(thing)
    form = read_form()
    data = read_step(form, STEP, thing).data | {"suspected": _suspected(form, view)}
    by = form.choices("by", list(view.swatches))
    bin_ = form.choice("waste", current_bench().state.open_things("waste"), required=False)
    if bin_ is not None and data.get("verdict") != DISCARD:
        form.refuse(_("Only discarded pigment goes into waste."), "waste")
    if form.ok:
        entries = [Entry("judged", one, data) for one in (thing, *by)]
        if bin_ is not None:
            told = {"container": bin_, "from": thing, "mass_g": view.left_g, "contents": _name(view)}
            entries.append(Entry("waste.added", bin_, told))
        said = past_words(STEP, thing, data)
        if goes_on(form, _in_waste(view, bin_), IS_IN, "waste") and record_all(entries, form=form, say=said):
            return go("pigment.show", thing=thing)
    return _show(view, form)


def _in_waste(view: Pigment, bin_: str | None) -> list[Finding]:
    """What in the container stands against the powder going in."""
    here = current_bench()
    return gate_waste(here.state, bin_, _name(view), here.library, view.id) if bin_ is not None else []


def _name(view: Pigment) -> str:
    return thing_label(view.id).name


def _suspected(form: Form, view: Pigment) -> list[dict[str, str]]:
    """Each cause once; one that is both guessed and sure is sure."""
    words = {slug: cause for slug, cause, _sign in causes_of(view)}
    sure = form.choices("sure", list(words))
    guessed = [one for one in form.choices("guess", list(words)) if one not in sure]
    own = form.text("cause", max_len=120)
    found = [{"cause": words[one], "certainty": "sure"} for one in sure]
    found += [{"cause": words[one], "certainty": "guess"} for one in guessed]
    return found + ([{"cause": own, "certainty": "guess"}] if own else [])


@blueprint.get("/<thing>/make-up")
def lacks(thing: str) -> Response:
    """What it lacks of its target, and the plan that brings it."""
    view = powder_or_404(thing)
    here = current_bench()
    found = make_up(here.state, thing, here.library)
    name = thing_label(thing).name
    return page(
        "pigment/make_up.html",
        view=view,
        name=name,
        found=found,
        target=pretty(found.target or ""),
        rows=[(reagent_name(one.held.name, here.library), one.held.g, one.needs_g, one.add_g) for one in found.lines],
        plan=_plan_path(view, name, found),
    )


def _plan_path(view: Pigment, name: str, found: MakeUp) -> str:
    """The plan by grams with its lines filled in: what is to be added; where that is not known, what it was made of."""
    state = current_bench().state
    asked: dict[str, str] = {"name": _("Make-up for {name}", name=name)[:80]}
    code = f" {code_text(view.code)}" if view.code else ""
    held = f"{grams(found.powder_g)} g " if found.powder_g is not None else ""
    asked["notes"] = _("Fill it together with {held}of the pigment{code}.", held=held, code=code)
    if not found.lines and found.target:
        asked["target"] = found.target
    asked |= _heat(view)
    for n, one in enumerate(found.adds):
        jar = one.held.jar
        if jar is not None and state.exists(jar) and jar in state.open_things("jar"):
            asked[f"jar.{n}"] = jar
        else:
            asked[f"formula.{n}"] = one.held.formula
        asked[f"g.{n}"] = f"{one.add_g:.3f}"
    return "/plan/grams?" + urlencode(asked)


def _heat(view: Pigment) -> dict[str, str]:
    """The fire and the cooling that its first batch was planned for."""
    state = current_bench().state
    batches = [b for c in view.charges for b in batches_of(state, c)]
    plan = state.slot(batches[0], "batch.planned").body if batches else None
    if plan is None:
        return {}
    found = {"cooling": plan.cooling_mode, "atmosphere": plan.atmosphere}
    for n, one in enumerate(plan.schedule[:SEGMENTS]):
        numbers = {f"rate.{n}": one.rate_c_per_h, f"to_c.{n}": one.to_c, f"hold_min.{n}": one.hold_min}
        found |= {name: f"{value:g}" for name, value in numbers.items() if value}
    return found
