"""What is asked of a reagent or a target of the maker's own, field by field."""

from dataclasses import dataclass

from bench.reference.things import ATMOSPHERES, COOLINGS, WASHES
from bench.web.words import _

Options = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Asked:
    """One field of a row: how it is asked. `new_only` fields name the thing itself and do not change on a known row.

    `look` is words, lines, number, whole, list, formula, formulas, choice, ticks, flag or routes.
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
COMMAS = _("Several? Put commas between them.")

REAGENT = (
    Asked("name", "words", _("Name"), new_only=True, required=True),
    Asked("formula", "formula", _("Formula"), new_only=True, required=True),
    Asked("synonyms", "list", _("Also called"), hint=COMMAS),
    Asked("cas", "words", _("CAS number"), hint=_("As on the label, such as 1314-13-2.")),
    Asked("hydrates", "formulas", _("Forms that a jar may hold"), hint=_("Formulas, separated by commas.")),
    Asked("how_to_tell", "lines", _("How to identify it")),
    Asked("assay_formula", "formula", _("What its assay counts"), hint=_("Such as Co, MgO or the whole formula.")),
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
    Asked(
        "hazard", "lines", _("Hazards, in your words"), hint=_("Your words warn here. They do not make a hazard class.")
    ),
    Asked("note", "lines", _("Note")),
)

TARGET = (
    Asked("name", "words", _("Name"), new_only=True, required=True),
    Asked("formula", "formula", _("Formula"), new_only=True, required=True),
    Asked("other_names", "list", _("Also called"), hint=COMMAS),
    Asked(
        "formula_family",
        "words",
        _("Composition may vary, as a family"),
        hint=_("With x in brackets, such as Zn(1-x)Co(x)O. Empty: it does not vary."),
    ),
    Asked("x_low", "number", _("x, from"), "", -5, 20),
    Asked("x_high", "number", _("x, to"), "", -5, 20),
    Asked("colour_words", "lines", _("Colour, in words")),
    Asked(
        "lab_l", "number", _("Colour as published, L*"), "", 0, 100, hint=_("CIELAB, D65. Fill in all three, or none.")
    ),
    Asked("lab_a", "number", _("Colour as published, a*"), "", -150, 150),
    Asked("lab_b", "number", _("Colour as published, b*"), "", -150, 150),
    Asked("lab_note", "words", _("How that was measured, and who published it")),
    Asked("pale", "flag", _("Pale: a stained crucible would spoil the colour")),
    Asked("soak_low_c", "number", _("Soak, from"), "°C", 20, 1800),
    Asked("soak_high_c", "number", _("Soak, to"), "°C", 20, 1800),
    Asked("soak_min_minutes", "number", _("Held, from"), "min", 0, 20_000),
    Asked("soak_max_minutes", "number", _("Held, to"), "min", 0, 20_000),
    Asked("decomposes_above_c", "number", _("Decomposes above"), "°C", 20, 3000),
    Asked("atmosphere", "choice", _("Atmosphere"), options=_plain(ATMOSPHERES)),
    Asked("reduction", "lines", _("What reduction does")),
    Asked("cooling_mode", "choice", _("Cooling"), options=_plain(COOLINGS)),
    Asked("cooling_why", "lines", _("Why it is cooled this way")),
    Asked("fires_low", "whole", _("Fires, from"), "", 0, 20),
    Asked("fires_high", "whole", _("Fires, to"), "", 0, 20),
    Asked("regrind_between", "flag", _("Ground between fires")),
    Asked("mineralisers", "lines", _("Mineralisers")),
    Asked("wash", "choice", _("Washed with"), options=_plain(WASHES)),
    Asked("washing", "lines", _("How it is washed")),
    Asked("milling", "lines", _("Milling")),
    Asked("side_phases", "lines", _("Side phases, in words")),
    Asked(
        "routes",
        "routes",
        _("Made from"),
        hint=_("One route per line, reagents joined by +, such as: zinc oxide + CoO"),
    ),
    Asked(
        "hazard", "lines", _("Hazards, in your words"), hint=_("Your words warn here. They do not make a hazard class.")
    ),
    Asked("note", "lines", _("Note")),
)
CARD = (
    Asked("name", "words", _("Substance"), new_only=True, required=True),
    Asked("formulas", "formulas", _("Formula"), hint=COMMAS, new_only=True, required=True),
    Asked("cas", "list", _("CAS number"), hint=COMMAS),
    Asked(
        "flag",
        "choice",
        _("At this bench"),
        options=(
            ("ok", _("may be used")),
            ("caution", _("with caution")),
            ("avoid", _("better avoided")),
            ("refuse", _("is not used here")),
        ),
        hint=_("Not chosen: with caution."),
    ),
    Asked(
        "h_codes", "list", _("H codes"), hint=_("From section 2 of the SDS, separated by commas: H317, H334, H350i.")
    ),
    Asked("signal_word", "choice", _("Signal word"), options=(("Danger", _("Danger")), ("Warning", _("Warning")))),
    Asked("p_codes", "list", _("P codes"), hint=_("From the same section: P280, P302+P352.")),
    Asked("evolves_on_heating", "words", _("What it gives off when heated")),
    Asked("other_limit", "words", _("Limits in air"), hint=_("With the body that set them, and the year.")),
    Asked("never_combine", "lines", _("Never together with")),
    Asked("waste_note", "lines", _("Where its waste goes")),
    Asked("uncertain", "lines", _("What is not sure")),
)
ATTACKERS = (
    "acid", "alkali-hot", "alkali-melt", "antimony", "barium-oxide", "bismuth", "bismuth-melt", "borate-melt",
    "calcium-oxide", "chloride", "chloride-with-oxidiser", "cobalt-above-1200", "copper-melt", "copper-oxide-melt",
    "fast-change-1000-1200", "fluoride", "hot-phosphoric-acid", "iron-oxide-contact",
    "iron-oxide-where-reducing", "iron-sensitive-colours", "lead", "lithium", "lithium-melt",
    "nitrate-hot", "oxidising-above-600", "oxidising-above-800", "oxidising-sensitive-colours",
    "pale-colours", "phosphate-hot", "phosphate-melt", "phosphorus-with-carbon", "reducing-flame", "salt-vapour",
    "silica-hot", "steam", "sulfur", "sulfur-with-carbon", "tin-or-zinc-where-reducing", "vanadium", "vanadium-reduced",
)  # fmt: skip
"""The words of the wares' rows for what they suffer from."""
WARE = (
    Asked("name", "words", _("Ware"), new_only=True, required=True, hint=_("What the vessel is made of.")),
    Asked("continuous_max_c", "number", _("Continuous max."), "°C", 300, 2500, required=True),
    Asked("short_max_c", "number", _("Short-term max."), "°C", 300, 2500),
    Asked("max_ramp_c_per_min", "number", _("Max. heating rate"), _("°C a minute"), 0.01, 100),
    Asked("max_ramp_cool_c_per_min", "number", _("Max. cooling rate"), _("°C a minute"), 0.01, 100),
    Asked("avoid", "ticks", _("What attacks it"), options=_plain(ATTACKERS)),
    Asked("shock_note", "lines", _("What cracks it")),
    Asked("porous", "words", _("Does it take up melts?")),
)
ROWS = {"reagent": REAGENT, "target": TARGET, "card": CARD, "ware": WARE}
TABLES = {"reagent": "reagents", "target": "targets", "card": "hazards", "ware": "ware", "limit": "limits"}
LABELS = {one.name: one.label for rows in ROWS.values() for one in rows}
"""What each field is called."""
RANGES = (
    ("assay_low_pct", "assay_high_pct"),
    ("bulk_density_low_g_ml", "bulk_density_high_g_ml"),
    ("soak_low_c", "soak_high_c"),
    ("soak_min_minutes", "soak_max_minutes"),
    ("fires_low", "fires_high"),
    ("x_low", "x_high"),
    ("continuous_max_c", "short_max_c"),
)
"""Fields that are the two ends of one range."""
