"""Reads a weighing from its form: the mass as typed or by difference, and the jar whose tag was read."""

from dataclasses import dataclass, replace

from bench.records.state import State
from bench.science.formulas import pretty
from bench.screens.kit.declared import read_field
from bench.screens.kit.names import reagent_name
from bench.screens.weighing.weighing import WeighTarget
from bench.steps.fields import Field
from bench.steps.weigh import STEP
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.ids import is_ulid
from bench.web.words import _
from bench.workshop.things.jars import Jar, jar


@dataclass(frozen=True)
class Read:
    """A weighing as read. Masses in grams; `jar` is the ULID of the jar it came from, if any is known."""

    net_g: float
    before_g: float | None
    after_g: float | None
    jar: str | None
    corrects: tuple[str, ...]
    added_g: float | None = None


def read_weighing(form: Form, aim: WeighTarget) -> Read | None:
    """What was weighed of a line, or None where something was refused beside its field."""
    taken = read_jar(form, aim)
    corrects = read_corrects(form, aim)
    if form.flag("adding"):
        return _topped_up(form, aim, taken, corrects)
    before, after = (read_field(form, STEP.field(one), False) for one in ("before_g", "after_g"))
    by_difference = bool(form.typed.get("before_g", "").strip() or form.typed.get("after_g", "").strip())
    net = read_field(form, _seen("net_g", aim), required=not by_difference)
    if by_difference:
        net = _difference(form, aim, net, before, after)
    if not form.ok or net is None:
        return None
    return Read(net, before, after, taken, corrects)


def _seen(name: str, aim: WeighTarget) -> Field:
    """A mass that the balance can show: at least a tenth of its last digit."""
    return replace(STEP.field(name), low=aim.d_g / 10)


def _difference(
    form: Form, aim: WeighTarget, typed: float | None, before: float | None, after: float | None
) -> float | None:
    """The net mass of two weighings of one container, whichever way the powder went."""
    for name, value in (("before_g", before), ("after_g", after)):
        if value is None:
            form.refuse(_("Fill in the container before and after."), name)
    if before is None or after is None:
        return None
    net = round(abs(after - before), 9)
    if net == 0:
        form.refuse(_("Before and after are the same, so nothing was taken."), "after_g")
    elif typed is not None and abs(typed - net) > aim.within_g:
        said = _(
            "The two weighings differ by {net} g, but {typed} g is typed here.", net=aim.text(net), typed=f"{typed:g}"
        )
        form.refuse(said + " " + _("Leave one of them empty."), "net_g")
    return net


def _topped_up(form: Form, aim: WeighTarget, taken: str | None, corrects: tuple[str, ...]) -> Read | None:
    added = read_field(form, _seen("added_g", aim), required=True)
    before = _before(form, aim)
    if before is None:
        form.refuse(_("None of this was weighed before. Weigh all of it."), "added_g")
    if not form.ok or added is None or before is None:
        return None
    return Read(round(before + added, 9), None, None, taken, corrects, added)


def _before(form: Form, aim: WeighTarget) -> float | None:
    """What was in the mortar before this very submit, also where it comes a second time because its answer was lost."""
    own = current_bench().state.record(form.record_id)
    corrected = current_bench().state.record(own.corrects[0]) if own is not None and own.corrects else None
    return aim.line.weighed_g if corrected is None else float(corrected.body.net_g)


def read_corrects(form: Form, aim: WeighTarget) -> tuple[str, ...]:
    """The weighings of this line that the form means to correct; ids of anything else are left out."""
    state = current_bench().state
    known = {r.id for r in state.all_rows(aim.batch.id, "weighed") if r.data.get("line") == aim.number}
    named = [part for part in form.typed.get("corrects", "").split() if is_ulid(part)][:20]
    return tuple(part for part in named if part in known)


def read_jar(form: Form, aim: WeighTarget) -> str | None:
    """The jar that the typed tag names, else the planned one. A wrong jar is said plainly, and what it is."""
    code = form.code("jar", required=False)
    planned = aim.jar.id if aim.jar is not None else None
    if code is None:
        return planned
    state = current_bench().state
    things = state.things_with(code)
    if planned in things:
        return planned
    jars = [found for found in (jar(state, thing) for thing in things) if found is not None]
    if not jars:
        form.refuse(_no_jar(state, things), "jar")
        return planned
    taken = jars[0]
    unplanned = aim.jar is None and taken.opened.formula == aim.line.plan.formula
    if not form.flag("this_jar") and not unplanned:
        form.refuse(_wrong(aim, taken), "jar")
    return taken.id


def _no_jar(state: State, things: list[str]) -> str:
    if not things:
        return _("No item has this code. Check the tag again.")
    what = state.sort_of(things[0]) or "thing"
    return _("This is the tag of a {what}, not of a jar.", what=what)


def _wrong(aim: WeighTarget, taken: Jar) -> str:
    library = current_bench().library
    name, formula = reagent_name(taken.name, library), pretty(taken.opened.formula)
    said = _(
        "Wrong jar: this one holds {name}, {formula}. You need {wanted}.", name=name, formula=formula, wanted=aim.name
    )
    if taken.opened.formula == aim.line.plan.formula:
        said = _("Not the planned jar, but it holds {name} too.", name=name)
    return said + " " + _("Put this jar back, or tick below if you used it.")
