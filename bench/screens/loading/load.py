"""Loading: a crucible by its code or from the list, what goes in, under which lid, and whether it fits."""

from functools import partial
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding, Part
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import Check, alone, checks, due, holding, lines, read_checks, tally, turned, unanswered
from bench.screens.kit.deciding import Decided, decided
from bench.screens.kit.declared import shown_fields
from bench.screens.kit.gating import may_record
from bench.screens.kit.last import last_said
from bench.screens.kit.onward import onward
from bench.screens.loading.filling import Fit, fit, fits, loose
from bench.screens.loading.loading import MORE_ROWS, Filled, Main, of_batch, of_pigment, read_filling
from bench.steps.load import STEP
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.gates import gate_load, reason
from bench.workshop.parts import source_parts

blueprint = Blueprint("load", __name__)

PHASE = "before-loading"
MOST_SHARES = 6
LEFT_OVER_G = 0.05
"""What stays on mortar and spoon: nobody fills another crucible with so little (project default)."""


def _batch_or_404(thing: str) -> Main:
    return or_404(of_batch(current_bench().state, thing))


def _pigment_or_404(thing: str) -> Main:
    return or_404(of_pigment(current_bench().state, thing))


@blueprint.get("/batch/<thing>/load")
def ask_batch(thing: str) -> Response:
    """Fill a crucible with a batch."""
    return _ask(_batch_or_404(thing))


@blueprint.post("/batch/<thing>/load")
def keep_batch(thing: str) -> Response:
    """Record the filling, or the answers to the checks before it."""
    return _keep(_batch_or_404(thing))


@blueprint.get("/pigment/<thing>/refire")
def ask_pigment(thing: str) -> Response:
    """Load a fired powder again, with fresh flux."""
    return _ask(_pigment_or_404(thing))


@blueprint.post("/pigment/<thing>/refire")
def keep_pigment(thing: str) -> Response:
    """Record the next generation's filling, or the answers to the checks before it."""
    return _keep(_pigment_or_404(thing))


def _list(main: Main) -> list[Check]:
    here = current_bench()
    return turned(checks(here.state, here.library, PHASE, main.id, here.now()), main.id)


def _holding(found: list[Check]) -> list[Check]:
    """The stops that keep from loading."""
    return holding(found, "load")


def _ask(main: Main) -> Response:
    found = _list(main)
    late = request.args.get("late")
    if request.args.get("checks") or (not late and (unanswered(found) or _holding(found))):
        return _show_checks(main, blank())
    share = request.args.get("share", "1")
    parts = int(share) if share.isascii() and share.isdecimal() and 1 <= int(share[:2]) <= MOST_SHARES else 1
    g = None if main.left_g is None or main.wet else round(max(main.left_g, 0.0) / parts, 2)
    lid = last_said("charge", "charged", "lid") or "loose"
    return _show(main, blank().offer(g=g, lid=lid))


def _keep(main: Main) -> Response:
    form = read_form()
    if form.typed.get("part") == "checks":
        entries = read_checks(form, _list(main), PHASE, main.id)
        if form.ok and record_all(entries, form=form, say=_("Checks before filling")):
            more = {"checks": 1, "one": 1} if form.flag("one") and unanswered(_list(main)) else {}
            return go(f"load.ask_{main.sort}", thing=main.id, **more)
        return _show_checks(main, form)
    if form.flag("all_of_it") and main.left_g:
        form.typed["g"] = f"{main.left_g:g}"
        form.offered.pop("g", None)
    filled = read_filling(form, main)
    if filled is None:
        return _show(main, form)
    full = _fit(filled)
    choice = decided(form, _stands_against(main, filled, full), form.record_id)
    if not form.ok:
        return _show(main, form, filled, full, choice)
    if not may_record(form, choice.still):
        form.refuse(_("Not recorded: see the reasons below."))
        return _show(main, form, filled, full, choice)
    also = {"crucible": filled.vessel.id, main.sort: main.id}
    assumed = ["sources"] if "g" in form.unread() else []
    entries = [Entry("charged", None, filled.data(), also=also, assumed=assumed), *choice.entries]
    if record_all(entries, form=form, say=_said(filled)):
        return _after(form, main)
    return _show(main, form, filled, full, choice)


