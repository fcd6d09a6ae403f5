"""One stretch of a schedule as a form asks it, for the plan of a batch and that of a firing."""

from dataclasses import replace
from typing import Any

from bench.screens.kit.declared import read_field
from bench.steps.stretches import AIRS, STRETCH
from bench.web.forms import Form
from bench.web.words import _

NAMES = {"to_c": "to_c", "rate_c_per_h": "rate", "hold_min": "hold_min", "atmosphere": "air"}
"""The fields of a form by those of a record."""
AIR_CHOICES = tuple((one.value, _(one.words)) for one in AIRS)


def read_stretch(form: Form, n: int) -> dict[str, Any] | None:
    """The nth stretch of a form within the declared bounds; None where it was left empty or is refused."""
    named = [(one.name, replace(one, name=f"{NAMES[one.name]}.{n}")) for one in STRETCH]
    read = {name: read_field(form, one, False) for name, one in named}
    told = {name: value for name, value in read.items() if value is not None}
    if "to_c" in told:
        return {"hold_min": 0.0} | told
    if {"rate_c_per_h", "hold_min"} & set(told) and f"to_c.{n}" not in form.errors:
        form.refuse(_("Type how hot this segment goes."), f"to_c.{n}")
    return None
