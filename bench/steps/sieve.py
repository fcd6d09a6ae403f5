"""Sieve a dry powder: the mesh, what stayed on it, what became of that. Optional: it never is the next step."""

from bench.steps.bounds import GRAMS, MESH_UM
from bench.steps.comparable import SIEVED
from bench.steps.declare import Due, Fact, Gate, Need, Say, Step
from bench.steps.effects import Also, add, put
from bench.steps.fields import F, Option, T, choice, number
from bench.steps.wording import _

OVERSIZE = (
    Option("reground", _("Ground again"), _("goes back into this pigment")),
    Option("kept", _("Kept apart"), _("as a pigment of its own, with a code")),
    Option("waste", _("Waste"), _("leaves this pigment")),
)
STEP = Step(
    "sieve",
    on=("pigment",),
    record="sieved",
    optional=True,
    generic=True,
    title=_("Sieve"),
    key=_("Record sieving"),
    past=(Say(_("Sieved at {mesh_um} µm")),),
    kind_words=_("Sieved"),
    glyph="dish",
    address=("/pigment/{pigment}/sieve",),
    due=(Due("pigment.state!=waste"),),
    rules=("grind",),
    terms={"dry_handling": True},
    dust="grind",
    fields=(
        number("mesh_um", _("Mesh"), **MESH_UM, compare=SIEVED),
        number("oversize_g", _("Oversize"), **GRAMS, required=False, keypad=True),
        choice("oversize", _("What became of the oversize"), OVERSIZE, required=False, fixed=True),
    ),
    needs=(
        Need("oversize", _("Say what became of the oversize."), "oversize_g>0 & !?oversize"),
        Need("oversize_g", _("Weigh what is kept apart."), "oversize=kept & (!?oversize_g | oversize_g=0)"),
        Need("oversize_g", _("That is more than is left of this pigment."), "oversize_g>pigment.left_g"),
    ),
    gates=(
        Gate(
            "sieve-damp",
            "block",
            _("Damp powder clogs the sieve. Dry it first."),
            "pigment.damp",
            sure=True,
            after=_("Sieved damp."),
        ),
    ),
    facts={"mesh_um": Fact("number", words="the mesh that it went through last")},
    says=(Say(_("Sieved at {pigment.mesh_um} µm"), "?pigment.mesh_um"),),
    effects=(
        put("pigment.mesh_um", F("mesh_um")),
        add("pigment.taken_g", F("oversize_g"), when="oversize=waste"),
        add("pigment.gone_g", F("oversize_g"), when="oversize=kept"),
    ),
    also=(
        Also(
            "gathered",
            None,
            {"sources": [{"pigment": T("pigment.id"), "g": F("oversize_g")}]},
            when="oversize=kept",
            coded=True,
        ),
        Also("noted", "made", {"what": "words", "value": _("oversize of a sieve")}, when="oversize=kept"),
    ),
)
