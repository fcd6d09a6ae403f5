"""`blend`: the points between two or three batches."""

from dataclasses import dataclass
from typing import Any

from bench.reckoning import charges
from bench.reckoning.ask import Ask, shown
from bench.reckoning.kind import Field, Kind
from bench.reckoning.substances import Substance, substance, target
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.blends import blended_g, lattice
from bench.science.formulas import Formula
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

CORNER_G = 100.0


@dataclass(frozen=True)
class _Corner:
    """One corner: grams by name as asked, and the formula of each name."""

    grams: dict[str, float]
    formulas: dict[str, Formula]
    substances: list[Substance]


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Fractions by mass of the corners' batches at each point, and grams of every component there."""
    asked = ask.list_of("corners", 2, 3)
    corners = [_corner(item, f"corners[{i}]", library) for i, item in enumerate(asked)]
    steps = ask.whole("steps", 1, 40)
    charges.refuse_if_dangerous([each for corner in corners for each in corner.substances], library, field="corners")
    formulas = {name: formula for corner in corners for name, formula in corner.formulas.items()}
    ask.raw("corners")
    points = []
    for fractions in lattice(len(corners), steps):
        parts = [float(part) for part in fractions]
        amounts = blended_g(parts, [corner.grams for corner in corners])
        points.append({"fractions": parts, "amounts_g": amounts, "cations_mol_pct": _cations(amounts, formulas)})
    say = _(
        "The points are a simplex lattice {{{q}, {m}}} (NIST/SEMATECH e-Handbook, 5.5.4.2).", q=len(corners), m=steps
    )
    working = [
        step(say, len(points), "points", "nist-mix"),
        step(_("Fractions are by mass of the corners as given. Mix the batches, or weigh the grams at each point.")),
    ]
    if any(isinstance(item, str) for item in asked):
        working.append(step(_("A corner that is a target counts as this much of it."), CORNER_G, "g"))
    return {"points": points, "working": working}


def _corner(item: Any, field: str, library: Library) -> _Corner:
    if isinstance(item, str):
        return _of_target(item, CORNER_G, field, library)
    if not isinstance(item, dict):
        raise Refusal(_("A corner is a batch {{formula: g}} or a target; {item} is neither.", item=shown(item)), field)
    batch = Ask(item, field)
    if "target" in item:
        return _of_target(batch.text("target"), batch.number("g", above=0, high=1e6, default=CORNER_G), field, library)
    names = batch.names()
    if not names:
        raise Refusal(_("This corner is empty: give it at least one formula and its grams."), field)
    grams = {name: batch.number(name, low=0, high=1e6) for name in names}
    if not any(grams.values()):
        raise Refusal(_("This corner weighs nothing."), field)
    found = [substance(name, library, batch.field(name)) for name in names]
    return _Corner(grams, {name: each.formula for name, each in zip(names, found, strict=True)}, found)


def _of_target(typed: str, g: float, field: str, library: Library) -> _Corner:
    formula, _ = target(typed, library, field)
    return _Corner({typed: g}, {typed: formula}, [Substance(typed, formula)])


def _cations(amounts: dict[str, float], formulas: dict[str, Formula]) -> dict[str, float]:
    """The elements that stay, in % of their atoms, at a point."""
    moles: dict[str, float] = {}
    for name, g in amounts.items():
        for symbol, count in formulas[name].numbers.items():
            if symbol not in VOLATILE:
                moles[symbol] = moles.get(symbol, 0.0) + count * g / formulas[name].molar_mass_g_mol
    total = sum(moles.values())
    return {symbol: 100 * mol / total for symbol, mol in moles.items()} if total > 0 else {}


KIND = Kind(
    name="blend",
    summary="the points between two or three batches, with grams",
    fields=(
        Field("corners", "list", "2 or 3 batches, each {formula: g, …}, or a target by formula or slug."),
        Field("steps", "number", "Into how many steps each edge is divided."),
    ),
    example={"corners": [{"ZnO": 8.14, "Fe2O3": 15.97}, {"MgO": 4.03, "Fe2O3": 15.97}], "steps": 4},
    run=run,
)
