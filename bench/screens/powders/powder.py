"""What all steps on a fired powder share: finding it, its gate before the act, its cautions, its page."""

from typing import Any

from flask import Response

from bench.reckoning.rules import Finding, Part
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form
from bench.web.page import page
from bench.web.words import _
from bench.workshop.gates import gate_pigment
from bench.workshop.parts import charge_parts
from bench.workshop.things.pigments import Pigment, pigment

VERDICT_WORDS = {
    "keep": _("Kept."),
    "refire": _("To be fired again."),
    "make-up": _("To be made up."),
    "tint": _("Tint stock."),
    "discard": _("Thrown away."),
}
FAR = "none"
"""How many metres there are to the next flame, where there is none within ten."""


def slug_of(words: str) -> str:
    """Words as part of a field's name: letters and figures, joined by hyphens."""
    return "-".join("".join(c if c.isalnum() else " " for c in words.casefold()).split())


def powder_or_404(thing: str) -> Pigment:
    """The powder of this address, or the calm page."""
    return or_404(pigment(current_bench().state, thing))


def powder_parts(view: Pigment) -> list[Part]:
    """What the powder is made of, for cautions."""
    state = current_bench().state
    return [part for charge in view.charges for part in charge_parts(state, charge)]


def against(view: Pigment, step: str, **terms: Any) -> list[Finding]:
    """What stands against a step on this powder, with what the form says of it."""
    return gate_pigment(current_bench().state, step, view.id, current_bench().library, **terms)


def step_page(name: str, view: Pigment, form: Form, step: str, found: list[Finding], **more: Any) -> Response:
    """The page of a step, `templates/pigment/<name>.html`, with what stands against it and what it warns of."""
    return page(
        f"pigment/{name}.html",
        form=form,
        view=view,
        name=thing_label(view.id).name,
        findings=found,
        foot=cautions(step, powder_parts(view)),
        **more,
    )
