"""What a label says: the reagent behind a typed name or formula, what the rules refuse of it, and its assay."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from bench.reckoning.name_slips import pair_of
from bench.reckoning.questions import ask_assay, ask_formula
from bench.reckoning.rules import Finding, Part, judge
from bench.reckoning.rules.judge import FORM_RULE, LEAST_TELLING
from bench.reckoning.water_slips import OPEN
from bench.reckoning.wide_assay import Wide, wide_assay, wide_assay_of
from bench.records.state import State
from bench.reference import Library
from bench.reference.assay import formula_pct, usual_formula_pct
from bench.reference.hydrate_pairs import HydratePair
from bench.reference.library import composition
from bench.reference.names import plain
from bench.reference.search import search
from bench.reference.things import Reagent
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.screens.kit.declared import read_named
from bench.steps.add_jar import STEP as ADD_JAR
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.words import _
from bench.workshop import conditions

SHOWN_RULES = frozenset({"formula-unread", "no-card", "reproductive", FORM_RULE})
"""Beside the refusals, what is worth saying of a jar that stands on a shelf; the rest is said at the step."""
WATER = re.compile(r"\s*[*·•.]\s*\d*(\.\d+)?\s*H2O")
OF_SOME_WATER = re.compile(
    r"[\s,]*\(?\b(?:[xn][\s-]*|hemi|mono|sesqui|di|tri|tetra|penta|hexa|hepta|octa|nona|deca)?hydrated?\)?$",
    re.IGNORECASE,
)
"""The end of a name that speaks of water only: zinc acetate hydrate, … x-hydrate, … (hydrated)."""
LONGEST = 120
MOST_OPTIONS = 12
UNKNOWN = "unknown"
BY_FORMULA = "formula"
MOST_PCT = 110.0


@dataclass(frozen=True)
class Label:
    """What was read of a label. `formula` is None while nobody knows it; `options` are reagents that may be meant."""

    typed: str
    reagent: Reagent | None = None
    formula: str | None = None
    options: tuple[Reagent, ...] = ()
    pairs: tuple[HydratePair, ...] = ()
    """Forms with different water that are sold by one name, of which this is one."""

    @property
    def name(self) -> str:
        """How the reagent is called: by the library's name where it knows it."""
        return self.reagent.name if self.reagent is not None else self.typed

    @property
    def slug(self) -> str:
        """How the record names it: by the library's slug where it has one."""
        return self.reagent.slug if self.reagent is not None else self.typed

    @property
    def part(self) -> Part:
        """The reagent as the rules ask for it."""
        slug = self.reagent.slug if self.reagent is not None else None
        return Part(self.formula, self.name, slug=slug)

    @property
    def forms(self) -> tuple[str, ...]:
        """The forms that may be in the jar: the formula, every other hydrate that the library lists or that is sold."""
        if self.formula is None:
            return ()
        found = {composition(self.formula): self.formula}
        for text in self.reagent.hydrates if self.reagent is not None else ():
            found.setdefault(composition(text), text)
        for pair in self.pairs:
            found.setdefault(composition(pair.lower), pair.lower)
            found.setdefault(composition(pair.hydrate), pair.hydrate)
        return tuple(found.values())

    @property
    def counts_element(self) -> str | None:
        """What the label of such a jar usually counts, where that is not the formula itself: Co, Al2O3."""
        row = self.reagent
        if row is None or not row.assay_formula or composition(row.assay_formula) == composition(row.formula):
            return None
        return row.assay_formula

    @property
    def usual_pct(self) -> tuple[float, float] | None:
        """The usual assay by formula of such jars, in per cent."""
        try:
            return usual_formula_pct(self.reagent) if self.reagent is not None else None
        except Refusal:
            return None

    @property
    def wide(self) -> Wide | None:
        """The assay while the water is not known; None where nothing says how far it may be off."""
        if self.reagent is not None:
            return wide_assay_of(self.reagent)
        dry = WATER.sub("", self.formula or "")
        return wide_assay(self.formula, [dry]) if self.formula and dry and dry != self.formula else None


def read_label(typed: str, formula: str, library: Library) -> Label:
    """The reagent that a typed name or formula means. `formula` is what was typed beside a name that nobody knows.

    Raises Refusal, field `formula`, for a formula beside the name that cannot be read; field `reagent` or `formula`
    for one with a likely slip of the pen.
    """
    found = _read_label(typed, formula, library)
    return replace(found, pairs=library.pairs_of(found.formula)) if found.formula is not None else found


