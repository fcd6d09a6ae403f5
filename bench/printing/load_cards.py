"""Load cards: what is in a crucible today. Dated, because it is true for one charge only; the tag stays bare."""

from dataclasses import dataclass
from typing import Any

from bench.printing.symbols import Symbol, symbol
from bench.reckoning.rules import hazard_summary
from bench.records.state import State
from bench.reference import NO_CARD, Library
from bench.science.formulas import pretty
from bench.translation import _
from bench.workshop.digits import grams_text, readability_g
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import firing

COOLING_WORDS = {
    "in-furnace": _("Leave it in the furnace to cool"),
    "slow": _("Cool slowly, in the furnace"),
    "fast": _("Out and cool fast"),
    "controlled": _("Controlled cooling: follow the plan"),
    "either": _("Leave it in the furnace"),
    "quench-water": _("Quench in water, as planned"),
    "unknown": _("Leave in: cooling not known"),
}
"""What a card says of each planned cooling. `either` means in the furnace: nobody needs to open it hot."""
LID_WORDS = {"none": _("no lid"), "loose": _("lid loose"), "vented": _("lid vented"), "sealed": _("lid sealed")}
ASKS_TO_OPEN_HOT = ("fast", "quench-water")


@dataclass(frozen=True)
class LoadCard:
    """One card: all of it in words, ready to be set. `no_card` names parts without a hazard card."""

    code: str
    symbol: Symbol | None
    date: str
    names: tuple[str, ...]
    formula: str
    cooling: str
    cooling_note: str
    soak: str
    where: str
    signal_word: str
    pictograms: tuple[str, ...]
    no_card: str
    lid: str
    mass: str
    text_pt: float = 9.0

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else self.code


def load_card(state: State, thing: str, library: Library) -> LoadCard | None:
    """The card of a charge, dated with the day of its filling; None when there is no such charge."""
    view, filled = charge(state, thing), state.slot(thing, "charged").record
    if view is None or filled is None:
        return None
    plans = [p for p in (state.slot(b, "batch.planned").body for b in view.batches) if p is not None]
    hazards = hazard_summary(charge_parts(state, thing), library)
    peaks = sorted({max(s.to_c for s in p.schedule) for p in plans if p.schedule})
    code = view.crucible_code or ""
    return LoadCard(
        code=code or _("no code"),
        symbol=symbol(code, 1, 7) if code else None,
        date=f"{filled.local:%Y-%m-%d}",
        names=tuple(p.name for p in plans) or (_("Charge"),),
        formula=" + ".join(dict.fromkeys(pretty(p.target_formula) for p in plans if p.target_formula)),
        cooling=cooling_of_card(view),
        cooling_note=_cooling_note(view),
        soak=_soak(peaks),
        where=_where(state, view),
        signal_word=hazards.signal_word,
        pictograms=hazards.pictograms,
        no_card=f"{NO_CARD} ({', '.join(hazards.without_card)})" if hazards.without_card else "",
        lid=LID_WORDS[view.charged.lid],
        mass=_("{g} g dry", g=grams_text(view.dry_g, readability_g(state))),
    )


def _soak(peaks: list[float]) -> str:
    held = [f"{c:.0f} °C" for c in peaks]
    return _("soak at {c}", c=_(" and ").join(held)) if held else ""


def cooling_of_card(view: Charge) -> str:
    """How it is cooled, in words; never taken out hot on memory alone."""
    if view.cooling_mode in ASKS_TO_OPEN_HOT and not (view.hot_pull and view.cooling_basis in ("read", "planned")):
        return COOLING_WORDS["unknown"]
    return COOLING_WORDS[view.cooling_mode]


def _cooling_note(view: Charge) -> str:
    if view.cooling_mode in ASKS_TO_OPEN_HOT and cooling_of_card(view) == COOLING_WORDS["unknown"]:
        return _("No hot pull was planned for it.")
    if view.cooling_mode == "unknown":
        return _("No cooling is planned.")
    return "" if view.cooling_basis in ("read", "planned") else _("known from memory only")


def _where(state: State, view: Charge) -> str:
    stay = view.stay
    if stay is None:
        return _("not placed yet")
    fire = firing(state, stay.firing)
    return ", ".join(part for part in (fire.name if fire else "", place_words(stay.placed)) if part)


def place_words(place: Any) -> str:
    """A place in a furnace, in words; nothing where none is known."""
    if place is None:
        return ""
    spot = _("row {row}, place {column}", row=place.row, column=place.column) if place.row else ""
    spot = _("{n} o’clock", n=place.clock) if place.clock else spot
    tier = _("tier {n}", n=place.tier) if place.tier > 1 else ""
    return ", ".join(part for part in (spot, tier) if part)
