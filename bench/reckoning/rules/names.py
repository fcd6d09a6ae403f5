"""Trade names whose danger is known without a formula (common practice; the list is ours and makes no claim to be
whole)."""

import re
from collections.abc import Mapping

NOT_BEFORE_FLOUR = r"(?<!silica )(?<!quartz )(?<!zircon )(?<!flint )(?<!stone )(?<!feldspar )(?<!rock )"


def _words(*words: str) -> re.Pattern[str]:
    return re.compile(r"\b(?:" + "|".join(words) + r")\b", re.IGNORECASE)


CHARCOAL = _words(
    "charcoal", "activated carbon", "carbon black", "lamp ?black", "bone black", "soot", "graphite", "coke", "coal"
)
SULFUR = _words("sul(?:f|ph)ur", "brimstone", "flowers of sul(?:f|ph)ur")
ROSIN = _words("rosin", "colophony")
ORGANIC_SALT = _words(
    *(rf"\w*{acid}" for acid in ("oxalate", "acetate", "citrate", "tartrate", "formate", "gluconate", "stearate"))
)
ORGANIC = _words(
    *(
        "sugar",
        "sucrose",
        "glucose",
        "dextrose",
        "lactose",
        "honey",
        "starch",
        "dextrin",
        "cornflour",
        NOT_BEFORE_FLOUR + "flour",
    ),
    *(
        "gum",
        "cmc",
        r"carboxymethyl\s?cellulose",
        r"\w*cellulose",
        "pva",
        "pvac?",
        r"polyvinyl\w*",
        "peg",
        r"poly\w*glycol",
    ),
    *(
        "wax",
        "paraffin",
        "stearine?",
        "resin",
        "shellac",
        "tar",
        "pitch",
        "bitumen",
        "glue",
        "gelatine?",
        "casein",
        "egg",
    ),
    *("oil", "grease", "fat", "soap", "glycerine?", "glycerol", r"\w*glycol", "urea", "glycine"),
    *(r"(?:stearic|citric|oxalic|tartaric|acetic|formic|oleic) acid", "vinegar"),
    *(
        "paper",
        "cardboard",
        "wood(?! ash)",
        "sawdust",
        "straw",
        "cotton",
        "cloth",
        "rags?",
        "rubber",
        "plastic",
        "acrylic",
        "peat",
    ),
)
SOLVENT = _words(
    *(
        "alcohol",
        r"(?:m)?ethanol",
        r"methylated spirits?",
        "meths",
        r"(?:iso)?propanol",
        r"propan-[12]-ol",
        "isopropyl",
        "ipa",
    ),
    *(
        "acetone",
        "butanone",
        "mek",
        r"white spirits?",
        r"mineral spirits?",
        "turpentine",
        "turps",
        "petrol",
        "gasoline",
        "kerosene",
    ),
    *(
        "paraffin oil",
        "naphtha",
        "toluene",
        "xylene",
        "hexane",
        "heptane",
        "ether",
        "ethyl acetate",
        "thinners?",
        "solvent",
    ),
)
DRYING_OIL = _words(
    r"linseed\w*",
    "flax(?:seed)?",
    "walnut",
    "poppy(?:seed)?",
    "tung",
    "safflower",
    "stand oil",
    "boiled oil",
    "drying oil",
)
SULFIDE = _words(r"\w*sul(?:f|ph)ide", "liver of sul(?:f|ph)ur", "ultramarine")
PHOSPHORUS = _words("phosphorus")
NITRATE = _words(r"\w*nitrates?", "salt ?pet(?:re|er)", "nitre", "nitric acid")
NITRITE = _words(r"\w*nitrites?")
AMMONIUM = _words("ammonium", "sal ammoniac", "ammonia")
CHLORIDE = _words(r"\w*chlorides?", "oxychloride", "sal ammoniac", "common salt", "table salt", "sea salt", "rock salt")
FLUORIDE = _words(r"\w*fluorides?", "fluorspar", "cryolite", r"\w*fluorosilicate", r"\w*fluoroborate")
SULFATE = _words(r"\w*sul(?:f|ph)ates?", "alum", "gypsum", "plaster", "copperas", "vitriol", "baryte?s?", "blanc fixe")
OXIDISER = _words(
    r"\w*permanganate",
    r"\w*peroxide",
    r"\w*persul(?:f|ph)ate",
    r"\w*percarbonate",
    r"\w*perborate",
    r"\w*iodate",
    r"\w*bromate",
)
CHLORATE = _words("chlorates?", "chloric acid")
PERCHLORATE = _words("perchlorates?", "perchloric acid")
CYANIDE = _words(r"(?:ferro|ferri)?cyanides?", "prussiate", "prussian blue", "iron blue", "milori blue")
THIOCYANATE = _words(r"thiocyanates?", "rhodanide", "sulfocyanide")
ACID = re.compile(
    r"(?<!no )(?<!boric )(?<!stearic )(?<!from )\b(?:acids?|acidic|acidified|vinegar|HCl|HNO3|H2SO4)\b(?![- ]free)",
    re.IGNORECASE,
)
"""An acid by name; boric and stearic acid free no gas from a salt."""
HYPOCHLORITE = _words("bleach", r"\w*hypochlorite", "javel(?:le)?")
CHROMATE = re.compile(
    r"(?:\b|di|bi|poly|per|mono|chloro)chromat(?:es?|s)?\b"
    r"|chromium\s?\(?vi\b|chromium trioxide|chromic (?:acid|anhydride)",
    re.IGNORECASE,
)
CHROMATE_DENIED = _words("chromate[- ]free", "(?:free|freed) of chromates?", "no chromates?")
METAL = re.compile(
    r"\b(?:alumini?um|magnesium|zinc|silicon|titanium|iron|copper|nickel|manganese|tin)\s+(?:metal\s+)?(?:powder|dust|filings|flakes?)\b",
    re.IGNORECASE,
)
NOT_POWDER = _words("wire", "foil", "lids?", "crucible", "tongs", "ware", "sheet", "rod", "mesh")
ASSAY_NOTE = re.compile(r"[,;(][^,;()]*(?:\bppm\b|[- ]free\b|\btraces?\b)[^,;()]*\)?", re.IGNORECASE)
"""What follows a name to say that only traces of something are in it, or nothing."""
WATER = re.compile(
    r"^\s*(?:(?:tap|distilled|deioni[sz]ed|demineralised|di|rain|soft|pure|clean|hot|cold)\s+)*water\s*$", re.I
)
SAND = re.compile(
    r"^\s*(?:(?:air-dried|dried|dry|clean|washed|silica|quartz|sharp|fine|coarse)[\s,]+)*(?:silica|quartz)?\s*sand\s*$",
    re.IGNORECASE,
)
TOXIC: Mapping[str, re.Pattern[str]] = {
    "Pb": _words(
        "litharge",
        "massicot",
        "minium",
        "white lead",
        "red lead",
        r"lead (?:\(?ii\)? )?(?:oxide|carbonate|frit|glass|bisilicate)",
        "ceruse",
    ),
    "Cd": _words("cadmium (?:red|yellow|orange|sul(?:f|ph)ide|oxide)"),
    "As": _words("orpiment", "realgar", "white arsenic", "arsenic (?:tri|pent)?oxide"),
    "Hg": _words("vermilion", "cinnabar", "calomel", "mercuric \\w+"),
    "Se": _words("selenium(?: dioxide| red)?"),
    "Be": _words("beryllia", "beryllium \\w+", "beryl"),
    "Tl": _words(r"thall(?:ium|ous|ic) \w+"),
    "Os": _words(r"osmium \w+", "osmic acid"),
    "Th": _words("thoria", r"thorium \w+"),
    "U": _words(r"uranium \w+", "yellowcake", "pitchblende", "uraninite"),
}
"""Names of substances that are refused by element; only substances, never a word that merely contains the metal
(lead wire)."""