def _read_label(typed: str, formula: str, library: Library) -> Label:
    text = " ".join(typed.split())[:LONGEST]
    row = library.reagents.get(text)
    if row is not None:
        return Label(text, row, row.formula)
    of_some_water = _of_some_water(formula.strip() or text, library)
    if of_some_water is not None:
        return of_some_water
    if formula.strip():
        ask_formula(formula, library, "formula")
        parse(formula.strip(), "formula")
        return Label(text or formula.strip(), None, formula.strip())
    ask_formula(text, library, "reagent")
    counts = composition(text)
    if counts is not None:
        same = tuple(each for each in library.reagents.values() if composition(each.formula) == counts)
        return _one_of(text, same) if same else Label(text, None, text)
    named = library.reagent_names.get(plain(text))
    if named is not None:
        return Label(text, library.reagents[named], library.reagents[named].formula)
    pair = pair_of(text, library)
    hits = (library.reagents.get(hit.slug) for hit in search(library, text) if hit.kind == "reagent")
    options = tuple(each for each in hits if each is not None)[:MOST_OPTIONS]
    bare = OF_SOME_WATER.sub("", text)
    if not options and pair is None and bare not in ("", text):
        return _read_label(bare, "", library)
    return Label(text, options=options, pairs=(pair,) if pair is not None else ())


def _of_some_water(text: str, library: Library) -> Label | None:
    """The forms that a formula with an open count of water may mean; None where no form of it is known."""
    found = OPEN.fullmatch(text)
    counts = composition(found["dry"]) if found is not None else None
    if found is None or counts is None:
        return None
    rows = [row for row in library.reagents.values() if counts in map(composition, (row.formula, *row.hydrates))]
    pairs = library.pairs_of(found["dry"])
    return Label(text, options=tuple(rows), pairs=pairs) if rows or pairs else None


def label_of(opened: Any) -> Label:
    """The label of a jar that is recorded, with the formula that stands; raises nothing, whatever that is."""
    return Label(opened.reagent, current_bench().library.reagents.get(opened.reagent), opened.formula)


def _one_of(text: str, same: tuple[Reagent, ...]) -> Label:
    return Label(text, same[0], same[0].formula) if len(same) == 1 else Label(text, options=same)


def findings(label: Label, state: State, library: Library) -> list[Finding]:
    """What the rules say to such a jar on the shelf: what they refuse, and what its label lacks."""
    if not label.typed:
        return []
    said = judge("plan", [label.part], conditions.of_bench(state), library)
    return [each for each in said if each.effect == "refuse" or each.rule in SHOWN_RULES]


def refusals(found: Iterable[Finding]) -> list[Finding]:
    """Those that are refused for good, and a formula of which one form is; what the card alone says only where nothing
    says more.
    """
    refused = [each for each in found if each.effect == "refuse" or each.rule == FORM_RULE]
    return [each for each in refused if each.rule != LEAST_TELLING] or refused


def jar_data(form: Form, label: Label) -> dict[str, Any]:
    """The data of `jar.opened` that the form brings; every refusal stands beside its field."""
    water = form.choice("water", (*label.forms, UNKNOWN))
    said = read_named(form, ADD_JAR, "assay_pct", "assay_sd_pct", "lot", "net_g", "price", "supplier")
    pct, sd = said.pop("assay_pct"), said.pop("assay_sd_pct")
    counted = form.choice("assay_of", (BY_FORMULA, label.counts_element or BY_FORMULA), required=False) or BY_FORMULA
    data: dict[str, Any] = {
        "reagent": label.slug,
        **said,
        "received": form.day("received"),
        "opened": form.day("opened"),
    }
    if pct is not None:
        with form.beside("assay_pct"):
            ask_assay(pct)
    if water == UNKNOWN and (pct is None or counted == BY_FORMULA):
        return data | _wide_data(form, label, pct, sd)
    formula = label.formula if water in (None, UNKNOWN) else water
    data |= {"formula": formula, "hydrate_known": True, "assay_pct": 100.0, "assay_sd_pct": sd}
    if pct is not None and formula is not None:
        with form.beside("assay_pct"):
            data["assay_pct"] = _by_formula(label, formula, pct, counted)
    return data


def assumed_of(form: Form, data: Mapping[str, Any]) -> list[str]:
    """What stands in the record and nobody read: the assay of a label that was left empty."""
    return ["assay_pct"] if data.get("hydrate_known") and not form.typed.get("assay_pct", "").strip() else []


def _wide_data(form: Form, label: Label, pct: float | None, sd: float | None) -> dict[str, Any]:
    wide = label.wide
    if wide is not None and pct is None:
        return {
            "formula": wide.formula,
            "hydrate_known": False,
            "assay_pct": wide.assay_pct,
            "assay_sd_pct": wide.assay_sd_pct,
        }
    if wide is not None:
        form.refuse(_("Leave this empty while the water is not known."), "assay_pct")
    elif pct is None or sd is None:
        say = _("The uncertainty is not known. Type the assay and its ±, or choose the formula.")
        form.refuse(say, "assay_pct" if pct is None else "assay_sd_pct")
    return {"formula": label.formula, "hydrate_known": False, "assay_pct": pct or 100.0, "assay_sd_pct": sd}


def _by_formula(label: Label, formula: str, pct: float, counted: str) -> float:
    """The assay by formula of what the label counts. Refusal where the label would hold more than the formula can."""
    if counted == BY_FORMULA or label.reagent is None:
        return pct
    found = formula_pct(replace(label.reagent, formula=formula), pct)
    if found > MOST_PCT:
        say = _(
            "{formula} cannot hold that much {what}. Choose the formula with less water, or check again.",
            formula=formula,
            what=counted,
        )
        raise Refusal(say)
    return found
