"""What is asked of a reagent or a target of the maker's own, field by field."""

from dataclasses import dataclass

from bench.reference.checking.targets import ATMOSPHERES, COOLINGS, WASHES
from bench.screens.words import _

Options = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Asked:
    """One field of a row: how it is asked. `new_only` fields name the thing itself and do not change on a known row.

    `look` is words, lines, number, whole, list, formula, formulas, choice, flag or routes.
    """

    name: str
    look: str
    label: str
    unit: str = ""
    low: float = 0.0
    high: float = 1e6
    options: Options = ()
    hint: str = ""
    new_only: bool = False
    required: bool = False


def _plain(words: tuple[str, ...]) -> Options:
    return tuple((word, word.replace("-", " ")) for word in words)


NOTHING = _("0 where nothing is left.")
COMMAS = _("Several: with commas between them.")

REAGENT = (
    Asked("name", "words", _("Name"), new_only=True, required=True),
    Asked("formula", "formula", _("Formula"), new_only=True, required=True),
    Asked("synonyms", "list", _("Also called"), hint=COMMAS),
    Asked("cas", "words", _("CAS number"), hint=_("As on the label, such as 1314-13-2.")),
    Asked("hydrates", "formulas", _("Forms that may stand in the jar"), hint=_("Formulas, with commas between them.")),
    Asked("how_to_tell", "lines", _("How to tell which it is")),
    Asked("assay_formula", "formula", _("What its assay counts"), hint=_("Such as Co, MgO or the formula itself.")),
    Asked("assay_low_pct", "number", _("Usual assay, from"), "%", 0.001, 110),
    Asked("assay_high_pct", "number", _("Usual assay, to"), "%", 0.001, 110),
    Asked("residue_formula", "formula", _("What it leaves in air at high heat")),
    Asked("residue_per_formula", "number", _("Of that, for each formula"), "mol", 0, 100, hint=NOTHING),
    Asked("melts_c", "number", _("Melts at"), "°C", -100, 3000),
    Asked("bulk_density_low_g_ml", "number", _("Bulk density, from"), "g/mL", 0.01, 20),
    Asked("bulk_density_high_g_ml", "number", _("Bulk density, to"), "g/mL", 0.01, 20),
    Asked("water_soluble", "choice", _("Dissolves in water"), options=_plain(("no", "slightly", "yes", "reacts"))),
    Asked("hygroscopic", "choice", _("Takes up water"), options=_plain(("no", "slightly", "yes"))),
    Asked("froths", "choice", _("In the crucible"), options=_plain(("quiet", "froths", "carbonate"))),
    Asked("hazard", "lines", _("Hazards, in your words"), hint=_("Your words warn; they make no label class.")),
    Asked("note", "lines", _("Note")),
)

TARGET = (
    Asked("name", "words", _("Name"), new_only=True, required=True),
    Asked("formula", "formula", _("Formula"), new_only=True, required=True),
    Asked("other_names", "list", _("Also called"), hint=COMMAS),
    Asked("colour_words", "lines", _("Colour, in words")),
    Asked("pale", "flag", _("Pale: a stained crucible would spoil it")),
    Asked("soak_low_c", "number", _("Soak, from"), "°C", 20, 1800),
    Asked("soak_high_c", "number", _("Soak, to"), "°C", 20, 1800),
    Asked("soak_min_minutes", "number", _("Held, from"), "min", 0, 20_000),
    Asked("soak_max_minutes", "number", _("Held, to"), "min", 0, 20_000),
    Asked("decomposes_above_c", "number", _("Falls apart above"), "°C", 20, 3000),
    Asked("atmosphere", "choice", _("Atmosphere"), options=_plain(ATMOSPHERES)),
    Asked("reduction", "lines", _("What reduction does")),
    Asked("cooling_mode", "choice", _("Cooling"), options=_plain(COOLINGS)),
    Asked("cooling_why", "lines", _("Why it is cooled so")),
    Asked("fires_low", "whole", _("Fires, from"), "", 0, 20),
    Asked("fires_high", "whole", _("Fires, to"), "", 0, 20),
    Asked("regrind_between", "flag", _("Ground between fires")),
    Asked("mineralisers", "lines", _("Mineralisers")),
    Asked("wash", "choice", _("Washed with"), options=_plain(WASHES)),
    Asked("washing", "lines", _("How it is washed")),
    Asked("milling", "lines", _("Milling")),
    Asked("side_phases", "lines", _("Side phases and their colours")),
    Asked(
        "routes",
        "routes",
        _("Made from"),
        hint=_("One route a line, reagents with + between them, such as: zinc oxide + CoO"),
    ),
    Asked("hazard", "lines", _("Hazards, in your words"), hint=_("Your words warn; they make no label class.")),
    Asked("note", "lines", _("Note")),
)
ROWS = {"reagent": REAGENT, "target": TARGET}
TABLES = {"reagent": "reagents", "target": "targets", "limit": "limits"}
LABELS = {one.name: one.label for rows in ROWS.values() for one in rows}
"""What each field is called."""
RANGES = (
    ("assay_low_pct", "assay_high_pct"),
    ("bulk_density_low_g_ml", "bulk_density_high_g_ml"),
    ("soak_low_c", "soak_high_c"),
    ("soak_min_minutes", "soak_max_minutes"),
    ("fires_low", "fires_high"),
)
"""Fields that are the two ends of one range."""
