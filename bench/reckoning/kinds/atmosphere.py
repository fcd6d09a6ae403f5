"""`atmosphere`: whether a gas, or a propane flame, takes the oxygen of an oxide."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science import atmosphere
from bench.science.formulas import parse
from bench.science.oxygen_data import PAIRS
from bench.science.refusal import Refusal
from bench.translation import _

FREE_SAY = _("This is the free oxide. In a compound it is bound more firmly and needs a richer gas.")
FLAME_SAY = _("The flame's gas counts as evenly mixed and at equilibrium. Near a burner or under a lid it is not.")
SOOT_SAY = _("No propane flame up to phi 3 reduces it.")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The oxide's own CO2/CO, the gas's, the judgement with its uncertainty, and the mixture that begins to reduce."""
    oxide = _oxide(ask.text("oxide", longest=100), library)
    c = ask.number("c", low=-273.15, high=3000)
    equilibrium = atmosphere.equilibrium_co2_co(oxide, c)
    flame, ratio = _gas(ask, c)
    limit = atmosphere.phi_limit(oxide, c)
    bound = atmosphere.bound_phi_limit(oxide, c)
    return {
        "equilibrium_co2_co": equilibrium,
        "gas_co2_co": ratio,
        "reduces": atmosphere.reduces(oxide, c, ratio),
        "phi_limit": limit,
        "caveats": _caveats(oxide, c, limit, bound, flame),
        "becomes": PAIRS[oxide].product,
        "equilibrium_co_pct": atmosphere.co_share_pct(equilibrium),
        "gas_h2o_h2": flame.h2o_h2 if flame else None,
        "bound_phi_limit": bound[1] if bound else None,
        "log_fo2_bar": atmosphere.log_fo2(oxide, c),
        "working": _working(oxide, c, equilibrium, ratio, flame, limit),
    }


def _oxide(text: str, library: Library) -> str:
    """The oxide with a fit that the text names, by formula or by the library's slug or name."""
    if text in PAIRS:
        return text
    row = library.reagent(text)
    try:
        counts = parse(row.formula if row else text).numbers
    except Refusal as refusal:
        raise Refusal(_("{say} Known oxides: {pairs}.", say=refusal.say, pairs=", ".join(PAIRS)), "oxide") from None
    for oxide in PAIRS:
        if parse(oxide).numbers == counts:
            return oxide
    raise Refusal(
        _("The reduction of this oxide is not known here; known are {pairs}.", pairs=", ".join(PAIRS)), "oxide"
    )


def _gas(ask: Ask, c: float) -> tuple[atmosphere.Flame | None, float]:
    if ask.has("co2_co") == ask.has("phi"):
        raise Refusal(_("Give the gas once: co2_co, the ratio CO2/CO, or phi of a propane flame."), "co2_co")
    if ask.has("co2_co"):
        return None, ask.number("co2_co", low=0, high=1e15)
    flame = atmosphere.flame(c, ask.number("phi", above=0, high=100))
    return flame, flame.co2_co


def _caveats(
    oxide: str,
    c: float,
    limit: float | None,
    bound: tuple[str, float | None] | None,
    flame: atmosphere.Flame | None,
) -> list[str]:
    said = [FREE_SAY]
    if bound is not None:
        spinel, phi = bound
        richer = _("only above phi {phi:.2f}", phi=phi) if phi is not None else _("in no propane flame")
        said.append(
            _(
                "Bound as in {spinel}, it would be reduced {richer}. For other compounds no figure is known.",
                spinel=spinel,
                richer=richer,
            )
        )
    if limit == 0:
        said.append(_("At this heat {oxide} gives off oxygen in air alone.", oxide=oxide))
    if atmosphere.is_stretched(oxide, c):
        said.append(_("This is above the range of the published fit. The uncertainty is tripled."))
    if PAIRS[oxide].memory:
        checked = _("it agrees with published values that were read") if PAIRS[oxide].agrees else _("confirm it first")
        said.append(_("The oxide's fit was recalled from memory; {checked}.", checked=checked))
    if flame is not None:
        said.append(FLAME_SAY)
    return said


def _working(
    oxide: str, c: float, equilibrium: float, ratio: float, flame: atmosphere.Flame | None, limit: float | None
) -> list[Step]:
    pair = PAIRS[oxide]
    potential = atmosphere.oxygen_potential_j(oxide, c) / 2000
    error_pct = 100 * atmosphere.equilibrium_error(oxide, c)
    steps = [
        step(
            _(
                "Oxygen potential of {oxide} and {product} at {c:g} °C, for each O",
                oxide=oxide,
                product=pair.product,
                c=c,
            ),
            potential,
            "kJ/mol",
            pair.source,
        ),
        step(_("CO + ½ O2 = CO2 at that heat"), atmosphere.co_oxidation_j(c) / 1000, "kJ/mol", "grimech3"),
        step(_("CO2/CO at which oxide and product are in balance, exp(-ΔG/RT)"), equilibrium, None),
        step(
            _("The published fits leave this uncertain by about {error_pct:.2g} %", error_pct=error_pct), error_pct, "%"
        ),
    ]
    if flame is None:
        steps.append(step(_("The gas as given, CO2/CO"), ratio))
    else:
        steps.append(
            step(
                _(
                    "CO2/CO of the flame, air as O2 + 3.76 N2: H2O/H2 {h2o_h2:.4g}, CO {co_pct:.2g} % wet",
                    h2o_h2=flame.h2o_h2,
                    co_pct=flame.co_pct,
                ),
                ratio,
                None,
                "grimech3",
            )
        )
    return [
        *steps,
        step(_("Propane mixture from which on the free oxide is reduced"), limit, "phi")
        if limit is not None
        else step(SOOT_SAY),
    ]


KIND = Kind(
    name="atmosphere",
    summary="whether a gas or a propane flame takes the oxygen of an oxide",
    fields=(
        Field("oxide", "formula", f"One of {', '.join(PAIRS)}."),
        Field("c", "°C", "The temperature."),
        Field("co2_co", "ratio", "CO2 over CO in the gas; give this or phi.", False),
        Field("phi", "ratio", "Fuel over the fuel that the air can just burn; above 1 is rich; at most 3.", False),
    ),
    example={"oxide": "CoO", "c": 1000, "phi": 1.05},
    run=run,
)
