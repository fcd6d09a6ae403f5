"""Fill a crucible from a batch or from a fired powder; more may come from other things."""

from typing import Any

from bench.steps.bounds import SOME_GRAMS
from bench.steps.declare import Doubt, Due, Gate, Say, Step
from bench.steps.effects import READ, Work, add, each, make, put
from bench.steps.fields import F, Option, T, choice, code, number, text
from bench.steps.sources import SOURCES
from bench.steps.wording import _

LIDS = (
    Option("loose", _("Loose"), _("lies on, lets gas out")),
    Option("vented", _("Vented"), _("luted, with a hole")),
    Option("none", _("No lid")),
    Option("sealed", _("Sealed"), _("only where nothing gives off gas")),
)
PACKINGS = (_("alumina powder"), _("sand"), _("charcoal"))
READY = "batch.missing_n=0 & batch.mixed & !batch.ended & !batch.used_up"
DRY = Work("dry_g", "total", (F("sources"), "g"))
"""What goes in, reckoned dry."""
REFIRED_SHARE = 1.25
"""By so much a fired powder can gain at most: copper that takes up oxygen again (63.546 + 15.999 over 63.546)."""
FRESH: dict[str, Any] = {
    "ended": False,
    "in_heat": False,
    "masses_g": [],
    "masses_ms": [],
    "made_ms": F("at"),
    "g": 0.0,
    "wet_g": F("wet_g"),
    "gross_g": F("gross_g"),
    "tare_g": T("crucible.tare_g"),
    "firing": None,
    "firings": [],
    "was_hot": False,
    "out": False,
    **dict.fromkeys(READ),
}
"""The facts of a charge that was filled just now."""
STEP = Step(
    "load",
    on=("batch", "pigment"),
    record="charged",
    single="-",
    makes="charge",
    title=_("Fill a crucible"),
    key=_("Record filling"),
    past=(Say(_("{g:mass} g filled in")),),
    kind_words=_("Crucible filled"),
    glyph="load",
    address=("/batch/{batch}/load", "/pigment/{pigment}/refire"),
    due=(
        Due(f"{READY} & (batch.dry | batch.charges>0)"),
        Due("pigment.state=refire & !pigment.used_up", _("Fill again")),
    ),
    rules=("load",),
    fields=(
        code("crucible", _("Crucible"), "crucible", alias=("code",)),
        SOURCES,
        number("g", _("Goes in, dry"), **SOME_GRAMS, required=False, place="form", keypad=True),
        choice("lid", _("Lid"), LIDS, default="loose", start="loose", sheet=_("lid")),
        number("wet_g", _("Paste as it goes in"), **SOME_GRAMS, required=False, sheet=_("wet")),
        number(
            "paste_g",
            _("All of the paste"),
            **SOME_GRAMS,
            required=False,
            place="form",
            hint=_("Fill in both to calculate the dry mass."),
        ),
        number("gross_g", _("Full, without its lid"), **SOME_GRAMS, required=False, sheet=_("in all")),
        text(
            "packing",
            _("Packed in"),
            120,
            required=False,
            listed=PACKINGS,
            hint=_("What surrounds it in a larger vessel."),
        ),
    ),
    doubts=(
        Doubt(
            "wet_g", _("It holds {like:mass} g of dry powder, so a paste weighs more."), "figure<like | ?slip", like=DRY
        ),
        Doubt("gross_g", _("It holds {like:mass} g of dry powder, so it weighs more."), "figure<like", like=DRY),
    ),
    gates=(
        Gate("batch-closed", "block", _("This batch is closed."), "batch.ended", sure=True),
        Gate(
            "crucible-ended",
            "block",
            _("This crucible is {crucible.condition}: take another."),
            "crucible.standing=ended",
            sure=True,
        ),
        Gate(
            "crucible-occupied",
            "block",
            _("This crucible still holds a charge: open that first."),
            "crucible.standing=holding",
            sure=True,
        ),
        Gate(
            "crucible-to-clean",
            "flag",
            _("This crucible is not marked clean since it was last used."),
            "crucible.standing=to-clean",
            sure=True,
        ),
        Gate("weigh-first", "block", _("{batch.name} is not weighed yet."), "batch.missing_n>0", sure=True),
    ),
    effects=(
        each("sources", (add("row.batch.gone_g", F("row.g")), add("row.batch.charges", 1))),
        each("sources", (add("row.pigment.gone_g", F("row.g")),)),
        make(
            "charge",
            {
                **FRESH,
                "of": T("batch.name"),
                "salty": T("batch.salty"),
                "most_share": T("batch.most_share"),
                "source_damp": T("batch.damp"),
            },
            when="?batch.name",
        ),
        make(
            "charge",
            {
                **FRESH,
                "of": T("pigment.of"),
                "salty": T("pigment.salty"),
                "most_share": REFIRED_SHARE,
                "source_damp": T("pigment.damp"),
            },
            when="?pigment.state",
        ),
        put("made.source_damp", True, when="?wet_g"),
        put("made.tare_g", None, when="?packing"),
        each("sources", (add("made.g", F("row.g")),)),
    ),
)
