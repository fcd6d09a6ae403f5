"""Grind and mix a batch in the mortar: in what, for how long, what the streak shows."""

from bench.steps.bounds import MINUTES
from bench.steps.declare import Due, Gate, Need, Step
from bench.steps.effects import put
from bench.steps.fields import Compare, F, Option, T, choice, number
from bench.steps.liquids import PAST, SAID_MEDIUM, medium
from bench.steps.wording import _

STREAKS = (
    Option("even", _("Even"), _("one colour from end to end")),
    Option("specks", _("Specks"), _("grind on")),
    Option("not-looked", _("Not looked"), on_paper=False),
)
GROUND_BEFORE = Compare(_("ground before"), "sum", 1.0, 0)
STEP = Step(
    "grind",
    on=("batch",),
    record="mixed",
    title=_("Grind and mix"),
    key=_("Record grinding"),
    past=PAST,
    kind_words=_("Ground and mixed"),
    glyph="mortar",
    address=("/batch/{batch}/grind",),
    due=(Due("batch.missing_n=0 & !batch.mixed & !batch.ended & !batch.used_up"),),
    rules=("mix", "grind"),
    dust="grind",
    row=_("Ground and mixed"),
    fields=(
        *medium(_("dry it before lighting"), start=T("batch.liquid")),
        number(
            "minutes",
            _("Time"),
            **MINUTES,
            required=False,
            keypad=True,
            as_last=True,
            sheet=_("for"),
            compare=GROUND_BEFORE,
        ),
        choice("streak", _("Streak on white paper"), STREAKS, required=False, default="not-looked", sheet=_("streak")),
    ),
    work_out=(SAID_MEDIUM,),
    needs=(Need("medium_name", _("Say which liquid."), "medium=other & !?medium_name"),),
    gates=(
        Gate("batch-closed", "block", _("This batch is closed."), "batch.ended", sure=True),
        Gate(
            "weigh-first",
            "block",
            _("Weigh everything first: {batch.first_missing} is still missing."),
            "batch.missing_n>0",
            sure=True,
        ),
    ),
    effects=(
        put("batch.mixed_ms", F("at"), when="!batch.mixed"),
        put("batch.mixed", True),
        put("batch.masses_g", [], when="medium!=dry,none"),
        put("batch.tare_g", None, when="medium!=dry,none"),
        put("batch.masses_ms", [], when="medium!=dry,none"),
        put("batch.medium", F("medium"), when="medium!=dry,none"),
    ),
)
