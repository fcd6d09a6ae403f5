"""A fired powder: where it stands, what came of it, what comes next, and what to try."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response

from bench.science.colour import lab_to_srgb_hex
from bench.screens.kit.attached import attached_rows, phase_words
from bench.screens.kit.jar_waters import waters_by_batch
from bench.screens.kit.steps import step_path
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.screens.planning.again_plan import takes_level
from bench.screens.powders.opening import gap_working
from bench.screens.powders.powder import VERDICT_WORDS, powder_or_404
from bench.screens.records.differing import disagreements
from bench.steps import STEPS
from bench.steps.conditions import holds, parse
from bench.steps.judging import fill
from bench.web.current import current_bench
from bench.web.page import grams, page
from bench.web.words import _
from bench.workshop.expectation import Gap, gap
from bench.workshop.facts import look_on
from bench.workshop.next_steps import optional_steps, pigment_step
from bench.workshop.things.attached import batches_behind
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import batches_of
from bench.workshop.things.pigments import Pigment, cut_from, is_used_up
from bench.workshop.things.swatches import photos_of, swatch
from bench.workshop.trying import advice_for_verdict, next_tries, signs_seen

blueprint = Blueprint("pigment", __name__, url_prefix="/pigment")

STATES = {
    "raw": _("raw, as it came out"),
    "washed": _("washed"),
    "ground": _("ground"),
    "dry": _("dry and weighed"),
    "kept": _("kept"),
    "refire": _("to be fired again"),
    "make-up": _("to be made up"),
    "tint": _("tint stock"),
    "waste": _("waste"),
}


@dataclass(frozen=True)
class GapTold:
    """The mass of one crucible against theory, with its working."""

    gap: Gap
    working: list[Any]


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The powder."""
    view = powder_or_404(thing)
    here = current_bench()
    state, library = here.state, here.library
    following = pigment_step(state, thing)
    tries = next_tries(state, thing, library) if view.judged is not None else ()
    advised = advice_for_verdict(view.judged.verdict, library) if view.judged is not None else []
    return page(
        "pigment/show.html",
        view=view,
        name=thing_label(thing).name,
        said=_("used up") if is_used_up(view) else STATES[view.state],
        following=following,
        path=step_path(following) if following else None,
        optional=[(one.title, step_path(one)) for one in optional_steps(state, thing)],
        says=_says(view),
        parted=_parted(view),
        gaps=_gaps(view),
        waters=waters_by_batch([b for c in view.charges for b in batches_of(state, c)]),
        signs=signs_seen(state, thing),
        swatches=[thing_label(s) for s in view.swatches],
        charges=[thing_label(c) for c in view.charges],
        fill=_fill(view),
        photos=photos_of(state, thing),
        files=attached_rows(thing),
        phases=_phases(thing),
        verdict=VERDICT_WORDS.get(view.judged.verdict, "") if view.judged else "",
        advised=[one for one in advised if one.say not in {other.say for other in tries}],
        tries=tries,
        doses=[one for one in tries if one.level is not None and takes_level(thing)],
        disagreements=disagreements(thing),
    )


def _says(view: Pigment) -> list[str]:
    """The sentences that single steps bring to a powder."""
    look = look_on(current_bench().state, view.id)
    every = [say for step in STEPS if "pigment" in step.on for say in step.says]
    return [fill(say.text, look, _, grams) for say in every if holds(parse(say.when), look) is True]


def _fill(view: Pigment) -> str | None:
    """The colour last measured on one of its swatches, as a screen shows it."""
    brushed = [swatch(current_bench().state, one) for one in view.swatches]
    measured = [one.colour.lab for one in brushed if one is not None and one.colour is not None]
    return lab_to_srgb_hex(measured[-1]).hex if measured else None


def _phases(thing: str) -> list[str]:
    """What may be said of the phase that each batch behind a powder was meant to be."""
    state = current_bench().state
    views = [view for one in batches_behind(state, thing) if (view := batch(state, one)) is not None]
    said = [phase_words(view.plan.target_formula, [thing, view.id]) for view in views if view.plan.target_formula]
    return list(dict.fromkeys(said))


def _parted(view: Pigment) -> tuple[ThingLabel, str] | None:
    """The powder of which this one is a cut, and which cut it is."""
    state = current_bench().state
    cut = cut_from(state, view.id)
    if cut is None:
        return None
    words = [r.body.value for r in state.own(view.id, "noted") if r.body.what == "words"]
    return thing_label(cut[0]), ", ".join(words)


def _gaps(view: Pigment) -> list[GapTold]:
    state, library = current_bench().state, current_bench().library
    found = [(charge, gap(state, charge, library)) for charge in view.charges]
    return [GapTold(one, gap_working(charge, one)) for charge, one in found if one is not None]
