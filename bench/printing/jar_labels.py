"""Jar labels for reagents, made pigments and waste: what is in it, and its hazards in the form of the GHS."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from bench.printing.symbols import Symbol, symbol
from bench.reckoning.rules import HazardSummary, Part, hazard_summary
from bench.records.state import State
from bench.reference import NO_CARD, NO_CLASS, Library
from bench.science.formulas import pretty
from bench.translation import _
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.waste import Waste, waste

DEFER = _("Guidance only: the SDS of your jar and local law decide.")
CLOSED = _("Never down the drain. Keep closed.")


@dataclass(frozen=True)
class JarLabel:
    """One label, ready to be set. `statements` and `precautions` are (code, text); both empty where not classified.

    `figure` is what is read from afar, such as the assay. `band` is the head of a label of waste, and `rows` its lines
    of (word, what is known or nothing) to fill by pen.
    """

    name: str
    formula: str
    facts: tuple[str, ...]
    code: str
    symbol: Symbol | None
    signal_word: str
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    precautions: tuple[tuple[str, str], ...]
    note: str
    figure: str = ""
    band: str = ""
    band_note: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    defer: str = DEFER
    text_pt: float = 8.0

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else ""


def jar_label(state: State, thing: str, library: Library) -> JarLabel | None:
    """The label of a reagent's jar, or None when there is no such jar."""
    record = state.slot(thing, "jar.opened").record
    if record is None:
        return None
    opened = record.body
    row = library.reagents.get(opened.reagent)
    name = row.name if row else opened.reagent
    facts = [_("opened {day}", day=f"{record.local:%Y-%m-%d}")]
    facts += [_("lot {lot}", lot=opened.lot)] if opened.lot else []
    facts += [f"CAS {row.cas}"] if row and row.cas else []
    if not opened.hydrate_known:
        wet = library.may_hold_water(opened.formula, opened.reagent)
        facts.append(_("water of crystals not known") if wet else _("purity not known"))
    part = Part(opened.formula, name, slug=row.slug if row else None)
    made = _label(state, thing, name, opened.formula, facts, [part], library)
    return replace(made, figure=_("assay {pct:.4g} %", pct=opened.assay_pct))


def pigment_label(state: State, thing: str, library: Library) -> JarLabel | None:
    """The label of a made pigment, or None when there is no such powder."""
    if state.sort_of(thing) != "pigment" or not state.exists(thing):
        return None
    charges = earlier_charges(state, thing)
    batches = dict.fromkeys(b for c in charges for b in batches_of(state, c))
    plans = [p for p in (state.slot(b, "batch.planned").body for b in batches) if p is not None]
    made = next((r for r in state.everything_about(thing) if r.kind in ("opened", "gathered")), None)
    codes = [code for code in (state.code_of(b) for b in batches) if code]
    shown = ", ".join(f"{c[:5]}-{c[5:]}" for c in codes)
    facts = [_("batch {codes}", codes=shown)] if codes else []
    facts += [_("fired, opened {day}", day=f"{made.local:%Y-%m-%d}")] if made else []
    targets = [Part(p.target_formula, p.name, slug=p.target, role="target") for p in plans if p.target_formula]
    raw = [part for c in charges for part in charge_parts(state, c)]
    name = " + ".join(p.name for p in plans) or _("Pigment")
    formula = " + ".join(dict.fromkeys(p.target_formula for p in plans if p.target_formula))
    return _label(state, thing, name, formula, facts, targets or raw, library)


def waste_label(state: State, thing: str, library: Library) -> JarLabel | None:
    """The label of a waste container: its contents summed from the records, the hazards of what went in."""
    view = waste(state, thing)
    if view is None:
        return None
    charges = dict.fromkeys(c for a in view.added if a.from_ is not None for c in earlier_charges(state, a.from_))
    parts = [part for c in charges for part in charge_parts(state, c)]
    name = ", ".join(dict.fromkeys(a.contents for a in view.added))
    made = _label(state, thing, name[:1].upper() + name[1:], "", [], parts, library)
    band = _("Waste") if made.note == NO_CLASS else _("Hazardous waste")
    return replace(made, figure=_much(view, state), band=band, band_note=CLOSED, rows=_rows(view, charges, state))


def _much(view: Waste, state: State) -> str:
    liquid = f"{view.volume_ml:g} mL" if view.volume_ml else ""
    solid = f"{grams_text(view.mass_g, readability_g(state))} g" if view.mass_g else ""
    return " · ".join(filter(None, (liquid, solid)))


def _rows(view: Waste, charges: Iterable[str], state: State) -> tuple[tuple[str, str], ...]:
    """What a collector asks for, with what is known of it."""
    first = next((r for r in state.rows(view.id, "waste.added") if r.body.container == view.id), None)
    started = f"{first.local:%Y-%m-%d}" if first is not None else ""
    plans = [state.slot(b, "batch.planned").body for c in charges for b in batches_of(state, c)]
    names = ", ".join(dict.fromkeys(p.name for p in plans if p is not None))
    return (_("Started"), started), (_("Full on"), ""), (_("From"), names), (_("Handed to, on"), "")


def _label(
    state: State, thing: str, name: str, formula: str, facts: list[str], parts: list[Part], library: Library
) -> JarLabel:
    hazards = hazard_summary(parts, library)
    code = state.code_of(thing) or ""
    return JarLabel(
        name=name,
        formula=pretty(formula),
        facts=tuple(facts),
        code=code,
        symbol=symbol(code, 1, 7) if code else None,
        signal_word=hazards.signal_word,
        pictograms=hazards.pictograms,
        statements=hazards.statements,
        precautions=hazards.precautions,
        note=_note(hazards, parts),
    )


def _note(hazards: HazardSummary, parts: list[Part]) -> str:
    """What a label says where cards are missing, or name no class: never that it is harmless."""
    if hazards.without_card or not parts:
        return NO_CARD
    return "" if hazards.statements or not hazards.parts else NO_CLASS
