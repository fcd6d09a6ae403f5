"""`dust-limit`: the limits of exposure to a powder's dust, by form and fraction, and the strictest that fits it."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.rules import Part
from bench.reckoning.rules.cards import known
from bench.reckoning.substances import Substance, substance
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.surroundings import DustLimit
from bench.science.formulas import Formula, parsed
from bench.translation import _

SAYS = {"yes": _("dissolves in water"), "no": _("does not dissolve in water")}
MAY = _("may dissolve in water or not")
LOWEST = frozenset({"H317", "H334", "H340", "H341", "H350", "H351"})
"""Codes of cancer, genes, asthma and allergy: for these the lowest that can be reached counts."""


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Every limit of the card with body and year; the strictest for a day that fits, as itself and as the powder."""
    powder = substance(ask.text("formula"), library, ask.field("formula"))
    soluble = ask.choice("soluble", ("yes", "no", "unknown"), default=None)
    if soluble is None:
        soluble = powder.row.water_soluble if powder.row is not None else "unknown"
    cards = known(library).cards(Part(powder.formula.text, powder.typed, powder.row.slug if powder.row else None))
    limits = [each for card in cards for each in card.limits]
    rows = [_row(each, powder, soluble) for each in limits]
    fit = [one for one in rows if one["fits"] and one["mg_m3_of_powder"] is not None and one["name"] == "8 hours"]
    first = min(fit, key=lambda one: one["mg_m3_of_powder"], default=None)
    codes = {code[:4] for card in cards for code in card.h_codes}
    return {
        "card": cards[0].slug if cards else None,
        "soluble": soluble or "unknown",
        "limits": rows,
        "strictest": first,
        "lowest_reachable": bool(codes & LOWEST) or not cards,
        "working": list(_working(powder, soluble, cards, rows, first, codes)),
    }


def _row(limit: DustLimit, powder: Substance, soluble: str) -> dict[str, Any]:
    share = _share(limit, powder.formula)
    mg = limit.value / share if share and limit.unit == "mg/m3" else None
    return {
        "name": limit.name,
        "value": limit.value,
        "unit": limit.unit,
        "counted_as": limit.counted_as or None,
        "form": limit.form or None,
        "fraction": limit.fraction or None,
        "body": limit.body,
        "year": limit.year,
        "basis": limit.basis,
        "fits": limit.fits(soluble) and _right_hydrate(limit.form, powder.formula),
        "mg_m3_of_powder": mg,
    }


def _right_hydrate(form: str, formula: Formula) -> bool:
    """Whether a limit that names a hydrate may mean this one."""
    tenfold = "10H2O" in formula.text
    return not ((form == "decahydrate" and not tenfold) or (form.startswith("anhydrous") and tenfold))


def _share(limit: DustLimit, formula: Formula) -> float | None:
    """Grams of what the limit counts in one gram of the powder; 1 where it counts the powder; None: none is in it."""
    if not limit.counted_as:
        return 1.0
    counted = parsed(limit.counted_as.split("(")[0])
    if counted is None:
        return None
    key = next((symbol for symbol in counted.numbers if symbol not in ("O", "H")), None)
    if key is None or key not in formula.numbers:
        return None
    moles = formula.numbers[key] / counted.numbers[key]
    return moles * counted.molar_mass_g_mol / formula.molar_mass_g_mol


def _working(
    powder: Substance,
    soluble: str,
    cards: Any,
    rows: list[dict[str, Any]],
    first: dict[str, Any] | None,
    codes: set[str],
) -> list[Step]:
    if not cards:
        return [step(_("No card here: read the SDS. No limit is known, so keep all dust out of the air."))]
    says = SAYS.get(soluble, MAY)
    steps = [
        step(
            _(
                "{text} {says}: {fitting} of {all} limits may hold",
                text=powder.formula.text,
                says=says,
                fitting=sum(one["fits"] for one in rows),
                all=len(rows),
            )
        )
    ]
    if first is not None:
        as_what = _(" as {what}", what=first["counted_as"]) if first["counted_as"] else ""
        kind = ", ".join(word for word in (first["form"], first["fraction"]) if word)
        year = first["year"] or _("year not stated")
        say = _(
            "Strictest for a day: {body}, {year}{kind}{as_what}",
            body=first["body"],
            year=year,
            kind=f" ({kind})" if kind else "",
            as_what=as_what,
        )
        steps.append(step(say, first["value"], first["unit"]))
        steps.append(step(_("As mg of {text}", text=powder.formula.text), first["mg_m3_of_powder"], "mg/m3"))
    if codes & LOWEST:
        steps.append(step(_("It may cause cancer, asthma or allergy. Keep exposure as low as possible.")))
    steps.append(step(_("Limits are for measured workplaces. Local law and the SDS decide.")))
    return steps


KIND = Kind(
    name="dust-limit",
    summary="limits of exposure to a powder's dust, by form and fraction",
    fields=(
        Field("formula", "formula or name", "The powder."),
        Field("soluble", "yes, no or unknown", "Whether it dissolves in water; by the library where left out.", False),
    ),
    example={"formula": "NiO"},
    run=run,
)