def _after(form: Form, main: Main) -> Response:
    """On with this crucible where nothing is left for another one; else to its page, which offers the next."""
    made, again = form.record_id, of_batch if main.sort == "batch" else of_pigment
    rest = again(current_bench().state, main.id)
    over = rest is None or rest.left_g is None or rest.left_g > LEFT_OVER_G
    return go("charge.show", thing=made) if over else onward(form, made, "dry", "place")


def _said(filled: Filled) -> str:
    g = sum(one.g for one in filled.sources)
    return _("{g} g into {code}", g=grams(g), code=code_text(filled.vessel.code))


def _fit(filled: Filled) -> Fit:
    """The fill by all that goes in, as loose powder: a paste takes no more room than that."""
    parts = source_parts(current_bench().state, filled.sources)
    return fit(
        filled.vessel,
        sum(one.g for one in filled.sources),
        loose(parts, current_bench().library),
        current_bench().library,
    )


def _stands_against(main: Main, filled: Filled, full: Fit) -> list[Finding]:
    state, library = current_bench().state, current_bench().library
    more: dict[str, Any] = {} if full.fraction is None else {"fill_fraction": min(full.fraction, 1.0)}
    found = gate_load(state, filled.vessel.id, filled.sources, filled.lid, library, packing=filled.packing, **more)
    not_done = tuple(one.says for one in _holding(_list(main)))
    said = _("A check before filling was answered with not done.")
    found = ([reason("check-says-stop", said, "load", because=not_done)] if not_done else []) + found
    if main.closed:
        found.insert(0, reason("batch-closed", _("This batch is closed."), "load"))
    if not full.fits and full.pct is not None:
        say = _("Too full: {pct:.0f} % of the crucible. {most}.", pct=full.pct, most=full.most)
        found.append(reason("too-full", say, "load", effect="flag"))
    return found


def _show_checks(main: Main, form: Form) -> Response:
    found = _list(main)
    whole = request.args.get("checks") and not request.args.get("one")
    one = alone(found, form.flag("one") if form.posted else not whole, form.errors)
    return page(
        "load/checks.html",
        form=form,
        main=main,
        found=due(found) if one else found,
        lines=lines(found),
        one=one,
        said=tally(found),
        foot=cautions("load", _parts(main, None)),
    )


def _parts(main: Main, filled: Filled | None) -> list[Part]:
    return source_parts(current_bench().state, filled.sources) if filled is not None else main.parts(None)


def _show(
    main: Main, form: Form, filled: Filled | None = None, full: Fit | None = None, choice: Decided | None = None
) -> Response:
    library = current_bench().library
    g = _guess_g(form, main)
    mixture = loose(main.parts(g), library)
    listed = fits(current_bench().state, g, mixture, library)
    return page(
        "load/ask.html",
        form=form.learn(partial(read_filling, main=main)),
        main=main,
        findings=list(choice.still) if choice is not None else [],
        full=full,
        fits=listed,
        mixture=mixture,
        rows=range(MORE_ROWS),
        more_open=main.sort == "pigment" or _more_typed(form),
        shares=range(1, MOST_SHARES + 1),
        fields={one.name: one for one in shown_fields(form, STEP, main.id)},
        list_said=tally(_list(main)),
        foot=cautions("load", _parts(main, filled)),
    )


def _more_typed(form: Form) -> bool:
    names = [f"{name}.{n}" for n in range(MORE_ROWS) for name in ("more_code", "more_g")]
    return any(form.typed.get(name) or name in form.errors for name in names)


def _guess_g(form: Form, main: Main) -> float | None:
    """Grams to show the fill for, before they are read for good."""
    typed = form.typed.get("g", "").strip().replace(",", ".")
    try:
        g = float(typed)
    except ValueError:
        return main.left_g if main.left_g and main.left_g > 0 else None
    return g if 0 < g < 1e5 else None
