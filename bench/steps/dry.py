"""Dry a batch in a dish, or a charge in its crucible, until two masses agree."""

from bench.steps.bounds import DRYING_C, GRAMS, MINUTES, SOME_GRAMS
from bench.steps.declare import Doubt, Due, Gate, Need, Say, Step
from bench.steps.effects import Work, append, put
from bench.steps.fields import F, Option, T, choice, number
from bench.steps.liquids import NO_FLAME
from bench.steps.named import STEADY_MIN
from bench.steps.wording import _

WAYS = (
    Option("oven", _("Oven or hot plate"), _("105 to 120 °C")),
    Option("open-air", _("Open air"), _("no heat, no flame near")),
)
WHERE = (Option("dish", _("Dish")), Option("crucible", _("Crucible")))
WITHOUT = _("without its vessel")
WAITS = "!charge.ended & !charge.out & !charge.in_heat"
"""A charge in its crucible that is not in a fire, and was in none since it was filled."""
STEP = Step(
    "dry",
    on=("batch", "charge"),
    record="dried",
    title=_("Dry"),
    key=_("Record drying"),
    past=(Say(_("Dried, {mass_g:mass} g"), "?mass_g"), Say(_("Dried {minutes} min"), "?minutes")),
    kind_words=_("Dried"),
    glyph="dish",
    address=("/batch/{batch}/dry", "/charge/{charge}/dry"),
    due=(
        Due(
            "batch.missing_n=0 & batch.mixed & batch.damp & batch.charges=0 & !batch.ended & !batch.used_up",
            _("Dry, or fill damp"),
        ),
        Due(f"{WAITS} & charge.damp & ?charge.firing", _("Dry before lighting")),
        Due(f"{WAITS} & charge.damp & !?charge.firing", _("Dry in the crucible")),
    ),
    rules=("dry",),
    row=_("Dried in a dish"),
    fields=(
        choice("where", _("Where"), WHERE, place="data", fixed=True),
        choice("way", _("Where it dries"), WAYS, start="oven", place="form"),
        NO_FLAME,
        number("c", _("Temperature"), **DRYING_C, required=False, sheet=_("at")),
        number("minutes", _("Time"), **MINUTES, required=False, sheet=_("for")),
        number(
            "tare_g",
            _("Empty vessel"),
            **GRAMS,
            required=False,
            start=T("this.tare_g"),
            hint=_("Leave empty if the balance was zeroed."),
        ),
        number("gross_g", _("Mass with vessel"), **SOME_GRAMS, required=False, place="form", keypad=True),
        number("mass_g", _("Mass"), **GRAMS, required=False, place="data", sheet=_("mass")),
        number("apart_min", _("Least time between two weighings"), **MINUTES, required=False, place="data"),
    ),
    work_out=(
        Work("where", "by_sort", (T("this.sort"), "batch", "dish", "charge", "crucible")),
        Work("mass_g", "minus", (F("gross_g"), F("tare_g"))),
        Work("apart_min", "given", (STEADY_MIN,)),
    ),
    needs=(
        Need(
            "tare_g",
            _("The empty vessel must weigh less than the full one."),
            "tare_g>=gross_g",
        ),
        Need(
            "gross_g",
            _("Give the mass now, or at least how long it dried."),
            "?way & !?gross_g & !?minutes",
        ),
    ),
    doubts=(
        Doubt(
            "gross_g",
            _("It weighed {this.before_g:mass} g before, and drying adds nothing."),
            "figure>this.dry_most_g",
            like=T("this.before_g"),
            value=F("mass_g"),
            called=WITHOUT,
        ),
        Doubt(
            "gross_g",
            _("About {this.like_g:mass} g is expected, or less. Is the vessel taken off?"),
            "?slip",
            like=T("this.like_g"),
            value=F("mass_g"),
            called=WITHOUT,
        ),
        Doubt(
            "gross_g",
            _("{this.dry_g:mass} g went in dry, and no empty vessel was typed. Is the vessel taken off?"),
            "!?tare_g & !?this.before_g & figure>this.full_dry_g",
            like=T("this.dry_g"),
            value=F("mass_g"),
            called=WITHOUT,
        ),
        Doubt(
            "gross_g",
            _("{this.dry_g:mass} g went in dry. Is it the right vessel?"),
            "figure<this.dry_least_g",
            like=T("this.dry_g"),
            value=F("mass_g"),
            called=WITHOUT,
        ),
    ),
    gates=(
        Gate("batch-closed", "block", _("This batch is closed."), "batch.ended", sure=True),
        Gate("charge-ended", "block", _("This charge is no longer in its crucible."), "charge.ended", sure=True),
        Gate("in-heat", "block", _("This charge is in the furnace."), "charge.in_heat", sure=True),
    ),
    effects=(
        append("this.masses_g", F("mass_g")),
        append("this.masses_ms", F("at"), when="?mass_g"),
        put("batch.tare_g", F("tare_g"), when="?tare_g & ?mass_g & where=dish"),
    ),
)