AZIDE = _words(r"\w*azides?")
RED_PHOSPHORUS = _words(r"red(?: amorphous)? phosphorus", r"phosphorus[, (]+red")
WHITE_PHOSPHORUS = _words("(?:white|yellow) phosphorus", r"phosphorus[, (]+(?:white|yellow)")
ALKALI_METAL = _words(
    "(?:lithium|sodium|potassium|rubidium|ca?esium) metal", "metallic (?:lithium|sodium|potassium|rubidium|ca?esium)"
)
LIGHT = "(?:lithium|sodium|potassium|calcium|magnesium|strontium|barium|alumini?um|zinc)"
WATER_REACTIVE = _words(rf"{LIGHT}[ -](?:alumini?um[ -])?(?:boro)?hydride", rf"{LIGHT}[ -](?:carbide|phosphide)")
ANHYDROUS_CHLORIDE = _words("anhydrous alumini?um chloride", r"alumini?um[ -]chloride[-, (]+anhydrous")
FORM_OPEN = re.compile(r"(?<!anhydrous )\balumini?um[ -]chloride\b(?!.*(?:hydrate|anhydrous|hydroxide))", re.IGNORECASE)
WATER_REACTIVE_CHLORIDE = _words(
    r"(?:titanium|silicon|germanium|zirconium|vanadium)[ -](?:\(?iv\)?[ -]?chloride|tetrachloride)",
    r"(?:tin[ -](?:\(?iv\)?[ -]?chloride|tetrachloride)|stannic chloride)(?!.*hydrate)",
    "phosphor(?:us|yl)[ -](?:penta|tri|oxy)?chloride",
)
HYDROGEN_FLUORIDE = _words(
    "hydrofluoric acid", "hydrogen fluoride", r"\w*bifluoride", r"hydrogen[ -]?difluoride", "hexafluorosilicic acid"
)
ELEMENTS: Mapping[str, str] = {
    **{"Pb": "Lead", "Cd": "Cadmium", "As": "Arsenic", "Hg": "Mercury", "Se": "Selenium"},
    **{"Be": "Beryllium", "Tl": "Thallium", "Os": "Osmium", "Th": "Thorium", "U": "Uranium", "Pa": "Protactinium"},
    **{"Co": "Cobalt", "Ni": "Nickel", "Cu": "Copper", "Cr": "Chromium", "V": "Vanadium", "Ba": "Barium"},
    **{"Zn": "Zinc", "Mn": "Manganese", "Sb": "Antimony", "Mo": "Molybdenum", "B": "Boron", "Li": "Lithium"},
    **{"Ca": "Calcium", "Sr": "Strontium", "Na": "Sodium", "K": "Potassium", "Rb": "Rubidium", "Cs": "Caesium"},
    **{"Al": "Aluminium", "Mg": "Magnesium", "Si": "Silicon", "Ti": "Titanium", "Fe": "Iron", "Sn": "Tin"},
}
"""The elements that a rule may have to name in a sentence."""
