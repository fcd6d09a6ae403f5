"""What a field may hold: one range for each quantity, for its form, its correction, the run sheet and the phones."""

from typing import Any

MINUTES: dict[str, Any] = {"unit": "min", "low": 0.0, "high": 100_000.0}
"""Up to ten weeks: a drying in the open air takes days."""
GRAMS: dict[str, Any] = {"unit": "g", "low": 0.0, "high": 100_000.0}
"""What a bench balance carries, and what nothing weighs."""
SOME_GRAMS: dict[str, Any] = {"unit": "g", "low": 0.0001, "high": 100_000.0}
"""A mass of something: at least what an analytical balance shows."""
MILLILITRES: dict[str, Any] = {"unit": "mL", "low": 0.0, "high": 1_000_000.0}
"""Up to a tank of a cubic metre."""
WATER_C: dict[str, Any] = {"unit": "°C", "low": 0.0, "high": 100.0}
DRYING_C: dict[str, Any] = {"unit": "°C", "low": -20.0, "high": 400.0}
"""From frost drying to a hot plate: what is hotter is a firing."""
MESH_UM: dict[str, Any] = {"unit": "µm", "low": 1.0, "high": 5000.0}
"""From the finest woven sieve to one that holds back grains of half a centimetre."""
SURFACE_C: dict[str, Any] = {"unit": "°C", "low": -40.0, "high": 1500.0}
"""From a frosty yard to what glows as it comes out."""
SAMPLE_G: dict[str, Any] = {"unit": "g", "low": 0.0, "high": 1000.0}
"""A sample that is fired by itself."""
ASSAY_C: dict[str, Any] = {"unit": "°C", "low": 100.0, "high": 1800.0}
"""From where water leaves to the hottest that a bench furnace reaches."""
PROBE_C: dict[str, Any] = {"unit": "°C", "low": -50.0, "high": 2000.0}
"""What any probe of a bench furnace may show; one that shows more is broken."""
COLD_JUNCTION_C: dict[str, Any] = {"unit": "°C", "low": -20.0, "high": 60.0}
"""Where a meter stands."""
RATED_C: dict[str, Any] = {"unit": "°C", "low": 100.0, "high": 2500.0}
"""What a ware may be rated to."""
QUICK_MINUTES = (5, 10, 20, 30)
"""Times in the mortar that one tap types (common practice)."""
