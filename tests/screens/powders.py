"""Fired powders for tests of the screens that come after the fire."""

import io
from typing import Any

from PIL import Image

from tests.screens.making import Making
from tests.workshop.builder import lines

TAN = (("ZnO", 5.0), ("Fe2O3", 10.0))


def cold_charge(make: Making, *parts: tuple[str, float] | tuple[str, float, str], **plan: Any) -> str:
    """A charge that was fired, came out and was read cold, in a crucible with a code and a tare of 40 g."""
    vessel = make.crucible()
    planned = lines(*(parts or TAN))
    charge = make.charge({"batch": make.ready_batch(planned, **{"name": "tan", **plan}), "g": 10.0}, crucible=vessel)
    make.fired(charge)
    return charge


def powder(make: Making, *parts: tuple[str, float] | tuple[str, float, str], **plan: Any) -> str:
    """A powder that was opened and weighed out: 9.9 g."""
    return make.opened(cold_charge(make, *parts, **plan), 49.9, tare_after_g=40.0)


def a_photo(colour: str = "#26649f") -> tuple[io.BytesIO, str]:
    """A picture as a form sends it."""
    kept = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(kept, "JPEG")
    kept.seek(0)
    return kept, "swatch.jpg"


def last(path: str) -> str:
    """The id at the end of an address."""
    return path.rsplit("/", 1)[1]
