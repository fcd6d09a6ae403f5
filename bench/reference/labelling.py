"""Which pictograms, signal word and wording follow from hazard codes, by the rules of GHS and CLP.

Source: Regulation (EC) No 1272/2008 (CLP), Annex I label elements and Article 26 on precedence, recalled from memory;
the categories of each pictogram agree with the pictogram rows of the statements, which were read.
"""

from collections.abc import Iterable

from bench.reference.library import Library

BY_PICTOGRAM: dict[str, frozenset[str]] = {
    "GHS01": frozenset(["H200", "H201", "H202", "H203", "H204", "H240", "H241"]),
    "GHS02": frozenset(
        ["H220", "H221", "H222", "H223", "H224", "H225", "H226", "H228", "H242", "H250", "H251", "H252", "H260", "H261"]
    ),
    "GHS03": frozenset(["H270", "H271", "H272"]),
    "GHS04": frozenset(["H280", "H281"]),
    "GHS05": frozenset(["H290", "H314", "H318"]),
    "GHS06": frozenset(["H300", "H301", "H310", "H311", "H330", "H331"]),
    "GHS07": frozenset(["H302", "H312", "H315", "H317", "H319", "H332", "H335", "H336", "H420"]),
    "GHS08": frozenset(
        ["H304", "H334", "H340", "H341", "H350", "H351", "H360", "H361", "H370", "H371", "H372", "H373"]
    ),
    "GHS09": frozenset(["H400", "H410", "H411"]),
}
DANGER = frozenset(
    [
        "H220",
        "H222",
        "H224",
        "H225",
        "H250",
        "H251",
        "H260",
        "H270",
        "H271",
        "H300",
        "H301",
        "H304",
        "H310",
        "H311",
        "H314",
        "H318",
        "H330",
        "H331",
        "H334",
        "H340",
        "H350",
        "H360",
        "H370",
        "H372",
    ]
)
NO_SIGNAL = frozenset(["H362", "H411", "H412", "H413"])
EITHER_SIGNAL = frozenset(["H228", "H261", "H272"])
"""Codes whose category decides between Danger and Warning."""

IRRITATION = frozenset(["H315", "H319"])


def base_codes(codes: Iterable[str]) -> set[str]:
    """The plain four-character H codes: `H301+H311` is two, `H360FD` is H360; codes that are not H are left out."""
    single = (part.strip() for code in codes for part in code.split("+"))
    return {part[:4] for part in single if part.startswith("H")}


def pictograms_for(codes: Iterable[str]) -> tuple[str, ...]:
    """The pictograms that these hazard codes call for, in order, after the rules of precedence.

    The skull displaces the exclamation mark; corrosion displaces it for irritation of skin and eyes; respiratory
    sensitisation displaces it for sensitisation and irritation of the skin and irritation of the eyes.
    """
    found = base_codes(codes)
    mild = found & BY_PICTOGRAM["GHS07"]
    if found & BY_PICTOGRAM["GHS06"]:
        mild = set()
    if found & {"H314", "H318"}:
        mild -= IRRITATION
    if "H334" in found:
        mild -= IRRITATION | {"H317"}
    called = {name for name, those in BY_PICTOGRAM.items() if found & those and name != "GHS07"}
    return tuple(sorted(called | ({"GHS07"} if mild else set())))


def signal_words_for(codes: Iterable[str]) -> frozenset[str]:
    """The signal words that fit these hazard codes: one, or both where a code's category decides; empty text for
    none.
    """
    found = base_codes(codes)
    if found & DANGER:
        return frozenset(["Danger"])
    plain_warning = found - NO_SIGNAL - EITHER_SIGNAL
    if found & EITHER_SIGNAL:
        return frozenset(["Danger", "Warning"])
    return frozenset(["Warning"] if plain_warning else [""])


def text_for(code: str, h_codes: Iterable[str], groups: Iterable[str], library: Library) -> str:
    """The text of a code on a label beside these H codes and these groups of cards: the first wording that fits,
    else the usual one; a code without a text is shown as it is, never dropped.
    """
    found, words = base_codes(h_codes), set(groups)
    for each in library.statement_variants:
        if each.code == code and (found & set(each.with_codes) or words & set(each.groups)):
            return each.text
    return library.statements[code].text if code in library.statements else code
