"""`exposure`: what a released gas does to the air of a room, against the published limits."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.exposure_verdict import DO_NOT, FLAG, Judged, judged
from bench.reckoning.gas_most import cautions
from bench.reckoning.kind import Field, Kind
from bench.reckoning.limits import gas_named, limits_against, mass_factor, molar_mass_g_mol, strictest
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.surroundings import Gas
from bench.science.exposure import MIXING_FACTOR, RELEASE_MIN, Exposure, one_zone, ppm
from bench.translation import _

SCREEN_SAY = _("This is a screen. It proves nothing: the SDS, local law and licensed practice decide.")
UNKNOWN_SAY = _("Air changes unknown, so no figure is given. Do not do this indoors.")
OUTDOORS_SAY = _("Outdoors there is no figure. Stay upwind and keep everybody out of the plume.")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Peak and eight-hour mean in a well-mixed room, each limit with body and year, and a verdict."""
    gas = gas_named(ask.text("gas", longest=60), library)
    g = ask.number("g", low=0, high=1e6)
    outdoors = ask.flag("outdoors", False)
    room_m3 = (
        ask.number("room_m3", low=0.1, high=1e6, default=None) if outdoors else ask.number("room_m3", low=0.1, high=1e6)
    )
    air = ask.number("air_changes_per_h", low=0, high=1000, default=None)
    release_min = ask.number("release_min", above=0, high=1440, default=RELEASE_MIN)
    factor = ask.number("mixing_factor", low=1, high=100, default=MIXING_FACTOR)
    found = None if outdoors or air is None else one_zone(g, room_m3, air, release_min, factor)
    mass = molar_mass_g_mol(gas)
    verdict = _verdict(gas, found, outdoors, g, library)
    known = [] if "fume" in gas.name else cautions([gas.slug])
    return {
        "peak_mg_m3": found.peak_mg_m3 if found else None,
        "peak_ppm": ppm(found.peak_mg_m3, mass) if found and mass else None,
        "twa8h_mg_m3": found.twa8h_mg_m3 if found else None,
        "limits": limits_against(gas, found),
        "strictest": {period: strictest(gas, period) for period in ("8h", "short", "danger")},
        "verdict": verdict.word,
        "why": verdict.why,
        "cautions": known,
        "working": [
            *_working(gas, g, room_m3, air, release_min, factor, outdoors, found),
            *_said(verdict),
            *(step(say) for say in known),
        ],
    }


def _verdict(gas: Gas, found: Exposure | None, outdoors: bool, g: float, library: Library) -> Judged:
    if outdoors:
        return Judged(FLAG, OUTDOORS_SAY)
    if found is None:
        return Judged(DO_NOT, UNKNOWN_SAY)
    return judged(gas, found, g, library)


def _working(
    gas: Gas,
    g: float,
    room_m3: float | None,
    air: float | None,
    release_min: float,
    factor: float,
    outdoors: bool,
    found: Exposure | None,
) -> list[Step]:
    if found is None or room_m3 is None or air is None:
        return [step(OUTDOORS_SAY if outdoors else UNKNOWN_SAY)]
    rate = g * 60_000 / release_min
    steps = [
        step(
            _(
                "All {g:g} g of {slug} escape evenly in {release_min:g} min",
                g=g,
                slug=gas.slug,
                release_min=release_min,
            ),
            rate,
            "mg/h",
        ),
        step(_("Where nothing was measured, 20 min and 3 times near the source are taken"), source="own-exposure"),
        step(
            _(
                "In {room_m3:g} m³ at {air:g} air changes an hour, times {factor:g} near the source",
                room_m3=room_m3,
                air=air,
                factor=factor,
            )
        ),
        step(
            _("C = k·G/(nV)·(1 - e^(-nt)), at the end of the release, and never more than k·m/V"),
            found.peak_mg_m3,
            "mg/m³",
        ),
        step(_("Mean over the worst eight hours, wherever they begin"), found.twa8h_mg_m3, "mg/m³", "N2"),
    ]
    mass = molar_mass_g_mol(gas)
    if mass:
        steps.append(
            step(
                _("ppm = mg/m³ × 24.465 ÷ {mass:.3f} at 25 °C and 1 atm", mass=mass), ppm(found.peak_mg_m3, mass), "ppm"
            )
        )
    for limit in gas.limits:
        share = mass_factor(gas, limit)
        if share != 1:
            steps.append(
                step(
                    _(
                        "The limit of {body} counts {counted_as}: mass times {share:.4f}",
                        body=limit.body,
                        counted_as=limit.counted_as,
                        share=share,
                    )
                )
            )
            break
    return steps


def _said(verdict: Judged) -> list[Step]:
    return [step(verdict.why), step(SCREEN_SAY)]


KIND = Kind(
    name="exposure",
    summary="a screen of a released gas in a room against published limits",
    fields=(
        Field("gas", "formula", "The gas or fume, such as HCl, NO2 or CO."),
        Field("g", "g", "How much of it is released."),
        Field("room_m3", "m³", "The room's volume; may be left out outdoors."),
        Field("air_changes_per_h", "1/h", "Air changes an hour, measured or rated; null when not known.", False, None),
        Field("release_min", "min", "Over how long the gas comes.", False, RELEASE_MIN),
        Field("mixing_factor", "factor", "How much thicker the air is near the source.", False, MIXING_FACTOR),
        Field("outdoors", "true/false", "Outdoors no figure is given.", False, False),
    ),
    example={"gas": "HCl", "g": 3.07, "room_m3": 40, "air_changes_per_h": 1},
    run=run,
)
