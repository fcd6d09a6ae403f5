"""The first ten minutes: what an empty bench leads to, step by step, until the first batch is weighed."""

from dataclasses import dataclass

from bench.web.current import current_bench
from bench.web.words import _


@dataclass(frozen=True)
class FirstStep:
    """One of the first steps: its words, a second line, where it leads, and whether it is done."""

    words: str
    second: str
    path: str
    done: bool


def first_steps() -> list[FirstStep]:
    """The steps to a first weighed batch; nothing once there is one, or several are planned."""
    state = current_bench().state
    batches = state.things("batch")[:2]
    if len(batches) > 1 or any(state.own(one, "weighed") for one in batches):
        return []
    first = batches[0] if batches else None
    code = state.code_of(first) if first else None
    number = bool(state.setting("emergency_number"))
    return [
        FirstStep(
            _("Set the emergency number"),
            _("Typed once, then dialled with one tap"),
            "/settings#emergency_number",
            number,
        ),
        FirstStep(_("Add your first jar"), _("Name, formula, assay"), "/shelf/new#reagent", state.has_any("jar")),
        FirstStep(_("Add a crucible"), _("It gets a code; print it"), "/crucibles/new", state.has_any("crucible")),
        FirstStep(_("Plan a batch"), _("From a target, or from grams"), "/plan", first is not None),
        FirstStep(
            _("Print the tag, then weigh"),
            _("The tag goes on the tray"),
            f"/print/tags?code={code}" if code else f"/batch/{first}" if first else "/print",
            False,
        ),
    ]


def first_due() -> FirstStep | None:
    """The first of the first steps that is not done yet, which each page of them leads to."""
    return next((one for one in first_steps() if not one.done), None)
