"""`settle`: how long a grain takes to sink through still water."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.powders import settle, water_density_kg_m3, water_viscosity_pa_s
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Minutes for the depth by Stokes' law; refused above Reynolds 0.25."""
    diameter_um = ask.number("diameter_um", above=0, high=10_000)
    density_kg_m3 = ask.number("density_kg_m3", above=0, high=25_000)
    depth_mm = ask.number("depth_mm", above=0, high=10_000)
    c = ask.number("c", low=0, high=100, default=20.0)
    found = settle(diameter_um, density_kg_m3, depth_mm, c)
    working = [
        step(_("Density of water at {c:g} °C", c=c), water_density_kg_m3(c), "kg/m³", "kell75"),
        step(_("Viscosity of water at {c:g} °C", c=c), 1000 * water_viscosity_pa_s(c), "mPa·s", "iapws-visc"),
        step(_("Speed by Stokes' law: (ρ - ρ_water)·g·d²/(18·η)"), found.mm_per_min, "mm/min"),
        step(_("Reynolds number, which must not pass 0.25"), found.reynolds),
        step(_("{depth_mm:g} mm at this speed", depth_mm=depth_mm), found.minutes, "min"),
        step(_("This is for a lone round grain: powder that clots settles faster (common practice).")),
    ]
    if diameter_um < 1:
        working.append(step(_("Below about 1 µm heat keeps grains moving: they may never settle clear.")))
    return {
        "min": found.minutes,
        "mm_per_min": found.mm_per_min,
        "reynolds": found.reynolds,
        "working": working,
    }


KIND = Kind(
    name="settle",
    summary="minutes for a grain to sink through water",
    fields=(
        Field("diameter_um", "µm", "The grain's diameter."),
        Field("density_kg_m3", "kg/m³", "The grain's density; CoAl2O4 is 4420."),
        Field("depth_mm", "mm", "How deep the water is."),
        Field("c", "°C", "The water's temperature.", False, 20),
    ),
    example={"diameter_um": 5, "density_kg_m3": 4420, "depth_mm": 100},
    run=run,
)
